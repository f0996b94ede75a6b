// SPDX-License-Identifier: GPL-3.0-or-later
// Each facet is cut by the other's plane; both cuts lie on the line in which the planes meet, and
// what they have in common is the crossing. After T. Möller, "A fast triangle-triangle intersection
// test", J. Graphics Tools 2(2), 1997, without rounding.
#include "intake/crossings.h"

#include <algorithm>
#include <array>
#include <map>
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

  /// No points where they have nothing in common.
  [[nodiscard]] Crossing cross(int a, int b) {
    Crossing crossing = {a, b, false, {}};
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
    crossing.along.push_back(low);
    if (high != low) crossing.along.push_back(high);
    return crossing;
  }

  /// Where three facets that cross two by two meet in one point, puts it last in each segment.
  void cross(Crossing& ab, Crossing& ac, Crossing& bc) {
    const Span through_c = span(ab, bc.facet_b);
    const Span through_b = span(ac, ab.facet_b);
    const Span through_a = span(bc, ab.facet_a);
    if (!through_c.spans || !through_b.spans || !through_a.spans) return;
    int point = std::max({through_c.end, through_b.end, through_a.end});
    if (point < 0) point = through(ab.along[0], ab.along[1], bc.facet_b);
    for (Crossing* segment : {&ab, &ac, &bc}) segment->along.push_back(point);
  }

  /// Puts the points that were added to a segment in their order.
  void sort(Crossing& segment) const {
    if (segment.along.size() <= 2) return;
    std::sort(segment.along.begin(), segment.along.end());
    segment.along.erase(std::unique(segment.along.begin(), segment.along.end()),
                        segment.along.end());
    std::sort(segment.along.begin(), segment.along.end(),
              [this](int p, int q) { return before(p, q); });
  }

 private:
  /// A segment against a plane.
  struct Span {
    bool spans = false;  ///< it comes from one side and reaches the plane at least, but for
                         ///< segments in the plane
    int end = -1;        ///< the end that lies in the plane
  };

  [[nodiscard]] Span span(const Crossing& segment, int facet) const {
    if (segment.coplanar || segment.along.empty()) return {};
    const int first = segment.along[0];
    if (segment.along.size() == 1) {
      return side_of(first, facet) == 0 ? Span{true, first} : Span{};
    }
    const int second = segment.along[1];
    const int at_first = side_of(first, facet);
    const int at_second = side_of(second, facet);
    if (at_first == at_second) return {};
    if (at_first == 0) return {true, first};
    return {true, at_second == 0 ? second : -1};
  }

  [[nodiscard]] int corner(int facet, int which) const {
    return facets_[3 * static_cast<std::size_t>(facet) + static_cast<std::size_t>(which)];
  }

  [[nodiscard]] ExactPoints::Three corners(int facet) const {
    return {corner(facet, 0), corner(facet, 1), corner(facet, 2)};
  }

  [[nodiscard]] bool before(int p, int q) const { return points_.before(p, q); }

  /// `facet` by the plane of `other`.
  [[nodiscard]] Cut cut(int facet, int other) {
    std::array<int, 3> side{};
    for (int k = 0; k < 3; ++k) {
      side[static_cast<std::size_t>(k)] = side_of(corner(facet, k), other);
    }
    Cut out;
    for (int k = 0; k < 3; ++k) {
      const int next = (k + 1) % 3;
      const int here = side[static_cast<std::size_t>(k)];
      if (here == 0) {
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

  [[nodiscard]] int side_of(int point, int facet) const {
    const ExactPoints::Three plane = corners(facet);
    if (std::find(plane.begin(), plane.end(), point) != plane.end()) return 0;
    return points_.side(plane, point);
  }

  /// Where the edge p, q goes through the plane of the facet.
  [[nodiscard]] int through(int p, int q, int facet) {
    const std::tuple<int, int, int> key = {std::min(p, q), std::max(p, q), facet};
    const auto known = through_.find(key);
    if (known != through_.end()) return known->second;
    const int number = points_.meeting(corners(facet), std::get<0>(key), std::get<1>(key));
    through_.emplace(key, number);
    return number;
  }

  const Corners& facets_;
  ExactPoints& points_;
  std::map<std::tuple<int, int, int>, int> through_;
};

/// For each three facets a < b < c of which each crosses each, the numbers of the pairs (a, b),
/// (a, c), (b, c). Nothing where they are more than `most`.
std::optional<std::vector<std::array<int, 3>>> pairs_of_threes(
    const std::vector<std::pair<int, int>>& pairs, int facet_count, int most) {
  using Met = std::pair<int, int>;  // a facet, and the pair's number
  std::vector<std::vector<Met>> met(static_cast<std::size_t>(facet_count));
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const auto [a, b] = pairs[i];
    met[static_cast<std::size_t>(a)].emplace_back(b, static_cast<int>(i));
    met[static_cast<std::size_t>(b)].emplace_back(a, static_cast<int>(i));
  }
  for (std::vector<Met>& m : met) std::sort(m.begin(), m.end());
  std::vector<std::array<int, 3>> out;
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const auto [a, b] = pairs[i];
    const std::vector<Met>& of_a = met[static_cast<std::size_t>(a)];
    const std::vector<Met>& of_b = met[static_cast<std::size_t>(b)];
    const bool a_has_fewer = of_a.size() < of_b.size();
    const std::vector<Met>& many = a_has_fewer ? of_b : of_a;
    for (const auto& [c, pair] : a_has_fewer ? of_a : of_b) {
      if (c < b) continue;
      const auto other = std::lower_bound(many.begin(), many.end(), Met(c, 0));
      if (other == many.end() || other->first != c) continue;
      if (static_cast<int>(out.size()) == most) return std::nullopt;
      out.push_back({static_cast<int>(i), a_has_fewer ? pair : other->second,
                     a_has_fewer ? other->second : pair});
    }
  }
  return out;
}

}  // namespace

std::optional<std::vector<Crossing>> crossings(const Corners& facets,
                                               const std::vector<std::pair<int, int>>& pairs,
                                               int most_threes, ExactPoints& points) {
  const std::optional<std::vector<std::array<int, 3>>> threes =
      pairs_of_threes(pairs, static_cast<int>(facets.size() / 3), most_threes);
  if (!threes) return std::nullopt;
  Crosser crosser(facets, points);
  std::vector<Crossing> out;
  out.reserve(pairs.size());
  for (const auto& [a, b] : pairs) out.push_back(crosser.cross(a, b));
  for (const auto& [ab, ac, bc] : *threes) {
    crosser.cross(out[static_cast<std::size_t>(ab)], out[static_cast<std::size_t>(ac)],
                  out[static_cast<std::size_t>(bc)]);
  }
  for (Crossing& segment : out) crosser.sort(segment);
  return out;
}

}  // namespace trueblank::intake
