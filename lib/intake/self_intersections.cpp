// SPDX-License-Identifier: GPL-3.0-or-later
// Boxes by A. Zomorodian and H. Edelsbrunner, "Fast software for box intersections", 2002, as CGAL
// has it; then a quick look for a plane that clearly parts the two facets; then exact predicates.
#include "intake/self_intersections.h"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/box_intersection_d.h>
#include <CGAL/intersections.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

namespace trueblank::intake {
namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Box = CGAL::Box_intersection_d::Box_with_handle_d<double, 3, const int*,
                                                        CGAL::Box_intersection_d::ID_EXPLICIT>;
using geometry::Vec3;

/// Two facets with their shared corners first: `shared` of them in a[0…] and b[0…].
struct FacetPair {
  std::array<int, 3> a;
  std::array<int, 3> b;
  int shared = 0;
};

FacetPair matched(const int* facet_a, const int* facet_b) {
  FacetPair pair = {{facet_a[0], facet_a[1], facet_a[2]}, {facet_b[0], facet_b[1], facet_b[2]}, 0};
  for (std::size_t i = 0; i < 3; ++i) {
    for (auto j = static_cast<std::size_t>(pair.shared); j < 3; ++j) {
      if (pair.a[i] != pair.b[j]) continue;
      std::swap(pair.a[i], pair.a[static_cast<std::size_t>(pair.shared)]);
      std::swap(pair.b[j], pair.b[static_cast<std::size_t>(pair.shared)]);
      ++pair.shared;
      break;
    }
  }
  return pair;
}

/// Corners relative to one of them, so that small facets far from the origin keep their digits.
struct Relative {
  std::array<Vec3, 3> a;
  std::array<Vec3, 3> b;
  double size = 0;  ///< the greatest coordinate
};

Relative relative(const FacetPair& pair, const Eigen::Matrix3Xd& positions) {
  Relative out;
  const Vec3 origin = positions.col(pair.a[0]);
  for (std::size_t k = 0; k < 3; ++k) {
    out.a[k] = positions.col(pair.a[k]) - origin;
    out.b[k] = positions.col(pair.b[k]) - origin;
    out.size = std::max({out.size, out.a[k].cwiseAbs().maxCoeff(), out.b[k].cwiseAbs().maxCoeff()});
  }
  return out;
}

/// Whether, along `axis`, all of a's corners from `first` on lie clearly on one side of all of b's:
/// by more than the rounding of the differences and of the products, some 4 units in the last
/// place of the terms; ten times that is asked.
bool parted(const Relative& facets, std::size_t first, const Vec3& axis) {
  const double margin = 1e-14 * facets.size * axis.cwiseAbs().sum();
  double low_a = INFINITY;
  double high_a = -INFINITY;
  double low_b = INFINITY;
  double high_b = -INFINITY;
  for (std::size_t k = first; k < 3; ++k) {
    const double at_a = axis.dot(facets.a[k]);
    const double at_b = axis.dot(facets.b[k]);
    low_a = std::min(low_a, at_a);
    high_a = std::max(high_a, at_a);
    low_b = std::min(low_b, at_b);
    high_b = std::max(high_b, at_b);
  }
  return low_a > high_b + margin || low_b > high_a + margin;
}

/// As `parted`, with the shared corner (at the origin) between the two.
bool parted_at_corner(const Relative& facets, const Vec3& axis) {
  const double margin = 1e-14 * facets.size * axis.cwiseAbs().sum();
  const double a1 = axis.dot(facets.a[1]);
  const double a2 = axis.dot(facets.a[2]);
  const double b1 = axis.dot(facets.b[1]);
  const double b2 = axis.dot(facets.b[2]);
  const double low_a = std::min(a1, a2);
  const double high_a = std::max(a1, a2);
  const double low_b = std::min(b1, b2);
  const double high_b = std::max(b1, b2);
  return (low_a > margin && high_b < -margin) || (low_b > margin && high_a < -margin);
}

/// Facets without a shared corner: most near misses are parted along a normal, or along a line
/// within a facet's plane square to one of its edges.
bool clearly_parted(const FacetPair& pair, const Eigen::Matrix3Xd& positions) {
  const Relative facets = relative(pair, positions);
  for (const auto* facet : {&facets.a, &facets.b}) {
    const std::array<Vec3, 3>& p = *facet;
    const Vec3 normal = (p[1] - p[0]).cross(p[2] - p[0]);
    if (parted(facets, 0, normal)) return true;
    for (std::size_t k = 0; k < 3; ++k) {
      if (parted(facets, 0, normal.cross(p[(k + 1) % 3] - p[k]))) return true;
    }
  }
  return false;
}

/// Facets with one shared corner: seen from it, they look different ways.
bool clearly_parted_at_corner(const FacetPair& pair, const Eigen::Matrix3Xd& positions) {
  const Relative facets = relative(pair, positions);
  const auto middle = [](const std::array<Vec3, 3>& p) {
    return Vec3(p[1].normalized() + p[2].normalized());
  };
  const Vec3 middle_a = middle(facets.a);
  const Vec3 middle_b = middle(facets.b);
  if (parted_at_corner(facets, middle_a - middle_b)) return true;
  // One facet wholly above or below the other's plane: that plane, tilted away a little.
  constexpr double tilt = 0.01;
  for (const auto& [own, own_middle, other_middle] :
       {std::tie(facets.a, middle_a, middle_b), std::tie(facets.b, middle_b, middle_a)}) {
    const Vec3 normal = own[1].cross(own[2]).normalized();
    const double side = normal.dot(other_middle) > 0 ? 1 : -1;
    if (parted_at_corner(facets, side * normal - tilt * own_middle)) return true;
  }
  return false;
}

class Judge {
 public:
  Judge(const Corners& facets, const Eigen::Matrix3Xd& positions)
      : facets_(facets), positions_(positions) {}

  [[nodiscard]] bool has_area(int facet) const {
    const int* corners = &facets_[3 * static_cast<std::size_t>(facet)];
    return !CGAL::collinear(point(corners[0]), point(corners[1]), point(corners[2]));
  }

  [[nodiscard]] bool meet(int a, int b) const {
    const FacetPair pair = matched(&facets_[3 * static_cast<std::size_t>(a)],
                                   &facets_[3 * static_cast<std::size_t>(b)]);
    switch (pair.shared) {
      case 0:
        return !clearly_parted(pair, positions_) &&
               CGAL::do_intersect(triangle(pair.a), triangle(pair.b));
      case 1:
        return !clearly_parted_at_corner(pair, positions_) && meet_beyond_corner(pair);
      case 2:
        return folded(pair);
      default:
        return true;  // the same three corners
    }
  }

 private:
  [[nodiscard]] Kernel::Point_3 point(int vertex) const {
    return {positions_(0, vertex), positions_(1, vertex), positions_(2, vertex)};
  }

  [[nodiscard]] Kernel::Triangle_3 triangle(const std::array<int, 3>& corners) const {
    return {point(corners[0]), point(corners[1]), point(corners[2])};
  }

  [[nodiscard]] bool meet_beyond_corner(const FacetPair& pair) const {
    const Kernel::Segment_3 far_a(point(pair.a[1]), point(pair.a[2]));
    const Kernel::Segment_3 far_b(point(pair.b[1]), point(pair.b[2]));
    return CGAL::do_intersect(triangle(pair.b), far_a) ||
           CGAL::do_intersect(triangle(pair.a), far_b);
  }

  /// Facets with a shared edge overlap only where one lies folded onto the other.
  [[nodiscard]] bool folded(const FacetPair& pair) const {
    const Relative facets = relative(pair, positions_);
    const Vec3& edge = facets.a[1];
    const double across = edge.cross(facets.a[2]).dot(edge.cross(facets.b[2]));
    const double bound = edge.squaredNorm() * facets.size * facets.size;
    if (across < -1e-13 * bound) return false;  // to either side of the edge
    const Kernel::Point_3 p = point(pair.a[0]);
    const Kernel::Point_3 q = point(pair.a[1]);
    const Kernel::Point_3 r = point(pair.a[2]);
    const Kernel::Point_3 s = point(pair.b[2]);
    return CGAL::coplanar(p, q, r, s) && CGAL::coplanar_orientation(p, q, r, s) == CGAL::POSITIVE;
  }

  const Corners& facets_;
  const Eigen::Matrix3Xd& positions_;
};

std::vector<Box> boxes(const Corners& facets, const Eigen::Matrix3Xd& positions,
                       const Judge& judge) {
  std::vector<Box> out;
  out.reserve(facets.size() / 3);
  for (std::size_t f = 0; f < facets.size(); f += 3) {
    const int number = static_cast<int>(f / 3);
    if (!judge.has_area(number)) continue;
    const Vec3 a = positions.col(facets[f]);
    const Vec3 b = positions.col(facets[f + 1]);
    const Vec3 c = positions.col(facets[f + 2]);
    const Vec3 low = a.cwiseMin(b).cwiseMin(c);
    const Vec3 high = a.cwiseMax(b).cwiseMax(c);
    out.emplace_back(CGAL::Bbox_3(low.x(), low.y(), low.z(), high.x(), high.y(), high.z()),
                     &facets[f]);
  }
  return out;
}

}  // namespace

std::vector<std::pair<int, int>> self_intersections(const Corners& facets,
                                                    const Eigen::Matrix3Xd& positions) {
  const Judge judge(facets, positions);
  std::vector<Box> all = boxes(facets, positions, judge);
  std::vector<std::pair<int, int>> pairs;
  const auto number = [&facets](const Box& box) {
    return static_cast<int>((box.handle() - facets.data()) / 3);
  };
  CGAL::box_self_intersection_d(all.begin(), all.end(), [&](const Box& a, const Box& b) {
    const int first = std::min(number(a), number(b));
    const int second = std::max(number(a), number(b));
    if (judge.meet(first, second)) pairs.emplace_back(first, second);
  });
  std::sort(pairs.begin(), pairs.end());
  return pairs;
}

}  // namespace trueblank::intake
