-- The season: results without their kicks, for trends and verdicts, and what lists say of a
-- swimmer. Both follow from other tables and can always be made again.

-- +goose Up
CREATE TABLE result_brief (
  result_id INTEGER PRIMARY KEY REFERENCES result (id) ON DELETE CASCADE,
  body      TEXT NOT NULL CHECK (json_valid(body))
) STRICT;
INSERT INTO result_brief (result_id, body) SELECT id, json_remove(body, '$.kicks') FROM result;

-- Made anew where it is missing: whatever it stands on takes it away.
CREATE TABLE season_line (
  swimmer_id INTEGER PRIMARY KEY REFERENCES swimmer (id) ON DELETE CASCADE,
  method     TEXT NOT NULL CHECK (method <> ''),
  line       TEXT NOT NULL CHECK (json_valid(line)),
  scatter    TEXT NOT NULL CHECK (json_valid(scatter))
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER season_result AFTER INSERT ON result
BEGIN DELETE FROM season_line WHERE swimmer_id = (SELECT swimmer_id FROM run WHERE id = new.run_id); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER season_result_gone AFTER DELETE ON result
BEGIN DELETE FROM season_line WHERE swimmer_id = (SELECT swimmer_id FROM run WHERE id = old.run_id); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER season_run AFTER INSERT ON run
BEGIN DELETE FROM season_line WHERE swimmer_id = new.swimmer_id; END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER season_run_changed AFTER UPDATE OF clip_id, swimmer_id, effort, start, position, equipment, marked_by ON run
BEGIN DELETE FROM season_line WHERE swimmer_id IN (old.swimmer_id, new.swimmer_id); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER season_run_gone AFTER DELETE ON run
BEGIN DELETE FROM season_line WHERE swimmer_id = old.swimmer_id; END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER season_clip AFTER INSERT ON clip
BEGIN DELETE FROM season_line WHERE swimmer_id = new.swimmer_id; END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER season_clip_changed AFTER UPDATE OF visit_id, swimmer_id ON clip
BEGIN DELETE FROM season_line WHERE swimmer_id IN (old.swimmer_id, new.swimmer_id)
  OR swimmer_id IN (SELECT swimmer_id FROM run WHERE clip_id = new.id); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER season_clip_gone AFTER DELETE ON clip
BEGIN DELETE FROM season_line WHERE swimmer_id = old.swimmer_id; END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER season_visit_changed AFTER UPDATE OF on_date ON visit
BEGIN DELETE FROM season_line WHERE swimmer_id IN (SELECT swimmer_id FROM clip WHERE visit_id = new.id)
  OR swimmer_id IN (SELECT r.swimmer_id FROM run r JOIN clip c ON c.id = r.clip_id WHERE c.visit_id = new.id); END;
-- +goose StatementEnd
