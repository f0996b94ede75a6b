// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/skin_around.h"

#include <algorithm>

namespace trueblank::intake {

SkinAround::SkinAround(const Pieces& pieces) : pieces_(pieces) {
  const auto vertices = static_cast<std::size_t>(pieces.positions.cols());
  const Corners& facets = pieces.facets;
  first_at_.assign(vertices + 1, 0);
  for (const int v : facets) ++first_at_[static_cast<std::size_t>(v) + 1];
  for (std::size_t v = 0; v < vertices; ++v) first_at_[v + 1] += first_at_[v];
  facets_at_.resize(facets.size());
  std::vector<int> at(first_at_.begin(), first_at_.end() - 1);
  for (std::size_t h = 0; h < facets.size(); ++h) {
    facets_at_[static_cast<std::size_t>(at[static_cast<std::size_t>(facets[h])]++)] =
        static_cast<int>(h / 3);
  }
  number_.assign(vertices, -1);
  taken_.assign(facets.size() / 3, 0);
}

int SkinAround::number(int vertex) {
  int& known = number_[static_cast<std::size_t>(vertex)];
  if (known >= 0) return known;
  known = static_cast<int>(vertices_.size());
  vertices_.push_back(vertex);
  return known;
}

void SkinAround::add_ring(Hole& hole, std::size_t begin, std::size_t end, int piece) {
  for (std::size_t i = begin; i < end; ++i) {
    const auto v = static_cast<std::size_t>(vertices_[i]);
    for (int k = first_at_[v]; k < first_at_[v + 1]; ++k) {
      const int f = facets_at_[static_cast<std::size_t>(k)];
      const auto facet = static_cast<std::size_t>(f);
      if (pieces_.piece_of[facet] != piece || taken_[facet] != 0) continue;
      taken_[facet] = 1;
      taken_facets_.push_back(f);
      hole.skin.push_back({number(pieces_.facets[3 * facet]), number(pieces_.facets[3 * facet + 1]),
                           number(pieces_.facets[3 * facet + 2])});
    }
  }
}

Hole SkinAround::hole(const std::vector<int>& rim, int piece) {
  constexpr std::size_t edges_a_ring = 48;
  constexpr std::size_t least_rings = 3;
  constexpr std::size_t most_rings = 24;
  const std::size_t rings = std::clamp(rim.size() / edges_a_ring, least_rings, most_rings);
  Hole hole;
  for (const int v : rim) {
    (void)number(v);
    hole.rim.emplace_back(pieces_.positions.col(v));
  }
  std::size_t begin = 0;
  for (std::size_t ring = 0; ring < rings; ++ring) {
    const std::size_t end = vertices_.size();
    add_ring(hole, begin, end, piece);
    begin = end;
  }
  for (std::size_t i = rim.size(); i < vertices_.size(); ++i) {
    hole.around.emplace_back(pieces_.positions.col(vertices_[i]));
  }
  for (const int v : vertices_) number_[static_cast<std::size_t>(v)] = -1;
  for (const int f : taken_facets_) taken_[static_cast<std::size_t>(f)] = 0;
  vertices_.clear();
  taken_facets_.clear();
  return hole;
}

}  // namespace trueblank::intake
