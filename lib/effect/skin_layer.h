// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "geometry/frame.h"

namespace trueblank::effect {

using geometry::Vec3;

/// Density of a blank's wood on either side of its mirror plane y = 0.
struct WoodDensity {
  double left_g_cm3 = 0;
  double right_g_cm3 = 0;
};

/// What lies between a skin and where sanding moves it; all positive where wood comes off.
struct SkinLayer {
  double volume_mm3 = 0;
  double wet_mm3 = 0;  ///< under the water's surface
  double wood_g = 0;
  Vec3 wood_moment_g_mm = Vec3::Zero();  ///< ∫ (p − pivot) dm of the wood
  Vec3 wet_moment_mm4 = Vec3::Zero();    ///< ∫ (p − pivot) dV of what is under water
};

/// How layers are told apart and reckoned.
struct LayerQuestion {
  Vec3 pivot_mm = Vec3::Zero();
  std::optional<geometry::Plane> surface = {};  ///< of the water; without: all is wet
  WoodDensity wood = {};
  std::span<const int> patch_of_vertex = {};    ///< −1: none; empty: no patches
  int patches = 0;                              ///< patch_of_vertex < patches
  std::span<const double> slice_edges_mm = {};  ///< stations, rising: one slice between two
};

struct SkinLayers {
  SkinLayer whole;
  std::vector<SkinLayer> patches;  ///< `patches` of them
  SkinLayer elsewhere;             ///< outside all patches; together with those it is the whole
  std::vector<SkinLayer> slices;   ///< skin beyond the first and last edge is in none
};

/// The layer between the facets of a body and the same facets over moved vertices, each vertex on a
/// straight way. What a facet sweeps is shared among its vertices by how far each one moves, so
/// that patches need not end at facets' edges, and is parted exactly at the water's surface, at the
/// mirror plane and at the slices' edges.
///
/// body       in the body frame
/// sanded_mm  3×V, where each vertex of the body comes to
/// precision  rounding, but for facets that pass the water's surface on their way (third order in
///            the way)
/// cost       one pass over the facets; only those that move cost more than a look
/// source     Reynolds' transport theorem; Gauss' rule of two points over the way, the rule of
///            edge middles over each piece of a facet: exact for polynomials of these degrees
[[nodiscard]] SkinLayers skin_layers(const geometry::ClosedMesh& body,
                                     const Eigen::Matrix3Xd& sanded_mm,
                                     const LayerQuestion& question);

}  // namespace trueblank::effect
