// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/compare_words.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "report/ballast_words.h"
#include "report/float_json.h"
#include "report/layout.h"
#include "report/mirror_words.h"
#include "report/pose_text.h"

namespace trueblank::report {

namespace {

using symmetry::CopiesVerdict;
using tuning::Restoring;

// What no one weighs, sees or measures.
constexpr double unseen_percent = 0.05;
constexpr double unseen_g = 0.05;
constexpr double unseen_deg = 0.05;
constexpr double unseen_mm = 0.05;
constexpr double unseen_mm3 = 0.05;

std::string more_or_less(double change) { return change > 0 ? "more" : "less"; }

/// "on the left flank", "on both flanks"
std::string on_place(const std::string& name) {
  return (name.starts_with("both") ? " on " : " on the ") + name;
}

/// "0.60 mm on the left flank, 110 to 124 mm from the nose, above the middle"
std::string place_words(const symmetry::Patch& patch, const TextStyle& style) {
  return length_text(std::abs(patch.greatest_mm), 2, style) + on_place(patch.name);
}

std::string reserve_change_words(const effect::CopyEffect& effect, const TextStyle& style) {
  const double change_g = effect.change.reserve_g;
  if (std::abs(change_g) < unseen_g) return "the same reserve";
  const std::string grams = mass_text(std::abs(change_g), style);
  if (effect.master.state == water::State::sinks) {
    return grams + (change_g > 0 ? " lighter" : " heavier") + " in the water";
  }
  return grams + ' ' + more_or_less(change_g) + " reserve";
}

std::string angle_change_words(const effect::LiesAs& change) {
  std::string text;
  const auto add = [&text](const std::string& words) { text += ", " + words; };
  const double tail_deg = change.tail_down_deg.value_or(0);
  if (std::abs(tail_deg) >= unseen_deg) {
    add("tail " + degrees(std::abs(tail_deg)) + (tail_deg > 0 ? " lower" : " higher"));
  }
  const double list_deg = change.list_deg.value_or(0);
  if (std::abs(list_deg) >= unseen_deg) {
    add("listing " + degrees(std::abs(list_deg)) + " to the " + (list_deg > 0 ? "right" : "left"));
  }
  return text.empty() ? ", lying the same" : text;
}

std::string what_changes(const effect::CopyEffect& effect, const TextStyle& style) {
  std::string text = reserve_change_words(effect, style);
  if (effect.copy_pose >= 0) return text + angle_change_words(effect.change);
  if (effect.lost()) return text + ", and it no longer lies as its master does";
  return text;
}

std::string restore_words(const tuning::Restored& restored, const TextStyle& style) {
  if (!restored.needed) return "; nothing to restore";
  if (restored.ways.empty()) return "; no one weight restores it";
  const Restoring& way = restored.ways.front();
  const std::string words = "; " + restoring_words(way, style);
  if (way.met) return words + " to restore it";
  std::string left = mass_text(std::abs(way.left.reserve_g), style) + " of reserve";
  if (way.left.tail_down_deg) left += " and " + degrees(std::abs(*way.left.tail_down_deg));
  if (way.left.list_deg && std::abs(*way.left.list_deg) >= unseen_deg) {
    left += " and " + degrees(std::abs(*way.left.list_deg)) + " of list";
  }
  return words + " to bring it nearest, to within " + left;
}

std::string names_of(const std::vector<std::string>& files) {
  constexpr std::size_t most_named = 3;
  std::vector<std::string> names;
  for (std::size_t i = 0; i < files.size() && i < most_named; ++i) names.push_back(shown(files[i]));
  if (files.size() > most_named) {
    names.push_back(std::to_string(files.size() - most_named) + " more");
  }
  return listed(names, "and");
}

std::string verdict_words(const symmetry::CopiesResult& all, const TextStyle& style) {
  const std::string common = length_text(all.mould_rms_mm, 2, style);
  const std::string apart = length_text(all.scatter_rms_mm, 2, style);
  switch (all.verdict) {
    case CopiesVerdict::mould:
      return "It is the mould: " + common + " rms is the same in all of them, " + apart +
             " rms differs from one to the next.";
    case CopiesVerdict::scatter:
      return "It is the scatter: " + apart + " rms differs from one to the next, " + common +
             " rms is the same in all of them.";
    case CopiesVerdict::neither:
      return "What they differ by may be noise and chance: neither the mould nor the scatter "
             "shows.";
  }
  return "";
}

const symmetry::MouldPatch* greatest_of(const symmetry::CopiesResult& all) {
  const symmetry::MouldPatch* greatest = nullptr;
  for (const auto* list : {&all.proud, &all.shy}) {
    if (list->empty()) continue;
    if (greatest == nullptr ||
        std::abs(list->front().patch.volume_mm3) > std::abs(greatest->patch.volume_mm3)) {
      greatest = &list->front();
    }
  }
  return greatest;
}

std::string mould_place_words(const symmetry::CopiesResult& all, const TextStyle& style) {
  const symmetry::MouldPatch* patch = greatest_of(all);
  if (patch == nullptr) return "";
  return " In the mean they are most " +
         std::string(patch->patch.volume_mm3 > 0 ? "proud" : "shy") + ", by " +
         place_words(patch->patch, style) + '.';
}

std::string limits_words(const CompareResult& result) {
  if (!result.limit_mm) return "";
  std::vector<std::string> failed;
  for (const ComparedCopy& copy : result.copies) {
    if (copy.profile && !copy.profile->passed) failed.push_back(copy.input.file);
  }
  const std::string limit = "± " + fixed(*result.limit_mm, 2) + " mm";
  if (failed.empty()) return " All keep within " + limit + '.';
  return ' ' + std::to_string(failed.size()) + " of " + std::to_string(result.copies.size()) +
         (failed.size() == 1 ? " does" : " do") + " not keep within " + limit + ": " +
         names_of(failed) + '.';
}

}  // namespace

double shrinkage_percent(const symmetry::Factor& factor) { return 100 * (1 - 1 / factor.factor); }

double shrinkage_sd_percent(const symmetry::Factor& factor) {
  return 100 * factor.sd / (factor.factor * factor.factor);
}

std::string size_sentence(const ComparedCopy& copy) {
  if (is_part(copy)) {
    return std::string("The copy is a part") +
           (copy.fit.mirrored ? " of its master's mirror image" : " of its master") + ": " +
           percent(copy.fit.body.compared, 0) + " of the master's skin has a counterpart.";
  }
  const symmetry::BodyChanges& changes = copy.comparison.changes;
  std::string text =
      copy.fit.mirrored ? "The copy is a mirror image of its master, and " : "The copy is ";
  const double percent = changes.volume_percent;
  if (std::abs(percent) < unseen_percent) {
    text += "as large as its master";
    if (std::abs(changes.volume_mm3) < unseen_mm3) return text + '.';
    text += " (";
  } else {
    text += fixed(std::abs(percent), 1) + " % " + (percent > 0 ? "larger" : "smaller") +
            " than its master (";
  }
  const double mm3 = changes.volume_mm3;
  return text + (mm3 > 0 ? "+" : mm3 < 0 ? "-" : "") + volume_text(std::abs(mm3)) + ").";
}

std::string shrinkage_words(const ComparedCopy& copy) {
  const std::optional<symmetry::Factor>& size = copy.fit.size;
  if (!size || copy.fit.motion.scale == 1) return "";
  const double percent = shrinkage_percent(*size);
  std::string text = percent >= 0 ? " It has shrunk by " : " It has grown by ";
  text += fixed(std::abs(percent), 2) + " % (± " + fixed(shrinkage_sd_percent(*size), 2) + ")";
  if (copy.fit.stretch) {
    const double sign = percent >= 0 ? 1 : -1;
    const auto& along = *copy.fit.stretch;
    text += ": " + fixed(sign * shrinkage_percent(along[0]), 2) + " along, " +
            fixed(sign * shrinkage_percent(along[1]), 2) + " across, " +
            fixed(sign * shrinkage_percent(along[2]), 2) + " upright";
  }
  return text + '.';
}

std::string skin_sentence(const ComparedCopy& copy, const TextStyle& style) {
  const symmetry::Comparison& comparison = copy.comparison;
  const double p95_mm = std::max(comparison.copy.statistics.p95, comparison.master.statistics.p95);
  std::string text = copy.fit.motion.scale == 1 ? " Laid on it, " : " With that taken off, ";
  text += "95 % of the skin is within " + length_text(p95_mm, 2, style);
  const auto& proud = comparison.differences.proud;
  const auto& shy = comparison.differences.shy;
  if (proud.empty() && shy.empty()) {
    return text + (comparison.noise.sigma_mm > 0
                       ? "; nowhere do they differ by more than noise explains."
                       : ".");
  }
  if (!proud.empty()) {
    text += "; it stands out by up to " + place_words(proud.front().patch, style);
  }
  if (!shy.empty()) {
    text += "; it falls short by up to " + place_words(shy.front().patch, style);
  }
  return text + '.';
}

std::string limit_sentence(const ComparedCopy& copy, const TextStyle& style) {
  if (!copy.profile) return "";
  const symmetry::Profile& profile = *copy.profile;
  const std::string limit = "± " + length_text(profile.limit_mm, 2, style);
  if (profile.passed) return " It keeps within " + limit + " everywhere.";
  if (profile.places.empty()) {
    return " Over 5 % of the skin is outside " + limit +
           (profile.noise_p95_mm > profile.limit_mm
                ? ": the scans are too rough to hold it to that."
                : ", in no one place by more than noise explains.");
  }
  const std::size_t places = profile.places.size();
  return " It is outside " + limit + " in " +
         (places == 1 ? "one place" : std::to_string(places) + " places") + ", worst by " +
         length_text(std::abs(profile.places.front().greatest_mm), 2, style) +
         on_place(profile.places.front().name) + '.';
}

std::string restoring_words(const tuning::Restoring& way, const TextStyle& style) {
  const std::string grams = mass_text(std::abs(way.grams), style);
  const std::string at = " at " + length_text(way.at_mm.x(), 0, style);
  switch (way.kind) {
    case Restoring::Kind::added:
      return "add " + grams + " of " + way.metal + at;
    case Restoring::Kind::drilled:
      return "drill " + grams + " of wood out" + at;
    case Restoring::Kind::changed:
      break;
  }
  std::string text;
  if (std::abs(way.grams) >= unseen_g) {
    text = std::string(way.grams < 0 ? "take " : "add ") + grams +
           (way.grams < 0 ? " off the " : " to the ") + shown(way.ballast);
  }
  if (std::abs(way.moved_mm) < unseen_mm) return text.empty() ? "leave it as it is" : text;
  const std::string move = length_text(std::abs(way.moved_mm), 1, style) +
                           (way.moved_mm > 0 ? " towards the tail" : " towards the nose");
  return text.empty() ? "move the " + shown(way.ballast) + ' ' + move
                      : text + " and move it " + move;
}

std::string water_sentence(const CopyInWater& water, const TextStyle& style) {
  const effect::CopyEffect& effect = water.effect;
  std::string text = " Rigged alike it has " + what_changes(effect, style);
  if (effect.state_changed) {
    text += ": it " + state_name(effect.copy.state) + " where its master " +
            state_name(effect.master.state);
  }
  return text + (water.restored ? restore_words(*water.restored, style) : "") + '.';
}

std::string together_sentence(const CompareResult& result, const TextStyle& style) {
  double percent = 0;
  for (const ComparedCopy& copy : result.copies) {
    percent += copy.comparison.changes.volume_percent / static_cast<double>(result.copies.size());
  }
  std::string text = std::to_string(result.copies.size()) + " copies, on average ";
  text += std::abs(percent) < unseen_percent
              ? "as large as their master."
              : fixed(std::abs(percent), 1) + " % " + (percent > 0 ? "larger" : "smaller") +
                    " than their master.";
  if (result.together) {
    text +=
        ' ' + verdict_words(*result.together, style) + mould_place_words(*result.together, style);
  }
  text += limits_words(result);
  if (result.skipped.empty()) return text;
  std::vector<std::string> files;
  for (const SkippedCopy& one : result.skipped) files.push_back(one.file);
  return text + " Skipped: " + names_of(files) + '.';
}

std::string verdict_name(CopiesVerdict verdict) {
  switch (verdict) {
    case CopiesVerdict::neither:
      return "neither";
    case CopiesVerdict::mould:
      return "mould";
    case CopiesVerdict::scatter:
      return "scatter";
  }
  return "neither";
}

}  // namespace trueblank::report
