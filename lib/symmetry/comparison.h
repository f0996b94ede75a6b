// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "geometry/parallel.h"
#include "symmetry/alignment_search.h"
#include "symmetry/comparison_skin.h"
#include "symmetry/extremes.h"
#include "symmetry/patches.h"
#include "symmetry/station_table.h"

// A copy against its master, both in the master's body frame: x aft from its nose, y to its right,
// z to its back, its mirror plane y = 0. Differences are those of the copy: > 0 where it has more.
namespace trueblank::symmetry {

/// On which of two bodies' skins something was read.
enum class SeenOn { copy, master };

/// One body seen from its own skin.
struct SkinComparison {
  DeviationField field;            ///< > 0 where this body stands outside the other
  DeviationStatistics statistics;  ///< over the vertices that count
  Extremes extremes;
  double compared_share = 0;  ///< of this body's whole skin, that counts
  Patches patches;            ///< of this skin, signed as the field
};

/// A place where copy and master differ by more than noise can explain.
struct Difference {
  /// Signs are the copy's, whichever skin it was read on: proud is > 0. `mass_g` where a density is
  /// known. `partner` is empty.
  Patch patch;
  SeenOn seen_on = SeenOn::copy;
  std::size_t index = 0;  ///< in that skin's own patches, of its own sign
  /// One standard deviation of patch.greatest_mm, from the alignment's and from slow noise.
  double doubt_mm = 0;
};

struct Differences {
  std::vector<Difference> proud;  ///< the copy has more; by falling volume
  std::vector<Difference> shy;    ///< the copy has less; likewise by the size of the volume
};

/// What a body measures as a whole.
struct BodyFigures {
  double volume_mm3 = 0;
  double area_mm2 = 0;
  geometry::Vec3 centroid_mm = geometry::Vec3::Zero();  ///< of volume
  SideVolumes sides;                                    ///< on either side of the master's y = 0
  geometry::Vec3 size_mm = geometry::Vec3::Zero();      ///< length, width, height along the axes
};

/// Copy less master.
struct BodyChanges {
  double volume_mm3 = 0;
  double volume_percent = 0;  ///< of the master's
  double area_mm2 = 0;
  double area_percent = 0;
  geometry::Vec3 centroid_shift_mm = geometry::Vec3::Zero();
  double balance_mm3 = 0;  ///< of the right side's volume less the left's
  geometry::Vec3 size_mm = geometry::Vec3::Zero();
};

/// body  in the master's body frame
/// cost  some passes over the facets
[[nodiscard]] BodyFigures figures_of(const geometry::ClosedMesh& body);

[[nodiscard]] BodyChanges changes_of(const BodyFigures& master, const BodyFigures& copy);

/// One station of both bodies; changes are copy less master. All zeros where a body has no section.
struct StationPair {
  Station master;
  Station copy;
  double width_change_mm = 0;
  double height_change_mm = 0;
  double area_change_mm2 = 0;
  double left_half_width_change_mm = 0;
  double right_half_width_change_mm = 0;
  double belly_change_mm = 0;  ///< how much deeper below the long axis
  double back_change_mm = 0;   ///< how much higher above it
};

struct Comparison {
  SkinComparison copy;    ///< the copy's vertices against the master
  SkinComparison master;  ///< the master's vertices against the copy
  ScanNoise noise;        ///< of the two together: √2·sigma_mm in a deviation
  Differences differences;
  BodyFigures master_figures;
  BodyFigures copy_figures;
  BodyChanges changes;
  std::vector<StationPair> stations;
};

struct ComparisonOptions {
  AlignmentDoubt alignment = {};  ///< as fit_alignment gives it; its `at_mm` in the common frame
  std::optional<double> density_g_cm3 = {};  ///< of the copy
  std::optional<ScanNoise> noise = {};       ///< where it is known; else told from the difference
  StationSpacing stations = {};              ///< from x = 0 to the end of the longer body; a count:
                                             ///< of equal slices of the master
  StationHeights heights = {};
};

/// Where and by how much a copy differs from its master.
///
/// Relief on either skin is read best on that skin, and what is missing is seen only from the body
/// that has it: patches are sought on both skins, and those that face each other are one place. The
/// copy's skin has the say, but where the master's shows over a tenth more volume.
///
/// master, copy  in the master's body frame
/// threads       the same bytes whatever `loop` does
/// cost          a nearest point for every vertex of both, a second for the noise, what
///               find_patches costs on both
[[nodiscard]] Comparison compared(const ComparisonSkin& master, const ComparisonSkin& copy,
                                  const ComparisonOptions& options = {},
                                  const geometry::ParallelFor& loop = geometry::serial_for);

/// One standard deviation of a deviation at a point with this outward normal: what the alignment
/// may be off by, J·C·Jᵀ with J = (q × n, n), q from the alignment's own point, and the scale's
/// part n·q.
[[nodiscard]] double alignment_doubt_mm(const AlignmentDoubt& doubt, const geometry::Vec3& at_mm,
                                        const geometry::Vec3& normal);

}  // namespace trueblank::symmetry
