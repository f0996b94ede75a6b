// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/effect_text.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "report/layout.h"

namespace trueblank::report {

namespace {

using effect::Effect;
using effect::PartEffect;
using effect::SandingPlan;
using effect::SandingStep;

constexpr int list_decimals = 2;

bool level(double list_deg) { return std::abs(list_deg) < effect::unseen_list_deg; }

std::string lists_words(double list_deg) {
  if (level(list_deg)) return "it lies level";
  return "it lists " + fixed(std::abs(list_deg), list_decimals) + "°, " +
         (list_deg > 0 ? "right" : "left") + " flank down";
}

const std::string& name_of(int patch, std::span<const std::string> names) {
  return names[static_cast<std::size_t>(patch)];
}

/// "0.40 g off the right flank, 38 to 61 mm from the nose"
std::string step_words(const SandingStep& step, std::span<const std::string> names,
                       const TextStyle& style) {
  std::string text = mass_text(step.wood_g, style);
  const std::string whole = step.share > 0 ? mass_text(step.wood_g / step.share, style) : text;
  if (whole != text) text += " (of " + whole + ')';
  return text + " off the " + name_of(step.patch, names);
}

/// Whether its lift outdoes its weight, so that it goes up where one expects it to go down.
bool lifts_its_side(const PartEffect& part) {
  return part.weight_moment_g_mm * part.turning_moment_g_mm < 0;
}

std::string patches_table(const Effect& effect, const SandingPlan& plan,
                          std::span<const std::string> names, std::size_t rows) {
  Table table;
  table.row({"patch", "wood", "in water", "weight", "lift", "both", "list", "list without"});
  table.row({"", "g", "", "g·mm", "g·mm", "g·mm", "°", "°"});
  for (std::size_t i = 0; i < rows; ++i) {
    const SandingStep& step = plan.largest_first[i];
    const PartEffect& part = effect.patches[static_cast<std::size_t>(step.patch)];
    table.row({std::to_string(i + 1), fixed(part.wood_g, 2),
               part.volume_mm3 > 0 ? percent(part.wet_mm3 / part.volume_mm3) : "–",
               with_sign(part.weight_moment_g_mm, 2), with_sign(part.lift_moment_g_mm, 2),
               with_sign(part.turning_moment_g_mm, 2), with_sign(part.list_deg, list_decimals),
               with_sign(step.list_after_deg, list_decimals)});
  }
  std::string text = table.text();
  for (std::size_t i = 0; i < rows; ++i) {
    const std::string number = std::to_string(i + 1);
    text += paragraph(number + ": " + name_of(plan.largest_first[i].patch, names), 4, 2);
  }
  return text;
}

// Those that change the list least stand last in the table.
std::string left_sentence(const SandingPlan& plan) {
  const std::size_t all = plan.largest_first.size();
  const std::size_t left = plan.may_be_left.size();
  if (left == 0) return "";
  const std::string which = left == 1 ? "patch " + std::to_string(all) + " may be left: it changes"
                                      : "patches " + std::to_string(all - left + 1) + " to " +
                                            std::to_string(all) + " may be left: each changes";
  return "As far as the water goes, " + which + " the list by less than " +
         fixed(effect::unseen_list_deg, 1) + "°.";
}

}  // namespace

std::string level_sentence(const SandingPlan& plan, std::span<const std::string> patch_names,
                           const TextStyle& style) {
  if (level(plan.list_before_deg)) {
    return "It lies level as it is; for the water's sake nothing need come off.";
  }
  std::string text = lists_words(plan.list_before_deg) + ". ";
  text[0] = 'I';
  if (plan.to_level.empty()) {
    return text +
           "Taking off where it is proud brings it no nearer to level: the cause is "
           "elsewhere, in the wood or in what is put into it.";
  }
  text += "Take ";
  for (std::size_t i = 0; i < plan.to_level.size(); ++i) {
    if (i > 0) text += "; then ";
    text += step_words(plan.to_level[i], patch_names, style);
  }
  return text + ", and " + lists_words(plan.to_level.back().list_after_deg) + '.';
}

std::string effect_text(const Effect& effect, const SandingPlan& plan,
                        std::span<const std::string> patch_names, std::size_t most_rows) {
  std::string text;
  if (effect.halves) {
    text += paragraph("The unlike halves by themselves list it by " +
                      with_sign(effect.halves->list_deg, list_decimals) + "° (" +
                      with_sign(effect.halves->turning_moment_g_mm, 2) + " g·mm).");
  }
  if (effect.patches.empty()) return text;
  text += '\n' +
          patches_table(effect, plan, patch_names, std::min(most_rows, plan.largest_first.size()));
  text += paragraph(
      "+ turns the right flank down. List without: when this patch and those above "
      "it are sanded off.");
  if (std::any_of(effect.patches.begin(), effect.patches.end(), lifts_its_side)) {
    text += paragraph(
        "A proud flank under water lifts its side: the water that it displaces "
        "weighs more than its wood. Above the waterline it sinks it.");
  }
  const std::string left = left_sentence(plan);
  return left.empty() ? text : text + paragraph(left);
}

}  // namespace trueblank::report
