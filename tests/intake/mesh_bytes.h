// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>
#include <string>
#include <vector>

#include "geometry/error.h"
#include "geometry/mesh.h"
#include "intake/read_mesh.h"

// Mesh files made in memory, and what a reader says of them.
namespace trueblank::intake {

/// The line that parse_mesh refuses these bytes with; empty where it takes them.
inline std::string refusal(std::string_view bytes, const std::string& name = "lure.stl") {
  try {
    (void)parse_mesh(bytes, name);
  } catch (const geometry::InputError& error) {
    return geometry::one_line(error);
  }
  return {};
}

inline geometry::TriangleMesh mesh_of(const FileMesh& file) { return file.in_mm(1); }

template <class T>
void append_raw(std::string& bytes, T value, bool swapped = false) {
  char raw[sizeof(T)];
  std::memcpy(raw, &value, sizeof(T));
  if (swapped) std::reverse(raw, raw + sizeof(T));
  bytes.append(raw, sizeof(T));
}

using Triangle = std::array<std::array<float, 3>, 3>;

/// The corner tetrahedron (0, 0, 0), (1, 0, 0), (0, 1, 0), (0, 0, 1): volume 1/6.
inline std::vector<Triangle> corner_tetrahedron() {
  const std::array<float, 3> o = {0, 0, 0};
  const std::array<float, 3> x = {1, 0, 0};
  const std::array<float, 3> y = {0, 1, 0};
  const std::array<float, 3> z = {0, 0, 1};
  return {{o, y, x}, {o, x, z}, {o, z, y}, {x, y, z}};
}

inline std::string stl_binary(const std::vector<Triangle>& facets, std::string header = "binary",
                              std::int64_t says = -1) {
  header.resize(80, ' ');
  std::string bytes = header;
  append_raw(bytes, static_cast<std::uint32_t>(says < 0 ? static_cast<std::int64_t>(facets.size())
                                                        : says));
  for (const Triangle& facet : facets) {
    bytes.append(12, '\0');
    for (const auto& corner : facet) {
      for (const float c : corner) append_raw(bytes, c);
    }
    bytes.append(2, '\0');
  }
  return bytes;
}

inline const char* const tetrahedron_stl_ascii =
    "solid corner\n"
    "facet normal 0 0 -1\n outer loop\n  vertex 0 0 0\n  vertex 0 1 0\n  vertex 1 0 0\n"
    " endloop\nendfacet\n"
    "facet normal 0 -1 0\n outer loop\n  vertex 0 0 0\n  vertex 1 0 0\n  vertex 0 0 1\n"
    " endloop\nendfacet\n"
    "facet normal -1 0 0\n outer loop\n  vertex 0 0 0\n  vertex 0 0 1\n  vertex 0 1 0\n"
    " endloop\nendfacet\n"
    "facet normal nan nan nan\n outer loop\n  vertex 1 0 0\n  vertex 0 1 0\n  vertex 0 0 1\n"
    " endloop\nendfacet\n"
    "endsolid corner\n";

inline const char* const tetrahedron_obj =
    "# a corner\nv 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 1 3 2\nf 1 2 4\nf 1 4 3\nf 2 3 4\n";

inline const char* const tetrahedron_ply =
    "ply\nformat ascii 1.0\nelement vertex 4\nproperty float x\nproperty float y\n"
    "property float z\nelement face 4\nproperty list uchar int vertex_indices\nend_header\n"
    "0 0 0\n1 0 0\n0 1 0\n0 0 1\n3 0 2 1\n3 0 1 3\n3 0 3 2\n3 1 2 3\n";

/// Text with one part in place of another, which must be there.
inline std::string replaced(std::string text, const std::string& part, const std::string& by) {
  const std::size_t at = text.find(part);
  EXPECT_NE(at, std::string::npos) << part;
  if (at != std::string::npos) text.replace(at, part.size(), by);
  return text;
}

inline std::string all_replaced(std::string text, const std::string& part, const std::string& by) {
  for (std::size_t at = text.find(part); at != std::string::npos;
       at = text.find(part, at + by.size())) {
    text.replace(at, part.size(), by);
  }
  return text;
}

}  // namespace trueblank::intake
