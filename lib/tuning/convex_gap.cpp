// SPDX-License-Identifier: GPL-3.0-or-later
//
// source  E. G. Gilbert, D. W. Johnson, S. S. Keerthi, "A fast procedure for computing the distance
//         between complex objects in three-dimensional space", IEEE J. Robotics and Automation
//         4(2), 193-203, 1988: the point nearest to the origin of all differences p − q is found
//         over simplices of such differences.
//
// For a direction n the two are apart by g(n) = n·(c1 − c2) − reach1(n) − reach2(n); the gap is the
// greatest g. Where they are apart that proves the distance found; where they overlap it is sought
// itself: it lies where g is smooth, or on the circles n ⊥ axis, or at n = ±axis, where it has its
// ridges.
#include "tuning/convex_gap.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <vector>

namespace trueblank::tuning {
namespace {

constexpr int most_rounds = 200;
constexpr double proven_mm = 1e-8;    // how far the distance found may be from the one proven
constexpr double touching_mm = 1e-7;  // nearer than this they are taken to overlap
constexpr int directions = 256;       // even over the sphere
constexpr int best_kept = 6;
constexpr double turned_rad = 1e-6;  // how closely a direction is found

double sign(double value) { return value < 0 ? -1 : 1; }

/// The part of a direction square to an axis, of unit length; nought where rounding leaves none.
Vec3 across(const Vec3& axis, const Vec3& n) {
  constexpr double rounding = 1e-12;
  Vec3 out = n - n.dot(axis) * axis;
  if (!(out.norm() > rounding * n.norm())) return Vec3::Zero();
  out.normalize();
  out -= out.dot(axis) * axis;  // again, for what the first time left along the axis
  return out.normalized();
}

/// As farthest_mm(), of the cylinder without its margin.
Vec3 farthest_of_core(const Rod& rod, const Vec3& n) {
  return rod.middle_mm + sign(n.dot(rod.axis)) * rod.half_mm * rod.axis +
         rod.radius_mm * across(rod.axis, n);
}

struct Corner {
  Vec3 one;
  Vec3 other;

  [[nodiscard]] Vec3 difference() const { return one - other; }
};

Corner corner_towards(const Rod& one, const Rod& other, const Vec3& n) {
  return {farthest_of_core(one, n), farthest_of_core(other, -n)};
}

/// Some corners and their shares, which sum to 1.
struct Simplex {
  std::vector<Corner> corners;
  std::vector<double> shares;

  [[nodiscard]] Corner nearest() const {
    Corner sum{Vec3::Zero(), Vec3::Zero()};
    for (std::size_t i = 0; i < corners.size(); ++i) {
      sum.one += shares[i] * corners[i].one;
      sum.other += shares[i] * corners[i].other;
    }
    return sum;
  }
};

/// The point nearest to the origin of the flat through some corners, where it lies within them.
std::optional<Simplex> nearest_within(const std::vector<Corner>& corners) {
  const Eigen::Index count = static_cast<Eigen::Index>(corners.size()) - 1;
  Simplex result{corners, {1.0}};
  if (count == 0) return result;
  const Vec3 base = corners[0].difference();
  Eigen::Matrix<double, 3, Eigen::Dynamic, 0, 3, 3> edges(3, count);
  for (Eigen::Index i = 0; i < count; ++i) {
    edges.col(i) = corners[static_cast<std::size_t>(i) + 1].difference() - base;
  }
  const auto solver = edges.colPivHouseholderQr();
  if (solver.rank() < count) return std::nullopt;  // a smaller set has the same flat
  const Eigen::Matrix<double, Eigen::Dynamic, 1, 0, 3, 1> shares = solver.solve(-base);
  if (shares.minCoeff() < 0 || shares.sum() > 1) return std::nullopt;
  result.shares[0] = 1 - shares.sum();
  for (const double share : shares) result.shares.push_back(share);
  return result;
}

/// Of all sets of the corners with the last, which is new and without which there is nothing
/// nearer, the one that comes nearest to the origin.
Simplex nearest_set(const std::vector<Corner>& corners) {
  Simplex best;
  double least = std::numeric_limits<double>::infinity();
  const std::size_t others = corners.size() - 1;
  for (unsigned set = 0; set < 1U << others; ++set) {
    std::vector<Corner> chosen{corners.back()};
    for (std::size_t i = 0; i < others; ++i) {
      if ((set >> i & 1U) != 0) chosen.push_back(corners[i]);
    }
    const std::optional<Simplex> found = nearest_within(chosen);
    if (!found) continue;
    const double squared = found->nearest().difference().squaredNorm();
    if (squared < least) {
      least = squared;
      best = *found;
    }
  }
  return best;
}

/// The nearest points of the two cylinders; nothing where they overlap or touch.
std::optional<Corner> nearest_of_cores(const Rod& one, const Rod& other) {
  Vec3 n = one.middle_mm - other.middle_mm;
  if (n.norm() < touching_mm) return std::nullopt;
  Simplex simplex = nearest_set({corner_towards(one, other, -n)});
  for (int round = 0; round < most_rounds; ++round) {
    n = simplex.nearest().difference();
    const double distance = n.norm();
    if (distance < touching_mm) return std::nullopt;
    const Corner further = corner_towards(one, other, -n);
    if (distance - n.dot(further.difference()) / distance < proven_mm) break;
    std::vector<Corner> corners = simplex.corners;
    if (corners.size() == 4) return std::nullopt;  // the origin lies within
    corners.push_back(further);
    Simplex next = nearest_set(corners);
    if (!(next.nearest().difference().norm() < distance)) break;  // rounding
    simplex = std::move(next);
  }
  return simplex.nearest();
}

/// g and its search over directions.
class Clearance {
 public:
  Clearance(const Rod& one, const Rod& other) : one_(one), other_(other) {
    between_ = one.middle_mm - other.middle_mm;
  }

  [[nodiscard]] Vec3 best_direction() {
    offer(between_);
    for (const Vec3& axis : {one_.axis, other_.axis, Vec3(one_.axis.cross(other_.axis))}) {
      offer(axis);
      offer(-axis);
    }
    on_circle(one_.axis);
    on_circle(other_.axis);
    over_sphere();
    return best_;
  }

 private:
  [[nodiscard]] double at(const Vec3& n) const {
    return n.dot(between_) - one_.reach_mm(n) - other_.reach_mm(n);
  }

  void offer(const Vec3& direction) {
    const double length = direction.norm();
    if (!(length > 1e-9)) return;  // none: parallel axes, or middles on each other
    const Vec3 n = direction / length;
    const double g = at(n);
    if (g > greatest_) {
      greatest_ = g;
      best_ = n;
    }
  }

  void on_circle(const Vec3& axis) {
    const Vec3 u = axis.unitOrthogonal();
    const Vec3 v = axis.cross(u);
    const auto direction = [&](double angle) -> Vec3 {
      return std::cos(angle) * u + std::sin(angle) * v;
    };
    constexpr int steps = 72;
    const double apart = 2 * std::numbers::pi / steps;
    int best = 0;
    for (int k = 1; k < steps; ++k) {
      if (at(direction(k * apart)) > at(direction(best * apart))) best = k;
    }
    double low = (best - 1) * apart;
    double high = (best + 1) * apart;
    while (high - low > turned_rad) {
      const double third = (high - low) / 3;
      const bool left = at(direction(low + third)) > at(direction(high - third));
      (left ? high : low) += left ? -third : third;
    }
    offer(direction((low + high) / 2));
  }

  void over_sphere() {
    struct Start {
      double g;
      Vec3 n;
    };

    std::vector<Start> starts;
    for (int i = 0; i < directions; ++i) {
      const double z = 1 - (2 * i + 1.0) / directions;
      const double turn = std::numbers::pi * (3 - std::sqrt(5.0)) * i;
      const double out = std::sqrt(1 - z * z);
      const Vec3 n(out * std::cos(turn), out * std::sin(turn), z);
      starts.push_back({at(n), n});
    }
    std::stable_sort(starts.begin(), starts.end(),
                     [](const Start& p, const Start& q) { return p.g > q.g; });
    for (std::size_t k = 0; k < best_kept; ++k) climb(starts[k].n);
  }

  /// Steps to eight sides, halved where none goes up.
  void climb(Vec3 n) {
    double g = at(n);
    for (double step = 0.1; step > turned_rad;) {
      const Vec3 u = n.unitOrthogonal();
      const Vec3 v = n.cross(u);
      Vec3 next = n;
      for (int k = 0; k < 8; ++k) {
        const double angle = k * std::numbers::pi / 4;
        const Vec3 m = (n + step * (std::cos(angle) * u + std::sin(angle) * v)).normalized();
        if (at(m) > g) {
          g = at(m);
          next = m;
        }
      }
      if (next == n) step /= 2;  // exactly: no step was taken
      n = next;
    }
    offer(n);
  }

  const Rod& one_;
  const Rod& other_;
  Vec3 between_;
  Vec3 best_ = Vec3::UnitX();
  double greatest_ = -std::numeric_limits<double>::infinity();
};

}  // namespace

double Rod::reach_mm(const Vec3& n) const {
  return half_mm * std::abs(n.dot(axis)) + radius_mm * n.cross(axis).norm() + margin_mm;
}

Vec3 Rod::farthest_mm(const Vec3& n) const {
  return farthest_of_core(*this, n) + margin_mm * n.normalized();
}

Gap gap_between(const Rod& one, const Rod& other) {
  const double margins = one.margin_mm + other.margin_mm;
  if (const std::optional<Corner> nearest = nearest_of_cores(one, other)) {
    const Vec3 apart = nearest->difference();
    const double distance = apart.norm();
    const Vec3 n = apart / distance;
    return {distance - margins, n, nearest->one - one.margin_mm * n,
            nearest->other + other.margin_mm * n};
  }
  const Vec3 n = Clearance(one, other).best_direction();
  return {n.dot(one.middle_mm - other.middle_mm) - one.reach_mm(n) - other.reach_mm(n), n,
          one.farthest_mm(-n), other.farthest_mm(n)};
}

}  // namespace trueblank::tuning
