// SPDX-License-Identifier: GPL-3.0-or-later
//
// The box about a turned footprint needs its convex hull only.
//
// source  A. M. Andrew, "Another efficient algorithm for convex hulls in two dimensions",
//         Information Processing Letters 9(5), 1979
#include "body/print_bed.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>
#include <utility>

namespace trueblank::body {

using geometry::Vec3;

namespace {

using Point = Eigen::Vector2d;
using Bed = std::optional<std::array<double, 3>>;

constexpr int turns = 720;    // looked at over half a turn
constexpr int halvings = 40;  // of the step, about the best of them

double cross(const Point& o, const Point& a, const Point& b) {
  return (a - o).x() * (b - o).y() - (a - o).y() * (b - o).x();
}

std::vector<Point> hull_of(std::vector<Point> points) {
  std::ranges::sort(points, [](const Point& a, const Point& b) {
    return a.x() != b.x() ? a.x() < b.x() : a.y() < b.y();
  });
  std::vector<Point> hull;
  const auto add_all = [&](auto first, auto last) {
    const std::size_t base = hull.size();
    for (; first != last; ++first) {
      while (hull.size() >= base + 2 && cross(hull[hull.size() - 2], hull.back(), *first) <= 0) {
        hull.pop_back();
      }
      hull.push_back(*first);
    }
    hull.pop_back();
  };
  add_all(points.begin(), points.end());
  add_all(points.rbegin(), points.rend());
  return hull.empty() ? points : hull;
}

/// A way to lie: its footprint and its height.
struct Lying {
  std::string name;
  std::vector<Point> footprint;
  double height_mm = 0;
};

double extent_along(const std::vector<Point>& footprint, const Point& direction) {
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  for (const Point& p : footprint) {
    low = std::min(low, direction.dot(p));
    high = std::max(high, direction.dot(p));
  }
  return high - low;
}

// The box about it, turned by that much.
std::array<double, 3> box_of(const Lying& lying, double turned) {
  const double c = std::cos(turned);
  const double s = std::sin(turned);
  return {extent_along(lying.footprint, {c, -s}), extent_along(lying.footprint, {s, c}),
          lying.height_mm};
}

// The room beside it.
double room(const std::array<double, 3>& box, const std::array<double, 3>& bed) {
  return std::min(bed[0] - box[0], bed[1] - box[1]);
}

// Along the bed's width, or its depth where there is more room.
double straight_turn(const Lying& lying, const Bed& bed) {
  constexpr double quarter = std::numbers::pi / 2;
  const std::array<double, 3> box = box_of(lying, 0);
  return bed && room({box[1], box[0], box[2]}, *bed) > room(box, *bed) ? quarter : 0.0;
}

double best_turn(const Lying& lying, const std::array<double, 3>& bed) {
  const auto room_at = [&](double turned) { return room(box_of(lying, turned), bed); };
  constexpr double step = std::numbers::pi / turns;
  double best = 0;
  double most = room_at(0);
  for (int i = 1; i < turns; ++i) {
    const double found = room_at(i * step);
    if (found > most) {
      most = found;
      best = i * step;
    }
  }
  double half = step / 2;
  for (int i = 0; i < halvings; ++i, half /= 2) {
    for (const double turned : {best - half, best + half}) {
      const double found = room_at(turned);
      if (!(found > most)) continue;
      most = found;
      best = turned;
      break;
    }
  }
  return best;
}

BedRest rest_of(const Lying& lying, double turned, const Bed& bed) {
  BedRest rest{.name = lying.name,
               .box_mm = box_of(lying, turned),
               .turned_deg = turned * 180 / std::numbers::pi};
  if (!bed) return rest;
  rest.spare_mm = std::min(room(rest.box_mm, *bed), (*bed)[2] - rest.box_mm[2]);
  rest.fits = rest.spare_mm >= 0;
  return rest;
}

Lying lying(std::string name, const Eigen::Matrix3Xd& positions, const Vec3& along,
            const Vec3& across, const Vec3& up) {
  Lying result{.name = std::move(name), .footprint = {}};
  std::vector<Point> points;
  points.reserve(static_cast<std::size_t>(positions.cols()));
  for (Eigen::Index v = 0; v < positions.cols(); ++v) {
    points.emplace_back(along.dot(positions.col(v)), across.dot(positions.col(v)));
  }
  result.footprint = hull_of(std::move(points));
  const Eigen::RowVectorXd heights = up.transpose() * positions;
  result.height_mm = heights.maxCoeff() - heights.minCoeff();
  return result;
}

double volume(const BedRest& rest) { return rest.box_mm[0] * rest.box_mm[1] * rest.box_mm[2]; }

}  // namespace

std::vector<BedRest> bed_rests(const FramedBody& body, const Bed& bed_mm) {
  const Eigen::Matrix3Xd& positions = body.body->positions_mm();
  const geometry::Mat3 file = body.frame.axes().transpose();  // the file's axes in the body frame
  const Vec3 x = Vec3::UnitX();
  const Vec3 y = Vec3::UnitY();
  const Vec3 z = Vec3::UnitZ();
  std::vector<BedRest> rests;
  const Lying as_filed = lying("as in the file", positions, file.col(0), file.col(1), file.col(2));
  rests.push_back(rest_of(as_filed, straight_turn(as_filed, bed_mm), bed_mm));
  for (const Lying& way :
       {lying("belly down", positions, x, y, z), lying("on its flank", positions, x, z, y),
        lying("upright", positions, y, z, x)}) {
    const double straight = straight_turn(way, bed_mm);
    const bool turn = bed_mm && room(box_of(way, straight), *bed_mm) < 0;
    rests.push_back(rest_of(way, turn ? best_turn(way, *bed_mm) : straight, bed_mm));
  }
  std::ranges::stable_sort(rests, [&](const BedRest& a, const BedRest& b) {
    return bed_mm ? a.spare_mm > b.spare_mm : volume(a) < volume(b);
  });
  return rests;
}

}  // namespace trueblank::body
