-- Practice given and the coach's own drills. Versions of both are only ever added.
-- What was given goes with its swimmer; it outlives the run it was given for.

-- +goose Up
CREATE TABLE given (
  id         INTEGER PRIMARY KEY,
  pub        TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  swimmer_id INTEGER NOT NULL REFERENCES swimmer (id) ON DELETE CASCADE,
  run_id     INTEGER REFERENCES run (id) ON DELETE SET NULL,
  drill      TEXT NOT NULL CHECK (drill <> ''),
  body       TEXT NOT NULL CHECK (json_valid(body)), -- the drill as it was when it was given
  chosen     TEXT NOT NULL CHECK (chosen IN ('rule', 'coach')),
  why        TEXT NOT NULL CHECK (trim(why) <> ''),
  created    TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;
CREATE INDEX given_swimmer ON given (swimmer_id);
CREATE INDEX given_run ON given (run_id);

CREATE TABLE given_version (
  id        INTEGER PRIMARY KEY,
  given_id  INTEGER NOT NULL REFERENCES given (id) ON DELETE CASCADE,
  seq       INTEGER NOT NULL CHECK (seq > 0),
  amount    TEXT NOT NULL CHECK (json_valid(amount)),
  from_date TEXT NOT NULL CHECK (from_date GLOB '????-??-??'),
  weeks     INTEGER NOT NULL CHECK (weeks BETWEEN 1 AND 52),
  retest_on TEXT NOT NULL CHECK (retest_on GLOB '????-??-??' AND retest_on > from_date),
  notes     TEXT NOT NULL DEFAULT '',
  ended     TEXT NOT NULL DEFAULT '' CHECK (ended = '' OR ended GLOB '????-??-??'),
  removed   INTEGER NOT NULL DEFAULT 0 CHECK (removed IN (0, 1)),
  who       TEXT NOT NULL DEFAULT '',
  at        TEXT NOT NULL CHECK (at GLOB '????-??-??T??:??:??.???Z'),
  UNIQUE (given_id, seq)
) STRICT;

CREATE TABLE drill (
  id      INTEGER PRIMARY KEY,
  pub     TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  copy_of TEXT NOT NULL DEFAULT '',
  created TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;

CREATE TABLE drill_version (
  id       INTEGER PRIMARY KEY,
  drill_id INTEGER NOT NULL REFERENCES drill (id) ON DELETE CASCADE,
  seq      INTEGER NOT NULL CHECK (seq > 0),
  body     TEXT NOT NULL CHECK (json_valid(body)),
  retired  INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1)),
  who      TEXT NOT NULL DEFAULT '',
  at       TEXT NOT NULL CHECK (at GLOB '????-??-??T??:??:??.???Z'),
  UNIQUE (drill_id, seq)
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER given_version_kept BEFORE UPDATE ON given_version
BEGIN SELECT RAISE(ABORT, 'versions of practice given are never changed'); END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER drill_version_kept BEFORE UPDATE ON drill_version
BEGIN SELECT RAISE(ABORT, 'versions of drills are never changed'); END;
-- +goose StatementEnd
