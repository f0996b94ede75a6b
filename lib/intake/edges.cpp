// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/edges.h"

#include <algorithm>
#include <numeric>

namespace trueblank::intake {
namespace {

/// One end of an edge, seen from a vertex.
struct End {
  int vertex = 0;  ///< from where
  int other = 0;   ///< to where
  int edge = 0;
};

}  // namespace

Edges::Edges(const Corners& facets, int vertex_count) {
  const int half_edge_count = static_cast<int>(facets.size());
  const auto lower = [&facets](int h) {
    return std::min(from_vertex(facets, h), to_vertex(facets, h));
  };
  const auto higher = [&facets](int h) {
    return std::max(from_vertex(facets, h), to_vertex(facets, h));
  };
  // A counting sort by the lower vertex, then a small sort within each.
  std::vector<int> start(static_cast<std::size_t>(vertex_count) + 1, 0);
  for (int h = 0; h < half_edge_count; ++h) ++start[static_cast<std::size_t>(lower(h)) + 1];
  std::partial_sum(start.begin(), start.end(), start.begin());
  sorted_.resize(facets.size());
  std::vector<int> at(start.begin(), start.end() - 1);
  for (int h = 0; h < half_edge_count; ++h) {
    sorted_[static_cast<std::size_t>(at[static_cast<std::size_t>(lower(h))]++)] = h;
  }
  first_.reserve(facets.size() / 2 + 2);
  for (std::size_t v = 0; v < static_cast<std::size_t>(vertex_count); ++v) {
    const auto begin = sorted_.begin() + start[v];
    const auto end = sorted_.begin() + start[v + 1];
    std::sort(begin, end, [&higher](int a, int b) {
      const int high_a = higher(a);
      const int high_b = higher(b);
      return high_a != high_b ? high_a < high_b : a < b;
    });
    int last = -1;
    for (auto it = begin; it != end; ++it) {
      const int high = higher(*it);
      if (high != last) first_.push_back(static_cast<int>(it - sorted_.begin()));
      last = high;
    }
  }
  first_.push_back(half_edge_count);
}

Corners without_degenerate(const geometry::TriangleMesh& mesh) {
  Corners out;
  out.reserve(static_cast<std::size_t>(mesh.facets.size()));
  for (Eigen::Index f = 0; f < mesh.facets.cols(); ++f) {
    const int a = mesh.facets(0, f);
    const int b = mesh.facets(1, f);
    const int c = mesh.facets(2, f);
    if (a != b && b != c && c != a) out.insert(out.end(), {a, b, c});
  }
  return out;
}

Unions::Unions(int count) : parent_(static_cast<std::size_t>(count)) {
  std::iota(parent_.begin(), parent_.end(), 0);
}

int Unions::find(int a) {
  while (parent_[static_cast<std::size_t>(a)] != a) {
    int& up = parent_[static_cast<std::size_t>(a)];
    up = parent_[static_cast<std::size_t>(up)];
    a = up;
  }
  return a;
}

void Unions::join(int a, int b) {
  a = find(a);
  b = find(b);
  // The lower number leads, so that a set's name does not hang on the order of joins.
  if (a < b) parent_[static_cast<std::size_t>(b)] = a;
  if (b < a) parent_[static_cast<std::size_t>(a)] = b;
}

std::vector<std::vector<int>> loops(const std::vector<std::pair<int, int>>& edges, bool directed) {
  std::vector<End> ends;
  ends.reserve(edges.size() * (directed ? 1 : 2));
  for (std::size_t e = 0; e < edges.size(); ++e) {
    ends.push_back({edges[e].first, edges[e].second, static_cast<int>(e)});
    if (!directed) ends.push_back({edges[e].second, edges[e].first, static_cast<int>(e)});
  }
  std::sort(ends.begin(), ends.end(), [](const End& a, const End& b) {
    return a.vertex != b.vertex ? a.vertex < b.vertex : a.edge < b.edge;
  });
  const auto first_end = [&ends](int vertex) {
    return std::lower_bound(ends.begin(), ends.end(), vertex,
                            [](const End& end, int v) { return end.vertex < v; });
  };
  std::vector<char> used(edges.size(), 0);
  std::vector<int> place(ends.size(), -1);  // of a vertex (by its first end) in the walk
  std::vector<std::vector<int>> out;
  std::vector<int> walk;
  const auto place_of = [&](int vertex) -> int& {
    return place[static_cast<std::size_t>(first_end(vertex) - ends.begin())];
  };
  for (const End& start : ends) {
    if (used[static_cast<std::size_t>(start.edge)] != 0) continue;
    walk.assign(1, start.vertex);
    place_of(start.vertex) = 0;
    while (!walk.empty()) {
      auto end = first_end(walk.back());
      while (end != ends.end() && end->vertex == walk.back() &&
             used[static_cast<std::size_t>(end->edge)] != 0) {
        ++end;
      }
      if (end == ends.end() || end->vertex != walk.back()) break;  // back at the start
      used[static_cast<std::size_t>(end->edge)] = 1;
      const auto other = first_end(end->other);
      if (other == ends.end() || other->vertex != end->other) break;
      int& seen = place[static_cast<std::size_t>(other - ends.begin())];
      if (seen < 0) {
        seen = static_cast<int>(walk.size());
        walk.push_back(end->other);
        continue;
      }
      const auto from = walk.begin() + seen;
      out.emplace_back(from, walk.end());
      for (auto it = from + 1; it != walk.end(); ++it) place_of(*it) = -1;
      walk.erase(from + 1, walk.end());
    }
    for (const int vertex : walk) place_of(vertex) = -1;
  }
  return out;
}

}  // namespace trueblank::intake
