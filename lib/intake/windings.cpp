// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/windings.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <map>

#include "intake/shadow.h"

namespace trueblank::intake {
namespace {

/// The two sides of walls: 2·wall in front, 2·wall + 1 on the back.
int front_of(int wall) { return 2 * wall; }

int back_of(int wall) { return 2 * wall + 1; }

ExactPoints::Three corners_of(int facet, const Corners& facets) {
  const auto at = 3 * static_cast<std::size_t>(facet);
  return {facets[at], facets[at + 1], facets[at + 2]};
}

/// A wall at an edge.
struct Leaf {
  int wall = 0;
  int apex = 0;        ///< its corner off the edge
  bool along = false;  ///< it runs along the edge from its lower to its higher end
};

/// Walls about one edge, in the order of their angle. A wall lies in the plane of a given facet,
/// whose corners are doubles: that makes the tests fast.
class AroundEdge {
 public:
  AroundEdge(const std::vector<Wall>& walls, const Corners& facets, const ExactPoints& points)
      : walls_(walls), facets_(facets), points_(points) {}

  /// Counter-clockwise seen against the edge's direction, from the first leaf on.
  void sort(std::vector<Leaf>& leaves) const {
    std::vector<std::pair<int, Leaf>> sorted;
    sorted.reserve(leaves.size());
    for (const Leaf& leaf : leaves) sorted.emplace_back(half(leaves.front(), leaf), leaf);
    std::sort(sorted.begin(), sorted.end(), [this](const auto& a, const auto& b) {
      if (a.first != b.first) return a.first < b.first;
      return a.second.wall != b.second.wall && turn(a.second, b.second) > 0;
    });
    for (std::size_t i = 0; i < leaves.size(); ++i) leaves[i] = sorted[i].second;
  }

 private:
  /// 0 for the start, 1 for less than half a turn from it, 2 for half, 3 for more.
  [[nodiscard]] int half(const Leaf& start, const Leaf& leaf) const {
    if (leaf.wall == start.wall) return 0;
    const int turned = turn(start, leaf);
    if (turned == 0) return 2;  // straight on: no two walls lie one on the other
    return turned > 0 ? 1 : 3;
  }

  /// On which side of a's plane b lies, counter-clockwise about the edge being positive.
  [[nodiscard]] int turn(const Leaf& a, const Leaf& b) const {
    const Wall& wall = walls_[static_cast<std::size_t>(a.wall)];
    if (wall.plane == walls_[static_cast<std::size_t>(b.wall)].plane) return 0;
    const int side = points_.side(corners_of(wall.from_facet, facets_), b.apex);
    return a.along ? side : -side;
  }

  const std::vector<Wall>& walls_;
  const Corners& facets_;
  const ExactPoints& points_;
};

/// Rooms are sides of walls joined; walls that hang together are joined as well.
struct Rooms {
  Unions sides;
  Unions walls;
};

std::vector<Leaf> leaves_of(std::span<const int> half_edges, const Corners& corners) {
  std::vector<Leaf> leaves;
  leaves.reserve(half_edges.size());
  for (const int h : half_edges) {
    leaves.push_back({h / 3, to_vertex(corners, next_half_edge(h)),
                      from_vertex(corners, h) < to_vertex(corners, h)});
  }
  return leaves;
}

/// Joins what lies between each wall and the next about an edge. False where the walls about it
/// don't balance.
bool join_about(std::span<const int> half_edges, const Corners& corners,
                const std::vector<Wall>& walls, const Corners& facets, ExactPoints& points,
                Rooms& rooms) {
  std::vector<Leaf> leaves = leaves_of(half_edges, corners);
  int balance = 0;
  for (const Leaf& leaf : leaves) {
    const int times = walls[static_cast<std::size_t>(leaf.wall)].times;
    balance += leaf.along ? times : -times;
  }
  if (balance != 0) return false;
  if (leaves.size() > 2) {
    for (const Leaf& leaf : leaves) {
      points.expect(leaf.apex);
      points.expect(corners_of(walls[static_cast<std::size_t>(leaf.wall)].from_facet, facets));
    }
    AroundEdge(walls, facets, points).sort(leaves);
  }
  for (std::size_t i = 0; i < leaves.size(); ++i) {
    const Leaf& here = leaves[i];
    const Leaf& next = leaves[(i + 1) % leaves.size()];
    rooms.sides.join(here.along ? front_of(here.wall) : back_of(here.wall),
                     next.along ? back_of(next.wall) : front_of(next.wall));
    rooms.walls.join(here.wall, next.wall);
  }
  return true;
}

/// Of each set of walls that hang together, the wall that shows most along x.
std::vector<int> seed_walls(const std::vector<Wall>& walls, Unions& together, ExactPoints& points) {
  const auto shown = [&](const Wall& wall) {
    const geometry::Vec3 a = points.rounded(wall.corners[0]);
    const geometry::Vec3 b = points.rounded(wall.corners[1]) - a;
    const geometry::Vec3 c = points.rounded(wall.corners[2]) - a;
    return std::abs(b.cross(c).x());
  };
  std::map<int, std::pair<double, int>> best;
  for (int w = 0; w < static_cast<int>(walls.size()); ++w) {
    const Wall& wall = walls[static_cast<std::size_t>(w)];
    const double area = shown(wall);
    const auto [place, is_new] = best.try_emplace(together.find(w), area, w);
    if (is_new || area <= place->second.first) continue;
    place->second = {area, w};
  }
  std::vector<int> out;
  for (const auto& [set, seed] : best) {
    if (facing_along_x(walls[static_cast<std::size_t>(seed.second)], points) != 0) {
      out.push_back(seed.second);
    }
  }
  return out;
}

/// The windings of rooms, from those known through all walls. False where two ways to a room
/// disagree, or none leads there.
class Spread {
 public:
  Spread(const std::vector<Wall>& walls, Unions& sides) {
    for (int w = 0; w < static_cast<int>(walls.size()); ++w) {
      const int front = sides.find(front_of(w));
      const int back = sides.find(back_of(w));
      const int times = walls[static_cast<std::size_t>(w)].times;
      if (!steps_[front].emplace(back, times).second && steps_[front][back] != times)
        sound_ = false;
      if (!steps_[back].emplace(front, -times).second && steps_[back][front] != -times) {
        sound_ = false;
      }
    }
  }

  void from(int room, int winding) {
    if (!windings_.emplace(room, winding).second) return;
    std::vector<int> waiting = {room};
    while (!waiting.empty()) {
      const int here = waiting.back();
      waiting.pop_back();
      for (const auto& [next, step] : steps_[here]) {
        const int there = windings_[here] + step;
        const auto [place, is_new] = windings_.emplace(next, there);
        if (is_new) waiting.push_back(next);
        if (place->second != there) sound_ = false;
      }
    }
  }

  [[nodiscard]] bool sound() const { return sound_ && windings_.size() == steps_.size(); }

  [[nodiscard]] int at(int room) const { return windings_.at(room); }

 private:
  std::map<int, std::map<int, int>> steps_;
  std::map<int, int> windings_;
  bool sound_ = true;
};

}  // namespace

std::optional<std::vector<Winding>> windings(const std::vector<Wall>& walls, const Corners& facets,
                                             const Eigen::Matrix3Xd& positions,
                                             ExactPoints& points) {
  Corners corners;
  corners.reserve(3 * walls.size());
  for (const Wall& wall : walls) {
    corners.insert(corners.end(), wall.corners.begin(), wall.corners.end());
  }
  const int wall_count = static_cast<int>(walls.size());
  Rooms rooms = {Unions(2 * wall_count), Unions(wall_count)};
  const Edges edges(corners, points.count());
  for (int e = 0; e < edges.count(); ++e) {
    if (!join_about(edges.half_edges(e), corners, walls, facets, points, rooms))
      return std::nullopt;
  }
  const std::vector<int> seeds = seed_walls(walls, rooms.walls, points);
  std::vector<Wall> starting;
  starting.reserve(seeds.size());
  for (const int seed : seeds) starting.push_back(walls[static_cast<std::size_t>(seed)]);
  const std::vector<int> known = windings_beyond(starting, facets, positions, points);
  Spread spread(walls, rooms.sides);
  for (std::size_t i = 0; i < seeds.size(); ++i) {
    const bool front_beyond = facing_along_x(starting[i], points) > 0;
    spread.from(rooms.sides.find(front_beyond ? front_of(seeds[i]) : back_of(seeds[i])), known[i]);
  }
  if (!spread.sound()) return std::nullopt;
  std::vector<Winding> out;
  out.reserve(walls.size());
  for (int w = 0; w < wall_count; ++w) {
    out.push_back(
        {spread.at(rooms.sides.find(front_of(w))), spread.at(rooms.sides.find(back_of(w)))});
  }
  return out;
}

}  // namespace trueblank::intake
