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

/// All of a mesh as it is. Facets with fewer than three different corners are left aside.
/// cost  O(F log F); a million facets in seconds
[[nodiscard]] Soundness soundness(const geometry::TriangleMesh& mesh);

/// As soundness, without looking for self-intersections (0), which take most of the time.
[[nodiscard]] Soundness topology(const geometry::TriangleMesh& mesh);

enum class Mend { none, holes };

struct Mended {
  std::string what;  ///< "degenerate facets dropped", "repeated facets dropped", "facets turned",
                     ///< "turned inside out", "holes filled", "pieces left out", in this order
  int count = 0;
};

/// One body out of a mesh.
struct MendedMesh {
  geometry::TriangleMesh mesh;  ///< closed and outward where `closed`: closed_mesh() takes it
  bool closed = false;
  std::vector<std::uint8_t> vertex_measured;  ///< 1: from the file; 0: made up to fill a hole
  std::vector<std::uint8_t> facet_measured;   ///< likewise; a filled hole's rim is measured
  double cavity_mm3 = 0;                      ///< in cubed file units until scaled
  std::vector<double> left_out_mm3;           ///< the other pieces' volumes, falling; likewise
  std::vector<Mended> mended;                 ///< what was done, only where it was
  std::vector<std::string> warnings;
};

/// Makes one body of a mesh. In this order: facets without three different corners and repeated
/// ones are dropped; where more than two facets meet in an edge, those that go on smoothly stay
/// together and the rest is another piece; in each piece all facets are wound like most; of the
/// pieces (their holes closed for the moment by fans) the one of greatest volume is kept, turned
/// outward together with all others if it was inside out; a closed shell inside it that faces
/// inward is its cavity and stays, all others are left out; holes are filled (by Mend::holes).
/// Vertices come in the order of the file, those made up last.
///
/// name    the file's, for messages
/// throws  InputError where nothing usable is left: no facets; by Mend::holes, a flat sheet that
///         encloses nothing, or a surface with one side only
/// cost    O(F log F), and some milliseconds a hole
[[nodiscard]] MendedMesh mend(const geometry::TriangleMesh& mesh, Mend how,
                              const std::string& name);

}  // namespace trueblank::intake
