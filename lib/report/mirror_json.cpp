// SPDX-License-Identifier: GPL-3.0-or-later
#include <string>
#include <utility>

#include "report/json_object.h"
#include "report/mirror_report.h"
#include "report/record_text.h"
#include "report/symmetry_json.h"

namespace trueblank::report {

namespace {

using effect::PartEffect;
using Maybe = std::optional<double>;

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

std::optional<JsonObject> uncertainty(const std::optional<symmetry::PlaneUncertainty>& sure) {
  if (!sure) return {};
  JsonObject out;
  out.number("tilt_deg", sure->tilt_deg);
  out.number("yaw_deg", sure->yaw_deg);
  out.number("offset_mm", sure->offset_mm);
  return out;
}

std::optional<JsonObject> deviation(const MirrorResult& result) {
  if (!result.deviation_mm) return {};
  JsonObject out = statistics_json(*result.deviation_mm);
  out.number("noise", result.noise.sigma_mm);
  out.number("noise_correlation_mm", result.noise.correlation_mm);
  return out;
}

// Keys that stand for a part of the asymmetry in the water; null where no water is told.
void add_effect(JsonObject& out, const PartEffect* part) {
  out.number("turning_moment_g_mm", part != nullptr ? Maybe(part->turning_moment_g_mm) : Maybe());
  out.number("list_deg", part != nullptr ? Maybe(part->list_deg) : Maybe());
}

const effect::Effect* effect_in(const MirrorResult& result) {
  return result.water && result.water->effect ? &*result.water->effect : nullptr;
}

std::vector<JsonObject> patches(const MirrorResult& result) {
  const effect::Effect* effect = effect_in(result);
  std::vector<JsonObject> out;
  for (std::size_t i = 0; i < result.patches.size(); ++i) {
    const symmetry::Patch& patch = result.patches[i];
    const PartEffect* part = effect != nullptr ? &effect->patches[i] : nullptr;
    JsonObject entry = patch_json(patch);
    entry.number("greatest_doubt_mm",
                 i < result.patch_doubt_mm.size() ? Maybe(result.patch_doubt_mm[i]) : Maybe());
    entry.number("wood_g", patch.mass_g);
    add_effect(entry, part);
    out.push_back(std::move(entry));
  }
  return out;
}

std::optional<JsonObject> sanding(const std::optional<symmetry::Sanding>& sanding) {
  if (!sanding) return {};
  JsonObject out;
  out.number("remove_mm3", sanding->remove_mm3);
  out.number("remove_raw_mm3", sanding->remove_raw_mm3);
  out.number("left_mm3", sanding->left_mm3);
  out.number("right_mm3", sanding->right_mm3);
  out.number("deepest_mm", sanding->deepest_mm);
  out.vector("deepest_at_mm", sanding->deepest_at_mm);
  out.number("volume_after_mm3", sanding->volume_after_mm3);
  out.number("remove_g", sanding->remove_g);
  out.number("mass_after_g", sanding->mass_after_g);
  return out;
}

std::vector<JsonObject> roundness(const std::vector<symmetry::Roundness>& all) {
  std::vector<JsonObject> out;
  for (const symmetry::Roundness& one : all) {
    JsonObject& entry = out.emplace_back();
    entry.number("x_mm", one.x_mm);
    entry.number("radius_mm", one.radius_mm);
    entry.number("out_of_round_mm", one.out_of_round_mm);
  }
  return out;
}

std::vector<JsonObject> half_widths(const std::vector<symmetry::HalfWidths>& all) {
  std::vector<JsonObject> out;
  for (const symmetry::HalfWidths& one : all) {
    JsonObject& entry = out.emplace_back();
    entry.number("z_mm", one.z_mm);
    entry.number("left_mm", one.left_mm);
    entry.number("right_mm", one.right_mm);
  }
  return out;
}

std::vector<JsonObject> stations(const MirrorResult& result) {
  const effect::Effect* effect = effect_in(result);
  std::vector<JsonObject> out;
  for (std::size_t i = 0; i < result.stations.size(); ++i) {
    const symmetry::Station& station = result.stations[i];
    JsonObject entry;
    entry.number("x_mm", station.section.x_mm);
    entry.number("left_half_width_mm", station.section.left_half_width_mm);
    entry.number("right_half_width_mm", station.section.right_half_width_mm);
    entry.number("height_mm", station.section.height_mm());
    entry.number("left_area_mm2", station.section.left_area_mm2);
    entry.number("right_area_mm2", station.section.right_area_mm2);
    entry.number("area_difference_mm2", station.area_difference_mm2);
    entry.number("centre_offset_mm", station.centre_offset_mm);
    entry.number("belly_mm", station.belly_below_mm);
    entry.number("back_mm", station.back_above_mm);
    entry.list("half_widths", half_widths(station.half_widths));
    add_effect(entry,
               effect != nullptr && i < effect->slices.size() ? &effect->slices[i] : nullptr);
    out.push_back(std::move(entry));
  }
  return out;
}

std::vector<JsonObject> steps(const std::vector<effect::SandingStep>& all) {
  std::vector<JsonObject> out;
  for (const effect::SandingStep& step : all) {
    JsonObject& entry = out.emplace_back();
    entry.count("patch", step.patch);
    entry.number("share", step.share);
    entry.number("wood_g", step.wood_g);
    entry.number("list_after_deg", step.list_after_deg);
  }
  return out;
}

std::optional<JsonObject> sanding_plan(const MirrorResult& result) {
  const effect::Effect* effect = effect_in(result);
  if (effect == nullptr) return {};
  const effect::SandingPlan& plan = result.water->plan;
  JsonObject out;
  out.number("list_before_deg", plan.list_before_deg);
  out.list("to_level", steps(plan.to_level));
  out.number("list_after_deg",
             plan.to_level.empty() ? plan.list_before_deg : plan.to_level.back().list_after_deg);
  out.list("largest_first", steps(plan.largest_first));
  std::vector<JsonObject> left;
  for (const int patch : plan.may_be_left) {
    JsonObject& entry = left.emplace_back();
    entry.count("patch", patch);
    entry.number("list_deg", effect->patches[static_cast<std::size_t>(patch)].list_deg);
  }
  out.list("may_be_left", std::move(left));
  return out;
}

std::optional<JsonObject> halves(const effect::Effect* effect) {
  if (effect == nullptr || !effect->halves) return {};
  JsonObject out;
  out.number("turning_moment_g_mm", effect->halves->turning_moment_g_mm);
  out.number("list_deg", effect->halves->list_deg);
  return out;
}

// Of the whole asymmetry: what stands proud, and halves of unlike weight.
void add_water(JsonObject& out, const MirrorResult& result) {
  const effect::Effect* effect = effect_in(result);
  PartEffect whole;
  if (effect != nullptr) {
    const effect::HalvesEffect sides = effect->halves.value_or(effect::HalvesEffect{});
    whole = effect->whole;
    whole.turning_moment_g_mm += sides.turning_moment_g_mm;
    whole.list_deg += sides.list_deg;
  }
  add_effect(out, effect != nullptr ? &whole : nullptr);
  out.object("halves", halves(effect));
  out.object("sanding_plan", sanding_plan(result));
}

std::optional<JsonObject> again(const std::optional<ScannedAgain>& again) {
  if (!again) return {};
  JsonObject out;
  out.text("file", again->file);
  out.number("rms_mm", again->rms_mm);
  out.number("runner_up_rms_mm", again->runner_up_rms_mm);
  out.object("body_mm", statistics_json(again->body_mm));
  out.object("scanner_mm", statistics_json(again->scanner_mm));
  out.number("noise_mm", again->first_noise.sigma_mm);
  out.number("second_noise_mm", again->second_noise.sigma_mm);
  return out;
}

}  // namespace

std::string to_json(const MirrorResult& result) {
  JsonObject out = opening("mirror", result.input, result.warnings);
  out.object("frame", frame_json(result.frame, result.guessed));
  add_body(out, result.input, result.record, usual_water_g_cm3);
  out.object("plane", result.plane ? std::optional(plane(*result.plane)) : std::nullopt);
  out.text("plane_from", plane_from_name(result.plane_from));
  out.object("plane_uncertainty", uncertainty(result.plane_uncertainty));
  out.flag("well_determined", result.well_determined);
  out.list("candidates", candidates(result.candidates));
  out.object("deviation_mm", deviation(result));
  const std::optional<symmetry::SideVolumes>& volumes = result.volumes;
  out.number("left_volume_mm3", volumes ? Maybe(volumes->left_mm3) : Maybe());
  out.number("right_volume_mm3", volumes ? Maybe(volumes->right_mm3) : Maybe());
  out.list("patches", patches(result));
  out.object("sanding", sanding(result.sanding));
  out.list("roundness", roundness(result.roundness));
  out.list("stations", stations(result));
  add_water(out, result);
  out.object("again", again(result.again));
  return out.written();
}

}  // namespace trueblank::report
