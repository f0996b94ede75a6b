// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/smoothed_skin.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <utility>

namespace trueblank::symmetry {
namespace {

using geometry::Vec3;

constexpr int run_length = 256;

// The width that was asked for is made up of that of the cells, of the averaging over cells, and of
// the reading off: their squares add up.
constexpr double cell_share = 2.0 / 3;     // side of a cell, of the width
constexpr double reading_share = 1.0 / 3;  // width of the reading off, likewise
constexpr double averaging_share2 =
    1 - cell_share * cell_share / 12 - reading_share * reading_share;
// Where the Gaussians are cut off, in cells: 3.75 and 2 widths.
constexpr int averaging_reach = 5;
constexpr int reading_reach = 1;

/// A few vertices as one.
struct Node {
  Vec3 middle_mm = Vec3::Zero();
  Vec3 normal = Vec3::Zero();
  double area_mm2 = 0;
  double value = 0;
};

// The axis that a normal is nearest to, and its sign: 0 to 5.
std::uint64_t facing(const Vec3& normal) {
  Eigen::Index axis = 0;
  normal.cwiseAbs().maxCoeff(&axis);
  return static_cast<std::uint64_t>(2 * axis + (normal[axis] < 0 ? 1 : 0));
}

/// Nodes in the order of their cells.
class Nodes {
 public:
  Nodes(const SkinFigures& skin, double cell_mm)
      : low_(skin.positions_mm.rowwise().minCoeff()), cell_mm_(cell_mm) {
    std::vector<std::pair<std::uint64_t, int>> places;
    for (int v = 0; v < static_cast<int>(skin.areas_mm2.size()); ++v) {
      if (!(skin.areas_mm2[static_cast<std::size_t>(v)] > 0)) continue;
      const std::uint64_t own = key(cell_of(skin.positions_mm.col(v)));
      places.emplace_back(own * 6 + facing(skin.normals.col(v)), v);
    }
    std::sort(places.begin(), places.end());
    for (std::size_t i = 0; i < places.size();) {
      const std::uint64_t place = places[i].first;
      Node node;
      for (; i < places.size() && places[i].first == place; ++i) {
        const int v = places[i].second;
        const double area = skin.areas_mm2[static_cast<std::size_t>(v)];
        node.middle_mm += area * skin.positions_mm.col(v);
        node.normal += area * skin.normals.col(v);
        node.value += area * skin.values[static_cast<std::size_t>(v)];
        node.area_mm2 += area;
      }
      node.middle_mm /= node.area_mm2;
      node.value /= node.area_mm2;
      node.normal = node.normal.stableNormalized();
      keys_.push_back(place / 6);
      nodes_.push_back(node);
    }
  }

  [[nodiscard]] const std::vector<Node>& all() const { return nodes_; }

  /// Calls visit(index) for the nodes whose cells are at most `reach` cells away in each direction.
  template <class Visit>
  void near(const Vec3& point_mm, int reach, const Visit& visit) const {
    const Cell middle = cell_of(point_mm);
    for (int x = middle[0] - reach; x <= middle[0] + reach; ++x) {
      for (int y = middle[1] - reach; y <= middle[1] + reach; ++y) {
        const std::uint64_t last = key({x, y, middle[2] + reach});
        auto at = std::lower_bound(keys_.begin(), keys_.end(), key({x, y, middle[2] - reach}));
        for (; at != keys_.end() && *at <= last; ++at) {
          visit(static_cast<std::size_t>(at - keys_.begin()));
        }
      }
    }
  }

 private:
  using Cell = std::array<int, 3>;

  // So far from the rim that no reach goes below 0; 2²⁰ cells a side are many more than a body has.
  static constexpr int rim = 16;
  static constexpr double most_cells = 1 << 19;

  [[nodiscard]] Cell cell_of(const Vec3& p) const {
    Cell cell;
    for (int k = 0; k < 3; ++k) {
      cell[static_cast<std::size_t>(k)] =
          rim + static_cast<int>(std::clamp((p[k] - low_[k]) / cell_mm_, 0.0, most_cells));
    }
    return cell;
  }

  static std::uint64_t key(const Cell& cell) {
    return (static_cast<std::uint64_t>(cell[0]) << 40) |
           (static_cast<std::uint64_t>(cell[1]) << 20) | static_cast<std::uint64_t>(cell[2]);
  }

  Vec3 low_;
  double cell_mm_;
  std::vector<std::uint64_t> keys_;
  std::vector<Node> nodes_;
};

// What a node counts at a place, its area aside.
double say(const Node& node, const Vec3& point_mm, const Vec3& normal, double width_mm) {
  const double alike = std::max(0.0, node.normal.dot(normal));
  const double off2 = (node.middle_mm - point_mm).squaredNorm() / (width_mm * width_mm);
  return alike * alike * std::exp(-off2 / 2);
}

struct Averages {
  std::vector<Vec3> normals;
  std::vector<double> values;
  std::vector<double> widths2_mm2;
};

// White noise of one node is 1/area; what is left of it after averaging under weights that sum to
// one is Σ weight²/area, on a flat skin 1/(4π·width²).
Averages averaged(const Nodes& nodes, double width_mm, const geometry::ParallelFor& loop) {
  const std::vector<Node>& all = nodes.all();
  Averages result{std::vector<Vec3>(all.size()), std::vector<double>(all.size()),
                  std::vector<double>(all.size())};
  const double gauss_mm = std::sqrt(averaging_share2) * width_mm;
  const int count = static_cast<int>(all.size());
  loop((count + run_length - 1) / run_length, [&](int run) {
    for (int i = run * run_length; i < std::min(count, (run + 1) * run_length); ++i) {
      const Node& own = all[static_cast<std::size_t>(i)];
      double sum = 0;
      double value = 0;
      double passed = 0;
      Vec3 normal = Vec3::Zero();
      nodes.near(own.middle_mm, averaging_reach, [&](std::size_t j) {
        const Node& other = all[j];
        const double part = say(other, own.middle_mm, own.normal, gauss_mm);
        sum += part * other.area_mm2;
        value += part * other.area_mm2 * other.value;
        normal += part * other.area_mm2 * other.normal;
        passed += part * part * other.area_mm2;
      });
      const std::size_t at = static_cast<std::size_t>(i);
      result.values[at] = value / sum;
      result.normals[at] = normal;
      result.widths2_mm2[at] = sum * sum / (4 * std::numbers::pi * passed);
    }
  });
  return result;
}

}  // namespace

SmoothedSkin smoothed(const SkinFigures& skin, double width_mm, const geometry::ParallelFor& loop) {
  const Nodes nodes(skin, cell_share * width_mm);
  const Averages averages = averaged(nodes, width_mm, loop);
  const std::size_t vertices = skin.areas_mm2.size();
  SmoothedSkin result{std::vector<double>(vertices, 0.0), std::vector<double>(vertices, width_mm),
                      skin.normals};
  const double reading_mm = reading_share * width_mm;
  const double beside_mm2 = (1 - averaging_share2) * width_mm * width_mm;
  const int count = static_cast<int>(vertices);
  loop((count + run_length - 1) / run_length, [&](int run) {
    for (int v = run * run_length; v < std::min(count, (run + 1) * run_length); ++v) {
      const std::size_t at = static_cast<std::size_t>(v);
      if (!(skin.areas_mm2[at] > 0)) continue;
      double sum = 0;
      double value = 0;
      double width2 = 0;
      Vec3 normal = Vec3::Zero();
      nodes.near(skin.positions_mm.col(v), reading_reach, [&](std::size_t j) {
        const Node& node = nodes.all()[j];
        const double part =
            node.area_mm2 * say(node, skin.positions_mm.col(v), skin.normals.col(v), reading_mm);
        sum += part;
        value += part * averages.values[j];
        width2 += part * averages.widths2_mm2[j];
        normal += part * averages.normals[j];
      });
      if (!(sum > 0)) continue;  // its own cell faces elsewhere altogether
      result.values[at] = value / sum;
      result.widths_mm[at] = std::min(width_mm, std::sqrt(width2 / sum + beside_mm2));
      result.normals.col(v) = normal.stableNormalized();
    }
  });
  return result;
}

}  // namespace trueblank::symmetry
