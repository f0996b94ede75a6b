// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/print_rooms.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>
#include <numeric>
#include <utility>

#include "symmetry/nearest_surface.h"
#include "symmetry/patch_names.h"

namespace trueblank::body {

using geometry::Vec3;

namespace {

constexpr double finest_part = 1.0 / 500;  // of the body's size
constexpr int margin = 2;                  // cells round about the body
constexpr int steps = 3;                   // in which a ball is moved within its cell
// Balls of more than so many cells are great enough where they are.
constexpr double great = 6;
// A room's greatest ball, of its way out.
constexpr double room_ratio = 1.5;
constexpr double least_cells = 30;  // of a room

/// The cells of a box about a body.
struct Grid {
  Vec3 low = Vec3::Zero();
  double cell_mm = 0;
  std::array<int, 3> count{};

  [[nodiscard]] int cells() const { return count[0] * count[1] * count[2]; }

  [[nodiscard]] std::array<int, 3> place(int cell) const {
    return {cell % count[0], cell / count[0] % count[1], cell / (count[0] * count[1])};
  }

  [[nodiscard]] int at(const std::array<int, 3>& p) const {
    return p[0] + count[0] * (p[1] + count[1] * p[2]);
  }

  [[nodiscard]] bool on_rim(const std::array<int, 3>& p) const {
    for (std::size_t k = 0; k < 3; ++k) {
      if (p[k] == 0 || p[k] == count[k] - 1) return true;
    }
    return false;
  }

  [[nodiscard]] Vec3 middle(int cell) const {
    const std::array<int, 3> p = place(cell);
    return low + cell_mm * Vec3(p[0] + 0.5, p[1] + 0.5, p[2] + 0.5);
  }
};

Grid grid_about(const symmetry::BodyExtent& extent, double cells) {
  const Vec3 size = extent.high_mm - extent.low_mm;
  Grid grid;
  grid.cell_mm = std::max(std::cbrt(size.prod() / cells), finest_part * size.maxCoeff());
  for (std::size_t k = 0; k < 3; ++k) {
    const double length = size[static_cast<Eigen::Index>(k)];
    grid.count[k] = static_cast<int>(std::ceil(length / grid.cell_mm)) + 2 * margin;
    grid.low[static_cast<Eigen::Index>(k)] =
        extent.low_mm[static_cast<Eigen::Index>(k)] + 0.5 * (length - grid.count[k] * grid.cell_mm);
  }
  return grid;
}

/// A ball of air a cell.
struct Air {
  std::vector<Vec3> middle;
  std::vector<double> radius;  // ≤ 0: none
  std::vector<float> filled;   // the part of the cell that is air, about
};

// Away from the nearest skin, by steps that are halved, but not out of the cell.
void move_within_cell(const symmetry::NearestSurface& surface, const Grid& grid, const Vec3& cell,
                      symmetry::NearestSurface::Hit hit, Vec3& middle, double& radius) {
  double step = grid.cell_mm / 2;
  for (int i = 0; i < steps; ++i, step /= 2) {
    const Vec3 away =
        hit.signed_distance_mm > 0 ? Vec3(middle - hit.nearest_mm) : Vec3(hit.nearest_mm - middle);
    const double length = away.norm();
    if (!(length > 0)) return;
    const double wanted = hit.signed_distance_mm > 0 ? step : length + step;
    Vec3 next = middle + wanted / length * away;
    next = next.cwiseMax(cell.array().matrix() - Vec3::Constant(grid.cell_mm / 2))
               .cwiseMin(cell + Vec3::Constant(grid.cell_mm / 2));
    const symmetry::NearestSurface::Hit there = surface.nearest(next, hit.facet);
    if (!(there.signed_distance_mm > radius)) continue;
    hit = there;
    middle = next;
    radius = there.signed_distance_mm;
  }
}

Air air_in(const Grid& grid, const symmetry::NearestSurface& surface,
           const geometry::ParallelFor& loop) {
  const std::size_t cells = static_cast<std::size_t>(grid.cells());
  Air air{std::vector<Vec3>(cells), std::vector<double>(cells, -1), std::vector<float>(cells, 0)};
  const double half_diagonal = grid.cell_mm * std::numbers::sqrt3 / 2;
  loop(grid.count[1] * grid.count[2], [&](int row) {
    int likely = -1;
    double deep_until = 0;  // of cells that surely lie within the body
    for (int i = 0; i < grid.count[0]; ++i) {
      const int cell = row * grid.count[0] + i;
      const std::size_t at = static_cast<std::size_t>(cell);
      const Vec3 middle = grid.middle(cell);
      if (deep_until > half_diagonal) {
        deep_until -= grid.cell_mm;
        if (deep_until > half_diagonal) continue;
      }
      const symmetry::NearestSurface::Hit hit = surface.nearest(middle, likely);
      likely = hit.facet;
      const double off = hit.signed_distance_mm;
      deep_until = off < 0 ? -off : 0;
      if (off < -half_diagonal) continue;
      air.filled[at] = static_cast<float>(std::clamp(0.5 + off / grid.cell_mm, 0.0, 1.0));
      air.middle[at] = middle;
      air.radius[at] = off;
      if (off < great * grid.cell_mm) {
        move_within_cell(surface, grid, middle, hit, air.middle[at], air.radius[at]);
      }
    }
  });
  return air;
}

/// Balls that belong together: outside is the first.
struct Group {
  double greatest_mm = 0;  // radius of its greatest ball
  int into = -1;           // the group that it ended in
  double pass_mm = 0;      // radius of the ball where it did
  int pass_cell = -1;
};

/// The groups by falling radius of their balls.
class Joining {
 public:
  Joining(const Grid& grid, const Air& air) : grid_(grid), air_(air) {
    groups_.push_back({.greatest_mm = std::numeric_limits<double>::infinity()});
    label_.assign(static_cast<std::size_t>(grid.cells()), -1);
    std::vector<int> order;
    for (int cell = 0; cell < grid.cells(); ++cell) {
      if (grid.on_rim(grid.place(cell))) {
        label_[static_cast<std::size_t>(cell)] = 0;
      } else if (air.radius[static_cast<std::size_t>(cell)] > 0) {
        order.push_back(cell);
      }
    }
    std::ranges::stable_sort(order, [&](int a, int b) { return radius(a) > radius(b); });
    for (const int cell : order) add(cell);
  }

  [[nodiscard]] const std::vector<Group>& groups() const { return groups_; }

  /// Cells without a ball that was joined are of the group of the greatest ball beside them; -1:
  /// none.
  [[nodiscard]] int label(int cell) const {
    const int own = label_[static_cast<std::size_t>(cell)];
    if (own >= 0 && !alone(own)) return own;
    int best = -1;
    double greatest = 0;
    visit_neighbours(cell, [&](int next) {
      const int other = label_[static_cast<std::size_t>(next)];
      if (other < 0 || alone(other) || !(radius(next) > greatest)) return;
      greatest = radius(next);
      best = other;
    });
    return best;
  }

 private:
  [[nodiscard]] double radius(int cell) const {
    return air_.radius[static_cast<std::size_t>(cell)];
  }

  [[nodiscard]] bool alone(int group) const {
    return group > 0 && members_[static_cast<std::size_t>(group)] == 1;
  }

  [[nodiscard]] int root(int group) {
    int top = group;
    while (groups_[static_cast<std::size_t>(top)].into >= 0) {
      top = up_[static_cast<std::size_t>(top)];
    }
    while (group != top) {
      const int next = up_[static_cast<std::size_t>(group)];
      up_[static_cast<std::size_t>(group)] = top;
      group = next;
    }
    return top;
  }

  template <class Visit>
  void visit_neighbours(int cell, const Visit& visit) const {
    const std::array<int, 3> p = grid_.place(cell);
    for (int dz = -1; dz <= 1; ++dz) {
      for (int dy = -1; dy <= 1; ++dy) {
        for (int dx = -1; dx <= 1; ++dx) {
          const std::array<int, 3> q = {p[0] + dx, p[1] + dy, p[2] + dz};
          const bool there = q[0] >= 0 && q[1] >= 0 && q[2] >= 0 && q[0] < grid_.count[0] &&
                             q[1] < grid_.count[1] && q[2] < grid_.count[2];
          if (there && (dx != 0 || dy != 0 || dz != 0)) visit(grid_.at(q));
        }
      }
    }
  }

  [[nodiscard]] bool overlap(int a, int b) const {
    const double both = radius(a) + radius(b);
    const Vec3 apart =
        air_.middle[static_cast<std::size_t>(a)] - air_.middle[static_cast<std::size_t>(b)];
    return apart.squaredNorm() < both * both;
  }

  void add(int cell) {
    int best = -1;
    double greatest = 0;
    std::array<int, 26> met{};
    std::size_t count = 0;
    visit_neighbours(cell, [&](int next) {
      const int other = label_[static_cast<std::size_t>(next)];
      if (other < 0 || !overlap(cell, next)) return;
      met[count++] = other;
      if (best >= 0 && !(radius(next) > greatest)) return;
      greatest = radius(next);
      best = other;
    });
    if (best < 0) {
      best = static_cast<int>(groups_.size());
      groups_.push_back({.greatest_mm = radius(cell)});
    }
    up_.resize(groups_.size(), 0);
    members_.resize(groups_.size(), 0);
    ++members_[static_cast<std::size_t>(best)];
    label_[static_cast<std::size_t>(cell)] = best;
    for (std::size_t i = 0; i < count; ++i) join(met[i], best, cell);
  }

  // The group with the smaller greatest ball ends in the other.
  void join(int a, int b, int cell) {
    int one = root(a);
    int other = root(b);
    if (one == other) return;
    const auto size = [&](int group) {
      return groups_[static_cast<std::size_t>(group)].greatest_mm;
    };
    if (size(one) > size(other) || (size(one) == size(other) && one < other)) std::swap(one, other);
    Group& ended = groups_[static_cast<std::size_t>(one)];
    ended.into = other;
    ended.pass_mm = radius(cell);
    ended.pass_cell = cell;
    up_[static_cast<std::size_t>(one)] = other;
  }

  const Grid& grid_;
  const Air& air_;
  std::vector<Group> groups_;
  std::vector<int> up_ = {0};
  std::vector<int> members_ = {0};
  std::vector<int> label_;  // a cell each, the group that it was first put into
};

// Which room each group is of: itself, the room that it ends in, or outside (0).
std::vector<int> rooms_of(const std::vector<Group>& groups) {
  std::vector<int> room(groups.size(), -1);
  room[0] = 0;
  for (std::size_t first = 0; first < groups.size(); ++first) {
    std::vector<int> way;
    int at = static_cast<int>(first);
    while (at >= 0 && room[static_cast<std::size_t>(at)] < 0) {
      way.push_back(at);
      at = groups[static_cast<std::size_t>(at)].into;
    }
    int found = at >= 0 ? room[static_cast<std::size_t>(at)] : -1;
    for (auto step = way.rbegin(); step != way.rend(); ++step) {
      const Group& group = groups[static_cast<std::size_t>(*step)];
      const bool a_room = group.into >= 0 && group.greatest_mm > room_ratio * group.pass_mm;
      if (found == 0 && a_room) found = *step;
      // Joined to nothing: a way in is narrower than can be told, or there is none.
      if (group.into < 0) found = *step;
      room[static_cast<std::size_t>(*step)] = found;
    }
  }
  return room;
}

struct Sums {
  double volume_mm3 = 0;
  double skin_cells = 0;
  Vec3 moment = Vec3::Zero();
  double low_x = std::numeric_limits<double>::infinity();
  double high_x = -std::numeric_limits<double>::infinity();
};

Chamber chamber(const Sums& sums, const Group& group, const Grid& grid, const Air& air,
                const symmetry::BodyExtent& extent) {
  Chamber result{.from_station_mm = sums.low_x,
                 .to_station_mm = sums.high_x,
                 .volume_mm3 = sums.volume_mm3,
                 .middle_mm = sums.moment / sums.volume_mm3};
  // Cells on the skin are known to a part of them only; and where in its way out the room ends is
  // anyone's choice, within about the length of a great ball there.
  constexpr double of_skin_cells = 0.1;
  const double s = group.pass_mm;
  const double cell_mm3 = std::pow(grid.cell_mm, 3);
  result.bound_mm3 = of_skin_cells * sums.skin_cells * cell_mm3 + 4 * std::numbers::pi * s * s * s;
  result.opening = Chamber::Opening{};
  if (group.pass_cell < 0) return result;
  const Vec3 at = air.middle[static_cast<std::size_t>(group.pass_cell)];
  symmetry::PatchSpread spread;
  spread.add(at, (at - result.middle_mm).stableNormalized(), 1);
  symmetry::Patch patch;
  spread.describe(extent, patch);
  result.opening = Chamber::Opening{.width_mm = 2 * s, .at_mm = at, .name = patch.name};
  return result;
}

}  // namespace

Rooms open_rooms(const geometry::ClosedMesh& outer, const geometry::ParallelFor& loop,
                 double cells) {
  const symmetry::BodyExtent extent = symmetry::extent_of(outer);
  const Grid grid = grid_about(extent, cells);
  const symmetry::NearestSurface surface(outer.mesh(), loop);
  const Air air = air_in(grid, surface, loop);
  const Joining joining(grid, air);
  const std::vector<Group>& groups = joining.groups();
  const std::vector<int> room = rooms_of(groups);
  std::vector<Sums> sums(groups.size());
  const double cell_mm3 = std::pow(grid.cell_mm, 3);
  for (int cell = 0; cell < grid.cells(); ++cell) {
    const double filled = air.filled[static_cast<std::size_t>(cell)];
    if (!(filled > 0)) continue;
    const int label = joining.label(cell);
    if (label < 0 || room[static_cast<std::size_t>(label)] <= 0) continue;
    Sums& own = sums[static_cast<std::size_t>(room[static_cast<std::size_t>(label)])];
    const Vec3 middle = grid.middle(cell);
    own.volume_mm3 += filled * cell_mm3;
    own.moment += filled * cell_mm3 * middle;
    if (filled < 1) own.skin_cells += 1;
    own.low_x = std::min(own.low_x, middle.x() - grid.cell_mm / 2);
    own.high_x = std::max(own.high_x, middle.x() + grid.cell_mm / 2);
  }
  Rooms result{.open = {}, .grid_mm = grid.cell_mm};
  for (std::size_t g = 1; g < groups.size(); ++g) {
    if (room[g] != static_cast<int>(g) || sums[g].volume_mm3 < least_cells * cell_mm3) continue;
    if (!(groups[g].greatest_mm > room_ratio * grid.cell_mm)) continue;
    result.open.push_back(chamber(sums[g], groups[g], grid, air, extent));
  }
  std::ranges::stable_sort(
      result.open, [](const Chamber& a, const Chamber& b) { return a.volume_mm3 > b.volume_mm3; });
  return result;
}

}  // namespace trueblank::body
