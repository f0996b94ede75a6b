// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/outer_skin.h"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <utility>

#include "geometry/moments.h"
#include "intake/edges.h"
#include "intake/self_intersections.h"
#include "intake/weld.h"
#include "intake/windings.h"

namespace trueblank::intake {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;
using Pairs = std::vector<std::pair<int, int>>;

/// The facets of a mesh that have area, over the first of equal vertices.
struct Shells {
  Corners corners;
  std::vector<int> facet;  ///< its number in the mesh
  Pairs pairs;             ///< of `corners`
};

/// For each vertex the first that lies in the same place.
std::vector<int> first_alike(const TriangleMesh& mesh) {
  Welder<double> welder(static_cast<std::size_t>(mesh.vertex_count()));
  std::vector<int> first;
  std::vector<int> out;
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    const Vec3 p = mesh.positions_mm.col(v);
    const auto number = static_cast<std::size_t>(welder.add(p.x(), p.y(), p.z()));
    if (number == first.size()) first.push_back(v);
    out.push_back(first[number]);
  }
  return out;
}

bool has_area(const TriangleMesh& mesh, int facet) {
  using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
  const auto point = [&](int k) {
    const Vec3 p = mesh.corner(facet, k);
    return Kernel::Point_3(p.x(), p.y(), p.z());
  };
  return !CGAL::collinear(point(0), point(1), point(2));
}

Shells shells_of(const TriangleMesh& mesh) {
  const std::vector<int> vertex = first_alike(mesh);
  Shells out;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    if (!has_area(mesh, f)) continue;
    for (int k = 0; k < 3; ++k) {
      out.corners.push_back(vertex[static_cast<std::size_t>(mesh.facets(k, f))]);
    }
    out.facet.push_back(f);
  }
  out.pairs = self_intersections(out.corners, mesh.positions_mm);
  return out;
}

/// The walls with room outside in front and inside behind.
std::optional<std::vector<Wall>> outer_walls(const TriangleMesh& mesh, const Shells& shells,
                                             ExactPoints& points) {
  for (const auto& [a, b] : shells.pairs) {
    for (const int f : {a, b}) {
      const auto at = 3 * static_cast<std::size_t>(f);
      points.expect({shells.corners[at], shells.corners[at + 1], shells.corners[at + 2]});
    }
  }
  constexpr int most_threes = 100'000;  // each may make a vertex in three facets
  const std::optional<std::vector<Crossing>> crossed =
      crossings(shells.corners, shells.pairs, most_threes, points);
  if (!crossed) return std::nullopt;
  const std::vector<Wall> walls = cut_facets(shells.corners, *crossed, points);
  const std::optional<std::vector<Winding>> winding =
      windings(walls, shells.corners, mesh.positions_mm, points);
  if (!winding) return std::nullopt;
  std::vector<Wall> out;
  for (std::size_t w = 0; w < walls.size(); ++w) {
    if ((*winding)[w].front <= 0 && (*winding)[w].back >= 1) out.push_back(walls[w]);
  }
  return out;
}

/// A mesh and where its facets and vertices come from.
struct Pieces {
  TriangleMesh mesh;
  std::vector<int> from_facet;
  std::vector<int> from_vertex;
};

/// Three corners from the least on, those of the same three but turned over last.
struct SortedFacet {
  std::array<int, 3> least_first = {0, 0, 0};
  std::array<int, 3> sorted = {0, 0, 0};
  int facet = 0;

  [[nodiscard]] int facing() const { return least_first == sorted ? 1 : -1; }
};

SortedFacet sorted_facet(std::array<int, 3> corners, int facet) {
  SortedFacet out;
  std::rotate(corners.begin(), std::min_element(corners.begin(), corners.end()), corners.end());
  out.least_first = corners;
  out.sorted = corners;
  std::sort(out.sorted.begin(), out.sorted.end());
  out.facet = facet;
  return out;
}

/// The facets that are left once those that fell flat on each other by rounding are taken off in
/// twos, rising.
std::vector<int> without_flat_twos(std::vector<SortedFacet> facets) {
  std::sort(facets.begin(), facets.end(), [](const SortedFacet& a, const SortedFacet& b) {
    return a.sorted != b.sorted ? a.sorted < b.sorted : a.facet < b.facet;
  });
  std::vector<int> kept;
  for (auto it = facets.begin(); it != facets.end();) {
    const auto end = std::find_if(it, facets.end(),
                                  [&it](const SortedFacet& f) { return f.sorted != it->sorted; });
    int balance = 0;
    for (auto f = it; f != end; ++f) balance += f->facing();
    for (; it != end; ++it) {
      if (balance * it->facing() <= 0) continue;
      kept.push_back(it->facet);
      balance -= it->facing();
    }
  }
  std::sort(kept.begin(), kept.end());
  return kept;
}

/// Vertices in one place made one, unused ones left out; what has become flat by it dropped.
Pieces welded(const Pieces& pieces) {
  const TriangleMesh& mesh = pieces.mesh;
  std::vector<int> vertex = first_alike(mesh);
  std::vector<SortedFacet> facets;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    std::array<int, 3> corners{};
    for (int k = 0; k < 3; ++k) {
      corners[static_cast<std::size_t>(k)] = vertex[static_cast<std::size_t>(mesh.facets(k, f))];
    }
    if (corners[0] == corners[1] || corners[1] == corners[2] || corners[2] == corners[0]) continue;
    facets.push_back(sorted_facet(corners, f));
  }
  const std::vector<int> kept = without_flat_twos(std::move(facets));
  std::vector<int> number(vertex.size(), -1);
  for (const int f : kept) {
    for (int k = 0; k < 3; ++k) {
      number[static_cast<std::size_t>(vertex[static_cast<std::size_t>(mesh.facets(k, f))])] = 0;
    }
  }
  Pieces out;
  out.mesh.positions_mm.resize(3, std::count(number.begin(), number.end(), 0));
  for (std::size_t v = 0; v < number.size(); ++v) {
    if (number[v] < 0) continue;
    number[v] = static_cast<int>(out.from_vertex.size());
    out.mesh.positions_mm.col(number[v]) = mesh.positions_mm.col(static_cast<Eigen::Index>(v));
    out.from_vertex.push_back(pieces.from_vertex[v]);
  }
  out.mesh.facets.resize(3, static_cast<Eigen::Index>(kept.size()));
  for (const int f : kept) {
    const auto place = static_cast<Eigen::Index>(out.from_facet.size());
    for (int k = 0; k < 3; ++k) {
      const int first = vertex[static_cast<std::size_t>(mesh.facets(k, f))];
      out.mesh.facets(k, place) = number[static_cast<std::size_t>(first)];
    }
    out.from_facet.push_back(pieces.from_facet[static_cast<std::size_t>(f)]);
  }
  return out;
}

/// The walls with their corners rounded.
Pieces rounded(const std::vector<Wall>& walls, const ExactPoints& points) {
  std::vector<int> vertex(static_cast<std::size_t>(points.count()), -1);
  for (const Wall& wall : walls) {
    for (const int corner : wall.corners) vertex[static_cast<std::size_t>(corner)] = 0;
  }
  Pieces raw;
  raw.mesh.positions_mm.resize(3, std::count(vertex.begin(), vertex.end(), 0));
  for (int p = 0; p < points.count(); ++p) {
    int& number = vertex[static_cast<std::size_t>(p)];
    if (number < 0) continue;
    number = static_cast<int>(raw.from_vertex.size());
    raw.mesh.positions_mm.col(number) = points.rounded(p);
    raw.from_vertex.push_back(points.is_made(p) ? -1 : p);
  }
  raw.mesh.facets.resize(3, static_cast<Eigen::Index>(walls.size()));
  for (std::size_t w = 0; w < walls.size(); ++w) {
    for (int k = 0; k < 3; ++k) {
      raw.mesh.facets(k, static_cast<Eigen::Index>(w)) =
          vertex[static_cast<std::size_t>(walls[w].corners[static_cast<std::size_t>(k)])];
    }
    raw.from_facet.push_back(walls[w].from_facet);
  }
  return welded(raw);
}

/// One pass: exact but for the rounding of what was made.
std::optional<Pieces> outer_pieces(const TriangleMesh& mesh, const Shells& shells) {
  if (shells.pairs.size() > most_crossing_pairs) return std::nullopt;
  ExactPoints points(mesh.positions_mm);
  const std::optional<std::vector<Wall>> walls = outer_walls(mesh, shells, points);
  if (!walls) return std::nullopt;
  Pieces out = rounded(*walls, points);
  for (int& f : out.from_facet) f = shells.facet[static_cast<std::size_t>(f)];
  return out;
}

double enclosed_mm3(const TriangleMesh& mesh) {
  if (mesh.facet_count() == 0) return 0;
  const Vec3 low = mesh.positions_mm.rowwise().minCoeff();
  const Vec3 high = mesh.positions_mm.rowwise().maxCoeff();
  return geometry::signed_volume_mm3(mesh, low + (high - low) / 2);
}

/// What `again` made of `pieces`, told by what those were made of.
Pieces composed(const Pieces& pieces, Pieces again) {
  for (int& f : again.from_facet) f = pieces.from_facet[static_cast<std::size_t>(f)];
  for (int& v : again.from_vertex) {
    if (v >= 0) v = pieces.from_vertex[static_cast<std::size_t>(v)];
  }
  return again;
}

/// Made vertices, and those of facets that still cross, onto a grid, so that what lies closer
/// together than its step falls into one.
Pieces on_grid(Pieces pieces, const Shells& shells, double step) {
  std::vector<char> moves(pieces.from_vertex.size(), 0);
  for (std::size_t v = 0; v < moves.size(); ++v) moves[v] = pieces.from_vertex[v] < 0 ? 1 : 0;
  for (const auto& [a, b] : shells.pairs) {
    for (const int f : {a, b}) {
      for (std::size_t k = 0; k < 3; ++k) {
        moves[static_cast<std::size_t>(shells.corners[3 * static_cast<std::size_t>(f) + k])] = 1;
      }
    }
  }
  for (std::size_t v = 0; v < moves.size(); ++v) {
    if (moves[v] == 0) continue;
    auto position = pieces.mesh.positions_mm.col(static_cast<Eigen::Index>(v));
    const Vec3 snapped = step * (position / step).array().round();
    if (snapped == position) continue;
    position = snapped;
    pieces.from_vertex[v] = -1;
  }
  return welded(pieces);
}

/// Rounding moves a made vertex by a unit in its last place, which can make thin pieces cross anew.
/// They are put onto a grid, coarser each time, and gone into again. Kept is what crosses least.
int settle(Pieces& best) {
  constexpr int most_passes = 6;
  const double size =
      best.mesh.facet_count() == 0 ? 0 : best.mesh.positions_mm.cwiseAbs().maxCoeff();
  Shells shells = shells_of(best.mesh);
  std::size_t fewest = shells.pairs.size();
  Pieces pieces = best;
  for (int pass = 0; pass < most_passes && fewest > 0; ++pass) {
    const double step = std::exp2(std::ceil(std::log2(size)) - 48 + 4 * pass);
    pieces = on_grid(std::move(pieces), shells, step);
    shells = shells_of(pieces.mesh);
    std::optional<Pieces> again = outer_pieces(pieces.mesh, shells);
    if (!again) break;
    pieces = composed(pieces, *std::move(again));
    shells = shells_of(pieces.mesh);
    if (shells.pairs.size() >= fewest) continue;
    fewest = shells.pairs.size();
    best = pieces;
  }
  return static_cast<int>(fewest);
}

OuterSkin unchanged(const TriangleMesh& shells) {
  OuterSkin out;
  out.mesh = shells;
  out.from_facet.resize(static_cast<std::size_t>(shells.facet_count()));
  std::iota(out.from_facet.begin(), out.from_facet.end(), 0);
  out.from_vertex.resize(static_cast<std::size_t>(shells.vertex_count()));
  std::iota(out.from_vertex.begin(), out.from_vertex.end(), 0);
  out.volume_before_mm3 = enclosed_mm3(shells);
  out.volume_after_mm3 = out.volume_before_mm3;
  return out;
}

}  // namespace

std::optional<OuterSkin> united_skin(const TriangleMesh& shells) {
  if (!shells.positions_mm.allFinite()) return std::nullopt;
  const Shells given = shells_of(shells);
  std::optional<Pieces> pieces = outer_pieces(shells, given);
  if (!pieces) return std::nullopt;
  if (given.pairs.empty() && pieces->mesh.facet_count() == shells.facet_count()) {
    return unchanged(shells);
  }
  OuterSkin out;
  out.pairs_before = static_cast<int>(given.pairs.size());
  out.pairs_left = settle(*pieces);
  out.volume_before_mm3 = enclosed_mm3(shells);
  out.volume_after_mm3 = enclosed_mm3(pieces->mesh);
  out.mesh = std::move(pieces->mesh);
  out.from_facet = std::move(pieces->from_facet);
  out.from_vertex = std::move(pieces->from_vertex);
  out.changed = true;
  return out;
}

}  // namespace trueblank::intake
