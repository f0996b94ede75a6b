// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "rig/assembly.h"
#include "tuning/problem.h"

namespace trueblank::tuning {
namespace {

rig::RiggedLure rigged_without_choices(const Workpiece& lure, const rig::Wishes& wishes) {
  rig::Rig rig = lure.rig;
  std::vector<rig::Hook> kept;
  for (std::size_t i = 0; i < rig.hooks.size(); ++i) {
    const bool chosen = std::ranges::any_of(
        wishes.hooks, [&](const rig::HookChoice& choice) { return choice.hook == i; });
    if (!chosen) kept.push_back(rig.hooks[i]);
  }
  rig.hooks = std::move(kept);
  return rig::add_up(rig::assemble(lure.bare, lure.whole, rig, lure.coated));
}

std::vector<Slug> slugs_of(const rig::Rig& rig) {
  std::vector<Slug> slugs;
  for (const rig::Ballast& ballast : rig.ballasts) slugs.push_back(slug_of(ballast));
  for (const rig::Pocket& pocket : rig.pockets) slugs.push_back(slug_of(pocket));
  return slugs;
}

Ground::Heights heights_over(const Workpiece& lure, rig::HeightFrom from, const rig::Range& x_mm,
                             const rig::Range& y_mm) {
  Ground::Heights heights;
  if (from == rig::HeightFrom::above_belly) {
    heights.belly.emplace(lure.bare, x_mm, y_mm, SkinHeights::Side::belly);
  }
  if (from == rig::HeightFrom::below_back) {
    heights.back.emplace(lure.bare, x_mm, y_mm, SkinHeights::Side::back);
  }
  return heights;
}

}  // namespace

Ground::Ground(const Workpiece& workpiece, const rig::Wishes& wished)
    : lure(workpiece),
      wishes(wished),
      water(lure.cut, lure.rig.water.density_g_cm3),
      wood_g_per_mm3(lure.rig.wood_density_g_cm3 / 1000),
      fixed_slugs(slugs_of(lure.rig)) {
  const rig::RiggedLure rigged = rigged_without_choices(lure, wishes);
  fixed = {.mass_g = rigged.mass_g,
           .moment_g_mm = rigged.mass_g * rigged.centre_of_mass_mm,
           .outside = rigged.outside};
  lowest_mm = lure.bare.positions_mm().row(2).minCoeff();
  highest_mm = lure.bare.positions_mm().row(2).maxCoeff();
  const rig::Range anywhere{0, lure.length_mm};
  for (const rig::WeightPlace& place : wishes.places) {
    heights.push_back(heights_over(lure, place.height_from, anywhere, place.y_mm));
  }
  for (const rig::HookChoice& choice : wishes.hooks) {
    const double y = lure.rig.hooks[choice.hook].eye_mm.y();
    hook_heights.push_back(heights_over(lure, choice.eye_from, anywhere, {y, y}));
  }
}

Vec3 Ground::eye_mm(std::size_t choice, double eye_x_mm) const {
  const rig::HookChoice& hook = wishes.hooks[choice];
  Vec3 eye = lure.rig.hooks[hook.hook].eye_mm;
  if (!hook.eye_x_mm) return eye;
  eye.x() = eye_x_mm;
  const Heights& skin = hook_heights[choice];
  if (skin.belly) eye.z() = skin.belly->at(eye_x_mm, eye.y()).z_mm + hook.eye_height_mm;
  if (skin.back) eye.z() = skin.back->at(eye_x_mm, eye.y()).z_mm - hook.eye_height_mm;
  return eye;
}

}  // namespace trueblank::tuning
