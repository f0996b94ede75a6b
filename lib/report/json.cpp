// SPDX-License-Identifier: GPL-3.0-or-later
// The JSON of check, weigh and mirror; float's is in float_json.cpp.
#include <string>
#include <utility>

#include "report/check_report.h"
#include "report/json_object.h"
#include "report/mirror_report.h"
#include "report/version.h"
#include "report/weigh_report.h"

namespace trueblank::report {

namespace {

JsonObject plane(const geometry::Plane& p) {
  JsonObject out;
  out.vector("normal", p.normal);
  out.number("offset_mm", p.offset_mm);
  return out;
}

std::string plane_from_name(symmetry::PlaneFrom from) {
  switch (from) {
    case symmetry::PlaneFrom::shape:
      return "shape";
    case symmetry::PlaneFrom::back:
      return "back";
    case symmetry::PlaneFrom::split_line:
      return "split-line";
    case symmetry::PlaneFrom::given:
      return "given";
    case symmetry::PlaneFrom::best_sand:
      return "best-sand";
  }
  return "shape";
}

std::vector<JsonObject> candidates(const std::vector<symmetry::Candidate>& all) {
  std::vector<JsonObject> out;
  for (const symmetry::Candidate& one : all) {
    out.push_back(plane(one.plane));
    out.back().number("rms_mm", one.rms_mm);
  }
  return out;
}

std::optional<JsonObject> deviation(const std::optional<symmetry::DeviationStatistics>& figures) {
  if (!figures) return {};
  JsonObject out;
  out.number("rms", figures->rms);
  out.number("mean_abs", figures->mean_abs);
  out.number("p95", figures->p95);
  out.number("max_proud", figures->max_proud);
  out.number("max_shy", figures->max_shy);
  return out;
}

std::vector<JsonObject> stations(const std::vector<geometry::Section>& sections) {
  std::vector<JsonObject> out;
  for (const geometry::Section& section : sections) {
    JsonObject entry;
    entry.number("x_mm", section.x_mm);
    entry.number("left_half_width_mm", section.left_half_width_mm);
    entry.number("right_half_width_mm", section.right_half_width_mm);
    entry.number("height_mm", section.height_mm());
    entry.number("left_area_mm2", section.left_area_mm2);
    entry.number("right_area_mm2", section.right_area_mm2);
    out.push_back(std::move(entry));
  }
  return out;
}

}  // namespace

std::string_view version() { return TRUEBLANK_VERSION; }

std::string to_json(const CheckResult& result) {
  JsonObject out = opening("check", result.input, result.warnings);
  out.flag("closed", result.as_read.closed);
  out.flag("oriented", result.as_read.oriented);
  out.count("pieces", static_cast<long long>(result.as_read.pieces));
  out.count("open_loops", static_cast<long long>(result.as_read.open_loops));
  out.count("self_intersections", static_cast<long long>(result.as_read.self_intersections));
  std::vector<JsonObject> mended;
  for (const intake::Mended& one : result.mended) {
    JsonObject& entry = mended.emplace_back();
    entry.text("what", one.what);
    entry.count("count", static_cast<long long>(one.count));
  }
  out.list("mended", std::move(mended));
  JsonObject size;
  size.number("length", result.size_mm[0]);
  size.number("width", result.size_mm[1]);
  size.number("height", result.size_mm[2]);
  out.object("size_mm", std::move(size));
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
  return out.written();
}

std::string to_json(const MirrorResult& result) {
  JsonObject out = opening("mirror", result.input, result.warnings);
  out.object("frame", frame_json(result.frame, result.guessed));
  out.object("plane", result.plane ? std::optional(plane(*result.plane)) : std::nullopt);
  out.text("plane_from", plane_from_name(result.plane_from));
  out.flag("well_determined", result.well_determined);
  out.list("candidates", candidates(result.candidates));
  out.object("deviation_mm", deviation(result.deviation_mm));
  const std::optional<symmetry::SideVolumes>& volumes = result.volumes;
  out.number("left_volume_mm3", volumes ? std::optional(volumes->left_mm3) : std::nullopt);
  out.number("right_volume_mm3", volumes ? std::optional(volumes->right_mm3) : std::nullopt);
  out.list("stations", stations(result.stations));
  return out.written();
}

}  // namespace trueblank::report
