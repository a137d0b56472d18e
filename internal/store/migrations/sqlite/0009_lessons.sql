-- Lessons. A lesson's versions are only ever added; what stands follows by
-- replaying them in order of seq. A lesson goes with its squad. Runs are named
-- inside the body, so that a lesson outlives a run that was deleted.

-- +goose Up
CREATE TABLE lesson (
  id       INTEGER PRIMARY KEY,
  pub      TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  squad_id INTEGER NOT NULL REFERENCES squad (id) ON DELETE CASCADE,
  created  TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;
CREATE INDEX lesson_squad ON lesson (squad_id);

-- Undo, redo and remove hold no body.
CREATE TABLE lesson_version (
  id        INTEGER PRIMARY KEY,
  lesson_id INTEGER NOT NULL REFERENCES lesson (id) ON DELETE CASCADE,
  seq       INTEGER NOT NULL CHECK (seq > 0),
  act       TEXT NOT NULL CHECK (act IN ('keep', 'remove', 'undo', 'redo')),
  body      TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(body)),
  at        TEXT NOT NULL CHECK (at GLOB '????-??-??T??:??:??.???Z'),
  UNIQUE (lesson_id, seq),
  CHECK ((act = 'keep') = (body <> '{}'))
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER lesson_version_kept BEFORE UPDATE ON lesson_version
BEGIN SELECT RAISE(ABORT, 'versions of lessons are never changed'); END;
-- +goose StatementEnd
