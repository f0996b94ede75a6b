// SPDX-License-Identifier: GPL-3.0-or-later
// W. Lorensen, H. Cline, Marching cubes, Computer Graphics 21(4), 1987, in the plane. Roots by
// regula falsi as in M. Dowell, P. Jarratt, BIT 11, 1971 (Illinois).
#include "water/sweep_border.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <optional>

namespace trueblank::water {
namespace {

using Eigen::Vector2d;

constexpr int most_trials = 40;
constexpr int most_falsi = 12;          // then by halves, which always comes to an end
constexpr double enough_smooth = 1e-6;  // of a step
constexpr double enough = 1e-3;
constexpr int sides_a_chunk = 4;

// A side between a node and the next one along its row or its column.
struct Side {
  int i = 0;
  int j = 0;
  bool down = false;  // to the next row
};

class Grid {
 public:
  Grid(std::span<const Node> nodes, int rows, int columns)
      : nodes_(nodes), rows_(rows), columns_(columns) {}

  [[nodiscard]] int rows() const { return rows_; }

  [[nodiscard]] int columns() const { return columns_; }

  [[nodiscard]] Node at(int i, int j) const { return nodes_[place(i, j)]; }

  [[nodiscard]] bool is_there(const Side& side) const {
    return side.down ? side.i + 1 < rows_ : side.j + 1 < columns_;
  }

  [[nodiscard]] bool divided(const Side& side) const {
    const Node one = at(side.i, side.j);
    const Node other = side.down ? at(side.i + 1, side.j) : at(side.i, side.j + 1);
    return one != other && one != Node::untold && other != Node::untold;
  }

  [[nodiscard]] std::size_t number(const Side& side) const {
    return 2 * place(side.i, side.j) + (side.down ? 1 : 0);
  }

 private:
  [[nodiscard]] std::size_t place(int i, int j) const {
    return static_cast<std::size_t>(i) * static_cast<std::size_t>(columns_) +
           static_cast<std::size_t>(j);
  }

  std::span<const Node> nodes_;
  int rows_;
  int columns_;
};

// How far along the side from a node that stands to one that does not the border is, 0 to 1.
double along(const Vector2d& stands_at, const Vector2d& falls_at, const FootingAt& footing) {
  const Footing good = footing(stands_at, 0);
  const Footing bad = footing(falls_at, 0);
  if (!good.stands || bad.stands) return 0.5;  // which is not told otherwise, but for rounding
  const bool smooth = good.stiffness > 0 && bad.stiffness < 0;
  // Were the stiffness straight over the side, this would be as much of it as of the way.
  const double nil = enough_smooth / 10 * (good.stiffness - bad.stiffness);
  double low = 0;
  double high = 1;
  double f_low = good.stiffness;
  double f_high = bad.stiffness;
  int kept = 0;  // which end stayed, below 0 the low one, and how often
  for (int trial = 0; trial < most_trials && high - low > (smooth ? enough_smooth : enough);
       ++trial) {
    const bool halve = !smooth || f_low <= 0 || f_high >= 0 || trial >= most_falsi;
    const double t = halve ? low + (high - low) / 2 : low + (high - low) * f_low / (f_low - f_high);
    if (smooth && (t - low < enough_smooth / 4 || high - t < enough_smooth / 4)) return t;
    const Footing here = footing(stands_at + t * (falls_at - stands_at), good.trim_rad);
    if (smooth && std::abs(here.stiffness) <= nil) return t;
    if (here.stands) {
      low = t;
      f_low = here.stiffness;
      kept = std::max(kept, 0) + 1;
      if (kept > 1) f_high /= 2;
    } else {
      high = t;
      f_high = here.stiffness;
      kept = std::min(kept, 0) - 1;
      if (kept < -1) f_low /= 2;
    }
  }
  return low + (high - low) / 2;
}

Vector2d crossing(const Grid& grid, const Side& side, const FootingAt& footing) {
  const Vector2d a(side.i, side.j);
  const Vector2d b = a + (side.down ? Vector2d(1, 0) : Vector2d(0, 1));
  if (grid.at(side.i, side.j) == Node::stands) return a + along(a, b, footing) * (b - a);
  return b + along(b, a, footing) * (a - b);
}

// The border through the squares: at each divided side two ways on at most.
class Lines {
 public:
  Lines(const Grid& grid, std::vector<Side> sides, std::vector<Vector2d> points)
      : sides_(std::move(sides)), points_(std::move(points)), next_(sides_.size(), {-1, -1}) {
    of_side_.assign(
        2 * static_cast<std::size_t>(grid.rows()) * static_cast<std::size_t>(grid.columns()), -1);
    for (std::size_t s = 0; s < sides_.size(); ++s) {
      of_side_[grid.number(sides_[s])] = static_cast<int>(s);
    }
  }

  [[nodiscard]] int on(const Grid& grid, const Side& side) const {
    return of_side_[grid.number(side)];
  }

  void join(int one, int other) {
    set_next(one, other);
    set_next(other, one);
  }

  // Open lines first, each from its end; then the closed ones.
  [[nodiscard]] std::vector<std::vector<Vector2d>> followed() const {
    std::vector<std::vector<Vector2d>> lines;
    std::vector<char> done(points_.size(), 0);
    for (const bool closed : {false, true}) {
      for (std::size_t s = 0; s < points_.size(); ++s) {
        if (done[s] || (!closed && next_[s][1] >= 0)) continue;
        lines.push_back(from(static_cast<int>(s), done));
        if (closed) lines.back().push_back(lines.back().front());
      }
    }
    return lines;
  }

 private:
  void set_next(int of, int to) {
    std::array<int, 2>& ways = next_[static_cast<std::size_t>(of)];
    (ways[0] < 0 ? ways[0] : ways[1]) = to;
  }

  [[nodiscard]] std::vector<Vector2d> from(int at, std::vector<char>& done) const {
    std::vector<Vector2d> line;
    while (at >= 0) {
      const auto here = static_cast<std::size_t>(at);
      done[here] = 1;
      line.push_back(points_[here]);
      at = -1;
      for (const int to : next_[here]) {
        if (to >= 0 && !done[static_cast<std::size_t>(to)]) {
          at = to;
          break;
        }
      }
    }
    return line;
  }

  std::vector<Side> sides_;
  std::vector<Vector2d> points_;
  std::vector<std::array<int, 2>> next_;
  std::vector<int> of_side_;
};

// Joins what lies on the sides of one square. Of four the middle tells which two belong together.
void join_square(const Grid& grid, int i, int j, const FootingAt& footing, Lines& lines) {
  for (const int di : {0, 1}) {
    for (const int dj : {0, 1}) {
      if (grid.at(i + di, j + dj) == Node::untold) return;
    }
  }
  // Round the square: top, right, bottom, left.
  const std::array<Side, 4> around = {
      {{i, j, false}, {i, j + 1, true}, {i + 1, j, false}, {i, j, true}}};
  std::array<int, 4> on{};
  std::vector<int> found;
  for (std::size_t k = 0; k < 4; ++k) {
    on[k] = lines.on(grid, around[k]);
    if (on[k] >= 0) found.push_back(on[k]);
  }
  if (found.size() == 2) lines.join(found[0], found[1]);
  if (found.size() != 4) return;
  const bool middle = footing(Vector2d(i + 0.5, j + 0.5), 0).stands;
  const bool first = grid.at(i, j) == Node::stands;
  // Where the middle is as the first corner is, the line cuts off the two corners beside it.
  if (middle == first) {
    lines.join(on[0], on[1]);
    lines.join(on[2], on[3]);
  } else {
    lines.join(on[3], on[0]);
    lines.join(on[1], on[2]);
  }
}

}  // namespace

std::vector<std::vector<Vector2d>> border_lines(std::span<const Node> nodes, int rows, int columns,
                                                const FootingAt& footing,
                                                const geometry::ParallelFor& loop) {
  const Grid grid(nodes, rows, columns);
  std::vector<Side> sides;
  for (int i = 0; i < rows; ++i) {
    for (int j = 0; j < columns; ++j) {
      for (const bool down : {false, true}) {
        const Side side{i, j, down};
        if (grid.is_there(side) && grid.divided(side)) sides.push_back(side);
      }
    }
  }
  std::vector<Vector2d> points(sides.size());
  const int count = static_cast<int>(sides.size());
  loop((count + sides_a_chunk - 1) / sides_a_chunk, [&](int chunk) {
    for (int s = chunk * sides_a_chunk; s < std::min((chunk + 1) * sides_a_chunk, count); ++s) {
      const auto place = static_cast<std::size_t>(s);
      points[place] = crossing(grid, sides[place], footing);
    }
  });
  Lines lines(grid, std::move(sides), std::move(points));
  for (int i = 0; i + 1 < rows; ++i) {
    for (int j = 0; j + 1 < columns; ++j) join_square(grid, i, j, footing, lines);
  }
  return lines.followed();
}

}  // namespace trueblank::water
