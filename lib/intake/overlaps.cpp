// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/overlaps.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "intake/enclosure.h"
#include "intake/outer_skin.h"
#include "intake/self_intersections.h"
#include "intake/skin_samples.h"

namespace trueblank::intake {
namespace {

using geometry::Vec3;

/// Of smaller pieces than this share of the kept one it isn't asked, nor of more than so many.
constexpr double least_share = 1e-9;
constexpr std::size_t most_pieces = 256;

/// Two pieces that touch in a point have a pair of facets or two in common.
constexpr int least_pairs = 3;

using Box = Eigen::AlignedBox3d;

std::vector<int> candidates(const Pieces& pieces) {
  std::vector<int> out;
  for (std::size_t p = 0; p < pieces.all.size(); ++p) {
    const Piece& piece = pieces.all[p];
    if (static_cast<int>(p) == pieces.kept || piece.one_sided || !piece.rims.empty()) continue;
    if (!piece.tells_its_side() || !(piece.volume > least_share * pieces.body().volume)) continue;
    out.push_back(static_cast<int>(p));
  }
  std::ranges::stable_sort(out, [&pieces](int a, int b) {
    return pieces.all[static_cast<std::size_t>(a)].volume >
           pieces.all[static_cast<std::size_t>(b)].volume;
  });
  if (out.size() > most_pieces) out.resize(most_pieces);
  return out;
}

Box box_of(const Pieces& pieces, int facet) {
  Box box;
  for (int k = 0; k < 3; ++k) box.extend(pieces.corner(facet, k));
  return box;
}

/// How many pairs of facets any two of some pieces and the kept one have in common.
std::map<std::pair<int, int>, int> pairs_in_common(const Pieces& pieces,
                                                   const std::vector<int>& some) {
  std::vector<std::uint8_t> looked_at(pieces.all.size(), 0);
  for (const int p : some) looked_at[static_cast<std::size_t>(p)] = 1;
  Box around;
  for (int f = 0; f < pieces.facet_count(); ++f) {
    const auto piece = static_cast<std::size_t>(pieces.piece_of[static_cast<std::size_t>(f)]);
    if (looked_at[piece] != 0) around.extend(box_of(pieces, f));
  }
  Corners facets;
  std::vector<int> piece_of;
  for (int f = 0; f < pieces.facet_count(); ++f) {
    const int piece = pieces.piece_of[static_cast<std::size_t>(f)];
    const bool kept = piece == pieces.kept && box_of(pieces, f).intersects(around);
    if (!kept && looked_at[static_cast<std::size_t>(piece)] == 0) continue;
    const auto at = pieces.facets.begin() + 3 * static_cast<std::ptrdiff_t>(f);
    facets.insert(facets.end(), at, at + 3);
    piece_of.push_back(piece);
  }
  std::map<std::pair<int, int>, int> out;
  for (const auto& [a, b] : self_intersections(facets, pieces.positions)) {
    const auto ends =
        std::minmax(piece_of[static_cast<std::size_t>(a)], piece_of[static_cast<std::size_t>(b)]);
    if (ends.first != ends.second) ++out[ends];
  }
  return out;
}

}  // namespace

std::vector<int> pieces_that_cross(const Pieces& pieces) {
  std::vector<int> out;
  if (!pieces.body().tells_its_side()) return out;
  const std::vector<int> some = candidates(pieces);
  if (some.empty()) return out;
  Unions joined(static_cast<int>(pieces.all.size()));
  for (const auto& [ends, pairs] : pairs_in_common(pieces, some)) {
    if (pairs >= least_pairs) joined.join(ends.first, ends.second);
  }
  for (const int p : some) {
    if (joined.find(p) == joined.find(pieces.kept)) out.push_back(p);
  }
  std::ranges::sort(out);
  return out;
}

bool overlaps_itself(const geometry::TriangleMesh& closed) {
#ifdef FUZZING_BUILD_MODE_UNSAFE_FOR_PRODUCTION
  constexpr int samples = 400;
#else
  constexpr int samples = 4000;
#endif
  constexpr int most_wrong = samples / 200;
  // Just behind the skin, so that a thin fin is still round the place; and deeper than the folds of
  // a noisy scan.
  constexpr std::array<double, 2> depths = {1e-6, 5e-4};
  const double diagonal =
      (closed.positions_mm.rowwise().maxCoeff() - closed.positions_mm.rowwise().minCoeff()).norm();
  std::vector<ShellPoint> points;
  for (const SkinSample& s : samples_of(closed, samples)) {
    for (const double depth : depths) {
      points.push_back({s.position - depth * diagonal * s.normal, 1, 0, 0});
    }
  }
  std::vector<ShellFacet> facets;
  facets.reserve(static_cast<std::size_t>(closed.facet_count()));
  for (int f = 0; f < closed.facet_count(); ++f) {
    facets.push_back({{closed.corner(f, 0), closed.corner(f, 1), closed.corner(f, 2)}, 0});
  }
  wind_around(facets, 0, points);
  int wrong = 0;
  for (std::size_t i = 0; i + 1 < points.size(); i += depths.size()) {
    if (points[i].in_shell != 1 && points[i + 1].in_shell != 1) ++wrong;
  }
  return wrong > most_wrong;
}

Resolved resolve_crossings(MendedMesh& body) {
  Resolved out;
  std::optional<OuterSkin> skin = united_skin(body.mesh);
  if (!skin || skin->mesh.facet_count() == 0) return out;
  out.done = true;
  if (!skin->changed) return out;
  out.pairs = skin->pairs_before;
  out.change_mm3 = skin->volume_after_mm3 - skin->volume_before_mm3;
  std::vector<std::uint8_t> facets;
  for (const int from : skin->from_facet) {
    facets.push_back(body.facet_measured[static_cast<std::size_t>(from)]);
  }
  std::vector<std::uint8_t> vertices(skin->from_vertex.size(), 0);
  for (std::size_t f = 0; f < facets.size(); ++f) {  // a vertex is measured as a facet at it is
    for (Eigen::Index k = 0; k < 3; ++k) {
      const int v = skin->mesh.facets(k, static_cast<Eigen::Index>(f));
      vertices[static_cast<std::size_t>(v)] |= facets[f];
    }
  }
  for (std::size_t v = 0; v < vertices.size(); ++v) {
    const int from = skin->from_vertex[v];
    if (from >= 0) vertices[v] = body.vertex_measured[static_cast<std::size_t>(from)];
  }
  body.mesh = std::move(skin->mesh);
  body.facet_measured = std::move(facets);
  body.vertex_measured = std::move(vertices);
  return out;
}

}  // namespace trueblank::intake
