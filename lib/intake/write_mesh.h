// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string>

#include "geometry/mesh.h"

namespace trueblank::intake {

using Colour = std::array<std::uint8_t, 3>;

/// Binary little-endian PLY, positions as doubles; with a `deviation` property (mm, double; NaN is
/// never written: where `measured` is false the value is 0 and the `measured` property says 0) and
/// colours where given.
struct PlyExtras {
  std::span<const double> deviation_mm = {};    ///< a vertex each, or empty
  std::span<const std::uint8_t> measured = {};  ///< 1 measured, 0 made up; or empty
  std::span<const Colour> colours = {};
  std::string comment = {};
};

[[nodiscard]] std::string ply_bytes(const geometry::TriangleMesh& mesh,
                                    const PlyExtras& extras = {});

[[nodiscard]] std::string stl_bytes(const geometry::TriangleMesh& mesh);
[[nodiscard]] std::string obj_bytes(const geometry::TriangleMesh& mesh);

}  // namespace trueblank::intake
