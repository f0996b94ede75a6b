// SPDX-License-Identifier: GPL-3.0-or-later
#include "effect/plan.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>

namespace trueblank::effect {
namespace {

const PartEffect& patch_of(const Effect& effect, int patch) {
  return effect.patches[static_cast<std::size_t>(patch)];
}

void take(const Effect& effect, int patch, double& list_deg, std::vector<SandingStep>& steps) {
  list_deg -= patch_of(effect, patch).list_deg;
  steps.push_back({patch, patch_of(effect, patch).wood_g, list_deg});
}

std::vector<int> all_patches(const Effect& effect) {
  std::vector<int> patches(effect.patches.size());
  std::iota(patches.begin(), patches.end(), 0);
  return patches;
}

std::vector<SandingStep> largest_first(const Effect& effect) {
  std::vector<int> order = all_patches(effect);
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
    return std::abs(patch_of(effect, a).list_deg) > std::abs(patch_of(effect, b).list_deg);
  });
  std::vector<SandingStep> steps;
  double list_deg = effect.pose_list_deg;
  for (const int patch : order) take(effect, patch, list_deg, steps);
  return steps;
}

std::vector<SandingStep> to_level(const Effect& effect) {
  std::vector<int> left = all_patches(effect);
  std::vector<SandingStep> steps;
  double list_deg = effect.pose_list_deg;
  const auto list_without = [&](int patch) {
    return std::abs(list_deg - patch_of(effect, patch).list_deg);
  };
  while (!left.empty()) {
    const auto best = std::min_element(
        left.begin(), left.end(), [&](int a, int b) { return list_without(a) < list_without(b); });
    if (list_without(*best) > std::abs(list_deg) - unseen_list_deg / 10) break;
    take(effect, *best, list_deg, steps);
    left.erase(best);
  }
  return steps;
}

}  // namespace

SandingPlan sanding_plan(const Effect& effect) {
  SandingPlan plan{.list_before_deg = effect.pose_list_deg,
                   .largest_first = largest_first(effect),
                   .to_level = to_level(effect),
                   .may_be_left = {}};
  for (const int patch : all_patches(effect)) {
    if (std::abs(patch_of(effect, patch).list_deg) < unseen_list_deg) {
      plan.may_be_left.push_back(patch);
    }
  }
  return plan;
}

}  // namespace trueblank::effect
