// SPDX-License-Identifier: GPL-3.0-or-later
//
// A hole's part of a section is summed over lines through it, of each the stretches that lie in
// wood: upright lines, of a hole across the body lines along it. The lines lie at y0 + h·sin φ (or
// z0 + h·sin φ) for half a width of h, at Gauss-Legendre's places in φ, so that a whole circle and
// a whole rectangle come out to some 1e-9.
#include "tuning/hole_sections.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "geometry/cut.h"
#include "geometry/inside.h"

namespace trueblank::tuning {
namespace {

using rig::HoleAxis;
using std::numbers::pi;

struct Node {
  double place;  // in −1..1
  double weight;
};

// Source: M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions, table 25.4, n = 8.
constexpr std::array<Node, 8> gauss_legendre = {{{-0.960289856497536, 0.101228536290376},
                                                 {-0.796666477413627, 0.222381034453374},
                                                 {-0.525532409916329, 0.313706645877887},
                                                 {-0.183434642495650, 0.362683783378362},
                                                 {0.183434642495650, 0.362683783378362},
                                                 {0.525532409916329, 0.313706645877887},
                                                 {0.796666477413627, 0.222381034453374},
                                                 {0.960289856497536, 0.101228536290376}}};
constexpr int lines_round = 24;        // of a hole, at its flank and half way to it
constexpr double station_step_mm = 1;  // of a hole along the body
constexpr int most_stations = 60;
constexpr int steps_across = 6;  // stations to either side of a hole square to x

/// A line's stretch in wood, as lengths from the line's start.
struct Stretch {
  double from_mm;
  double to_mm;
};

std::vector<Stretch> in_wood(const geometry::ClosedMesh& body, const Vec3& from,
                             const Vec3& direction, double length_mm) {
  std::vector<Stretch> stretches;
  if (!(length_mm > 0)) return stretches;
  for (const auto& [a, b] :
       geometry::inside_parts(body, from, Vec3(from + length_mm * direction))) {
    stretches.push_back({a * length_mm, b * length_mm});
  }
  return stretches;
}

double size_of(const geometry::ClosedMesh& body) {
  return (body.positions_mm().rowwise().maxCoeff() - body.positions_mm().rowwise().minCoeff())
      .norm();
}

/// The wood that a line along a hole goes through: what begins below the mouth's middle.
std::vector<Stretch> drilled_along(const geometry::ClosedMesh& body, const DrilledHole& hole,
                                   const Vec3& from, double reach_mm) {
  std::vector<Stretch> stretches = in_wood(body, from, hole.out, reach_mm);
  std::erase_if(stretches, [&](const Stretch& s) { return s.from_mm >= hole.depth_mm; });
  return stretches;
}

/// Area and its moments about z = `level`.
struct SectionSums {
  double area = 0;
  double first = 0;
  double second = 0;

  /// A strip of some width over z from `low` to `high`, both measured from the level.
  void add_upright(double width, double low, double high) {
    area += width * (high - low);
    first += width * (high * high - low * low) / 2;
    second += width * (high * high * high - low * low * low) / 3;
  }

  /// A strip along y at a height above the level.
  void add_level(double thickness, double length, double z) {
    area += thickness * length;
    first += thickness * length * z;
    second += thickness * length * z * z;
  }
};

/// A circle of the hole's radius in the section at x.
SectionSums taken_along(const geometry::ClosedMesh& body, const symmetry::NearestSurface& skin,
                        const DrilledHole& hole, double x_mm, double level_mm) {
  SectionSums sums;
  const double r = hole.radius_mm;
  const Vec3 middle(x_mm, hole.end_mm.y(), hole.end_mm.z());
  const bool all_wood = -skin.nearest(middle).signed_distance_mm >= r;
  for (const Node& node : gauss_legendre) {
    const double angle = pi / 2 * node.place;
    const double half = r * std::cos(angle);
    const double width = pi / 2 * node.weight * half;
    const double low = middle.z() - half;
    const Vec3 from(x_mm, middle.y() + r * std::sin(angle), low);
    const std::vector<Stretch> wood = all_wood ? std::vector<Stretch>{{0, 2 * half}}
                                               : in_wood(body, from, Vec3::UnitZ(), 2 * half);
    for (const Stretch& s : wood) {
      sums.add_upright(width, low + s.from_mm - level_mm, low + s.to_mm - level_mm);
    }
  }
  return sums;
}

/// The rectangle, ended by the skin, that a hole square to x makes in the section at x.
SectionSums taken_square(const geometry::ClosedMesh& body, const DrilledHole& hole, double x_mm,
                         double level_mm, double reach_mm) {
  SectionSums sums;
  const double aside = x_mm - hole.end_mm.x();
  const double half = std::sqrt(std::max(0.0, hole.radius_mm * hole.radius_mm - aside * aside));
  const bool upright = hole.axis == HoleAxis::upright;
  for (const Node& node : gauss_legendre) {
    const double angle = pi / 2 * node.place;
    const double width = pi / 2 * node.weight * half * std::cos(angle);
    Vec3 from = hole.end_mm;
    from.x() = x_mm;
    (upright ? from.y() : from.z()) += half * std::sin(angle);
    const double z = from.z() - level_mm;
    for (const Stretch& s : drilled_along(body, hole, from, reach_mm)) {
      if (!upright) {
        sums.add_level(width, s.to_mm - s.from_mm, z);
      } else {
        const double a = z + hole.out.z() * s.from_mm;
        const double b = z + hole.out.z() * s.to_mm;
        sums.add_upright(width, std::min(a, b), std::max(a, b));
      }
    }
  }
  return sums;
}

std::vector<double> stations_of(const DrilledHole& hole, double rim_mm) {
  std::vector<double> stations;
  if (hole.axis != HoleAxis::along) {
    for (int k = -steps_across; k <= steps_across; ++k) {
      // Not the outermost, where the hole only touches.
      const double angle = pi / 2 * k / (steps_across + 1);
      stations.push_back(hole.end_mm.x() + hole.radius_mm * std::sin(angle));
    }
    return stations;
  }
  const double length = std::max(0.0, hole.depth_mm - rim_mm - 2 * hole.radius_mm);
  const int steps =
      std::clamp(static_cast<int>(std::ceil(length / station_step_mm)), 1, most_stations);
  for (int k = 0; k <= steps; ++k) {
    stations.push_back(hole.end_mm.x() + hole.out.x() * length * k / steps);
  }
  return stations;
}

}  // namespace

HoleRun run_of(const geometry::ClosedMesh& body, const DrilledHole& hole) {
  const Vec3 u = hole.out.unitOrthogonal();
  const Vec3 v = hole.out.cross(u);
  const double reach = hole.depth_mm + size_of(body);
  HoleRun run;
  for (int k = 0; k < 2 * lines_round; ++k) {
    const double angle = 2 * pi * k / lines_round;
    const double out = k < lines_round ? hole.radius_mm : hole.radius_mm / 2;
    const Vec3 from = hole.end_mm + out * (std::cos(angle) * u + std::sin(angle) * v);
    const std::vector<Stretch> wood = drilled_along(body, hole, from, reach);
    // One stretch, from the flat end on.
    if (wood.size() != 1 || wood.front().from_mm > 0) run.breaks_out = true;
    const double left_at = wood.empty() ? 0 : wood.front().to_mm;
    run.rim_mm = std::max(run.rim_mm, hole.depth_mm - left_at);
  }
  return run;
}

LeftOver left_over(const geometry::ClosedMesh& body, const symmetry::NearestSurface& skin,
                   const DrilledHole& hole, double rim_mm) {
  const double reach = hole.depth_mm + size_of(body);
  LeftOver least{.station_mm = hole.end_mm.x()};
  for (const double x : stations_of(hole, rim_mm)) {
    const geometry::BelowPlane cut =
        geometry::moments_below(body, {.normal = Vec3::UnitX(), .offset_mm = x});
    const double area = cut.waterplane_mm2;
    const double second = cut.waterplane_second_mm4(2, 2);
    if (!(area > 0) || !(second > 0)) continue;  // beside the body
    const double level = cut.waterplane_centroid_mm.z();
    const SectionSums taken = hole.axis == HoleAxis::along
                                  ? taken_along(body, skin, hole, x, level)
                                  : taken_square(body, hole, x, level, reach);
    const double left = std::max(0.0, area - taken.area);
    // About the middle line of what is left, which lies −first/left from the level.
    const double shifted = left > 0 ? taken.first * taken.first / left : 0;
    const double left_second = std::max(0.0, second - taken.second - shifted);
    least.area = std::min(least.area, left / area);
    if (left_second / second < least.second_moment) {
      least.second_moment = left_second / second;
      least.station_mm = x;
    }
  }
  return least;
}

}  // namespace trueblank::tuning
