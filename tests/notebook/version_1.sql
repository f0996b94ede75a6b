-- SPDX-License-Identifier: GPL-3.0-or-later
-- A notebook as version 1 of its tables had it, with two builds, a tombstone and a tank record.
-- Never changed: it stands for the files that makers have.
BEGIN;
CREATE TABLE content (
  id INTEGER PRIMARY KEY,
  hash INTEGER NOT NULL,
  bytes BLOB NOT NULL
) STRICT;
CREATE INDEX content_by_hash ON content (hash);

CREATE TABLE build (
  id INTEGER PRIMARY KEY,
  added TEXT NOT NULL,
  title TEXT NOT NULL,
  notes TEXT NOT NULL,
  program_version TEXT NOT NULL,
  sheet_name TEXT NOT NULL,
  sheet BLOB NOT NULL,
  results_json BLOB NOT NULL,
  as_built BLOB,
  as_built_total_g REAL,
  wood TEXT NOT NULL,
  wood_density_g_cm3 REAL,
  length_mm REAL,
  width_mm REAL,
  height_mm REAL,
  volume_mm3 REAL,
  water_salinity REAL,
  water_temperature_c REAL,
  water_density_g_cm3 REAL,
  water_density_given REAL,
  state TEXT,
  mass_g REAL,
  wood_g REAL,
  finish_g REAL,
  wire_g REAL,
  ballast_g REAL,
  pocket_g REAL,
  hooks_g REAL,
  outside_g REAL,
  displacement_full_g REAL,
  reserve_g REAL,
  tail_down_deg REAL,
  list_deg REAL,
  least_stiffness_g_mm_per_deg REAL,
  roll_stiffness_g_mm_per_deg REAL
) STRICT;

CREATE TABLE file (
  build INTEGER NOT NULL REFERENCES build (id) ON DELETE CASCADE,
  position INTEGER NOT NULL,
  name TEXT NOT NULL,
  content INTEGER NOT NULL REFERENCES content (id),
  PRIMARY KEY (build, position),
  UNIQUE (build, name)
) STRICT, WITHOUT ROWID;
CREATE INDEX file_by_content ON file (content);

CREATE TABLE tank (
  build INTEGER NOT NULL REFERENCES build (id) ON DELETE CASCADE,
  number INTEGER NOT NULL,
  date TEXT NOT NULL,
  state TEXT,
  tail_down_deg REAL,
  tail_down_sd_deg REAL,
  list_deg REAL,
  list_sd_deg REAL,
  sank_with_g REAL,
  sank_sd_g REAL,
  water_salinity REAL,
  water_temperature_c REAL,
  water_density_g_cm3 REAL,
  water_density_given REAL,
  mass_before_g REAL,
  mass_after_g REAL,
  notes TEXT NOT NULL,
  PRIMARY KEY (build, number)
) STRICT, WITHOUT ROWID;

CREATE TABLE tombstone (
  id INTEGER PRIMARY KEY,
  added TEXT NOT NULL,
  title TEXT NOT NULL,
  forgotten TEXT NOT NULL
) STRICT;

INSERT INTO content (id, hash, bytes) VALUES (1, 8470814608338075187, X'736f6c6964206e6565646c65');
INSERT INTO build (id, added, title, notes, program_version, sheet_name, sheet, results_json,
  as_built, as_built_total_g, wood, wood_density_g_cm3, length_mm, water_salinity,
  water_temperature_c, water_density_g_cm3, water_density_given, state, mass_g)
VALUES (1, '2026-01-05T19:00:00Z', 'Needle 165', 'first of the winter; Röyttä', '0.1.0',
  'needle.toml', X'5b626f64795d0a6d657368203d20226e6565646c652e73746c220a',
  X'7b226d6173735f67223a2035382e32357d', X'746f74616c203d2035382e350a', 58.5, 'western redcedar', 0.37, 165,
  35, 15, 1.026, 0, 'floats', 58.25);
INSERT INTO build (id, added, title, notes, program_version, sheet_name, sheet, results_json, wood)
VALUES (3, '2026-01-09T19:00:00Z', 'second', '', '0.1.0', 'needle.toml', X'', X'', '');
INSERT INTO file (build, position, name, content) VALUES (1, 1, 'needle.stl', 1);
INSERT INTO file (build, position, name, content) VALUES (3, 1, 'needle.stl', 1);
INSERT INTO tank (build, number, date, state, tail_down_deg, tail_down_sd_deg, water_salinity,
  water_temperature_c, water_density_g_cm3, water_density_given, notes)
VALUES (1, 1, '2026-01-06', 'floats', 11.5, 2, 0, 20, 0.9982, 0, 'rode high');
INSERT INTO tombstone (id, added, title, forgotten)
VALUES (2, '2026-01-07T19:00:00Z', 'cracked', '2026-01-08');
PRAGMA application_id = 1953653355;
PRAGMA user_version = 1;
COMMIT;
