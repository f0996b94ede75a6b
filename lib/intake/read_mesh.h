// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::intake {

enum class Format { stl_binary, stl_ascii, obj, ply_ascii, ply_binary, off, gltf, glb, threemf };
[[nodiscard]] std::string_view format_name(Format format);  ///< "STL binary", …

/// A mesh as a file has it: vertices of equal position welded, polygons cut into triangles.
struct FileMesh {
  std::string name;  ///< the path as given
  Format format = Format::stl_binary;
  Eigen::Matrix3Xd positions;                        ///< 3×V, in the file's own unit
  Eigen::Matrix3Xi facets;                           ///< 3×F, 0-based
  std::vector<std::array<std::uint8_t, 3>> colours;  ///< a vertex each, or empty
  std::optional<double> mm_per_unit = {};            ///< where the format has a unit: glTF, 3MF
  std::vector<std::string> warnings;

  [[nodiscard]] geometry::TriangleMesh in_mm(double scale) const {
    return {positions * scale, facets};
  }
};

/// Reads a mesh from a file ("-": standard input). The format is told by content, not by name.
/// throws  InputError naming the file and, where there is one, the line or facet
[[nodiscard]] FileMesh read_mesh(const std::string& path);

/// As read_mesh, from bytes in memory; `name` is used in messages.
[[nodiscard]] FileMesh parse_mesh(std::string_view bytes, const std::string& name);

}  // namespace trueblank::intake
