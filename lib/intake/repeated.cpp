// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/repeated.h"

#include <algorithm>
#include <array>

namespace trueblank::intake {
namespace {

/// A facet's corners in rising order, and whether that turns its winding over.
struct Sorted {
  std::array<int, 3> corners;
  bool odd = false;
  int facet = 0;
};

Sorted sorted(const Corners& facets, int facet) {
  const std::size_t at = 3 * static_cast<std::size_t>(facet);
  Sorted out = {{facets[at], facets[at + 1], facets[at + 2]}, false, facet};
  const auto order = [&out](std::size_t i, std::size_t j) {
    if (out.corners[i] <= out.corners[j]) return;
    std::swap(out.corners[i], out.corners[j]);
    out.odd = !out.odd;
  };
  order(0, 1);
  order(1, 2);
  order(0, 1);
  return out;
}

/// Facets that share all their corners with another, by corners, then by number.
std::vector<Sorted> repeated_facets(const Corners& facets, int vertex_count) {
  // Facets over the same corners share their edges: only edges with more than two are looked at.
  const Edges edges(facets, vertex_count);
  std::vector<char> suspect(facets.size() / 3, 0);
  for (int e = 0; e < edges.count(); ++e) {
    const std::span<const int> half_edges = edges.half_edges(e);
    if (half_edges.size() < 2) continue;
    // Two facets on an edge with the same third corner are the same facet.
    if (half_edges.size() == 2) {
      const int third_a = to_vertex(facets, next_half_edge(half_edges[0]));
      const int third_b = to_vertex(facets, next_half_edge(half_edges[1]));
      if (third_a != third_b) continue;
    }
    for (const int h : half_edges) suspect[static_cast<std::size_t>(h / 3)] = 1;
  }
  std::vector<Sorted> all;
  for (std::size_t f = 0; f < suspect.size(); ++f) {
    if (suspect[f] != 0) all.push_back(sorted(facets, static_cast<int>(f)));
  }
  std::sort(all.begin(), all.end(), [](const Sorted& a, const Sorted& b) {
    return a.corners != b.corners ? a.corners < b.corners : a.facet < b.facet;
  });
  std::vector<Sorted> out;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const bool like_last = i > 0 && all[i - 1].corners == all[i].corners;
    const bool like_next = i + 1 < all.size() && all[i + 1].corners == all[i].corners;
    if (like_last || like_next) out.push_back(all[i]);
  }
  return out;
}

/// The piece of each facet, pieces being joined by shared edges.
Unions joined_by_edges(const Corners& facets, int vertex_count) {
  const Edges edges(facets, vertex_count);
  Unions pieces(static_cast<int>(facets.size() / 3));
  for (int e = 0; e < edges.count(); ++e) {
    const std::span<const int> half_edges = edges.half_edges(e);
    for (const int h : half_edges) pieces.join(h / 3, half_edges.front() / 3);
  }
  return pieces;
}

/// Whether most facets of each piece are drawn from both sides; by the piece's number.
std::vector<char> double_sided(const Corners& facets, const std::vector<Sorted>& repeated,
                               Unions& pieces) {
  std::vector<int> facets_in(facets.size() / 3, 0);
  std::vector<int> repeated_in(facets.size() / 3, 0);
  for (std::size_t f = 0; f < facets_in.size(); ++f) {
    ++facets_in[static_cast<std::size_t>(pieces.find(static_cast<int>(f)))];
  }
  for (const Sorted& s : repeated) ++repeated_in[static_cast<std::size_t>(pieces.find(s.facet))];
  std::vector<char> out(facets_in.size(), 0);
  for (std::size_t p = 0; p < out.size(); ++p) out[p] = 2 * repeated_in[p] > facets_in[p] ? 1 : 0;
  return out;
}

}  // namespace

int drop_repeated(Corners& facets, int vertex_count) {
  const std::vector<Sorted> repeated = repeated_facets(facets, vertex_count);
  if (repeated.empty()) return 0;
  Unions pieces = joined_by_edges(facets, vertex_count);
  const std::vector<char> both_sides = double_sided(facets, repeated, pieces);
  std::vector<char> dropped(facets.size() / 3, 0);
  for (std::size_t from = 0; from < repeated.size();) {
    std::size_t to = from;
    int even = 0;
    int odd = 0;
    for (; to < repeated.size() && repeated[to].corners == repeated[from].corners; ++to) {
      (repeated[to].odd ? odd : even) += 1;
    }
    // Which of them stays: the first of the more frequent winding; none where they cancel.
    const bool cancel =
        even == odd && both_sides[static_cast<std::size_t>(pieces.find(repeated[from].facet))] == 0;
    bool stays = !cancel;
    for (std::size_t i = from; i < to; ++i) {
      const bool wanted = even == odd || repeated[i].odd == (odd > even);
      if (stays && wanted) {
        stays = false;
      } else {
        dropped[static_cast<std::size_t>(repeated[i].facet)] = 1;
      }
    }
    from = to;
  }
  std::size_t kept = 0;
  for (std::size_t f = 0; f < dropped.size(); ++f) {
    if (dropped[f] != 0) continue;
    std::copy_n(facets.begin() + static_cast<std::ptrdiff_t>(3 * f), 3,
                facets.begin() + static_cast<std::ptrdiff_t>(3 * kept));
    ++kept;
  }
  const int count = static_cast<int>(dropped.size() - kept);
  facets.resize(3 * kept);
  return count;
}

}  // namespace trueblank::intake
