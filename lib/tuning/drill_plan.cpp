// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/drill_plan.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/inside.h"
#include "tuning/hole_sections.h"

namespace trueblank::tuning {
namespace {

using rig::HoleAxis;
using rig::Mouth;
using std::numbers::pi;

constexpr double as_near_mm = 1e-6;  // ends that differ by less are equally near

/// The mouths of an axis: against it, and along it.
std::pair<Mouth, Mouth> ends_of(HoleAxis axis) {
  if (axis == HoleAxis::along) return {Mouth::nose, Mouth::tail};
  if (axis == HoleAxis::across) return {Mouth::left, Mouth::right};
  return {Mouth::belly, Mouth::back};
}

/// Of two equally near ends the one that a maker would sooner choose.
bool first_of_equals(HoleAxis axis) { return axis != HoleAxis::along; }

/// Whether the hole starts at the end against the axis.
bool from_first(HoleAxis axis, const std::pair<Vec3, Vec3>& ends, const Vec3& at_mm,
                const std::optional<Mouth>& asked) {
  const auto [first, second] = ends_of(axis);
  if (asked == first) return true;
  if (asked == second) return false;
  const double nearer = (ends.second - at_mm).norm() - (ends.first - at_mm).norm();
  return std::abs(nearer) <= as_near_mm ? first_of_equals(axis) : nearer > 0;
}

/// A ballast's whole hole; nothing where it has none.
std::optional<DrilledHole> hole_of(const geometry::ClosedMesh& body, const rig::Ballast& ballast,
                                   const std::optional<Mouth>& asked) {
  const Slug slug = slug_of(ballast);
  if (slug.ball()) return std::nullopt;
  const auto ends = mouths_of(body, slug);
  if (!ends) return std::nullopt;
  const HoleAxis axis = ballast.axis.value_or(HoleAxis::upright);
  const bool first = from_first(axis, *ends, slug.at_mm, asked);
  DrilledHole hole{.axis = axis, .out = first ? Vec3(-slug.axis) : slug.axis};
  hole.radius_mm = slug.radius_mm();
  hole.end_mm = slug.at_mm - slug.length_mm() / 2 * hole.out;
  hole.depth_mm = hole.out.dot((first ? ends->first : ends->second) - hole.end_mm);
  return hole;
}

Slug whole(const DrilledHole& hole) {
  return {.at_mm = hole.end_mm + hole.depth_mm / 2 * hole.out,
          .axis = hole.out,
          .diameter_mm = 2 * hole.radius_mm,
          .volume_mm3 = pi * hole.radius_mm * hole.radius_mm * hole.depth_mm};
}

/// The flat end, and half of what has wood all round, against the skin.
bool end_meets_skin(const DrilledHole& hole, double rim_mm, const symmetry::NearestSurface& skin) {
  DrilledHole closed = hole;
  closed.depth_mm -= rim_mm;
  if (!(closed.depth_mm > 0)) return true;
  Slug slug = whole(closed);
  slug.axis = -hole.out;  // so that the half at the end comes first
  const std::vector<Wall> walls = walls_to_skin(slug, skin);
  return std::any_of(walls.begin(), walls.begin() + 4, [](const Wall& w) { return w.mm <= 0; });
}

class Planner {
 public:
  Planner(const geometry::ClosedMesh& body, const symmetry::NearestSurface& skin,
          const rig::Rig& rig, const std::vector<std::optional<Mouth>>& mouths)
      : body_(body), skin_(skin), rig_(rig) {
    std::vector<std::optional<Mouth>> asked = mouths;
    asked.resize(rig.ballasts.size());
    for (std::size_t i = 0; i < rig.ballasts.size(); ++i) {
      holes_.push_back(hole_of(body, rig.ballasts[i], asked[i]));
    }
  }

  [[nodiscard]] std::optional<DrillPlan> plan(std::size_t i) const {
    if (!holes_[i]) return std::nullopt;
    const DrilledHole& hole = *holes_[i];
    const Slug slug = slug_of(rig_.ballasts[i]);
    const auto [first, second] = ends_of(hole.axis);
    DrillPlan plan{.name = rig_.ballasts[i].name,
                   .from = hole.out.sum() < 0 ? first : second,
                   .start_mm = hole.end_mm + hole.depth_mm * hole.out,
                   .direction = -hole.out,
                   .depth_mm = hole.depth_mm,
                   .diameter_mm = slug.diameter_mm,
                   .length_mm = slug.length_mm(),
                   .plug_mm = std::max(0.0, hole.depth_mm - slug.length_mm())};
    const HoleRun run = run_of(body_, hole);
    plan.rim_mm = run.rim_mm;
    plan.breaks_out = run.breaks_out || end_meets_skin(hole, run.rim_mm, skin_);
    add_walls(plan, i);
    const LeftOver left = left_over(body_, skin_, hole, run.rim_mm);
    plan.area_left = left.area;
    plan.second_moment_left = left.second_moment;
    plan.weakest_station_mm = left.station_mm;
    return plan;
  }

 private:
  void add_walls(DrillPlan& plan, std::size_t i) const {
    const ThinnestWood thinnest = thinnest_wood(rig_, i, skin_);
    plan.wall_mm = thinnest.wall.mm;
    plan.wall_at_mm = thinnest.wall.thinnest_mm;
    plan.wall_to = thinnest.to;
    const Slug hole = whole(*holes_[i]);
    const auto hold_against = [&](double mm, const std::string& name) {
      if (plan.channel_wall_mm && *plan.channel_wall_mm <= mm) return;
      plan.channel_wall_mm = mm;
      plan.channel_wall_to = name;
    };
    for (std::size_t j = 0; j < rig_.ballasts.size(); ++j) {
      if (j == i) continue;
      const Slug other = holes_[j] ? whole(*holes_[j]) : slug_of(rig_.ballasts[j]);
      hold_against(wall_between(hole, other).one.mm, rig_.ballasts[j].name);
    }
    for (const rig::Pocket& pocket : rig_.pockets) {
      hold_against(wall_between(hole, slug_of(pocket)).one.mm, pocket.name);
    }
    for (const rig::Wire& wire : rig_.wires) {
      hold_against(wall_to_wire(hole, wire).mm, wire.name);
    }
  }

  const geometry::ClosedMesh& body_;
  const symmetry::NearestSurface& skin_;
  const rig::Rig& rig_;
  std::vector<std::optional<DrilledHole>> holes_;
};

}  // namespace

std::vector<std::optional<DrillPlan>> drill_plans(
    const geometry::ClosedMesh& body, const symmetry::NearestSurface& skin, const rig::Rig& rig,
    const std::vector<std::optional<rig::Mouth>>& mouths) {
  const Planner planner(body, skin, rig, mouths);
  std::vector<std::optional<DrillPlan>> plans;
  for (std::size_t i = 0; i < rig.ballasts.size(); ++i) plans.push_back(planner.plan(i));
  return plans;
}

std::optional<std::pair<Vec3, Vec3>> mouths_of(const geometry::ClosedMesh& body, const Slug& slug) {
  const Vec3 low = body.positions_mm().rowwise().minCoeff();
  const Vec3 high = body.positions_mm().rowwise().maxCoeff();
  const double reach = (high - low).norm();  // from a point inside it is past the skin
  const Vec3 a = slug.at_mm - reach * slug.axis;
  const Vec3 b = slug.at_mm + reach * slug.axis;
  for (const auto& [from, to] : geometry::inside_parts(body, a, b)) {
    if (from < 0.5 && to > 0.5) return std::pair(Vec3(a + from * (b - a)), Vec3(a + to * (b - a)));
  }
  return std::nullopt;
}

}  // namespace trueblank::tuning
