// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/notebook_words.h"

#include <cmath>

#include "report/ballast_words.h"
#include "report/float_json.h"
#include "report/layout.h"
#include "report/pose_text.h"

namespace trueblank::report {

namespace {

using notebook::Calibration;
using notebook::CauseKind;
using notebook::Figure;
using notebook::LearningEnd;

std::string chance_words(double chance) {
  if (chance < 1e-4) return "less than once in 10 000";
  return percent(chance, chance < 0.01 ? 2 : 1) + " of the time";
}

std::string grams_range(const notebook::Suggestion::Grams& grams, const TextStyle& style) {
  return mass_text(grams.median, style) + " (" + fixed(grams.least, 1) + " to " +
         fixed(grams.greatest, 1) + ")";
}

std::string water_words(const rig::Water& water) {
  if (water.density_given) return "water of " + fixed(water.density_g_cm3, 4) + " g/cm³";
  return std::string(water.salinity == 0 ? "fresh" : "salt") + " water of " +
         fixed(water.temperature_c, 0) + " °C";
}

std::string or_else_words(const LearnedBook& book, const notebook::Named& named) {
  std::vector<std::string> words;
  for (const notebook::Estimate& other : named.or_else) {
    words.push_back(cause_words(book.causes[other.cause], other));
  }
  return words.empty() ? "" : "; or it may be that " + listed(words, "or that");
}

}  // namespace

std::string figure_name(Figure figure) {
  switch (figure) {
    case Figure::reserve_g:
      return "reserve";
    case Figure::tail_down_deg:
      return "tail_down";
    case Figure::list_deg:
      return "list";
    case Figure::mass_g:
      return "mass";
    case Figure::soak_gain_g:
      return "soak_gain";
  }
  return "reserve";
}

std::string figure_words(Figure figure) {
  switch (figure) {
    case Figure::reserve_g:
      return "reserve";
    case Figure::tail_down_deg:
      return "tail";
    case Figure::list_deg:
      return "list";
    case Figure::mass_g:
      return "mass";
    case Figure::soak_gain_g:
      return "soak";
  }
  return "reserve";
}

std::string figure_unit(Figure figure) {
  return figure == Figure::tail_down_deg || figure == Figure::list_deg ? "°" : " g";
}

std::string cause_name(CauseKind kind) {
  switch (kind) {
    case CauseKind::scale_percent:
      return "scale";
    case CauseKind::wood_density_percent:
      return "wood_density";
    case CauseKind::water_taken_up_percent:
      return "water_taken_up";
    case CauseKind::hook_mass_g:
      return "hook_mass";
  }
  return "scale";
}

std::string cause_words(const notebook::Cause& cause, const notebook::Estimate& estimate) {
  const double size = std::abs(estimate.value);
  const bool more = estimate.value >= 0;
  const std::string within = " (± " + fixed(estimate.sd, 2) + ")";
  switch (cause.kind) {
    case CauseKind::scale_percent:
      return "the bodies are " + fixed(size, 2) + " % " + (more ? "longer" : "shorter") +
             " than their scans say" + within;
    case CauseKind::wood_density_percent:
      return "the wood" + (cause.wood ? " (" + shown(*cause.wood) + ")" : std::string()) + " is " +
             fixed(size, 1) + " % " + (more ? "denser" : "lighter") + " than the sheets say" +
             within;
    case CauseKind::water_taken_up_percent:
      return "the wood takes up " + fixed(estimate.value, 1) + " % of its mass in an hour's soak" +
             within;
    case CauseKind::hook_mass_g:
      return "each hook is " + fixed(size, 2) + " g " + (more ? "heavier" : "lighter") +
             " than its sheet says" + within;
  }
  return "";
}

std::string calibration_sentence(const LearnedBook& learned) {
  std::vector<std::string> words;
  int builds = 0;
  for (const Calibration& one : learned.calibration) {
    // Before a second build there is nothing that it could have been foretold from.
    if (one.builds < 2 || one.figure == Figure::mass_g || one.figure == Figure::soak_gain_g)
      continue;
    std::string text = "the " + figure_words(one.figure) + " was predicted within " +
                       fixed(one.within, one.figure == Figure::reserve_g ? 2 : 1) +
                       figure_unit(one.figure);
    if (builds != 0 && one.builds != builds) text += " (" + std::to_string(one.builds) + " builds)";
    if (builds == 0) builds = one.builds;
    words.push_back(std::move(text));
  }
  if (words.empty()) return "";
  return "On your last " + std::to_string(builds) + " builds " + listed(words, "and") + '.';
}

std::string learned_sentences(const LearnedBook& book) {
  const notebook::Learned& learned = book.learned;
  if (learned.end == LearningEnd::no_readings) {
    return "No trial is there yet to learn from: keep what the water shows with notebook tank.";
  }
  std::string text = std::to_string(learned.readings) + " readings of " +
                     std::to_string(learned.builds) +
                     (learned.builds == 1 ? " build." : " builds.");
  if (learned.named.empty()) {
    return text + (learned.end == LearningEnd::no_more_fit
                       ? " They are too few to tell what is off in all builds alike."
                       : " Nothing is off in all of them alike by more than chance explains.");
  }
  for (const notebook::Named& one : learned.named) {
    std::string words = cause_words(book.causes[one.found.cause], one.found) +
                        or_else_words(book, one) + "; by chance " + chance_words(one.chance);
    words[0] = words.starts_with("the") ? 'T' : 'E';
    text += ' ' + words + '.';
  }
  return text;
}

std::string suggestion_sentence(const NotebookResult& result, const TextStyle& style) {
  if (!result.blank) return "";
  const std::string wood = result.blank->wood.empty() ? "any wood" : shown(result.blank->wood);
  if (!result.suggestion) {
    return "Fewer than " + std::to_string(notebook::least_builds_behind) + " builds of " + wood +
           " stand in the book: no suggestion.";
  }
  const notebook::Suggestion& found = *result.suggestion;
  std::string text = "A blank of " + mass_text(result.blank->wood_g, style) + " of " + wood +
                     " is likely to want " + grams_range(found.weight_g, style) +
                     " of wire, weights and hooks, " +
                     grams_range(found.weight_without_hooks_g, style) +
                     " without the hooks: " + std::to_string(found.builds) +
                     " builds stand behind it, and one more such build lies within the range " +
                     percent(found.chance_within) + " of the time.";
  if (found.kind_left_out) text += " Too few are of that kind: these are of any.";
  if (found.reach == notebook::Reach::within) return text;
  return text + " It is " + fixed(found.beyond_percent, 0) + " % " +
         (found.reach == notebook::Reach::lighter ? "lighter than the lightest"
                                                  : "heavier than the heaviest") +
         " of them: the ratio need not hold there.";
}

std::string record_words(const notebook::TankRecord& record, const TextStyle& style) {
  std::vector<std::string> words;
  if (record.state) words.push_back(state_name(*record.state));
  if (record.tail_down_deg) {
    words.push_back(trim_words(*record.tail_down_deg) + " (± " +
                    fixed(record.tail_down_sd_deg.value_or(0), 1) + "°" +
                    (record.photograph ? ", from a photograph)" : ")"));
  }
  if (record.list_deg) words.push_back("list " + degrees(*record.list_deg));
  if (record.sank_with_g) {
    words.push_back(mass_text(*record.sank_with_g, style) + " of lead sank it");
  }
  if (record.mass_before_g) words.push_back(mass_text(*record.mass_before_g, style) + " dry");
  if (record.mass_after_g) {
    words.push_back(mass_text(*record.mass_after_g, style) + " after an hour's soak");
  }
  words.push_back("in " + water_words(record.water));
  std::string text;
  for (const std::string& one : words) text += (text.empty() ? "" : "; ") + one;
  return text;
}

}  // namespace trueblank::report
