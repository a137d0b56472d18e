-- Goals: what a measure of a swimmer should be by a day. Versions are only ever added; all go
-- with the swimmer.

-- +goose Up
CREATE TABLE goal (
  id         INTEGER PRIMARY KEY,
  pub        TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  swimmer_id INTEGER NOT NULL REFERENCES swimmer (id) ON DELETE CASCADE,
  measure    TEXT NOT NULL CHECK (measure <> ''),
  created    TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;
CREATE INDEX goal_swimmer ON goal (swimmer_id);

CREATE TABLE goal_version (
  id      INTEGER PRIMARY KEY,
  goal_id INTEGER NOT NULL REFERENCES goal (id) ON DELETE CASCADE,
  seq     INTEGER NOT NULL CHECK (seq > 0),
  sense   TEXT NOT NULL CHECK (sense IN ('at least', 'at most')),
  target  REAL NOT NULL,
  on_date TEXT NOT NULL CHECK (on_date GLOB '????-??-??'),
  notes   TEXT NOT NULL DEFAULT '',
  removed INTEGER NOT NULL DEFAULT 0 CHECK (removed IN (0, 1)),
  who     TEXT NOT NULL DEFAULT '',
  at      TEXT NOT NULL CHECK (at GLOB '????-??-??T??:??:??.???Z'),
  UNIQUE (goal_id, seq)
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER goal_version_kept BEFORE UPDATE ON goal_version
BEGIN SELECT RAISE(ABORT, 'versions of goals are never changed'); END;
-- +goose StatementEnd
