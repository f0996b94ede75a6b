// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/schema.h"

#include <array>
#include <string>

#include "notebook/messages.h"

namespace trueblank::notebook {

namespace {

// "trbk" in ASCII: tells file(1), and us, whose file it is.
constexpr std::int64_t application_id = 0x7472626B;

// Version 1. What has been given out is never changed: the next version is a step of its own.
constexpr const char* make_tables = R"sql(
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
)sql";

// Version 2: the kind of body and the undrilled wood, which the ratios go by; the points of the
// photograph that an angle was measured in; builds found by when they were added and their title;
// the hash of sheet, results and as-built text, which builds of version 1 are without.
constexpr const char* add_kind_and_photograph = R"sql(
ALTER TABLE build ADD COLUMN kind TEXT NOT NULL DEFAULT '';
ALTER TABLE build ADD COLUMN undrilled_wood_g REAL;
ALTER TABLE build ADD COLUMN texts_hash INTEGER;
CREATE INDEX build_by_added ON build (added, title);
ALTER TABLE tank ADD COLUMN photograph_nose_x REAL;
ALTER TABLE tank ADD COLUMN photograph_nose_y REAL;
ALTER TABLE tank ADD COLUMN photograph_tail_x REAL;
ALTER TABLE tank ADD COLUMN photograph_tail_y REAL;
ALTER TABLE tank ADD COLUMN photograph_water_1_x REAL;
ALTER TABLE tank ADD COLUMN photograph_water_1_y REAL;
ALTER TABLE tank ADD COLUMN photograph_water_2_x REAL;
ALTER TABLE tank ADD COLUMN photograph_water_2_y REAL;
)sql";

// The step at i leads from version i to i + 1.
constexpr std::array steps = {make_tables, add_kind_and_photograph};

// Its three questions are of one moment only within a transaction.
std::int64_t schema_within(Database& database) {
  const std::int64_t owner = database.number("PRAGMA application_id");
  const std::int64_t version = database.number("PRAGMA user_version");
  if (owner == 0 && version == 0 && database.number("SELECT count(*) FROM sqlite_schema") == 0) {
    return 0;
  }
  if (owner != application_id || version < 1) throw not_a_notebook(database.path());
  if (version > newest_schema()) throw book_newer(database.path(), version, newest_schema());
  return version;
}

}  // namespace

std::int64_t newest_schema() { return static_cast<std::int64_t>(steps.size()); }

std::int64_t schema_of(Database& database) {
  const Transaction transaction(database, Transaction::Kind::look);
  return schema_within(database);
}

void bring_up_to_date(Database& database) {
  Transaction transaction(database, Transaction::Kind::change);
  // Read anew: another program may have done it while this one waited.
  const std::int64_t version = schema_within(database);
  for (std::int64_t step = version; step < newest_schema(); ++step) {
    database.run(steps.at(static_cast<std::size_t>(step)));
  }
  if (version < newest_schema()) {
    database.run("PRAGMA application_id = " + std::to_string(application_id));
    database.run("PRAGMA user_version = " + std::to_string(newest_schema()));
  }
  transaction.commit();
}

}  // namespace trueblank::notebook
