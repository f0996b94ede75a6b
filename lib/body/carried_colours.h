// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::body {

using Colour = std::array<std::uint8_t, 3>;

/// The colours of a file's vertices for the vertices of the mesh that mending made of it, which
/// keep their places to the last bit. Others, made up or moved, get `otherwise`.
///
/// colours  of each column of `file`; where empty, so is what is returned
/// cost     a sort of the file's vertices and a search for each of the mesh's
[[nodiscard]] std::vector<Colour> carried_colours(const Eigen::Matrix3Xd& file,
                                                  std::span<const Colour> colours,
                                                  const Eigen::Matrix3Xd& mended,
                                                  const Colour& otherwise);

}  // namespace trueblank::body
