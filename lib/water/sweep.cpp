// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/sweep.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <numbers>

#include "geometry/inside.h"
#include "water/back_up.h"
#include "water/sweep_border.h"

namespace trueblank::water {
namespace {

using Eigen::Vector2d;

constexpr int block_steps = 16;
constexpr double alike_within_deg = 12;

bool is_place(Swept what) { return what == Swept::x || what == Swept::y || what == Swept::z; }

int coordinate(Swept what) {
  if (what == Swept::x) return 0;
  return what == Swept::y ? 1 : 2;
}

// At a place between two steps.
double value_at(const SweepAxis& axis, double step) {
  const int below = static_cast<int>(std::floor(step));
  if (static_cast<double>(below) == step) return axis.value(below);
  return axis.from + (axis.to - axis.from) * step / (axis.count - 1);
}

// What is known of a cell, more than is told of it.
struct Known {
  SweepCell cell;
  bool afloat = false;  // at rest with a waterline
  Vec3 up = Vec3::UnitZ();
  double offset_mm = 0;
};

Known known(const BackUp& found) {
  Known out;
  out.cell = {
      .told = true, .stands = found.stands, .state = found.state, .reserve_g = found.reserve_g};
  if (!found.pose) return out;
  out.cell.tail_down_deg = found.pose->tail_down_deg;
  out.cell.list_deg = found.pose->list_deg;
  out.cell.least_stiffness_g_mm_per_deg = found.pose->least_stiffness_g_mm_per_deg;
  out.afloat = found.pose->waterline_offset_mm.has_value();
  out.up = found.pose->up;
  out.offset_mm = found.pose->waterline_offset_mm.value_or(0);
  return out;
}

bool alike(const Known& one, const Known& other) {
  static const double least_cosine = std::cos(alike_within_deg * std::numbers::pi / 180);
  return one.afloat && other.afloat && one.cell.stands == other.cell.stands &&
         one.up.dot(other.up) > least_cosine;
}

// The rig of the axes, anywhere on them.
class Builds {
 public:
  Builds(const CutBody& body, const rig::Assembly& assembly, const std::vector<SweepAxis>& axes)
      : body_(body),
        assembly_(assembly),
        axes_(axes),
        search_(floater(body, rig::add_up(assembly))) {}

  [[nodiscard]] int rows() const { return axes_[0].count; }

  [[nodiscard]] int columns() const { return axes_.size() > 1 ? axes_[1].count : 1; }

  [[nodiscard]] Floater at(const Vector2d& steps) const {
    rig::Assembly made = assembly_;
    for (std::size_t k = 0; k < axes_.size(); ++k) {
      made = with_value(made, axes_[k], value_at(axes_[k], steps(static_cast<Eigen::Index>(k))));
    }
    return floater(body_, rig::add_up(made));
  }

  [[nodiscard]] const BackUpSearch& search() const { return search_; }

 private:
  const CutBody& body_;
  const rig::Assembly& assembly_;
  const std::vector<SweepAxis>& axes_;
  BackUpSearch search_;
};

// A rectangle of cells, its last row and column those that the next ones begin with.
class Block {
 public:
  Block(const Builds& builds, int row, int column)
      : builds_(builds),
        i0_(row),
        j0_(column),
        i1_(std::min(row + block_steps, builds.rows() - 1)),
        j1_(std::min(column + block_steps, builds.columns() - 1)),
        memo_(static_cast<std::size_t>((i1_ - i0_ + 1) * (j1_ - j0_ + 1))) {}

  void fill(std::vector<SweepCell>& cells) {
    fill(i0_, j0_, i1_, j1_);
    const int rows = i1_ + 1 == builds_.rows() ? i1_ + 1 : i1_;
    const int columns = j1_ + 1 == builds_.columns() ? j1_ + 1 : j1_;
    for (int i = i0_; i < rows; ++i) {
      for (int j = j0_; j < columns; ++j) {
        cells[static_cast<std::size_t>(i) * static_cast<std::size_t>(builds_.columns()) +
              static_cast<std::size_t>(j)] = let_go(i, j).cell;
      }
    }
  }

 private:
  std::optional<Known>& memo(int i, int j) {
    return memo_[static_cast<std::size_t>((i - i0_) * (j1_ - j0_ + 1) + (j - j0_))];
  }

  const Known& let_go(int i, int j) {
    std::optional<Known>& here = memo(i, j);
    if (here) return *here;
    const Floater lure = builds_.at(Vector2d(i, j));
    here = lure.mass_g > 0 ? known(builds_.search().let_go(lure)) : Known{};
    return *here;
  }

  void fill(int i0, int j0, int i1, int j1) {
    const Known corners[] = {let_go(i0, j0), let_go(i0, j1), let_go(i1, j0), let_go(i1, j1)};
    const bool one_cell = i1 - i0 <= 1 && j1 - j0 <= 1;
    if (one_cell) return;
    if (std::all_of(std::begin(corners), std::end(corners),
                    [&](const Known& c) { return alike(corners[0], c); })) {
      for (int i = i0; i <= i1; ++i) {
        for (int j = j0; j <= j1; ++j) {
          const double down = i1 > i0 ? static_cast<double>(i - i0) / (i1 - i0) : 0.0;
          const double along = j1 > j0 ? static_cast<double>(j - j0) / (j1 - j0) : 0.0;
          const Eigen::Vector4d weights((1 - down) * (1 - along), (1 - down) * along,
                                        down * (1 - along), down * along);
          const std::optional<BackUpGuess> on = on_from_before(i, j, i0, j0);
          follow(i, j, on ? *on : between(corners, weights));
        }
      }
      return;
    }
    const int im = i1 - i0 > 1 ? (i0 + i1) / 2 : i1;
    const int jm = j1 - j0 > 1 ? (j0 + j1) / 2 : j1;
    fill(i0, j0, im, jm);
    if (jm < j1) fill(i0, jm, im, j1);
    if (im < i1) fill(im, j0, i1, jm);
    if (im < i1 && jm < j1) fill(im, jm, i1, j1);
  }

  // What lies on from the three cells before, along the row or else down the column, as on a
  // parabola; nothing where they are not all in the rectangle that begins at (i0, j0).
  std::optional<BackUpGuess> on_from_before(int i, int j, int i0, int j0) {
    const int down = j - j0 >= 3 ? 0 : 1;
    if (down == 1 && i - i0 < 3) return {};
    const auto before = [&](int k) { return memo(i - k * down, j - k * (1 - down)); };
    const std::optional<Known> one = before(1);
    const std::optional<Known> two = before(2);
    const std::optional<Known> three = before(3);
    if (!one || !two || !three || !alike(*one, *two) || !alike(*one, *three)) return {};
    const Vec3 up = 3 * (one->up - two->up) + three->up;
    return BackUpGuess{.up = up.normalized(),
                       .offset_mm = 3 * (one->offset_mm - two->offset_mm) + three->offset_mm,
                       .stands = one->cell.stands};
  }

  static BackUpGuess between(const Known (&corners)[4], const Eigen::Vector4d& weights) {
    BackUpGuess guess{.up = Vec3::Zero(), .stands = corners[0].cell.stands};
    for (int k = 0; k < 4; ++k) {
      guess.up += weights(k) * corners[k].up;
      guess.offset_mm += weights(k) * corners[k].offset_mm;
    }
    guess.up.normalize();
    return guess;
  }

  void follow(int i, int j, const BackUpGuess& guess) {
    std::optional<Known>& here = memo(i, j);
    if (here) return;
    const std::optional<BackUp> found = builds_.search().near(builds_.at(Vector2d(i, j)), guess);
    if (found) here = known(*found);
    let_go(i, j);
  }

  const Builds& builds_;
  int i0_, j0_, i1_, j1_;
  std::vector<std::optional<Known>> memo_;
};

int blocks_over(int count) { return std::max(1, (count - 1 + block_steps - 1) / block_steps); }

std::vector<SweepCell> cells_of(const Builds& builds, const geometry::ParallelFor& loop) {
  const auto rows = static_cast<std::size_t>(builds.rows());
  const auto columns = static_cast<std::size_t>(builds.columns());
  std::vector<SweepCell> cells(rows * columns);
  const int across = blocks_over(builds.columns());
  loop(blocks_over(builds.rows()) * across, [&](int b) {
    Block(builds, b / across * block_steps, b % across * block_steps).fill(cells);
  });
  return cells;
}

// Which values of the axis lie in the body, the other coordinates of the place held.
std::vector<char> inside_along(const geometry::ClosedMesh& bare, const SweepAxis& axis,
                               const Vec3& place_mm) {
  const int k = coordinate(axis.what);
  const double low = std::min(axis.from, axis.to) - 1;
  const double high = std::max(axis.from, axis.to) + 1;
  Vec3 a = place_mm;
  Vec3 b = place_mm;
  a(k) = low;
  b(k) = high;
  const std::vector<std::pair<double, double>> parts = geometry::inside_parts(bare, a, b);
  std::vector<char> inside(static_cast<std::size_t>(axis.count), 0);
  for (int i = 0; i < axis.count; ++i) {
    const double t = (axis.value(i) - low) / (high - low);
    const auto around = [&](const auto& part) { return part.first <= t && t <= part.second; };
    inside[static_cast<std::size_t>(i)] = std::any_of(parts.begin(), parts.end(), around) ? 1 : 0;
  }
  return inside;
}

void leave_out_what_is_outside(const geometry::ClosedMesh& bare, Sweep& sweep,
                               const geometry::ParallelFor& loop) {
  const std::vector<SweepAxis>& axes = sweep.axes;
  const int rows = axes[0].count;
  const int columns = axes.size() > 1 ? axes[1].count : 1;
  const auto leave_out = [&](int i, int j) {
    sweep.cells[static_cast<std::size_t>(i) * static_cast<std::size_t>(columns) +
                static_cast<std::size_t>(j)] = {};
  };
  const auto asked = [](const SweepAxis& axis) { return axis.inside && is_place(axis.what); };
  const bool one_part =
      axes.size() > 1 && asked(axes[0]) && asked(axes[1]) && axes[0].part == axes[1].part;
  if (one_part) {
    loop(rows, [&](int i) {
      Vec3 place = axes[0].place_mm;
      place(coordinate(axes[0].what)) = axes[0].value(i);
      const std::vector<char> inside = inside_along(bare, axes[1], place);
      for (int j = 0; j < columns; ++j) {
        if (inside[static_cast<std::size_t>(j)] == 0) leave_out(i, j);
      }
    });
    return;
  }
  for (std::size_t k = 0; k < axes.size(); ++k) {
    if (!asked(axes[k])) continue;
    const std::vector<char> inside = inside_along(bare, axes[k], axes[k].place_mm);
    for (int i = 0; i < rows; ++i) {
      for (int j = 0; j < columns; ++j) {
        if (inside[static_cast<std::size_t>(k == 0 ? i : j)] == 0) leave_out(i, j);
      }
    }
  }
}

std::vector<Node> nodes_of(const std::vector<SweepCell>& cells) {
  std::vector<Node> nodes;
  nodes.reserve(cells.size());
  for (const SweepCell& cell : cells) {
    nodes.push_back(!cell.told ? Node::untold : cell.stands ? Node::stands : Node::falls);
  }
  return nodes;
}

// The cells, and the border in values.
Sweep mapped(const CutBody& body, const geometry::ClosedMesh& bare, const rig::Assembly& assembly,
             std::vector<SweepAxis> axes, const geometry::ParallelFor& loop) {
  Sweep out;
  out.axes = std::move(axes);
  const Builds builds(body, assembly, out.axes);
  out.cells = cells_of(builds, loop);
  leave_out_what_is_outside(bare, out, loop);
  const auto footing = [&](const Vector2d& at, double trim_rad) -> Footing {
    const BackUpSearch::Standing found = builds.search().standing(builds.at(at), trim_rad);
    return {found.stands, found.upright_stiffness_g_mm_per_deg, found.trim_rad};
  };
  out.border = border_lines(nodes_of(out.cells), builds.rows(), builds.columns(), footing, loop);
  for (std::vector<Vector2d>& line : out.border) {
    for (Vector2d& point : line) {
      for (std::size_t k = 0; k < out.axes.size(); ++k) {
        double& step = point(static_cast<Eigen::Index>(k));
        step = value_at(out.axes[k], step);
      }
    }
  }
  return out;
}

// Of a sweep of one axis.
std::vector<std::pair<double, double>> stretches(const Sweep& line) {
  const SweepAxis& axis = line.axes[0];
  std::vector<std::pair<double, double>> found;
  std::optional<double> since;
  std::size_t crossed = 0;
  const auto end = [&](double at) {
    if (since) found.emplace_back(std::min(*since, at), std::max(*since, at));
    since.reset();
  };
  for (int i = 0; i < axis.count; ++i) {
    const SweepCell& cell = line.cells[static_cast<std::size_t>(i)];
    const SweepCell* before = i > 0 ? &line.cells[static_cast<std::size_t>(i - 1)] : nullptr;
    const bool divided = before && before->told && cell.told && before->stands != cell.stands;
    const double at = divided ? line.border[crossed++].front().x() : axis.value(i);
    if (cell.told && cell.stands && !since) since = at;
    if (!cell.told && before) end(axis.value(i - 1));
    if (cell.told && !cell.stands) end(at);
  }
  end(axis.to);
  if (axis.from > axis.to) std::reverse(found.begin(), found.end());
  return found;
}

}  // namespace

rig::Assembly with_value(const rig::Assembly& assembly, const SweepAxis& axis, double value) {
  if (axis.what == Swept::wood_density) {
    return rig::with_wood_times(assembly, value / axis.nominal);
  }
  rig::Assembly made = assembly;
  if (axis.what == Swept::water_density) {
    made.water_density_g_cm3 = value;
    for (rig::LaidPart& part : made.parts) {
      if (part.water_g > 0) {
        part = rig::heavier(part, part.mass_g * (value / axis.nominal - 1));
      }
    }
    return made;
  }
  rig::LaidPart& part = made.parts[axis.part];
  if (axis.what == Swept::mass) {
    part = rig::heavier(part, value - part.mass_g);
  } else {
    part = rig::moved(part, (value - axis.nominal) * Vec3::Unit(coordinate(axis.what)));
  }
  return made;
}

int Sweep::untold() const {
  return static_cast<int>(
      std::count_if(cells.begin(), cells.end(), [](const SweepCell& cell) { return !cell.told; }));
}

Sweep sweep(const CutBody& body, const geometry::ClosedMesh& bare, const rig::Assembly& assembly,
            std::vector<SweepAxis> axes, const geometry::ParallelFor& loop) {
  Sweep out = mapped(body, bare, assembly, std::move(axes), loop);
  if (out.axes.size() == 1) {
    out.stands_between.push_back(stretches(out));
    return out;
  }
  for (const SweepAxis& axis : out.axes) {
    out.stands_between.push_back(stretches(mapped(body, bare, assembly, {axis}, loop)));
  }
  return out;
}

}  // namespace trueblank::water
