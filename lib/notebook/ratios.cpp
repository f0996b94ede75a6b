// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/ratios.h"

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>

namespace trueblank::notebook {
namespace {

std::optional<double> weight_without_hooks_g(const Figures& figures) {
  if (!figures.wire_g || !figures.ballast_g || !figures.pocket_g || !figures.outside_g) return {};
  return *figures.wire_g + *figures.ballast_g + *figures.pocket_g + *figures.outside_g;
}

std::optional<double> per_100(std::optional<double> amount, std::optional<double> of) {
  if (!amount || !of || !(*of > 0)) return {};
  return 100 * *amount / *of;
}

std::optional<double> sum(std::optional<double> a, std::optional<double> b) {
  if (!a || !b) return {};
  return *a + *b;
}

std::optional<Summary> summary_of(const std::vector<Ratios>& all,
                                  std::optional<double> Ratios::*figure) {
  std::vector<double> values;
  for (const Ratios& one : all) {
    if (one.*figure) values.push_back(*(one.*figure));
  }
  return summary(std::move(values));
}

void fill(RatioGroup& group, const std::vector<Ratios>& all) {
  group.builds = static_cast<int>(all.size());
  group.weight_g_per_100g_wood = summary_of(all, &Ratios::weight_g_per_100g_wood);
  group.weight_without_hooks_g_per_100g_wood =
      summary_of(all, &Ratios::weight_without_hooks_g_per_100g_wood);
  group.wire_percent = summary_of(all, &Ratios::wire_percent);
  group.reserve_g_per_100g = summary_of(all, &Ratios::reserve_g_per_100g);
  group.least_stiffness_g_mm_per_deg_per_100g =
      summary_of(all, &Ratios::least_stiffness_g_mm_per_deg_per_100g);
}

// In the order in which groups are told: all, by wood, by kind, by both.
struct GroupName {
  int sort = 0;
  std::string wood;
  std::string kind;

  bool operator<(const GroupName& other) const {
    return std::tie(sort, wood, kind) < std::tie(other.sort, other.wood, other.kind);
  }
};

std::vector<GroupName> groups_of(const BuildFacts& build) {
  const std::string& wood = build.figures.wood;
  std::vector<GroupName> names = {{}};
  if (!wood.empty()) names.push_back({1, wood, {}});
  if (!build.kind.empty()) names.push_back({2, {}, build.kind});
  if (!wood.empty() && !build.kind.empty()) names.push_back({3, wood, build.kind});
  return names;
}

// One build that a suggestion may stand on.
struct Behind {
  double blank_g = 0;
  double weight_per_100g = 0;
  double without_hooks_per_100g = 0;
};

std::vector<Behind> behind(std::span<const BuildFacts> builds, const NewBlank& blank,
                           bool of_its_kind) {
  std::vector<Behind> found;
  for (const BuildFacts& build : builds) {
    if (build.figures.wood != blank.wood) continue;
    if (of_its_kind && build.kind != blank.kind) continue;
    if (blank.state && build.figures.state != blank.state) continue;
    const Ratios ratios = ratios_of(build.figures);
    if (!ratios.weight_g_per_100g_wood) continue;  // then neither is without the other
    found.push_back({.blank_g = *build.figures.undrilled_wood_g,
                     .weight_per_100g = *ratios.weight_g_per_100g_wood,
                     .without_hooks_per_100g = *ratios.weight_without_hooks_g_per_100g_wood});
  }
  return found;
}

Suggestion::Grams grams_for(double blank_g, const std::vector<Behind>& behind,
                            double Behind::*per_100g) {
  std::vector<double> ratios;
  ratios.reserve(behind.size());
  for (const Behind& one : behind) ratios.push_back(one.*per_100g);
  const Summary of = *summary(std::move(ratios));
  return {.median = blank_g * of.median / 100,
          .least = blank_g * of.least / 100,
          .greatest = blank_g * of.greatest / 100};
}

void tell_reach(Suggestion& suggestion, double blank_g) {
  if (blank_g < suggestion.lightest_blank_g) {
    suggestion.reach = Reach::lighter;
    suggestion.beyond_percent = 100 * (1 - blank_g / suggestion.lightest_blank_g);
  } else if (blank_g > suggestion.heaviest_blank_g) {
    suggestion.reach = Reach::heavier;
    suggestion.beyond_percent = 100 * (blank_g / suggestion.heaviest_blank_g - 1);
  }
}

}  // namespace

Ratios ratios_of(const Figures& figures) {
  const std::optional<double> without_hooks_g = weight_without_hooks_g(figures);
  Ratios ratios;
  ratios.weight_g_per_100g_wood =
      per_100(sum(without_hooks_g, figures.hooks_g), figures.undrilled_wood_g);
  ratios.weight_without_hooks_g_per_100g_wood = per_100(without_hooks_g, figures.undrilled_wood_g);
  ratios.wire_percent = per_100(figures.wire_g, sum(figures.wire_g, figures.ballast_g));
  ratios.reserve_g_per_100g = per_100(figures.reserve_g, figures.mass_g);
  ratios.least_stiffness_g_mm_per_deg_per_100g =
      per_100(figures.least_stiffness_g_mm_per_deg, figures.mass_g);
  return ratios;
}

std::vector<RatioGroup> ratio_groups(std::span<const BuildFacts> builds) {
  std::map<GroupName, std::vector<Ratios>> by_name;
  for (const BuildFacts& build : builds) {
    for (const GroupName& name : groups_of(build)) {
      by_name[name].push_back(ratios_of(build.figures));
    }
  }
  std::vector<RatioGroup> groups;
  for (const auto& [name, all] : by_name) {
    RatioGroup group;
    if (!name.wood.empty()) group.wood = name.wood;
    if (!name.kind.empty()) group.kind = name.kind;
    fill(group, all);
    groups.push_back(std::move(group));
  }
  return groups;
}

std::optional<Suggestion> suggestion(std::span<const BuildFacts> builds, const NewBlank& blank) {
  const auto too_few = [](const std::vector<Behind>& some) {
    return some.size() < static_cast<std::size_t>(least_builds_behind);
  };
  if (blank.wood.empty()) return {};
  std::vector<Behind> found = behind(builds, blank, !blank.kind.empty());
  Suggestion made;
  if (too_few(found) && !blank.kind.empty()) {
    found = behind(builds, blank, false);
    made.kind_left_out = true;
  }
  if (too_few(found)) return {};
  made.builds = static_cast<int>(found.size());
  made.weight_g = grams_for(blank.wood_g, found, &Behind::weight_per_100g);
  made.weight_without_hooks_g = grams_for(blank.wood_g, found, &Behind::without_hooks_per_100g);
  const auto [lightest, heaviest] = std::ranges::minmax(found, {}, &Behind::blank_g);
  made.lightest_blank_g = lightest.blank_g;
  made.heaviest_blank_g = heaviest.blank_g;
  made.chance_within = chance_within(made.builds);
  tell_reach(made, blank.wood_g);
  return made;
}

}  // namespace trueblank::notebook
