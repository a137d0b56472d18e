-- A run that is set aside is kept whole and left out of lists, trends and verdicts.

-- +goose Up
ALTER TABLE run ADD COLUMN aside TEXT NOT NULL DEFAULT ''; -- why; '' = it counts

-- +goose StatementBegin
CREATE TRIGGER season_run_aside AFTER UPDATE OF aside ON run WHEN old.aside IS NOT new.aside
BEGIN DELETE FROM season_line WHERE swimmer_id = new.swimmer_id; END;
-- +goose StatementEnd
