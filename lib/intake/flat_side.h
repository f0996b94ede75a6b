// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "geometry/mesh.h"
#include "intake/pieces.h"
#include "intake/skin_samples.h"

namespace trueblank::intake {

/// A plane with a side: `height` is > 0 where the normal points.
struct Plane {
  geometry::Vec3 normal = geometry::Vec3::UnitZ();
  double offset = 0;
  double noise = 0;  ///< rms height of the skin on it

  [[nodiscard]] double height(const geometry::Vec3& p) const { return normal.dot(p) - offset; }
};

/// Places spread evenly over the kept piece.
[[nodiscard]] std::vector<SkinSample> samples_of_body(const Pieces& pieces);

/// Which way a flat part of the skin faces.
enum class Facing {
  the_rest,  ///< the rest of the skin lies where its outward normal points: a table does that
  away,      ///< the rest lies behind it: a flat side of the body does that
};

struct FlatSide {
  Plane plane;       ///< its normal points outward from the skin on it
  double share = 0;  ///< of the samples
};

/// The largest flat part of the skin that has the rest on one side only, save for a plate's
/// thickness.
///
/// diagonal  of the samples' box
/// apart     where given, only parts that face another way than this (by 20° or more)
/// cost      some million products, whatever the mesh
[[nodiscard]] std::optional<FlatSide> largest_flat_side(const std::vector<SkinSample>& samples,
                                                        double diagonal, Facing facing,
                                                        const geometry::Vec3* apart = nullptr);

/// A table's plate is thinner than this part of the diagonal.
constexpr double most_plate_thickness = 0.08;

}  // namespace trueblank::intake
