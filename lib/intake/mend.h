// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::intake {

/// How sound a mesh is, as read (vertices welded).
struct Soundness {
  bool closed = false;    ///< every edge has exactly two facets (or an even number, all paired)
  bool oriented = false;  ///< neighbours agree on the winding
  bool outward = false;   ///< the enclosed volume is positive (only told where closed)
  int pieces = 0;
  int open_loops = 0;
  int self_intersections = 0;  ///< pairs of facets that cross
};

[[nodiscard]] Soundness soundness(const geometry::TriangleMesh& mesh);

enum class Mend { none, holes };

struct Mended {
  std::string what;  ///< "holes filled", "pieces left out", "turned inside out", …
  int count = 0;
};

/// One body out of a mesh.
struct MendedMesh {
  geometry::TriangleMesh mesh;  ///< closed where `closed`
  bool closed = false;
  std::vector<std::uint8_t> vertex_measured;  ///< 1: from the file; 0: made up to fill a hole
  std::vector<std::uint8_t> facet_measured;
  double cavity_mm3 = 0;  ///< in cubed file units until scaled
  std::vector<Mended> mended;
  std::vector<std::string> warnings;
};

/// Drops degenerate and repeated facets, turns facets the same way and outward, fills holes (by
/// Mend::holes), keeps the piece of greatest enclosed volume with the cavities inside it.
///
/// throws  InputError where nothing usable is left ("no facets", "a flat sheet encloses nothing")
[[nodiscard]] MendedMesh mend(const geometry::TriangleMesh& mesh, Mend how,
                              const std::string& name);

}  // namespace trueblank::intake
