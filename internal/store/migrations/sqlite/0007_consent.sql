-- Consent, growth, what is due for erasing, main strokes.

-- +goose Up
ALTER TABLE swimmer ADD COLUMN strokes TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(strokes));

-- How many months a squad's films are kept after the visit; 0 = no rule.
ALTER TABLE squad ADD COLUMN film_months INTEGER NOT NULL DEFAULT 0 CHECK (film_months BETWEEN 0 AND 240);

-- When the film of a clip was erased while its records were kept; empty = it was not.
ALTER TABLE clip ADD COLUMN film_gone TEXT NOT NULL DEFAULT '' CHECK (film_gone = '' OR film_gone GLOB '????-??-??T??:??:??.???Z');

-- Consents are only ever added and withdrawn once; they go with their swimmer.
CREATE TABLE consent (
  id         INTEGER PRIMARY KEY,
  pub        TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  swimmer_id INTEGER NOT NULL REFERENCES swimmer (id) ON DELETE CASCADE,
  given_by   TEXT NOT NULL CHECK (trim(given_by) <> ''),
  given_as   TEXT NOT NULL CHECK (given_as IN ('swimmer', 'parent or guardian')),
  on_date    TEXT NOT NULL CHECK (on_date GLOB '????-??-??'),
  until_date TEXT NOT NULL DEFAULT '' CHECK (until_date = '' OR until_date GLOB '????-??-??' AND until_date >= on_date),
  filming    INTEGER NOT NULL CHECK (filming IN (0, 1)),
  squad      INTEGER NOT NULL CHECK (squad IN (0, 1)),
  outside    INTEGER NOT NULL CHECK (outside IN (0, 1)),
  withdrawn  TEXT NOT NULL DEFAULT '' CHECK (withdrawn = '' OR withdrawn GLOB '????-??-??' AND withdrawn >= on_date),
  notes      TEXT NOT NULL DEFAULT '',
  created    TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z'),
  CHECK (filming + squad + outside > 0)
) STRICT;
CREATE INDEX consent_swimmer ON consent (swimmer_id, on_date);

-- +goose StatementBegin
CREATE TRIGGER consent_kept BEFORE UPDATE ON consent
WHEN OLD.withdrawn <> '' OR NEW.withdrawn = '' OR OLD.id <> NEW.id OR OLD.pub <> NEW.pub OR OLD.swimmer_id <> NEW.swimmer_id
  OR OLD.given_by <> NEW.given_by OR OLD.given_as <> NEW.given_as OR OLD.on_date <> NEW.on_date OR OLD.until_date <> NEW.until_date
  OR OLD.filming <> NEW.filming OR OLD.squad <> NEW.squad OR OLD.outside <> NEW.outside OR OLD.notes <> NEW.notes OR OLD.created <> NEW.created
BEGIN SELECT RAISE(ABORT, 'consents are never changed, only withdrawn'); END;
-- +goose StatementEnd

-- Heights and masses by day; empty = the day is not known. The newest of each stand
-- in swimmer too, so that lists need not look here.
CREATE TABLE growth (
  swimmer_id INTEGER NOT NULL REFERENCES swimmer (id) ON DELETE CASCADE,
  on_date    TEXT NOT NULL CHECK (on_date = '' OR on_date GLOB '????-??-??'),
  height_m   REAL NOT NULL CHECK (height_m = 0 OR height_m BETWEEN 0.8 AND 2.5),
  mass_kg    REAL NOT NULL CHECK (mass_kg = 0 OR mass_kg BETWEEN 15 AND 250),
  created    TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z'),
  PRIMARY KEY (swimmer_id, on_date),
  CHECK (height_m > 0 OR mass_kg > 0)
) STRICT, WITHOUT ROWID;

INSERT INTO growth (swimmer_id, on_date, height_m, mass_kg, created)
SELECT id, height_on, height_m, CASE WHEN mass_on = height_on THEN mass_kg ELSE 0 END, created FROM swimmer WHERE height_m > 0;
INSERT INTO growth (swimmer_id, on_date, height_m, mass_kg, created)
SELECT id, mass_on, 0, mass_kg, created FROM swimmer WHERE mass_kg > 0 AND (height_m = 0 OR mass_on <> height_on);
