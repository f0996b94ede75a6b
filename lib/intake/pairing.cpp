// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/pairing.h"

#include <Eigen/Geometry>
#include <algorithm>

namespace trueblank::intake {
namespace {

using geometry::Vec3;

/// Two facets that meet in an edge, and how well they go together.
struct Match {
  int a = 0;
  int b = 0;
  bool wound_alike = false;
  double fold = 0;  ///< cosine of the angle between them: -1 goes straight on, 1 folds back
};

/// From the edge to a facet's third corner, square to the edge, of unit length.
Vec3 away_from_edge(const Corners& facets, const Eigen::Matrix3Xd& positions, int h) {
  const Vec3 from = positions.col(from_vertex(facets, h));
  const Vec3 along = (positions.col(to_vertex(facets, h)) - from).normalized();
  const Vec3 third = positions.col(to_vertex(facets, next_half_edge(h)));
  const Vec3 away = third - from;
  return (away - along.dot(away) * along).normalized();
}

/// Pairs the half-edges of an edge with more than two facets.
void pair_many(const Corners& facets, const Eigen::Matrix3Xd& positions,
               std::span<const int> half_edges, std::vector<int>& partner) {
  constexpr std::size_t most_compared = 16;  // beyond that, by the order in the file
  const std::span<const int> compared =
      half_edges.first(std::min(half_edges.size(), most_compared));
  std::vector<Vec3> away;
  for (const int h : compared) away.push_back(away_from_edge(facets, positions, h));
  std::vector<Match> matches;
  for (std::size_t i = 0; i < compared.size(); ++i) {
    for (std::size_t j = i + 1; j < compared.size(); ++j) {
      const int a = compared[i];
      const int b = compared[j];
      matches.push_back(
          {a, b, from_vertex(facets, a) == to_vertex(facets, b), away[i].dot(away[j])});
    }
  }
  std::stable_sort(matches.begin(), matches.end(), [](const Match& a, const Match& b) {
    return a.wound_alike != b.wound_alike ? a.wound_alike : a.fold < b.fold;
  });
  for (const Match& match : matches) {
    int& of_a = partner[static_cast<std::size_t>(match.a)];
    int& of_b = partner[static_cast<std::size_t>(match.b)];
    if (of_a >= 0 || of_b >= 0) continue;
    of_a = match.b;
    of_b = match.a;
  }
}

std::vector<int> partners(const Corners& facets, const Eigen::Matrix3Xd& positions,
                          int& edges_of_many) {
  const Edges edges(facets, static_cast<int>(positions.cols()));
  std::vector<int> partner(facets.size(), -1);
  for (int e = 0; e < edges.count(); ++e) {
    const std::span<const int> half_edges = edges.half_edges(e);
    if (half_edges.size() == 2) {
      partner[static_cast<std::size_t>(half_edges[0])] = half_edges[1];
      partner[static_cast<std::size_t>(half_edges[1])] = half_edges[0];
    } else if (half_edges.size() > 2) {
      ++edges_of_many;
      pair_many(facets, positions, half_edges, partner);
    }
  }
  return partner;
}

}  // namespace

Sewn sewn(const Corners& facets, const Eigen::Matrix3Xd& positions) {
  Sewn out;
  out.partner = partners(facets, positions, out.edges_of_many);
  const std::size_t facet_count = facets.size() / 3;
  out.piece.assign(facet_count, -1);
  out.turned.assign(facet_count, 0);
  std::vector<int> reached;
  for (std::size_t seed = 0; seed < facet_count; ++seed) {
    if (out.piece[seed] >= 0) continue;
    bool one_sided = false;
    std::size_t turned = 0;
    out.piece[seed] = out.pieces;
    reached.assign(1, static_cast<int>(seed));
    for (std::size_t i = 0; i < reached.size(); ++i) {
      const int f = reached[i];
      for (int h = 3 * f; h < 3 * f + 3; ++h) {
        const int across = out.partner[static_cast<std::size_t>(h)];
        if (across < 0) continue;
        const bool alike = from_vertex(facets, h) == to_vertex(facets, across);
        const auto wanted =
            static_cast<std::uint8_t>((out.turned[static_cast<std::size_t>(f)] != 0) == alike);
        const auto other = static_cast<std::size_t>(across / 3);
        if (out.piece[other] < 0) {
          out.piece[other] = out.pieces;
          out.turned[other] = wanted;
          turned += wanted;
          reached.push_back(across / 3);
        } else if (out.turned[other] != wanted) {
          one_sided = true;
        }
      }
    }
    // The seed's winding counts for no more than any other's.
    if (2 * turned > reached.size()) {
      for (const int f : reached) out.turned[static_cast<std::size_t>(f)] ^= 1;
    }
    out.one_sided.push_back(one_sided ? 1 : 0);
    ++out.pieces;
  }
  return out;
}

}  // namespace trueblank::intake
