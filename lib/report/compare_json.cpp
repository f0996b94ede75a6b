// SPDX-License-Identifier: GPL-3.0-or-later
#include <array>
#include <string>
#include <string_view>
#include <utility>

#include "report/compare_report.h"
#include "report/compare_words.h"
#include "report/float_json.h"
#include "report/json_object.h"
#include "report/record_text.h"
#include "report/symmetry_json.h"

namespace trueblank::report {

namespace {

using symmetry::Factor;
using Maybe = std::optional<double>;

JsonObject deviation(const symmetry::Comparison& comparison) {
  JsonObject out;
  out.object("other_onto_body", statistics_json(comparison.copy.statistics));
  out.object("body_onto_other", statistics_json(comparison.master.statistics));
  out.number("noise", comparison.noise.sigma_mm);
  out.number("noise_correlation_mm", comparison.noise.correlation_mm);
  return out;
}

std::vector<std::vector<double>> rows(const Eigen::Matrix4d& matrix) {
  std::vector<std::vector<double>> out;
  for (int i = 0; i < 4; ++i) {
    out.push_back({matrix(i, 0), matrix(i, 1), matrix(i, 2), matrix(i, 3)});
  }
  return out;
}

std::optional<JsonObject> factor(const std::optional<Factor>& factor) {
  if (!factor) return {};
  JsonObject out;
  out.number("factor", factor->factor);
  out.number("sd", factor->sd);
  out.number("shrinkage_percent", shrinkage_percent(*factor));
  return out;
}

std::optional<JsonObject> stretch(const symmetry::AlignmentFit& fit) {
  if (!fit.stretch) return {};
  JsonObject out;
  out.object("along", factor((*fit.stretch)[0]));
  out.object("across", factor((*fit.stretch)[1]));
  out.object("upright", factor((*fit.stretch)[2]));
  return out;
}

JsonObject doubt(const symmetry::AlignmentDoubt& doubt) {
  JsonObject out;
  out.vector("turn_deg", doubt.turn_deg);
  out.vector("shift_mm", doubt.shift_mm);
  out.number("scale", doubt.scale);
  out.vector("at_mm", doubt.at_mm);
  out.flag("turn_is_open", doubt.turn_is_open);
  return out;
}

JsonObject figures(const symmetry::BodyFigures& body) {
  JsonObject out;
  out.number("volume_mm3", body.volume_mm3);
  out.number("area_mm2", body.area_mm2);
  out.vector("centroid_mm", body.centroid_mm);
  out.number("left_volume_mm3", body.sides.left_mm3);
  out.number("right_volume_mm3", body.sides.right_mm3);
  out.vector("size_mm", body.size_mm);
  return out;
}

JsonObject changes(const symmetry::BodyChanges& changes) {
  JsonObject out;
  out.number("volume_percent", changes.volume_percent);
  out.number("area_mm2", changes.area_mm2);
  out.number("area_percent", changes.area_percent);
  out.number("balance_mm3", changes.balance_mm3);
  out.vector("size_mm", changes.size_mm);
  return out;
}

std::string seen_on(symmetry::SeenOn on) { return on == symmetry::SeenOn::copy ? "other" : "body"; }

std::vector<JsonObject> differences(const symmetry::Differences& all) {
  std::vector<JsonObject> out;
  for (const auto* list : {&all.proud, &all.shy}) {
    for (const symmetry::Difference& one : *list) {
      JsonObject& entry = out.emplace_back(patch_json(one.patch));
      entry.text("seen_on", seen_on(one.seen_on));
      entry.number("greatest_doubt_mm", one.doubt_mm);
      entry.number("mass_g", one.patch.mass_g);
    }
  }
  return out;
}

std::optional<JsonObject> profile(const std::optional<symmetry::Profile>& profile) {
  if (!profile) return {};
  JsonObject out;
  out.flag("passed", profile->passed);
  out.number("limit_mm", profile->limit_mm);
  out.number("zone_mm", 2 * profile->limit_mm);
  out.number("largest_mm", profile->largest_mm);
  out.vector("largest_at_mm", profile->largest_at_mm);
  out.number("p95_mm", profile->p95_mm);
  out.number("noise_p95_mm", profile->noise_p95_mm);
  std::vector<JsonObject> places;
  for (const symmetry::ProfilePlace& one : profile->places) {
    JsonObject& entry = places.emplace_back();
    entry.text("name", one.name);
    entry.text("side", symmetry::side_name(one.side));
    entry.text("place", symmetry::place_name(one.place));
    entry.number("from_mm", one.from_station_mm);
    entry.number("to_mm", one.to_station_mm);
    entry.number("area_mm2", one.area_mm2);
    entry.number("greatest_mm", one.greatest_mm);
    entry.vector("at_mm", one.greatest_at_mm);
    entry.text("seen_on", seen_on(one.seen_on));
  }
  out.list("places", std::move(places));
  return out;
}

JsonObject station(const symmetry::Station& station) {
  JsonObject out;
  out.number("left_half_width_mm", station.section.left_half_width_mm);
  out.number("right_half_width_mm", station.section.right_half_width_mm);
  out.number("height_mm", station.section.height_mm());
  out.number("left_area_mm2", station.section.left_area_mm2);
  out.number("right_area_mm2", station.section.right_area_mm2);
  out.number("belly_mm", station.belly_below_mm);
  out.number("back_mm", station.back_above_mm);
  return out;
}

std::vector<JsonObject> stations(const std::vector<symmetry::StationPair>& all) {
  std::vector<JsonObject> out;
  for (const symmetry::StationPair& one : all) {
    JsonObject& entry = out.emplace_back();
    entry.number("x_mm", one.master.section.x_mm);
    entry.object("body", station(one.master));
    entry.object("other", station(one.copy));
    entry.number("width_change_mm", one.width_change_mm);
    entry.number("height_change_mm", one.height_change_mm);
    entry.number("area_change_mm2", one.area_change_mm2);
    entry.number("left_half_width_change_mm", one.left_half_width_change_mm);
    entry.number("right_half_width_change_mm", one.right_half_width_change_mm);
    entry.number("belly_change_mm", one.belly_change_mm);
    entry.number("back_change_mm", one.back_change_mm);
  }
  return out;
}

JsonObject lies(const effect::LiesAs& lies) {
  JsonObject out;
  out.number("mass_g", lies.mass_g);
  out.number("displacement_full_g", lies.displacement_full_g);
  out.number("reserve_g", lies.reserve_g);
  out.number("tail_down_deg", lies.tail_down_deg);
  out.number("list_deg", lies.list_deg);
  out.number("roll_stiffness_g_mm_per_deg", lies.roll_stiffness_g_mm_per_deg);
  out.number("pitch_stiffness_g_mm_per_deg", lies.pitch_stiffness_g_mm_per_deg);
  out.number("least_stiffness_g_mm_per_deg", lies.least_stiffness_g_mm_per_deg);
  out.number("gm_roll_mm", lies.gm_roll_mm);
  out.number("gm_pitch_mm", lies.gm_pitch_mm);
  return out;
}

std::string kind_name(tuning::Restoring::Kind kind) {
  switch (kind) {
    case tuning::Restoring::Kind::added:
      return "added";
    case tuning::Restoring::Kind::changed:
      return "changed";
    case tuning::Restoring::Kind::drilled:
      return "drilled";
  }
  return "added";
}

std::optional<JsonObject> restored(const std::optional<tuning::Restored>& restored) {
  if (!restored) return {};
  JsonObject out;
  out.flag("needed", restored->needed);
  std::vector<JsonObject> ways;
  for (const tuning::Restoring& way : restored->ways) {
    JsonObject& entry = ways.emplace_back();
    const bool added = way.kind == tuning::Restoring::Kind::added;
    const bool changed = way.kind == tuning::Restoring::Kind::changed;
    entry.text("kind", kind_name(way.kind));
    entry.maybe_text("metal", added ? std::optional(way.metal) : std::nullopt);
    entry.maybe_text("ballast", changed ? std::optional(way.ballast) : std::nullopt);
    entry.number("grams", way.grams);
    entry.number("mass_g", way.mass_g);
    entry.vector("at_mm", way.at_mm);
    entry.number("moved_mm", changed ? Maybe(way.moved_mm) : Maybe());
    entry.number("wall_mm",
                 way.kind == tuning::Restoring::Kind::drilled ? Maybe() : Maybe(way.wall_mm));
    entry.object("then", lies_json(way.then));
    entry.object("left", lies_json(way.left));
    entry.flag("met", way.met);
  }
  out.list("ways", std::move(ways));
  return out;
}

std::optional<JsonObject> in_water(const std::optional<CopyInWater>& water) {
  if (!water) return {};
  const effect::CopyEffect& effect = water->effect;
  JsonObject out;
  out.number("wood_density_g_cm3", water->wood_density_g_cm3);
  out.flag("places_as_in_body", water->places_as_in_master);
  out.text("body_state", state_name(effect.master.state));
  out.text("other_state", state_name(effect.copy.state));
  out.flag("pose_lost", effect.lost());
  out.number("turned_deg", effect.turned_deg);
  out.object("body", lies(effect.master_lies));
  out.object("other", lies(effect.copy_lies));
  out.object("change", lies(effect.change));
  out.object("by_size", lies(effect.by_size));
  out.object("by_shape", lies(effect.by_shape));
  out.object("restored", restored(water->restored));
  return out;
}

JsonObject copy_json(const ComparedCopy& copy) {
  const symmetry::AlignmentFit& fit = copy.fit;
  JsonObject out;
  out.object("input", input_json(copy.input));
  out.texts("warnings", copy.warnings);
  add_body(out, copy.input, copy.record, usual_water_g_cm3);
  out.number_lists("alignment", rows(copy.to_file));
  out.number_lists("alignment_to_frame", rows(fit.matrix()));
  out.object("alignment_uncertainty", doubt(fit.doubt));
  out.flag("mirrored", fit.mirrored);
  out.number("rms_mm", fit.rms_mm);
  out.number("runner_up_rms_mm", fit.runner_up_rms_mm);
  out.number("compared_share", fit.other.compared);
  out.number("body_compared_share", fit.body.compared);
  out.number("fitted_scale", fit.motion.scale);
  out.object("size", factor(fit.size));
  out.number("likely_unit_factor", fit.likely_unit_factor);
  out.object("stretch", stretch(fit));
  out.object("deviation_mm", deviation(copy.comparison));
  out.number("volume_change_mm3", copy.comparison.changes.volume_mm3);
  out.vector("centroid_shift_mm", copy.comparison.changes.centroid_shift_mm);
  out.object("changes", changes(copy.comparison.changes));
  out.object("figures", figures(copy.comparison.copy_figures));
  out.list("differences", differences(copy.comparison.differences));
  out.object("profile", profile(copy.profile));
  out.list("stations", stations(copy.comparison.stations));
  out.object("water", in_water(copy.water));
  return out;
}

std::vector<JsonObject> mould_patches(const symmetry::CopiesResult& all) {
  std::vector<JsonObject> out;
  for (const auto* list : {&all.proud, &all.shy}) {
    for (const symmetry::MouldPatch& one : *list) {
      JsonObject& entry = out.emplace_back(patch_json(one.patch));
      entry.number("mean_mm", one.mean_mm);
      entry.number("spread_mm", one.spread_mm);
      entry.number("copies", one.copies);
      entry.number("t", one.t);
      entry.number("chance", one.chance);
    }
  }
  return out;
}

std::vector<JsonObject> by_place(const std::vector<symmetry::SliceOfCopies>& slices) {
  constexpr std::array<std::string_view, 4> faces = {"back", "right", "belly", "left"};
  std::vector<JsonObject> out;
  for (const symmetry::SliceOfCopies& slice : slices) {
    JsonObject& entry = out.emplace_back();
    entry.number("from_mm", slice.from_mm);
    entry.number("to_mm", slice.to_mm);
    for (std::size_t k = 0; k < faces.size(); ++k) {
      std::optional<JsonObject> face;
      if (slice.faces[k]) {
        face.emplace();
        face->number("mean_mm", slice.faces[k]->mean_mm);
        face->number("spread_mm", slice.faces[k]->spread_mm);
      }
      entry.object(faces[k], std::move(face));
    }
  }
  return out;
}

std::optional<JsonObject> together(const std::optional<symmetry::CopiesResult>& all) {
  if (!all) return {};
  JsonObject out;
  out.count("copies", all->copies);
  out.text("verdict", verdict_name(all->verdict));
  out.number("mean_rms_mm", all->mean_rms_mm);
  out.number("spread_rms_mm", all->spread_rms_mm);
  out.number("mean_noise_mm", all->mean_noise_mm);
  out.number("spread_noise_mm", all->spread_noise_mm);
  out.number("mould_rms_mm", all->mould_rms_mm);
  out.number("scatter_rms_mm", all->scatter_rms_mm);
  out.number("f", all->F);
  out.number("freedom_above", all->freedom_above);
  out.number("freedom_below", all->freedom_below);
  out.number("chance", all->chance);
  out.flag("mould_found", all->mould_found);
  out.flag("scatter_found", all->scatter_found);
  out.list("patches", mould_patches(*all));
  return out;
}

// The figures of a sole copy stand at the top too, where a script looks first.
void add_sole(JsonObject& out, const CompareResult& result) {
  const ComparedCopy* sole = result.copies.size() == 1 ? &result.copies.front() : nullptr;
  if (sole == nullptr) {
    out.number("alignment", Maybe());
    out.object("deviation_mm", std::optional<JsonObject>());
    out.number("volume_change_mm3", Maybe());
    out.vector("centroid_shift_mm", std::optional<geometry::Vec3>());
    return;
  }
  out.number_lists("alignment", rows(sole->to_file));
  out.object("deviation_mm", deviation(sole->comparison));
  out.number("volume_change_mm3", sole->comparison.changes.volume_mm3);
  out.vector("centroid_shift_mm", sole->comparison.changes.centroid_shift_mm);
}

}  // namespace

std::string to_json(const CompareResult& result) {
  JsonObject out = opening("compare", result.input, result.warnings);
  out.object("frame", frame_json(result.frame, result.guessed));
  add_body(out, result.input, result.record, usual_water_g_cm3);
  out.number("length_mm", result.length_mm);
  out.number("limit_mm", result.limit_mm);
  out.maybe_text("sheet", result.sheet.empty() ? std::nullopt : std::optional(result.sheet));
  add_sole(out, result);
  std::vector<JsonObject> copies;
  for (const ComparedCopy& copy : result.copies) copies.push_back(copy_json(copy));
  out.list("copies", std::move(copies));
  std::vector<JsonObject> skipped;
  for (const SkippedCopy& one : result.skipped) {
    JsonObject& entry = skipped.emplace_back();
    entry.text("file", one.file);
    entry.text("why", one.why);
  }
  out.list("skipped", std::move(skipped));
  out.object("together", together(result.together));
  out.list("by_place", by_place(result.by_place));
  return out.written();
}

}  // namespace trueblank::report
