-- The marker's own error: frames marked again without the first marks, and pairs
-- of runs marked together. Rows are only ever added.

-- +goose Up
CREATE TABLE remark (
  id      INTEGER PRIMARY KEY,
  pub     TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  run_id  INTEGER NOT NULL REFERENCES run (id) ON DELETE CASCADE,
  frame   INTEGER NOT NULL CHECK (frame >= 0),
  run_seq INTEGER NOT NULL CHECK (run_seq > 0), -- the first marks are those of the history up to here
  who     TEXT NOT NULL CHECK (trim(who) <> ''),
  created TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;
CREATE INDEX remark_run ON remark (run_id);
CREATE INDEX remark_who ON remark (who);

-- One landmark at a time; undo and redo carry none.
CREATE TABLE remark_step (
  id        INTEGER PRIMARY KEY,
  remark_id INTEGER NOT NULL REFERENCES remark (id) ON DELETE CASCADE,
  seq       INTEGER NOT NULL CHECK (seq > 0),
  act       TEXT NOT NULL CHECK (act IN ('place', 'move', 'remove', 'undo', 'redo')),
  landmark  TEXT CHECK (landmark IN ('fingertip', 'wrist', 'elbow', 'shoulder', 'head', 'rib', 'hip', 'knee', 'ankle', 'heel', 'toe')),
  x_px      REAL,
  y_px      REAL,
  at        TEXT NOT NULL CHECK (at GLOB '????-??-??T??:??:??.???Z'),
  UNIQUE (remark_id, seq),
  CHECK ((act IN ('undo', 'redo')) = (landmark IS NULL)),
  CHECK ((act IN ('place', 'move')) = (x_px IS NOT NULL AND y_px IS NOT NULL))
) STRICT;

CREATE TABLE remark_act (
  id        INTEGER PRIMARY KEY,
  remark_id INTEGER NOT NULL REFERENCES remark (id) ON DELETE CASCADE,
  act       TEXT NOT NULL CHECK (act IN ('finish', 'discard', 'restore')),
  at        TEXT NOT NULL CHECK (at GLOB '????-??-??T??:??:??.???Z')
) STRICT;
CREATE INDEX remark_act_of ON remark_act (remark_id, id);

-- Two runs of one swimmer marked together.
CREATE TABLE pair (
  id      INTEGER PRIMARY KEY,
  pub     TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  run_a   INTEGER NOT NULL REFERENCES run (id) ON DELETE CASCADE,
  run_b   INTEGER NOT NULL REFERENCES run (id) ON DELETE CASCADE,
  who     TEXT NOT NULL CHECK (trim(who) <> ''),
  created TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z'),
  CHECK (run_a <> run_b)
) STRICT;
CREATE INDEX pair_a ON pair (run_a);
CREATE INDEX pair_b ON pair (run_b);

-- The steps of the runs' histories that were made in it.
CREATE TABLE pair_step (
  step_id  INTEGER PRIMARY KEY REFERENCES mark_step (id) ON DELETE CASCADE,
  pair_id INTEGER NOT NULL REFERENCES pair (id) ON DELETE CASCADE
) STRICT;
CREATE INDEX pair_step_of ON pair_step (pair_id);

-- +goose StatementBegin
CREATE TRIGGER remark_kept BEFORE UPDATE ON remark
BEGIN SELECT RAISE(ABORT, 'marks are never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER remark_step_kept BEFORE UPDATE ON remark_step
BEGIN SELECT RAISE(ABORT, 'marks are never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER remark_act_kept BEFORE UPDATE ON remark_act
BEGIN SELECT RAISE(ABORT, 'marks are never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER pair_step_kept BEFORE UPDATE ON pair_step
BEGIN SELECT RAISE(ABORT, 'marks are never changed'); END;
-- +goose StatementEnd
