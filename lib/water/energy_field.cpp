// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/energy_field.h"

#include <algorithm>
#include <optional>

#include "water/stationary.h"

namespace trueblank::water {
namespace {

// Weight and buoyancy need only agree so far: the rest is carried by derivatives, and its square
// is far below what lies between two nodes.
constexpr double node_residual = 1e-4;
constexpr int nodes_a_chunk = 64;

EnergyField::Node tabled(const Floater& lure, const Vec3& up, std::optional<double> start_mm) {
  const Waterline line = waterline_at(lure, up, start_mm, node_residual);
  EnergyField::Node node;
  node.energy_g_mm = line.energy_g_mm;
  node.gradient_g_mm = slope_across(up, line);
  node.hessian_g_mm = line.hessian_g_mm;
  node.offset_mm = line.offset_mm;
  node.offset_slope_mm = line.offset_slope_mm;
  return node;
}

}  // namespace

EnergyField::EnergyField(const Floater& lure, const SphereGrid& grid,
                         const geometry::ParallelFor& loop)
    : grid_(&grid), nodes_(static_cast<std::size_t>(grid.node_count())) {
  const auto fill = [&](int i) {
    const Vec3& up = grid.node(i);
    const std::array<int, 2>& parents = grid.parents(i);
    std::optional<double> start_mm;
    if (parents[0] >= 0) {
      start_mm = (foreseen_offset_mm(parents[0], up) + foreseen_offset_mm(parents[1], up)) / 2;
    }
    nodes_[static_cast<std::size_t>(i)] = tabled(lure, up, start_mm);
  };
  int done = 0;
  for (int level = 0; level <= grid.levels(); ++level) {
    const int end = SphereGrid::node_count_at(level);
    const int chunks = (end - done + nodes_a_chunk - 1) / nodes_a_chunk;
    loop(chunks, [&](int chunk) {
      const int first = done + chunk * nodes_a_chunk;
      for (int i = first; i < std::min(first + nodes_a_chunk, end); ++i) fill(i);
    });
    done = end;
  }
  steady_gradient_.reserve(nodes_.size());
  steady_hessian_.reserve(nodes_.size());
  for (int i = 0; i < grid.node_count(); ++i) {
    const Vec3& up = grid.node(i);
    const Vec3& gradient = node(i).gradient_g_mm;
    steady_gradient_.push_back(gradient);
    steady_hessian_.emplace_back(node(i).hessian_g_mm - gradient * up.transpose() -
                                 up * gradient.transpose());
  }
}

double EnergyField::range_g_mm() const {
  double least = nodes_.front().energy_g_mm;
  double greatest = least;
  for (const Node& each : nodes_) {
    least = std::min(least, each.energy_g_mm);
    greatest = std::max(greatest, each.energy_g_mm);
  }
  return greatest - least;
}

EnergyField::Value EnergyField::at(const Vec3& up, int near_face) const {
  const SphereGrid::Spot spot = grid_->locate(up, near_face);
  const std::array<int, 3>& corners = grid_->face(spot.face);
  const Vec3 on_face = spot.shrink * up;
  Vec3 gradient = Vec3::Zero();
  Mat3 hessian = Mat3::Zero();
  for (int k = 0; k < 3; ++k) {
    const std::size_t corner = static_cast<std::size_t>(corners[static_cast<std::size_t>(k)]);
    const Vec3 away = on_face - grid_->node(static_cast<int>(corner));
    gradient += spot.weights(k) * (steady_gradient_[corner] + steady_hessian_[corner] * away / 2);
    hessian += spot.weights(k) * steady_hessian_[corner];
  }
  // The extension's gradient falls off with the distance from the middle; so much for its value on
  // the flat triangle, below the sphere.
  gradient *= spot.shrink;
  Value value;
  value.gradient_g_mm = gradient - up.dot(gradient) * up;
  value.hessian_g_mm = hessian;
  value.face = spot.face;
  return value;
}

}  // namespace trueblank::water
