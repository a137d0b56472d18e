-- The first schema: squads, swimmers, visits, clips, runs, marks, results.
-- Moments are UTC text YYYY-MM-DDTHH:MM:SS.sssZ, days YYYY-MM-DD. pub is the
-- public id, known outside; id stays inside. Empty text and 0 mean not known.

-- +goose Up
CREATE TABLE squad (
  id      INTEGER PRIMARY KEY,
  pub     TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  name    TEXT NOT NULL CHECK (trim(name) <> ''),
  notes   TEXT NOT NULL DEFAULT '',
  created TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;

CREATE TABLE swimmer (
  id         INTEGER PRIMARY KEY,
  pub        TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  squad_id   INTEGER NOT NULL REFERENCES squad (id) ON DELETE RESTRICT,
  name       TEXT NOT NULL CHECK (trim(name) <> ''),
  pseudonym  TEXT NOT NULL DEFAULT '',
  sex        TEXT NOT NULL DEFAULT '' CHECK (sex IN ('', 'female', 'male')),
  birth_year INTEGER NOT NULL DEFAULT 0 CHECK (birth_year = 0 OR birth_year BETWEEN 1900 AND 2199),
  height_m   REAL NOT NULL DEFAULT 0 CHECK (height_m = 0 OR height_m BETWEEN 0.8 AND 2.5),
  height_on  TEXT NOT NULL DEFAULT '' CHECK (height_on = '' OR height_on GLOB '????-??-??'),
  mass_kg    REAL NOT NULL DEFAULT 0 CHECK (mass_kg = 0 OR mass_kg BETWEEN 15 AND 250),
  mass_on    TEXT NOT NULL DEFAULT '' CHECK (mass_on = '' OR mass_on GLOB '????-??-??'),
  level      TEXT NOT NULL DEFAULT '' CHECK (level IN ('', 'beginner', 'club', 'regional', 'national', 'international')),
  habit      TEXT NOT NULL DEFAULT '' CHECK (habit IN ('', 'prone', 'supine')),
  notes      TEXT NOT NULL DEFAULT '',
  created    TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;
CREATE INDEX swimmer_squad ON swimmer (squad_id);

CREATE TABLE visit (
  id       INTEGER PRIMARY KEY,
  pub      TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  squad_id INTEGER NOT NULL REFERENCES squad (id) ON DELETE RESTRICT,
  on_date  TEXT NOT NULL CHECK (on_date GLOB '????-??-??'),
  pool     TEXT NOT NULL DEFAULT '',
  notes    TEXT NOT NULL DEFAULT '',
  created  TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;
CREATE INDEX visit_squad ON visit (squad_id, on_date);

CREATE TABLE clip (
  id            INTEGER PRIMARY KEY,
  pub           TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  visit_id      INTEGER NOT NULL REFERENCES visit (id) ON DELETE RESTRICT,
  swimmer_id    INTEGER NOT NULL REFERENCES swimmer (id) ON DELETE RESTRICT,
  hash          TEXT NOT NULL CHECK (length(hash) = 64 AND hash NOT GLOB '*[^0-9a-f]*'),
  file          TEXT NOT NULL CHECK (substr(file, 1, 64) = hash),
  name          TEXT NOT NULL CHECK (trim(name) <> ''),
  size          INTEGER NOT NULL CHECK (size > 0),
  width_px      INTEGER NOT NULL DEFAULT 0 CHECK (width_px >= 0),
  height_px     INTEGER NOT NULL DEFAULT 0 CHECK (height_px >= 0),
  frames        INTEGER NOT NULL DEFAULT 0 CHECK (frames >= 0),
  duration_s    REAL NOT NULL DEFAULT 0 CHECK (duration_s >= 0),
  mean_fps      REAL NOT NULL DEFAULT 0 CHECK (mean_fps >= 0),
  nominal_fps   REAL NOT NULL DEFAULT 0 CHECK (nominal_fps >= 0),
  tagged_fps    REAL NOT NULL DEFAULT 0 CHECK (tagged_fps >= 0),
  codec         TEXT NOT NULL DEFAULT '',
  engine        TEXT NOT NULL DEFAULT '',
  warnings      TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(warnings)),
  true_fps      REAL NOT NULL DEFAULT 0 CHECK (true_fps = 0 OR true_fps BETWEEN 1 AND 2000),
  fps_confirmed INTEGER NOT NULL DEFAULT 0 CHECK (fps_confirmed IN (0, 1)),
  created       TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z'),
  UNIQUE (visit_id, swimmer_id, hash)
) STRICT;
CREATE INDEX clip_swimmer ON clip (swimmer_id);
CREATE INDEX clip_hash ON clip (hash);

-- Files of the clips folder that no clip may claim: about to be claimed by an
-- import, or about to be deleted. The next start settles what is left here.
CREATE TABLE loose_file (
  file  TEXT NOT NULL PRIMARY KEY,
  since TEXT NOT NULL CHECK (since GLOB '????-??-??T??:??:??.???Z')
) STRICT;

CREATE TABLE run (
  id         INTEGER PRIMARY KEY,
  pub        TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  clip_id    INTEGER NOT NULL REFERENCES clip (id) ON DELETE CASCADE,
  swimmer_id INTEGER NOT NULL REFERENCES swimmer (id) ON DELETE RESTRICT,
  from_frame INTEGER NOT NULL CHECK (from_frame >= 0),
  to_frame   INTEGER NOT NULL CHECK (to_frame > from_frame),
  effort     TEXT NOT NULL DEFAULT '' CHECK (effort IN ('', 'easy', 'race', 'max')),
  start      TEXT NOT NULL DEFAULT '' CHECK (start IN ('', 'push-off', 'still', 'dive')),
  position   TEXT NOT NULL DEFAULT '' CHECK (position IN ('', 'prone', 'supine', 'side')),
  depth_m    REAL NOT NULL DEFAULT 0 CHECK (depth_m BETWEEN 0 AND 20),
  equipment  TEXT NOT NULL DEFAULT '',
  repeat_no  INTEGER NOT NULL DEFAULT 0 CHECK (repeat_no BETWEEN 0 AND 999),
  marked_by  TEXT NOT NULL DEFAULT '',
  scale_kind TEXT NOT NULL DEFAULT '' CHECK (scale_kind IN ('', 'known-length', 'plane', 'height')),
  scale      TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(scale)),
  true_fps   REAL NOT NULL DEFAULT 0 CHECK (true_fps = 0 OR true_fps BETWEEN 1 AND 2000),
  notes      TEXT NOT NULL DEFAULT '',
  mark_count INTEGER NOT NULL DEFAULT 0 CHECK (mark_count >= 0), -- marks that stand: follows from mark_step
  created    TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;
CREATE INDEX run_clip ON run (clip_id);
CREATE INDEX run_swimmer ON run (swimmer_id);

-- The history of a run's marks. Rows are only ever added; what stands follows
-- by replaying them in order of seq.
CREATE TABLE mark_step (
  id     INTEGER PRIMARY KEY,
  run_id INTEGER NOT NULL REFERENCES run (id) ON DELETE CASCADE,
  seq    INTEGER NOT NULL CHECK (seq > 0),
  act    TEXT NOT NULL CHECK (act IN ('place', 'move', 'remove', 'accept', 'import', 'undo', 'redo')),
  who    TEXT NOT NULL DEFAULT '',
  at     TEXT NOT NULL CHECK (at GLOB '????-??-??T??:??:??.???Z'),
  UNIQUE (run_id, seq)
) STRICT;

CREATE TABLE mark_change (
  step_id  INTEGER NOT NULL REFERENCES mark_step (id) ON DELETE CASCADE,
  frame    INTEGER NOT NULL CHECK (frame >= 0),
  landmark TEXT NOT NULL CHECK (landmark IN ('fingertip', 'wrist', 'elbow', 'shoulder', 'head', 'rib', 'hip', 'knee', 'ankle', 'heel', 'toe')),
  removed  INTEGER NOT NULL CHECK (removed IN (0, 1)),
  time_s   REAL NOT NULL,
  x_px     REAL NOT NULL,
  y_px     REAL NOT NULL,
  sd_px    REAL NOT NULL CHECK (sd_px >= 0),
  PRIMARY KEY (step_id, frame, landmark)
) STRICT, WITHOUT ROWID;

-- +goose StatementBegin
CREATE TRIGGER mark_step_kept BEFORE UPDATE ON mark_step
BEGIN SELECT RAISE(ABORT, 'marks are never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER mark_change_kept BEFORE UPDATE ON mark_change
BEGIN SELECT RAISE(ABORT, 'marks are never changed'); END;
-- +goose StatementEnd

CREATE TABLE result (
  id         INTEGER PRIMARY KEY,
  pub        TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  run_id     INTEGER NOT NULL REFERENCES run (id) ON DELETE CASCADE,
  method     TEXT NOT NULL CHECK (method <> ''),
  input_hash TEXT NOT NULL CHECK (input_hash <> ''),
  word       TEXT NOT NULL DEFAULT '',
  sentence   TEXT NOT NULL DEFAULT '',
  body       TEXT NOT NULL CHECK (json_valid(body)),
  created    TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z'),
  UNIQUE (run_id, method, input_hash)
) STRICT;

-- The summary of a result, for lists and trends. NULL = not known.
CREATE TABLE result_value (
  result_id INTEGER NOT NULL REFERENCES result (id) ON DELETE CASCADE,
  place     INTEGER NOT NULL, -- order in the summary
  measure   TEXT NOT NULL CHECK (measure <> ''),
  unit      TEXT NOT NULL,
  value     REAL NOT NULL,
  sd        REAL,
  low       REAL,
  high      REAL,
  n         INTEGER NOT NULL CHECK (n >= 0),
  PRIMARY KEY (result_id, measure)
) STRICT, WITHOUT ROWID;

CREATE TABLE setting (
  name  TEXT NOT NULL PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;
