// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/alignment_skin.h"

#include <algorithm>
#include <cmath>

#include "geometry/moments.h"

namespace trueblank::symmetry {
namespace {

constexpr int kPoints = 2000;

std::vector<std::uint8_t> off_the_rim(const geometry::TriangleMesh& mesh,
                                      std::span<const std::uint8_t> measured) {
  if (std::find(measured.begin(), measured.end(), 0) == measured.end()) return {};
  std::vector<std::uint8_t> made_up(static_cast<std::size_t>(mesh.vertex_count()), 0);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    if (measured[static_cast<std::size_t>(f)] != 0) continue;
    for (int k = 0; k < 3; ++k) made_up[static_cast<std::size_t>(mesh.facets(k, f))] = 1;
  }
  std::vector<std::uint8_t> meets(static_cast<std::size_t>(mesh.facet_count()), 1);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      if (made_up[static_cast<std::size_t>(mesh.facets(k, f))] != 0) {
        meets[static_cast<std::size_t>(f)] = 0;
      }
    }
  }
  return meets;
}

}  // namespace

AlignmentSkin::AlignmentSkin(const geometry::TriangleMesh& mesh,
                             std::span<const std::uint8_t> facet_measured,
                             const geometry::ParallelFor& loop)
    : skin_(mesh, facet_measured, loop), meets_(off_the_rim(mesh, facet_measured)) {
  const SkinPoints points = skin_.even(kPoints);
  middle_mm_ = points.positions_mm.rowwise().mean();
  const Eigen::Matrix3Xd off = points.positions_mm.colwise() - middle_mm_;
  const geometry::Principal spread =
      geometry::principal(geometry::Mat3(off * off.transpose() / points.count()));
  axes_.col(0) = spread.axes.col(2);
  axes_.col(1) = spread.axes.col(1);
  axes_.col(2) = -spread.axes.col(0);
  for (int k = 0; k < 3; ++k) spread_mm_[k] = std::sqrt(std::max(0.0, spread.values[2 - k]));
  const Eigen::RowVectorXd along = axes_.col(0).transpose() * off;
  length_mm_ = along.maxCoeff() - along.minCoeff();
}

}  // namespace trueblank::symmetry
