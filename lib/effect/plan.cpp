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

void take(const Effect& effect, int patch, double share, double& list_deg,
          std::vector<SandingStep>& steps) {
  const PartEffect& part = patch_of(effect, patch);
  list_deg -= share * part.list_deg;
  steps.push_back(
      {.patch = patch, .share = share, .wood_g = share * part.wood_g, .list_after_deg = list_deg});
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
  for (const int patch : order) take(effect, patch, 1, list_deg, steps);
  return steps;
}

std::vector<SandingStep> to_level(const Effect& effect) {
  std::vector<int> left = all_patches(effect);
  std::vector<SandingStep> steps;
  double list_deg = effect.pose_list_deg;
  // How much of a patch it takes to lie as level as it can make the lure.
  const auto wanted_share = [&](int patch) {
    const double adds_deg = patch_of(effect, patch).list_deg;
    return adds_deg == 0 ? 0.0 : std::clamp(list_deg / adds_deg, 0.0, 1.0);
  };
  const auto list_without = [&](int patch) {
    return std::abs(list_deg - wanted_share(patch) * patch_of(effect, patch).list_deg);
  };
  // Of those that level it alike, the one of which the greater share is wanted: less too much wood
  // is left.
  const auto comes_first = [&](int a, int b) {
    const double without_a = list_without(a);
    const double without_b = list_without(b);
    return without_a != without_b ? without_a < without_b : wanted_share(a) > wanted_share(b);
  };
  while (!left.empty() && std::abs(list_deg) >= unseen_list_deg) {
    const auto best = std::min_element(left.begin(), left.end(), comes_first);
    if (list_without(*best) > std::abs(list_deg) - unseen_list_deg / 10) break;
    take(effect, *best, wanted_share(*best), list_deg, steps);
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
