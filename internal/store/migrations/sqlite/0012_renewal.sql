-- What a run's result stands on has a number that grows with every change of it. A result is
-- renewed when it was made after the last one; the older results stay.

-- +goose Up
CREATE TABLE renewal (
  run_id INTEGER PRIMARY KEY REFERENCES run (id) ON DELETE CASCADE,
  seq    INTEGER NOT NULL CHECK (seq > 0),
  done   INTEGER NOT NULL DEFAULT 0 CHECK (done BETWEEN 0 AND seq), -- measured at
  tried  INTEGER NOT NULL DEFAULT 0 CHECK (tried BETWEEN 0 AND seq) -- could not be measured at
) STRICT;
CREATE INDEX renewal_open ON renewal (run_id) WHERE done < seq;

-- Whose marks or body changed since the newest result, and what waited to be measured again.
INSERT INTO renewal (run_id, seq)
SELECT r.id, 1 FROM run r JOIN result e ON e.id = (SELECT max(id) FROM result WHERE run_id = r.id)
WHERE e.created < (SELECT max(at) FROM mark_step WHERE run_id = r.id)
   OR e.created < (SELECT max(created) FROM growth WHERE swimmer_id = r.swimmer_id)
   OR r.pub IN (SELECT subject FROM job WHERE kind = 'measure-again' AND state IN ('waiting', 'running'));
UPDATE job SET state = 'cancelled', boot = '', ended = strftime('%Y-%m-%dT%H:%M:%fZ', 'now')
WHERE kind = 'measure-again' AND state IN ('waiting', 'running');

-- +goose StatementBegin
CREATE TRIGGER renewal_marks AFTER INSERT ON mark_step
BEGIN
  INSERT INTO renewal (run_id, seq) VALUES (new.run_id, 1) ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER renewal_run AFTER UPDATE ON run
WHEN (old.clip_id, old.swimmer_id, old.from_frame, old.to_frame, old.effort, old.start, old.position, old.depth_m, old.equipment, old.marked_by, old.scale_kind, old.scale, old.true_fps, old.contact)
  IS NOT (new.clip_id, new.swimmer_id, new.from_frame, new.to_frame, new.effort, new.start, new.position, new.depth_m, new.equipment, new.marked_by, new.scale_kind, new.scale, new.true_fps, new.contact)
BEGIN
  INSERT INTO renewal (run_id, seq) VALUES (new.id, 1) ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER renewal_clip AFTER UPDATE ON clip
WHEN (old.visit_id, old.true_fps, old.fps_confirmed) IS NOT (new.visit_id, new.true_fps, new.fps_confirmed)
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT id, 1 FROM run WHERE clip_id = new.id ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER renewal_visit AFTER UPDATE ON visit WHEN old.on_date IS NOT new.on_date
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT r.id, 1 FROM run r JOIN clip c ON c.id = r.clip_id WHERE c.visit_id = new.id
  ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- Height and mass are told by the program: of a history only what is nearest to a visit counts.
-- +goose StatementBegin
CREATE TRIGGER renewal_swimmer AFTER UPDATE ON swimmer
WHEN (old.sex, old.birth_year, old.level) IS NOT (new.sex, new.birth_year, new.level)
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT id, 1 FROM run WHERE swimmer_id = new.id ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER renewal_reference AFTER INSERT ON reference
BEGIN
  INSERT INTO renewal (run_id, seq) VALUES (new.run_id, 1) ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER renewal_reference_changed AFTER UPDATE ON reference WHEN old.against_id IS NOT new.against_id
BEGIN
  INSERT INTO renewal (run_id, seq) VALUES (new.run_id, 1) ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- A reference goes with its run too, where nothing is left to renew.
-- +goose StatementBegin
CREATE TRIGGER renewal_reference_gone AFTER DELETE ON reference
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT id, 1 FROM run WHERE id = old.run_id ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER renewal_reference_measured AFTER INSERT ON result
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT run_id, 1 FROM reference WHERE against_id = new.run_id ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER renewal_pair AFTER INSERT ON pair_step
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT r.id, 1 FROM pair p JOIN run r ON r.id IN (p.run_a, p.run_b) WHERE p.id = new.pair_id
  ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER renewal_guess AFTER UPDATE ON job WHEN new.kind = 'guess' AND new.state = 'done' AND old.state <> 'done'
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT id, 1 FROM run WHERE pub = new.subject ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER renewal_guess_first_switched AFTER INSERT ON setting WHEN new.name = 'guess'
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT id, 1 FROM run WHERE pub IN (SELECT subject FROM job WHERE kind = 'guess' AND state = 'done')
  ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER renewal_guess_switched AFTER UPDATE ON setting WHEN new.name = 'guess' AND old.value <> new.value
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT id, 1 FROM run WHERE pub IN (SELECT subject FROM job WHERE kind = 'guess' AND state = 'done')
  ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER renewal_steadied AFTER INSERT ON estimate WHEN new.method LIKE 'steady/%'
BEGIN
  INSERT INTO renewal (run_id, seq) VALUES (new.run_id, 1) ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER renewal_steadied_again AFTER UPDATE ON estimate WHEN new.method LIKE 'steady/%' AND old.body <> new.body
BEGIN
  INSERT INTO renewal (run_id, seq) VALUES (new.run_id, 1) ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
-- +goose StatementEnd
