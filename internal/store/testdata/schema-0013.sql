CREATE TABLE goose_db_version (
		id INTEGER PRIMARY KEY AUTOINCREMENT,
		version_id INTEGER NOT NULL,
		is_applied INTEGER NOT NULL,
		tstamp TIMESTAMP DEFAULT (datetime('now'))
	);
CREATE TABLE squad (
  id      INTEGER PRIMARY KEY,
  pub     TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  name    TEXT NOT NULL CHECK (trim(name) <> ''),
  notes   TEXT NOT NULL DEFAULT '',
  created TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
, film_months INTEGER NOT NULL DEFAULT 0 CHECK (film_months BETWEEN 0 AND 240)) STRICT;
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
, strokes TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(strokes))) STRICT;
CREATE TABLE visit (
  id       INTEGER PRIMARY KEY,
  pub      TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  squad_id INTEGER NOT NULL REFERENCES squad (id) ON DELETE RESTRICT,
  on_date  TEXT NOT NULL CHECK (on_date GLOB '????-??-??'),
  pool     TEXT NOT NULL DEFAULT '',
  notes    TEXT NOT NULL DEFAULT '',
  created  TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;
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
  created       TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z'), film_gone TEXT NOT NULL DEFAULT '' CHECK (film_gone = '' OR film_gone GLOB '????-??-??T??:??:??.???Z'),
  UNIQUE (visit_id, swimmer_id, hash)
) STRICT;
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
, contact TEXT NOT NULL DEFAULT '' CHECK (contact IN ('', 'none', 'surface', 'wall')), aside TEXT NOT NULL DEFAULT '') STRICT;
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
CREATE TABLE remark (
  id      INTEGER PRIMARY KEY,
  pub     TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  run_id  INTEGER NOT NULL REFERENCES run (id) ON DELETE CASCADE,
  frame   INTEGER NOT NULL CHECK (frame >= 0),
  run_seq INTEGER NOT NULL CHECK (run_seq > 0), -- the first marks are those of the history up to here
  who     TEXT NOT NULL CHECK (trim(who) <> ''),
  created TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;
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
CREATE TABLE pair (
  id      INTEGER PRIMARY KEY,
  pub     TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  run_a   INTEGER NOT NULL REFERENCES run (id) ON DELETE CASCADE,
  run_b   INTEGER NOT NULL REFERENCES run (id) ON DELETE CASCADE,
  who     TEXT NOT NULL CHECK (trim(who) <> ''),
  created TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z'),
  CHECK (run_a <> run_b)
) STRICT;
CREATE TABLE pair_step (
  step_id  INTEGER PRIMARY KEY REFERENCES mark_step (id) ON DELETE CASCADE,
  pair_id INTEGER NOT NULL REFERENCES pair (id) ON DELETE CASCADE
) STRICT;
CREATE TABLE plan (
  id         INTEGER PRIMARY KEY,
  pub        TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  swimmer_id INTEGER NOT NULL REFERENCES swimmer (id) ON DELETE CASCADE,
  kind       TEXT NOT NULL CHECK (kind IN ('walls', 'ladder')),
  created    TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;
CREATE TABLE plan_version (
  id      INTEGER PRIMARY KEY,
  plan_id INTEGER NOT NULL REFERENCES plan (id) ON DELETE CASCADE,
  seq     INTEGER NOT NULL CHECK (seq > 0),
  act     TEXT NOT NULL CHECK (act IN ('keep', 'remove', 'undo', 'redo')),
  name    TEXT NOT NULL DEFAULT '',
  body    TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(body)),
  who     TEXT NOT NULL DEFAULT '',
  at      TEXT NOT NULL CHECK (at GLOB '????-??-??T??:??:??.???Z'),
  UNIQUE (plan_id, seq),
  CHECK ((act = 'keep') = (trim(name) <> ''))
) STRICT;
CREATE TABLE reference (
  run_id     INTEGER PRIMARY KEY REFERENCES run (id) ON DELETE CASCADE,
  against_id INTEGER NOT NULL REFERENCES run (id) ON DELETE CASCADE,
  CHECK (run_id <> against_id)
) STRICT;
CREATE TABLE estimate (
  id         INTEGER PRIMARY KEY,
  run_id     INTEGER NOT NULL REFERENCES run (id) ON DELETE CASCADE,
  method     TEXT NOT NULL CHECK (method <> ''),
  input_hash TEXT NOT NULL CHECK (input_hash <> ''),
  body       TEXT NOT NULL CHECK (json_valid(body)),
  created    TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z'),
  UNIQUE (run_id, method, input_hash)
) STRICT;
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
CREATE TABLE growth (
  swimmer_id INTEGER NOT NULL REFERENCES swimmer (id) ON DELETE CASCADE,
  on_date    TEXT NOT NULL CHECK (on_date = '' OR on_date GLOB '????-??-??'),
  height_m   REAL NOT NULL CHECK (height_m = 0 OR height_m BETWEEN 0.8 AND 2.5),
  mass_kg    REAL NOT NULL CHECK (mass_kg = 0 OR mass_kg BETWEEN 15 AND 250),
  created    TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z'),
  PRIMARY KEY (swimmer_id, on_date),
  CHECK (height_m > 0 OR mass_kg > 0)
) STRICT, WITHOUT ROWID;
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
CREATE TABLE lesson (
  id       INTEGER PRIMARY KEY,
  pub      TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  squad_id INTEGER NOT NULL REFERENCES squad (id) ON DELETE CASCADE,
  created  TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;
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
CREATE TABLE result_brief (
  result_id INTEGER PRIMARY KEY REFERENCES result (id) ON DELETE CASCADE,
  body      TEXT NOT NULL CHECK (json_valid(body))
) STRICT;
CREATE TABLE season_line (
  swimmer_id INTEGER PRIMARY KEY REFERENCES swimmer (id) ON DELETE CASCADE,
  method     TEXT NOT NULL CHECK (method <> ''),
  line       TEXT NOT NULL CHECK (json_valid(line)),
  scatter    TEXT NOT NULL CHECK (json_valid(scatter))
) STRICT;
CREATE TABLE goal (
  id         INTEGER PRIMARY KEY,
  pub        TEXT NOT NULL UNIQUE CHECK (length(pub) = 12),
  swimmer_id INTEGER NOT NULL REFERENCES swimmer (id) ON DELETE CASCADE,
  measure    TEXT NOT NULL CHECK (measure <> ''),
  created    TEXT NOT NULL CHECK (created GLOB '????-??-??T??:??:??.???Z')
) STRICT;
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
CREATE TABLE renewal (
  run_id INTEGER PRIMARY KEY REFERENCES run (id) ON DELETE CASCADE,
  seq    INTEGER NOT NULL CHECK (seq > 0),
  done   INTEGER NOT NULL DEFAULT 0 CHECK (done BETWEEN 0 AND seq), -- measured at
  tried  INTEGER NOT NULL DEFAULT 0 CHECK (tried BETWEEN 0 AND seq) -- could not be measured at
) STRICT;
INSERT INTO "goose_db_version" VALUES(1,0,1,'2026-11-25 15:48:31');
INSERT INTO "goose_db_version" VALUES(2,1,1,'2026-11-25 15:48:31');
INSERT INTO "goose_db_version" VALUES(3,2,1,'2026-11-25 15:48:31');
INSERT INTO "goose_db_version" VALUES(4,3,1,'2026-11-25 15:48:31');
INSERT INTO "goose_db_version" VALUES(5,4,1,'2026-11-25 15:48:31');
INSERT INTO "goose_db_version" VALUES(6,6,1,'2026-11-25 15:48:31');
INSERT INTO "goose_db_version" VALUES(7,7,1,'2026-11-25 15:48:31');
INSERT INTO "goose_db_version" VALUES(8,8,1,'2026-11-25 15:48:31');
INSERT INTO "goose_db_version" VALUES(9,9,1,'2026-11-25 15:48:31');
INSERT INTO "goose_db_version" VALUES(10,10,1,'2026-11-25 15:48:31');
INSERT INTO "goose_db_version" VALUES(11,11,1,'2026-11-25 15:48:31');
INSERT INTO "goose_db_version" VALUES(12,12,1,'2026-11-25 15:48:31');
INSERT INTO "goose_db_version" VALUES(13,13,1,'2026-11-25 15:48:31');
INSERT INTO "squad" VALUES(1,'f10824p2s6n2','Lake Lane Juniors','Tuesdays','2026-03-09T12:00:01.000Z',0);
INSERT INTO "swimmer" VALUES(1,'5q74dk139b0f',1,'Mira Holm','Otter','female',2011,1.63,'2026-03-01',52.5,'2026-03-02','regional','prone','back end','2026-03-09T12:00:02.000Z','[]');
INSERT INTO "visit" VALUES(1,'08m9pm8wnyk2',1,'2026-03-09','Lake Hall','lane 4','2026-03-09T12:00:05.000Z');
INSERT INTO "clip" VALUES(1,'m9ckwsej5hsg',1,1,'015e192ea63542043db79ae43c14694d7196fe0ce4968174cec10fbf2cff7416','015e192ea63542043db79ae43c14694d7196fe0ce4968174cec10fbf2cff7416.mp4','mira 1.MP4',12,1280,720,120,2.0,60.0,60.0,240.0,'h264','embedded','[{"code":"slow_motion","text":"filmed four times as fast"}]',0.0,0,'2026-03-09T12:00:07.000Z','');
INSERT INTO "run" VALUES(1,'h87knvcwbseh',1,1,10,99,'race','push-off','prone',0.8,'snorkel',2,'A. Coach','known-length','{"length_m":5,"frame":12,"points_px":[[10.5,20],[900,25]]}',240.0,'good one',2,'2026-03-09T12:00:08.000Z','','');
INSERT INTO "mark_step" VALUES(1,1,1,'import','Ann','2026-03-09T12:00:09.000Z');
INSERT INTO "mark_step" VALUES(2,1,2,'move','Ann','2026-03-09T12:00:10.000Z');
INSERT INTO "mark_step" VALUES(3,1,3,'undo','Ann','2026-03-09T12:00:11.000Z');
INSERT INTO "mark_change" VALUES(1,12,'hip',0,0.2,100.0,50.0,1.5);
INSERT INTO "mark_change" VALUES(1,12,'toe',0,0.2,300.0,60.0,1.5);
INSERT INTO "mark_change" VALUES(2,12,'toe',0,0.2,301.0,61.0,1.5);
INSERT INTO "result" VALUES(1,'tkgd2dx1cdkm',1,'kick 1','abc','sweep','The feet stop short.','{"x":1}','2026-03-09T12:00:23.000Z');
INSERT INTO "result_value" VALUES(1,0,'speed','m/s',1.25,0.05,1.2,1.3,5);
INSERT INTO "remark" VALUES(1,'vdgyqrvjk2je',1,12,3,'Ann','2026-03-09T12:00:12.000Z');
INSERT INTO "remark_step" VALUES(1,1,1,'place','toe',302.0,60.0,'2026-03-09T12:00:13.000Z');
INSERT INTO "remark_act" VALUES(1,1,'finish','2026-03-09T12:00:14.000Z');
INSERT INTO "plan" VALUES(1,'pjcnfa7pwyrz',1,'walls','2026-03-09T12:00:15.000Z');
INSERT INTO "plan_version" VALUES(1,1,1,'keep','100 free','{"x":1}','','2026-03-09T12:00:15.000Z');
INSERT INTO "estimate" VALUES(1,1,'worth 1','abc','{"x":1}','2026-03-09T12:00:22.000Z');
INSERT INTO "consent" VALUES(1,'3hxb01d1e23s',1,'Ada Holm','parent or guardian','2026-03-01','2027-02-28',1,1,0,'','on paper','2026-03-09T12:00:17.000Z');
INSERT INTO "growth" VALUES(1,'2025-03-01',1.55,0.0,'2026-03-09T12:00:18.000Z');
INSERT INTO "growth" VALUES(1,'2026-03-01',1.63,0.0,'2026-03-09T12:00:03.000Z');
INSERT INTO "growth" VALUES(1,'2026-03-02',0.0,52.5,'2026-03-09T12:00:04.000Z');
INSERT INTO "given" VALUES(1,'z3s7cn8bxmkz',1,1,'five-to-the-finish','{"id":"five-to-the-finish","title":"Five to the finish","serves":"sweep","phase":"its finish","place":"under water","step":2,"min_age":11,"why":"The finish is where the foot is fast.","source":"Common practice, no source.","how":["Push off.","Five kicks, finish each."],"doses":[{"repeats":4,"kicks":5,"rest":"full recovery at the surface between","per_week":2}],"cue":"Finish","common_error":"Feet stop under the body.","equipment":"fins","caution":"Not with a sore knee.","works_when":"Toes end further ahead.","measures":["sweep"]}','rule','Serves sweep.','2026-03-09T12:00:19.000Z');
INSERT INTO "given_version" VALUES(1,1,1,'{"repeats":4,"kicks":5,"rest":"full recovery at the surface between","per_week":2}','2026-03-10',5,'2026-04-14','lane 2','',0,'Ann','2026-03-09T12:00:19.000Z');
INSERT INTO "drill" VALUES(1,'0nxg4gvzj1wv','','2026-03-09T12:00:20.000Z');
INSERT INTO "drill_version" VALUES(1,1,1,'{"id":"own-0nxg4gvzj1wv","title":"Five to the finish","serves":"sweep","phase":"its finish","place":"under water","step":2,"min_age":11,"why":"The finish is where the foot is fast.","source":"Common practice, no source.","how":["Push off.","Five kicks, finish each."],"doses":[{"repeats":4,"kicks":5,"rest":"full recovery at the surface between","per_week":2}],"cue":"Finish","common_error":"Feet stop under the body.","equipment":"fins","caution":"Not with a sore knee.","works_when":"Toes end further ahead.","measures":["sweep"]}',0,'','2026-03-09T12:00:20.000Z');
INSERT INTO "lesson" VALUES(1,'ts5h3q1w9c5m',1,'2026-03-09T12:00:16.000Z');
INSERT INTO "lesson_version" VALUES(1,1,1,'keep','{"title":"Late and fast","template":"build","audience":"squad","paper":"A4","names":"names","soften":true,"blocks":[{"id":"b1","kind":"heading","text":"Look at the foot"},{"id":"b2","kind":"stills","runs":[{"run":"h87knvcwbseh","kick":2,"words":"in May","captions":{"set":"high heels"}}],"part":"downkick"}]}','2026-03-09T12:00:16.000Z');
INSERT INTO "result_brief" VALUES(1,'{"x":1}');
INSERT INTO "goal" VALUES(1,'v62gdnedbb9t',1,'speed','2026-03-09T12:00:21.000Z');
INSERT INTO "goal_version" VALUES(1,1,1,'at least',1.5,'2026-06-01','for the spring meet',0,'Ann','2026-03-09T12:00:21.000Z');
INSERT INTO "renewal" VALUES(1,3,0,0);
CREATE INDEX swimmer_squad ON swimmer (squad_id);
CREATE INDEX visit_squad ON visit (squad_id, on_date);
CREATE INDEX clip_swimmer ON clip (swimmer_id);
CREATE INDEX clip_hash ON clip (hash);
CREATE INDEX run_clip ON run (clip_id);
CREATE INDEX run_swimmer ON run (swimmer_id);
CREATE TRIGGER mark_step_kept BEFORE UPDATE ON mark_step
BEGIN SELECT RAISE(ABORT, 'marks are never changed'); END;
CREATE TRIGGER mark_change_kept BEFORE UPDATE ON mark_change
BEGIN SELECT RAISE(ABORT, 'marks are never changed'); END;
CREATE INDEX job_next ON job (state, id);
CREATE INDEX job_subject ON job (subject, id);
CREATE INDEX remark_run ON remark (run_id);
CREATE INDEX remark_who ON remark (who);
CREATE INDEX remark_act_of ON remark_act (remark_id, id);
CREATE INDEX pair_a ON pair (run_a);
CREATE INDEX pair_b ON pair (run_b);
CREATE INDEX pair_step_of ON pair_step (pair_id);
CREATE TRIGGER remark_kept BEFORE UPDATE ON remark
BEGIN SELECT RAISE(ABORT, 'marks are never changed'); END;
CREATE TRIGGER remark_step_kept BEFORE UPDATE ON remark_step
BEGIN SELECT RAISE(ABORT, 'marks are never changed'); END;
CREATE TRIGGER remark_act_kept BEFORE UPDATE ON remark_act
BEGIN SELECT RAISE(ABORT, 'marks are never changed'); END;
CREATE TRIGGER pair_step_kept BEFORE UPDATE ON pair_step
BEGIN SELECT RAISE(ABORT, 'marks are never changed'); END;
CREATE INDEX plan_swimmer ON plan (swimmer_id, kind);
CREATE TRIGGER plan_version_kept BEFORE UPDATE ON plan_version
BEGIN SELECT RAISE(ABORT, 'versions of plans are never changed'); END;
CREATE INDEX reference_against ON reference (against_id);
CREATE INDEX consent_swimmer ON consent (swimmer_id, on_date);
CREATE TRIGGER consent_kept BEFORE UPDATE ON consent
WHEN OLD.withdrawn <> '' OR NEW.withdrawn = '' OR OLD.id <> NEW.id OR OLD.pub <> NEW.pub OR OLD.swimmer_id <> NEW.swimmer_id
  OR OLD.given_by <> NEW.given_by OR OLD.given_as <> NEW.given_as OR OLD.on_date <> NEW.on_date OR OLD.until_date <> NEW.until_date
  OR OLD.filming <> NEW.filming OR OLD.squad <> NEW.squad OR OLD.outside <> NEW.outside OR OLD.notes <> NEW.notes OR OLD.created <> NEW.created
BEGIN SELECT RAISE(ABORT, 'consents are never changed, only withdrawn'); END;
CREATE INDEX given_swimmer ON given (swimmer_id);
CREATE INDEX given_run ON given (run_id);
CREATE TRIGGER given_version_kept BEFORE UPDATE ON given_version
BEGIN SELECT RAISE(ABORT, 'versions of practice given are never changed'); END;
CREATE TRIGGER drill_version_kept BEFORE UPDATE ON drill_version
BEGIN SELECT RAISE(ABORT, 'versions of drills are never changed'); END;
CREATE INDEX lesson_squad ON lesson (squad_id);
CREATE TRIGGER lesson_version_kept BEFORE UPDATE ON lesson_version
BEGIN SELECT RAISE(ABORT, 'versions of lessons are never changed'); END;
CREATE TRIGGER season_result AFTER INSERT ON result
BEGIN DELETE FROM season_line WHERE swimmer_id = (SELECT swimmer_id FROM run WHERE id = new.run_id); END;
CREATE TRIGGER season_result_gone AFTER DELETE ON result
BEGIN DELETE FROM season_line WHERE swimmer_id = (SELECT swimmer_id FROM run WHERE id = old.run_id); END;
CREATE TRIGGER season_run AFTER INSERT ON run
BEGIN DELETE FROM season_line WHERE swimmer_id = new.swimmer_id; END;
CREATE TRIGGER season_run_changed AFTER UPDATE OF clip_id, swimmer_id, effort, start, position, equipment, marked_by ON run
BEGIN DELETE FROM season_line WHERE swimmer_id IN (old.swimmer_id, new.swimmer_id); END;
CREATE TRIGGER season_run_gone AFTER DELETE ON run
BEGIN DELETE FROM season_line WHERE swimmer_id = old.swimmer_id; END;
CREATE TRIGGER season_clip AFTER INSERT ON clip
BEGIN DELETE FROM season_line WHERE swimmer_id = new.swimmer_id; END;
CREATE TRIGGER season_clip_changed AFTER UPDATE OF visit_id, swimmer_id ON clip
BEGIN DELETE FROM season_line WHERE swimmer_id IN (old.swimmer_id, new.swimmer_id)
  OR swimmer_id IN (SELECT swimmer_id FROM run WHERE clip_id = new.id); END;
CREATE TRIGGER season_clip_gone AFTER DELETE ON clip
BEGIN DELETE FROM season_line WHERE swimmer_id = old.swimmer_id; END;
CREATE TRIGGER season_visit_changed AFTER UPDATE OF on_date ON visit
BEGIN DELETE FROM season_line WHERE swimmer_id IN (SELECT swimmer_id FROM clip WHERE visit_id = new.id)
  OR swimmer_id IN (SELECT r.swimmer_id FROM run r JOIN clip c ON c.id = r.clip_id WHERE c.visit_id = new.id); END;
CREATE INDEX goal_swimmer ON goal (swimmer_id);
CREATE TRIGGER goal_version_kept BEFORE UPDATE ON goal_version
BEGIN SELECT RAISE(ABORT, 'versions of goals are never changed'); END;
CREATE INDEX renewal_open ON renewal (run_id) WHERE done < seq;
CREATE TRIGGER renewal_marks AFTER INSERT ON mark_step
BEGIN
  INSERT INTO renewal (run_id, seq) VALUES (new.run_id, 1) ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_run AFTER UPDATE ON run
WHEN (old.clip_id, old.swimmer_id, old.from_frame, old.to_frame, old.effort, old.start, old.position, old.depth_m, old.equipment, old.marked_by, old.scale_kind, old.scale, old.true_fps, old.contact)
  IS NOT (new.clip_id, new.swimmer_id, new.from_frame, new.to_frame, new.effort, new.start, new.position, new.depth_m, new.equipment, new.marked_by, new.scale_kind, new.scale, new.true_fps, new.contact)
BEGIN
  INSERT INTO renewal (run_id, seq) VALUES (new.id, 1) ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_clip AFTER UPDATE ON clip
WHEN (old.visit_id, old.true_fps, old.fps_confirmed) IS NOT (new.visit_id, new.true_fps, new.fps_confirmed)
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT id, 1 FROM run WHERE clip_id = new.id ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_visit AFTER UPDATE ON visit WHEN old.on_date IS NOT new.on_date
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT r.id, 1 FROM run r JOIN clip c ON c.id = r.clip_id WHERE c.visit_id = new.id
  ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_swimmer AFTER UPDATE ON swimmer
WHEN (old.sex, old.birth_year, old.level) IS NOT (new.sex, new.birth_year, new.level)
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT id, 1 FROM run WHERE swimmer_id = new.id ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_reference AFTER INSERT ON reference
BEGIN
  INSERT INTO renewal (run_id, seq) VALUES (new.run_id, 1) ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_reference_changed AFTER UPDATE ON reference WHEN old.against_id IS NOT new.against_id
BEGIN
  INSERT INTO renewal (run_id, seq) VALUES (new.run_id, 1) ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_reference_gone AFTER DELETE ON reference
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT id, 1 FROM run WHERE id = old.run_id ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_reference_measured AFTER INSERT ON result
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT run_id, 1 FROM reference WHERE against_id = new.run_id ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_pair AFTER INSERT ON pair_step
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT r.id, 1 FROM pair p JOIN run r ON r.id IN (p.run_a, p.run_b) WHERE p.id = new.pair_id
  ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_guess AFTER UPDATE ON job WHEN new.kind = 'guess' AND new.state = 'done' AND old.state <> 'done'
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT id, 1 FROM run WHERE pub = new.subject ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_guess_first_switched AFTER INSERT ON setting WHEN new.name = 'guess'
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT id, 1 FROM run WHERE pub IN (SELECT subject FROM job WHERE kind = 'guess' AND state = 'done')
  ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_guess_switched AFTER UPDATE ON setting WHEN new.name = 'guess' AND old.value <> new.value
BEGIN
  INSERT INTO renewal (run_id, seq) SELECT id, 1 FROM run WHERE pub IN (SELECT subject FROM job WHERE kind = 'guess' AND state = 'done')
  ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_steadied AFTER INSERT ON estimate WHEN new.method LIKE 'steady/%'
BEGIN
  INSERT INTO renewal (run_id, seq) VALUES (new.run_id, 1) ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER renewal_steadied_again AFTER UPDATE ON estimate WHEN new.method LIKE 'steady/%' AND old.body <> new.body
BEGIN
  INSERT INTO renewal (run_id, seq) VALUES (new.run_id, 1) ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1;
END;
CREATE TRIGGER season_run_aside AFTER UPDATE OF aside ON run WHEN old.aside IS NOT new.aside
BEGIN DELETE FROM season_line WHERE swimmer_id = new.swimmer_id; END;
