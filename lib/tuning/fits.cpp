// SPDX-License-Identifier: GPL-3.0-or-later
#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "geometry/inside.h"
#include "tuning/hole.h"

namespace trueblank::tuning {
namespace {

constexpr int chords = 18;  // about the axis
constexpr double right_to_mm = 1e-3;

Wall thinner(const Wall& p, const Wall& q) { return q.mm < p.mm ? q : p; }

Wall wall_to_skin(const Slug& slug, const symmetry::NearestSurface& skin) {
  const std::vector<Wall> walls = walls_to_skin(slug, skin);
  Wall least = walls.front();
  for (const Wall& wall : walls) least = thinner(least, wall);
  return least;
}

/// The way through the body along a direction, by a point in it.
double chord_mm(const geometry::ClosedMesh& body, const Vec3& point_mm, const Vec3& direction) {
  const Vec3 low = body.positions_mm().rowwise().minCoeff();
  const Vec3 high = body.positions_mm().rowwise().maxCoeff();
  const double reach = (high - low).norm();  // from a point inside it is past the skin
  const Vec3 a = point_mm - reach * direction;
  const Vec3 b = point_mm + reach * direction;
  for (const auto& [from, to] : geometry::inside_parts(body, a, b)) {
    if (from <= 0.5 && to >= 0.5) return (to - from) * 2 * reach;
  }
  return 0;
}

double least_chord_mm(const geometry::ClosedMesh& body, const Slug& slug) {
  const Vec3 u = slug.axis.unitOrthogonal();
  const Vec3 v = slug.axis.cross(u);
  double least = std::numeric_limits<double>::infinity();
  for (int k = 0; k < chords; ++k) {
    const double angle = k * std::numbers::pi / chords;
    const Vec3 direction = std::cos(angle) * u + std::sin(angle) * v;
    least = std::min(least, chord_mm(body, slug.at_mm, direction));
  }
  return least;
}

}  // namespace

ThinnestWood thinnest_wood(const rig::Rig& rig, std::size_t ballast,
                           const symmetry::NearestSurface& skin) {
  const Slug slug = slug_of(rig.ballasts[ballast]);
  ThinnestWood thinnest{wall_to_skin(slug, skin), "the skin"};
  const auto hold_against = [&](const Wall& wall, const std::string& name) {
    if (wall.mm < thinnest.wall.mm) thinnest = {wall, name};
  };
  for (std::size_t i = 0; i < rig.ballasts.size(); ++i) {
    if (i == ballast) continue;
    hold_against(wall_between(slug, slug_of(rig.ballasts[i])).one, rig.ballasts[i].name);
  }
  for (const rig::Pocket& pocket : rig.pockets) {
    hold_against(wall_between(slug, slug_of(pocket)).one, pocket.name);
  }
  for (const rig::Wire& wire : rig.wires) hold_against(wall_to_wire(slug, wire), wire.name);
  return thinnest;
}

Fit fits(const geometry::ClosedMesh& body, const symmetry::NearestSurface& skin, const Slug& slug,
         double wall_min_mm) {
  const auto trouble = [](Fit::Trouble what, double wanted, double room, const Vec3& at_mm) {
    return Fit{.trouble = what, .by_mm = wanted - room, .room_mm = room, .thinnest_mm = at_mm};
  };
  const double depth = -skin.nearest(slug.at_mm).signed_distance_mm;
  if (depth <= 0) return trouble(Fit::Trouble::centre_outside, 0, depth, slug.at_mm);
  const Wall wall = wall_to_skin(slug, skin);
  const double width = 2 * slug.radius_mm();
  const double across = least_chord_mm(body, slug);
  if (width > across) {
    return trouble(Fit::Trouble::wider_than_body, width, across, wall.thinnest_mm);
  }
  const double along = chord_mm(body, slug.at_mm, slug.axis);
  if (slug.length_mm() > along) {
    return trouble(Fit::Trouble::longer_than_body, slug.length_mm(), along, wall.thinnest_mm);
  }
  // A wall of just what is asked for stands, as far as walls are known.
  if (wall.mm < -right_to_mm) return trouble(Fit::Trouble::pokes_out, 0, wall.mm, wall.thinnest_mm);
  if (wall.mm < wall_min_mm - right_to_mm) {
    return trouble(Fit::Trouble::thin_wall, wall_min_mm, wall.mm, wall.thinnest_mm);
  }
  return {.room_mm = wall.mm, .thinnest_mm = wall.thinnest_mm};
}

}  // namespace trueblank::tuning
