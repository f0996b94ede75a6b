// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
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

enum class Mend {
  none,   ///< an open body stays open
  holes,  ///< holes are filled
  wrap,   ///< then the whole is wrapped anew, for scans too broken to be mended facet by facet
};

/// Whether a flat region may be taken off as the table that the body stood on.
enum class Table {
  unsaid,  ///< where it plainly goes on beyond the body; where it may be the body's own it stays,
           ///< with a warning
  cut,     ///< also where it may be the body's own
  keep,    ///< never
};

struct MendOptions {
  Mend how = Mend::holes;
  Table table = Table::unsaid;
};

/// A step that did something.
struct Mended {
  /// In this order: "degenerate facets dropped", "seams sewn", "repeated facets dropped",
  /// "edges of many facets parted", "vertices parted", "table facets cut off", "facets turned",
  /// "turned inside out", "overlapping shells united", "self-intersections resolved",
  /// "holes filled", "pieces left out", "wrapped"
  std::string what;
  int count = 0;
  double bound_mm3 = 0;  ///< the most by which it can have changed the enclosed volume, or by which
                         ///< what it made up can be wrong; in cubed file units until scaled
};

/// A hole that was filled, in file units until scaled.
struct FilledHole {
  geometry::Vec3 centre_mm = geometry::Vec3::Zero();
  double area_mm2 = 0;   ///< of the filling
  double bound_mm3 = 0;  ///< the true skin there encloses as much as the filling, within ± this
  bool wide = false;     ///< the skin around it doesn't tell where it closes (an end or a side is
                         ///< missing): the bound is a reach, and wide
  bool table = false;    ///< the body stood there
};

/// What Mend::wrap did, in file units until scaled.
struct WrapFigures {
  double finest_mm = 0;     ///< gaps and notches narrower than about this are bridged
  double thickness_mm = 0;  ///< that the wrap had added, measured, mean over the skin: taken off
  double left_on_mm = 0;    ///< of it, after that
  double change_mm3 = 0;    ///< of the enclosed volume
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
  std::vector<FilledHole> holes;              ///< in the order of their fillings' facets
  double made_up_share = 0;                   ///< of the skin's area, 0 to 1
  double made_up_bound_mm3 =
      0;  ///< as far as made-up skin goes, the true body's volume lies within
          ///< ± this of the mended one's; in cubed file units until scaled
  std::optional<WrapFigures> wrapped;  ///< by Mend::wrap, where it was not refused
  std::vector<std::string> warnings;
};

/// Makes one body of a mesh. In this order: facets without three different corners are dropped;
/// rims that lie on each other are sewn; repeated facets are dropped; where more than two facets
/// meet in an edge, those that go on smoothly stay together and the rest is another piece; in each
/// piece all facets are wound like most; a table that the body stands on is cut off; of the
/// pieces (their holes closed for the moment by fans) the one of greatest volume is kept, turned
/// outward together with all others if it was inside out; a closed shell inside it that faces
/// inward is its cavity and stays, closed outward shells that cross it are united with it, all
/// others are left out; holes are filled (not by Mend::none); where shells were united, or the skin
/// overlaps itself, their outer skin is taken; vertices in which the skin meets itself are parted;
/// the whole is wrapped anew (by Mend::wrap). Vertices come in the order of the file, those made up
/// last.
///
/// name    the file's, for messages
/// throws  InputError where nothing usable is left: no facets; save by Mend::none, a flat sheet
///         that encloses nothing, or a surface with one side only
/// cost    O(F log F), and some milliseconds a hole
[[nodiscard]] MendedMesh mend(const geometry::TriangleMesh& mesh, const MendOptions& options,
                              const std::string& name);
[[nodiscard]] MendedMesh mend(const geometry::TriangleMesh& mesh, Mend how,
                              const std::string& name);

/// Every length, area and volume of it, from file units to mm.
void scale(MendedMesh& mended, double mm_per_unit);

}  // namespace trueblank::intake
