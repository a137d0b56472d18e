-- Background work. boot names the start of the program that claimed a running
-- job, so that the next start sees what was cut off.

-- +goose Up
CREATE TABLE job (
  id       INTEGER PRIMARY KEY,
  pub      TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  kind     TEXT NOT NULL CHECK (kind <> ''),
  subject  TEXT NOT NULL DEFAULT '',
  args     TEXT NOT NULL CHECK (json_valid(args)),
  state    TEXT NOT NULL CHECK (state IN ('waiting', 'running', 'done', 'failed', 'cancelled')),
  fraction REAL NOT NULL DEFAULT 0 CHECK (fraction BETWEEN 0 AND 1),
  doing    TEXT NOT NULL DEFAULT '',
  problem  TEXT NOT NULL DEFAULT '',
  outcome  TEXT CHECK (outcome IS NULL OR json_valid(outcome)),
  attempts INTEGER NOT NULL DEFAULT 0 CHECK (attempts >= 0),
  boot     TEXT NOT NULL DEFAULT '',
  created  TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z'),
  ended    TEXT CHECK (ended GLOB '????-??-??T??:??:??.???Z'),
  CHECK ((state = 'running') = (boot <> '')),
  CHECK ((state IN ('done', 'failed', 'cancelled')) = (ended IS NOT NULL))
) STRICT;
CREATE INDEX job_next ON job (state, id);
CREATE INDEX job_subject ON job (subject, id);
