// SPDX-License-Identifier: GPL-3.0-or-later
// Each facet is cut by the other's plane; both cuts lie on the line in which the planes meet, and
// what they have in common is the crossing. After T. Möller, "A fast triangle-triangle intersection
// test", J. Graphics Tools 2(2), 1997, without rounding.
#include "intake/crossings.h"

#include <algorithm>
#include <array>
#include <tuple>

namespace trueblank::intake {
namespace {

/// The part of a facet that lies in another's plane, its ends in rising order of x, y, z.
struct Cut {
  int ends = 0;  ///< how many were found: 0 to 2; 3 is all corners
  std::array<int, 3> at = {-1, -1, -1};
};

class Crosser {
 public:
  Crosser(const Corners& facets, ExactPoints& points) : facets_(facets), points_(points) {}

  /// from is -1 where they have nothing in common.
  [[nodiscard]] Crossing cross(int a, int b) {
    Crossing crossing = {a, b, false, -1, -1};
    const Cut cut_a = cut(a, b);
    if (cut_a.ends == 3) {
      crossing.coplanar = true;
      return crossing;
    }
    const Cut cut_b = cut(b, a);
    if (cut_a.ends == 0 || cut_b.ends == 0) return crossing;
    const int low = before(cut_a.at[0], cut_b.at[0]) ? cut_b.at[0] : cut_a.at[0];
    const int high = before(cut_a.at[1], cut_b.at[1]) ? cut_a.at[1] : cut_b.at[1];
    if (before(high, low)) return crossing;
    crossing.from = low;
    crossing.to = high;
    return crossing;
  }

 private:
  [[nodiscard]] int corner(int facet, int which) const {
    return facets_[3 * static_cast<std::size_t>(facet) + static_cast<std::size_t>(which)];
  }

  [[nodiscard]] bool before(int p, int q) const {
    return p != q && CGAL::compare_xyz(points_[p], points_[q]) == CGAL::SMALLER;
  }

  /// `facet` by the plane of `other`.
  [[nodiscard]] Cut cut(int facet, int other) {
    std::array<CGAL::Orientation, 3> side{};
    for (int k = 0; k < 3; ++k)
      side[static_cast<std::size_t>(k)] = side_of(corner(facet, k), other);
    Cut out;
    for (int k = 0; k < 3; ++k) {
      const int next = (k + 1) % 3;
      const CGAL::Orientation here = side[static_cast<std::size_t>(k)];
      if (here == CGAL::ZERO) {
        out.at[static_cast<std::size_t>(out.ends++)] = corner(facet, k);
      } else if (here == -side[static_cast<std::size_t>(next)]) {
        out.at[static_cast<std::size_t>(out.ends++)] =
            through(corner(facet, k), corner(facet, next), other);
      }
    }
    if (out.ends == 1) out.at[1] = out.at[0];
    if (out.ends == 2 && before(out.at[1], out.at[0])) std::swap(out.at[0], out.at[1]);
    return out;
  }

  [[nodiscard]] CGAL::Orientation side_of(int vertex, int facet) const {
    for (int k = 0; k < 3; ++k) {
      if (corner(facet, k) == vertex) return CGAL::ZERO;
    }
    return CGAL::orientation(points_[corner(facet, 0)], points_[corner(facet, 1)],
                             points_[corner(facet, 2)], points_[vertex]);
  }

  /// Where the edge p, q goes through the plane of the facet.
  [[nodiscard]] int through(int p, int q, int facet) {
    const std::tuple<int, int, int> key = {std::min(p, q), std::max(p, q), facet};
    const auto known = through_.find(key);
    if (known != through_.end()) return known->second;
    const int number = points_.add(Exact::Construct_plane_line_intersection_point_3()(
        points_[corner(facet, 0)], points_[corner(facet, 1)], points_[corner(facet, 2)],
        points_[std::get<0>(key)], points_[std::get<1>(key)]));
    through_.emplace(key, number);
    return number;
  }

  const Corners& facets_;
  ExactPoints& points_;
  std::map<std::tuple<int, int, int>, int> through_;
};

}  // namespace

std::vector<Crossing> crossings(const Corners& facets,
                                const std::vector<std::pair<int, int>>& pairs,
                                ExactPoints& points) {
  Crosser crosser(facets, points);
  std::vector<Crossing> out;
  out.reserve(pairs.size());
  for (const auto& [a, b] : pairs) {
    const Crossing crossing = crosser.cross(a, b);
    if (crossing.coplanar || crossing.from >= 0) out.push_back(crossing);
  }
  return out;
}

}  // namespace trueblank::intake
