// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/patch_areas.h"

#include <algorithm>
#include <cstddef>
#include <functional>
#include <map>
#include <numeric>
#include <queue>
#include <utility>

#include "symmetry/skin_sums.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;

int sign_of(double value) { return value > 0 ? 1 : value < 0 ? -1 : 0; }

/// Which areas are one (union and find, with the least vertex as the name).
class Joined {
 public:
  explicit Joined(std::size_t count) : parent_(count) {
    std::iota(parent_.begin(), parent_.end(), 0);
  }

  int find(int v) {
    while (parent_[static_cast<std::size_t>(v)] != v) {
      int& parent = parent_[static_cast<std::size_t>(v)];
      parent = parent_[static_cast<std::size_t>(parent)];
      v = parent;
    }
    return v;
  }

  void join(int a, int b) {
    a = find(a);
    b = find(b);
    parent_[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
  }

 private:
  std::vector<int> parent_;
};

// Joins areas of one sign whose gap along the edges is shorter than `gap_mm`: fronts are sent out
// from all of them over half the gap, and those that meet are one.
void join_over_gaps(const ClosedMesh& body, const VertexNeighbours& neighbours,
                    const std::vector<double>& deviation, int sign, double gap_mm, Joined& joined) {
  const std::size_t vertices = deviation.size();
  std::vector<double> way_mm(vertices, gap_mm);
  std::vector<int> from(vertices, -1);
  using Reached = std::pair<double, int>;
  std::priority_queue<Reached, std::vector<Reached>, std::greater<>> front;
  for (std::size_t v = 0; v < vertices; ++v) {
    if (sign_of(deviation[v]) != sign) continue;
    way_mm[v] = 0;
    from[v] = static_cast<int>(v);
    front.emplace(0.0, static_cast<int>(v));
  }
  while (!front.empty()) {
    const auto [gone, v] = front.top();
    front.pop();
    const std::size_t at = static_cast<std::size_t>(v);
    if (gone > way_mm[at]) continue;
    for (const int other : neighbours.of(v)) {
      const std::size_t next = static_cast<std::size_t>(other);
      const double step = (body.positions_mm().col(other) - body.positions_mm().col(v)).norm();
      if (from[next] >= 0 && gone + step + way_mm[next] < gap_mm) joined.join(from[at], from[next]);
      if (gone + step >= gap_mm / 2 || gone + step >= way_mm[next]) continue;
      way_mm[next] = gone + step;
      from[next] = from[at];
      front.emplace(gone + step, other);
    }
  }
}

}  // namespace

std::vector<std::vector<int>> areas_of_one_sign(const ClosedMesh& body,
                                                const std::vector<double>& deviation_mm,
                                                double gap_mm) {
  const VertexNeighbours neighbours(body);
  Joined joined(deviation_mm.size());
  for (int v = 0; v < body.vertex_count(); ++v) {
    const int sign = sign_of(deviation_mm[static_cast<std::size_t>(v)]);
    if (sign == 0) continue;
    for (const int other : neighbours.of(v)) {
      if (sign_of(deviation_mm[static_cast<std::size_t>(other)]) == sign) joined.join(v, other);
    }
  }
  if (gap_mm > 0) {
    for (const int sign : {1, -1}) {
      join_over_gaps(body, neighbours, deviation_mm, sign, gap_mm, joined);
    }
  }
  std::map<int, std::vector<int>> by_name;
  for (int v = 0; v < body.vertex_count(); ++v) {
    if (deviation_mm[static_cast<std::size_t>(v)] != 0) by_name[joined.find(v)].push_back(v);
  }
  std::vector<std::vector<int>> areas;
  areas.reserve(by_name.size());
  for (auto& [name, members] : by_name) areas.push_back(std::move(members));
  return areas;
}

}  // namespace trueblank::symmetry
