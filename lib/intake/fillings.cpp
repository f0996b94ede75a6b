// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/fillings.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>

#include "intake/skin_around.h"

namespace trueblank::intake {
namespace {

using geometry::Vec3;

/// Whether a hole is where the body stood: no part of its rim is far off the floor.
bool on_floor(const Hole& hole, const Floor& floor) {
  double length = 0;
  double farthest = 0;
  for (std::size_t i = 0; i < hole.rim.size(); ++i) {
    length += (hole.rim[(i + 1) % hole.rim.size()] - hole.rim[i]).norm();
    farthest = std::max(farthest, floor.normal.dot(hole.rim[i]) - floor.offset);
  }
  return farthest < length / 4;
}

/// Whether the skin goes straight down to the floor, as the walls of a half body do that lies on
/// its flat side: the facets at the rim then look sideways, less than about 20° down.
bool goes_straight_down(const Hole& hole, const Floor& floor) {
  constexpr double most_down = 0.35;
  double down = 0;
  double area = 0;
  const int n = static_cast<int>(hole.rim.size());
  const auto at = [&](int v) -> const Vec3& {
    return v < n ? hole.rim[static_cast<std::size_t>(v)]
                 : hole.around[static_cast<std::size_t>(v - n)];
  };
  for (const auto& facet : hole.skin) {
    if (std::ranges::none_of(facet, [n](int v) { return v < n; })) continue;
    const Vec3 normal = (at(facet[1]) - at(facet[0])).cross(at(facet[2]) - at(facet[0]));
    down -= normal.dot(floor.normal);
    area += normal.norm();
  }
  return down < most_down * area;
}

/// A wall from the rim to the floor, and the floor.
Filling down_to_floor(const Hole& hole, const Floor& floor) {
  const int n = static_cast<int>(hole.rim.size());
  Hole below;
  for (const Vec3& p : hole.rim) {
    below.rim.push_back(p - (floor.normal.dot(p) - floor.offset) * floor.normal);
  }
  Filling out = fill_hole(below);
  for (auto& facet : out.facets) {
    for (int& v : facet) v += n;
  }
  out.vertices.insert(out.vertices.begin(), below.rim.begin(), below.rim.end());
  for (int i = 0; i < n; ++i) {
    const int j = (i + 1) % n;
    out.facets.push_back({i, j, n + j});
    out.facets.push_back({i, n + j, n + i});
  }
  return out;
}

void add_filling(Pieces& pieces, const std::vector<int>& rim, Piece& piece, const Filling& filling,
                 Fillings& out) {
  const int made_from =
      static_cast<int>(pieces.positions.cols() + static_cast<Eigen::Index>(out.vertices.size()));
  const int n = static_cast<int>(rim.size());
  FilledHole& hole = out.holes.emplace_back();
  for (const auto& facet : filling.facets) {
    std::array<Vec3, 3> corners;
    for (std::size_t k = 0; k < 3; ++k) {
      const int local = facet[k];
      out.facets.push_back(local < n ? rim[static_cast<std::size_t>(local)]
                                     : made_from + local - n);
      corners[k] = local < n ? Vec3(pieces.positions.col(rim[static_cast<std::size_t>(local)]))
                             : filling.vertices[static_cast<std::size_t>(local - n)];
    }
    piece.volume += pieces.six_volumes(corners[0], corners[1], corners[2]) / 6;
    const double area = (corners[1] - corners[0]).cross(corners[2] - corners[0]).norm() / 2;
    hole.area_mm2 += area;
    hole.centre_mm += area / 3 * (corners[0] + corners[1] + corners[2]);
  }
  piece.volume -= pieces.six_volumes_of_fan(rim) / 6;  // the fan goes that stood in for it
  out.vertices.insert(out.vertices.end(), filling.vertices.begin(), filling.vertices.end());
  out.area += hole.area_mm2;
  hole.centre_mm = hole.area_mm2 > 0 ? Vec3(hole.centre_mm / hole.area_mm2) : pieces.mean(rim);
}

}  // namespace

Fillings fill_rims(Pieces& pieces, const std::vector<std::uint8_t>& belongs,
                   const std::optional<Floor>& floor) {
  Fillings out;
  SkinAround skin(pieces);
  for (std::size_t p = 0; p < pieces.all.size(); ++p) {
    if (belongs[p] == 0) continue;
    for (const std::vector<int>& rim : pieces.all[p].rims) {
      const Hole hole = skin.hole(rim, static_cast<int>(p));
      const bool stood = floor && on_floor(hole, *floor);
      const Filling filling =
          stood && goes_straight_down(hole, *floor) ? down_to_floor(hole, *floor) : fill_hole(hole);
      add_filling(pieces, rim, pieces.all[p], filling, out);
      const HoleBound bound = hole_bound(hole, filling, stood ? floor : std::nullopt);
      out.holes.back().bound_mm3 = bound.volume;
      out.holes.back().wide = bound.wide && !stood;
      out.holes.back().table = stood;
    }
  }
  return out;
}

}  // namespace trueblank::intake
