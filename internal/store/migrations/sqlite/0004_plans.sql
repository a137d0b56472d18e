-- Plans of walls and tempo ladders. A plan's versions are only ever added; what
-- stands follows by replaying them in order of seq. A plan goes with its swimmer.

-- +goose Up
CREATE TABLE plan (
  id         INTEGER PRIMARY KEY,
  pub        TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  swimmer_id INTEGER NOT NULL REFERENCES swimmer (id) ON DELETE CASCADE,
  kind       TEXT NOT NULL CHECK (kind IN ('walls', 'ladder')),
  created    TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;
CREATE INDEX plan_swimmer ON plan (swimmer_id, kind);

-- Undo, redo and remove hold no name and no body.
CREATE TABLE plan_version (
  id      INTEGER PRIMARY KEY,
  plan_id INTEGER NOT NULL REFERENCES plan (id) ON DELETE CASCADE,
  seq     INTEGER NOT NULL CHECK (seq > 0),
  act     TEXT NOT NULL CHECK (act IN ('keep', 'remove', 'undo', 'redo')),
  name    TEXT NOT NULL DEFAULT '',
  body    TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(body)),
  who     TEXT NOT NULL DEFAULT '',
  at      TEXT NOT NULL CHECK (at GLOB '????-??-??T??:??:??.???Z'),
  UNIQUE (plan_id, seq),
  CHECK ((act = 'keep') = (trim(name) <> ''))
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER plan_version_kept BEFORE UPDATE ON plan_version
BEGIN SELECT RAISE(ABORT, 'versions of plans are never changed'); END;
-- +goose StatementEnd
