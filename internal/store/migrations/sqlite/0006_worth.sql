-- Worth: what a run touched, the run that it is held against, and kept estimates.

-- +goose Up
ALTER TABLE run ADD COLUMN contact TEXT NOT NULL DEFAULT '' CHECK (contact IN ('', 'none', 'surface', 'wall'));

-- The better run of the same swimmer that a coach named.
CREATE TABLE reference (
  run_id     INTEGER PRIMARY KEY REFERENCES run (id) ON DELETE CASCADE,
  against_id INTEGER NOT NULL REFERENCES run (id) ON DELETE CASCADE,
  CHECK (run_id <> against_id)
) STRICT;
CREATE INDEX reference_against ON reference (against_id);

-- Model estimates of a run; they can always be made again.
CREATE TABLE estimate (
  id         INTEGER PRIMARY KEY,
  run_id     INTEGER NOT NULL REFERENCES run (id) ON DELETE CASCADE,
  method     TEXT NOT NULL CHECK (method <> ''),
  input_hash TEXT NOT NULL CHECK (input_hash <> ''),
  body       TEXT NOT NULL CHECK (json_valid(body)),
  created    TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z'),
  UNIQUE (run_id, method, input_hash)
) STRICT;
