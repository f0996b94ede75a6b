// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/symmetry_json.h"

namespace trueblank::report {

JsonObject statistics_json(const symmetry::DeviationStatistics& figures) {
  JsonObject out;
  out.number("rms", figures.rms);
  out.number("mean_abs", figures.mean_abs);
  out.number("p95", figures.p95);
  out.number("max_proud", figures.max_proud);
  out.number("max_shy", figures.max_shy);
  return out;
}

JsonObject patch_json(const symmetry::Patch& patch) {
  JsonObject out;
  out.text("name", patch.name);
  out.text("side", symmetry::side_name(patch.side));
  out.text("place", symmetry::place_name(patch.place));
  out.number("from_mm", patch.from_station_mm);
  out.number("to_mm", patch.to_station_mm);
  out.number("from_height_mm", patch.from_height_mm);
  out.number("to_height_mm", patch.to_height_mm);
  out.number("area_mm2", patch.area_mm2);
  out.number("greatest_mm", patch.greatest_mm);
  out.vector("at_mm", patch.greatest_at_mm);
  out.number("volume_mm3", patch.volume_mm3);
  return out;
}

}  // namespace trueblank::report
