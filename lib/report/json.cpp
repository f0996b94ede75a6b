// SPDX-License-Identifier: GPL-3.0-or-later
// All JSON of the project. Built by assignment: nested initialiser lists take the compiler most of
// a minute.
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>

#include "report/check_report.h"
#include "report/float_report.h"
#include "report/mirror_report.h"
#include "report/version.h"
#include "report/weigh_report.h"

namespace trueblank::report {

namespace {

using Json = nlohmann::ordered_json;

// NaN and infinity have no JSON; adding zero turns -0 into 0.
Json number(double value) { return std::isfinite(value) ? Json(value + 0.0) : Json(nullptr); }

Json number(const std::optional<double>& value) { return value ? number(*value) : Json(nullptr); }

Json vector(const geometry::Vec3& v) {
  Json out = Json::array();
  for (int i = 0; i < 3; ++i) out.push_back(number(v(i)));
  return out;
}

Json matrix(const geometry::Mat3& m) {
  Json out = Json::array();
  for (int i = 0; i < 3; ++i) out.push_back(vector(m.row(i).transpose()));
  return out;
}

Json plane(const geometry::Plane& p) {
  Json out = Json::object();
  out["normal"] = vector(p.normal);
  out["offset_mm"] = number(p.offset_mm);
  return out;
}

Json frame(const geometry::Frame& f, bool guessed) {
  Json out = Json::object();
  out["origin_mm"] = vector(f.origin_mm);
  out["x"] = vector(f.x);
  out["y"] = vector(f.y);
  out["z"] = vector(f.z);
  out["guessed"] = guessed;
  return out;
}

// What every result begins with.
Json opening(const std::string& verb, const body::InputFacts& input,
             const std::vector<std::string>& warnings) {
  Json out = Json::object();
  out["schema"] = "trueblank." + verb + "/1";
  out["version"] = std::string(version());
  Json& facts = out["input"];
  facts["file"] = input.file;
  facts["format"] = input.format;
  facts["facets"] = input.facets;
  facts["vertices"] = input.vertices;
  facts["scale_mm_per_unit"] = number(input.scale_mm_per_unit);
  facts["scale_from"] = std::string(body::scale_from_name(input.scale_from));
  out["warnings"] = warnings;
  return out;
}

// Names of files need not be UTF-8; what is not is replaced, never thrown about.
std::string written(const Json& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
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
  }
  return "shape";
}

Json candidates(const std::vector<symmetry::Candidate>& all) {
  Json out = Json::array();
  for (const symmetry::Candidate& one : all) {
    Json entry = plane(one.plane);
    entry["rms_mm"] = number(one.rms_mm);
    out.push_back(std::move(entry));
  }
  return out;
}

Json deviation(const std::optional<symmetry::DeviationStatistics>& statistics) {
  if (!statistics) return nullptr;
  Json out = Json::object();
  out["rms"] = number(statistics->rms);
  out["mean_abs"] = number(statistics->mean_abs);
  out["p95"] = number(statistics->p95);
  out["max_proud"] = number(statistics->max_proud);
  out["max_shy"] = number(statistics->max_shy);
  return out;
}

Json stations(const std::vector<geometry::Section>& sections) {
  Json out = Json::array();
  for (const geometry::Section& section : sections) {
    Json entry = Json::object();
    entry["x_mm"] = number(section.x_mm);
    entry["left_half_width_mm"] = number(section.left_half_width_mm);
    entry["right_half_width_mm"] = number(section.right_half_width_mm);
    entry["height_mm"] = number(section.height_mm());
    entry["left_area_mm2"] = number(section.left_area_mm2);
    entry["right_area_mm2"] = number(section.right_area_mm2);
    out.push_back(std::move(entry));
  }
  return out;
}

std::string state_name(water::State state) {
  switch (state) {
    case water::State::floats:
      return "floats";
    case water::State::suspends:
      return "suspends";
    case water::State::sinks:
      return "sinks";
  }
  return "floats";
}

Json mass_parts(const std::vector<rig::MassPart>& parts) {
  Json out = Json::array();
  for (const rig::MassPart& part : parts) {
    Json entry = Json::object();
    entry["name"] = part.name;
    entry["mass_g"] = number(part.mass_g);
    entry["centre_mm"] = vector(part.centre_mm);
    out.push_back(std::move(entry));
  }
  return out;
}

Json waterline(const std::optional<double>& offset_mm) {
  if (!offset_mm) return nullptr;
  Json out = Json::object();
  out["offset_mm"] = number(*offset_mm);
  return out;
}

Json pose(const water::RestPose& p) {
  Json out = Json::object();
  out["up"] = vector(p.up);
  out["tail_down_deg"] = number(p.tail_down_deg);
  out["list_deg"] = number(p.list_deg);
  out["waterline"] = waterline(p.waterline_offset_mm);
  out["submerged_mm3"] = number(p.submerged_mm3);
  out["centre_of_buoyancy_mm"] = vector(p.centre_of_buoyancy_mm);
  out["waterplane_mm2"] = number(p.waterplane_mm2);
  out["roll_stiffness_g_mm_per_deg"] = number(p.roll_stiffness_g_mm_per_deg);
  out["pitch_stiffness_g_mm_per_deg"] = number(p.pitch_stiffness_g_mm_per_deg);
  out["least_stiffness_g_mm_per_deg"] = number(p.least_stiffness_g_mm_per_deg);
  out["gm_roll_mm"] = number(p.gm_roll_mm);
  out["gm_pitch_mm"] = number(p.gm_pitch_mm);
  out["share"] = number(p.share);
  out["indifferent"] = p.indifferent;
  return out;
}

}  // namespace

std::string_view version() { return TRUEBLANK_VERSION; }

std::string to_json(const CheckResult& result) {
  Json out = opening("check", result.input, result.warnings);
  out["closed"] = result.as_read.closed;
  out["oriented"] = result.as_read.oriented;
  out["pieces"] = result.as_read.pieces;
  out["open_loops"] = result.as_read.open_loops;
  out["self_intersections"] = result.as_read.self_intersections;
  Json& mended = out["mended"] = Json::array();
  for (const intake::Mended& one : result.mended) {
    Json entry = Json::object();
    entry["what"] = one.what;
    entry["count"] = one.count;
    mended.push_back(std::move(entry));
  }
  Json& size = out["size_mm"];
  size["length"] = number(result.size_mm[0]);
  size["width"] = number(result.size_mm[1]);
  size["height"] = number(result.size_mm[2]);
  return written(out);
}

std::string to_json(const WeighResult& result) {
  Json out = opening("weigh", result.input, result.warnings);
  out["volume_mm3"] = number(result.whole.volume_mm3);
  out["area_mm2"] = number(result.whole.area_mm2);
  out["centroid_mm"] = vector(result.whole.centroid_mm);
  out["inertia_mm5"] = matrix(result.whole.inertia_mm5);
  out["principal_mm5"] = vector(result.principal.values);
  out["principal_axes"] = matrix(result.principal.axes.transpose());
  out["cavity_mm3"] = number(result.cavity_mm3);
  if (result.blank) {
    out["density_g_cm3"] = number(result.blank->density_g_cm3);
    out["mass_g"] = number(result.blank->mass_g);
    out["inertia_g_mm2"] = matrix(result.blank->inertia_g_mm2);
  }
  return written(out);
}

std::string to_json(const MirrorResult& result) {
  Json out = opening("mirror", result.input, result.warnings);
  out["frame"] = frame(result.frame, result.guessed);
  out["plane"] = result.plane ? plane(*result.plane) : Json(nullptr);
  out["plane_from"] = plane_from_name(result.plane_from);
  out["well_determined"] = result.well_determined;
  out["candidates"] = candidates(result.candidates);
  out["deviation_mm"] = deviation(result.deviation_mm);
  out["left_volume_mm3"] = result.volumes ? number(result.volumes->left_mm3) : Json(nullptr);
  out["right_volume_mm3"] = result.volumes ? number(result.volumes->right_mm3) : Json(nullptr);
  out["stations"] = stations(result.stations);
  return written(out);
}

std::string to_json(const FloatResult& result) {
  Json out = opening("float", result.input, result.warnings);
  out["frame"] = frame(result.frame, result.guessed);
  out["mass_g"] = number(result.balance.mass_g);
  out["mass_parts"] = mass_parts(result.lure.parts);
  out["centre_of_mass_mm"] = vector(result.lure.centre_of_mass_mm);
  out["displacement_full_g"] = number(result.balance.displacement_full_g);
  out["state"] = state_name(result.balance.state);
  out["reserve_g"] = number(result.balance.reserve_g);
  Json& poses = out["poses"] = Json::array();
  for (const water::RestPose& one : result.balance.poses) poses.push_back(pose(one));
  out["ratio_g_per_100g_wood"] = number(result.lure.ratio_g_per_100g_wood);
  out["ratio_without_hooks_g_per_100g_wood"] =
      number(result.lure.ratio_without_hooks_g_per_100g_wood);
  return written(out);
}

}  // namespace trueblank::report
