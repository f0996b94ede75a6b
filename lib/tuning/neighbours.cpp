// SPDX-License-Identifier: GPL-3.0-or-later
#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "tuning/convex_gap.h"
#include "tuning/hole.h"

namespace trueblank::tuning {
namespace {

using std::numbers::pi;

constexpr double least_ball_mm = 0.1;  // radius for the slope per volume

Rod rod_of(const Slug& slug) {
  if (slug.ball()) return {.middle_mm = slug.at_mm, .margin_mm = slug.radius_mm()};
  return {.middle_mm = slug.at_mm,
          .axis = slug.axis,
          .half_mm = slug.length_mm() / 2,
          .radius_mm = slug.radius_mm()};
}

/// A slug's reach along n grows with its volume, and takes so much of the gap.
double per_mm3(const Slug& slug, const Vec3& n) {
  const double r = slug.radius_mm();
  if (!slug.ball()) return -std::abs(n.dot(slug.axis)) / (2 * pi * r * r);
  const double finite = std::max(r, least_ball_mm);
  return -1 / (4 * pi * finite * finite);
}

Wall wall_of_one(const Slug& one, const Gap& gap) {
  return {
      .mm = gap.mm, .per_mm = gap.n, .per_mm3 = per_mm3(one, gap.n), .thinnest_mm = gap.on_one_mm};
}

}  // namespace

WallBetween wall_between(const Slug& one, const Slug& other) {
  const Gap gap = gap_between(rod_of(one), rod_of(other));
  return {wall_of_one(one, gap),
          {.mm = gap.mm,
           .per_mm = -gap.n,
           .per_mm3 = per_mm3(other, gap.n),
           .thinnest_mm = gap.on_other_mm}};
}

Wall wall_to_wire(const Slug& slug, const rig::Wire& wire) {
  const Rod rod = rod_of(slug);
  Gap least;
  least.mm = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i + 1 < wire.path_mm.size(); ++i) {
    const Vec3 along = wire.path_mm[i + 1] - wire.path_mm[i];
    const double length = along.norm();
    const Rod stretch{.middle_mm = wire.path_mm[i] + along / 2,
                      .axis = length > 0 ? Vec3(along / length) : Vec3::UnitX(),
                      .half_mm = length / 2,
                      .margin_mm = wire.diameter_mm / 2};
    const Gap gap = gap_between(rod, stretch);
    if (gap.mm < least.mm) least = gap;
  }
  return wall_of_one(slug, least);
}

}  // namespace trueblank::tuning
