// SPDX-License-Identifier: GPL-3.0-or-later
// The JSON of check and weigh; float_json.cpp and mirror_json.cpp have the others'.
#include <string>
#include <utility>

#include "report/check_report.h"
#include "report/json_object.h"
#include "report/print_text.h"
#include "report/record_text.h"
#include "report/version.h"
#include "report/weigh_report.h"

namespace trueblank::report {

std::string_view version() { return TRUEBLANK_VERSION; }

namespace {

// What check and weigh tell alike.
template <typename Result>
void add_all(JsonObject& out, const Result& result) {
  add_making(out, result.record);
  add_body(out, result.input, result.record, usual_water_g_cm3);
  if (result.frame) out.object("frame", frame_json(*result.frame, result.guessed));
}

}  // namespace

std::string to_json(const CheckResult& result) {
  JsonObject out = opening("check", result.input, result.warnings);
  out.flag("closed", result.as_read.closed);
  out.flag("oriented", result.as_read.oriented);
  out.count("pieces", static_cast<long long>(result.as_read.pieces));
  out.count("open_loops", static_cast<long long>(result.as_read.open_loops));
  out.count("self_intersections", static_cast<long long>(result.as_read.self_intersections));
  JsonObject size;
  size.number("length", result.size_mm[0]);
  size.number("width", result.size_mm[1]);
  size.number("height", result.size_mm[2]);
  out.object("size_mm", std::move(size));
  out.number("volume_mm3", result.volume_mm3);
  add_all(out, result);
  if (result.to_be_printed) {
    out.object("print", result.print ? std::optional(print_json(*result.print)) : std::nullopt);
  }
  return out.written();
}

std::string to_json(const WeighResult& result) {
  JsonObject out = opening("weigh", result.input, result.warnings);
  out.number("volume_mm3", result.whole.volume_mm3);
  out.number("area_mm2", result.whole.area_mm2);
  out.vector("centroid_mm", result.whole.centroid_mm);
  out.matrix("inertia_mm5", result.whole.inertia_mm5);
  out.vector("principal_mm5", result.principal.values);
  out.matrix("principal_axes", result.principal.axes.transpose());
  out.number("cavity_mm3", result.cavity_mm3);
  if (result.blank) {
    out.number("density_g_cm3", result.blank->density_g_cm3);
    out.number("mass_g", result.blank->mass_g);
    out.matrix("inertia_g_mm2", result.blank->inertia_g_mm2);
  }
  add_all(out, result);
  return out.written();
}

}  // namespace trueblank::report
