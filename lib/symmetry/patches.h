// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "geometry/mesh.h"
#include "geometry/parallel.h"
#include "symmetry/deviation.h"
#include "symmetry/scan_noise.h"

// Everything in the body frame: x aft from the nose, y to the lure's right, z to the back; the
// mirror plane is y = 0.
namespace trueblank::symmetry {

/// Where on a body.
enum class Place { nose, tail, back, belly, flank };
enum class Side { left, right, middle };

[[nodiscard]] std::string place_name(Place place);  ///< "nose", "tail", "back", "belly", "flank"
[[nodiscard]] std::string side_name(Side side);     ///< "left", "right", "middle"

/// A connected area of skin that stands off its mirror image (or another body's skin, where that is
/// what the deviation was measured against) by more than the scan's noise can explain. Proud
/// patches have deviations and volumes > 0, shy ones < 0.
struct Patch {
  Place place = Place::flank;
  Side side = Side::middle;  ///< that holds at least three quarters of its area; else middle
  std::string name;          ///< "right flank, 38 to 61 mm from the nose, above the middle"
  double from_station_mm = 0;
  double to_station_mm = 0;
  double from_height_mm = 0;  ///< z, from the long axis
  double to_height_mm = 0;
  double area_mm2 = 0;
  double greatest_mm = 0;  ///< the deviation furthest from 0
  geometry::Vec3 greatest_at_mm = geometry::Vec3::Zero();
  /// What lies between the skin and its mirror image: what the facets sweep where each vertex moves
  /// straight onto the mirror image, so that curved skin is no error (∫ deviation dA is its
  /// first-order part), and what flat facets stand off each other between the vertices, read at
  /// their middles: right to third order in the size of the facets.
  double volume_mm3 = 0;
  std::optional<double> mass_g = {};  ///< of that volume of wood, where a density was given
  geometry::Vec3 centroid_mm = geometry::Vec3::Zero();  ///< of that volume, to first order
  std::vector<int> vertices = {};                       ///< rising
  /// The patch of the other sign that it faces across the mirror plane (index into the other
  /// list). Nothing where that one is too small to be told from noise, or was not measured.
  std::optional<int> partner = {};
};

struct Patches {
  std::vector<Patch> proud = {};  ///< by falling volume; a caller may reorder by what they matter
  std::vector<Patch> shy = {};    ///< likewise by the size of the volume
  /// A vertex each: i + 1 of proud patch i, −(i + 1) of shy patch i, 0 of none.
  std::vector<int> labels = {};
  /// A vertex each: the deviation with what noise may explain taken for nil. In a patch that stands
  /// out by itself it is the deviation as it is; in one that only shows as a whole, its average
  /// over the width that shows it.
  std::vector<double> deviation_mm = {};
  Eigen::Matrix3Xd to_mirror_mm = {};  ///< 3×V, from the vertex to the mirror image; zero likewise
  /// A vertex each: its share of its patch's volume; 0 of none.
  std::vector<double> volumes_mm3 = {};
  /// What a narrow flaw must stand out by to be told from noise (a wide one shows from about a
  /// quarter of it); facets on a coarse mesh add to it.
  double limit_mm = 0;
};

struct PatchOptions {
  ScanNoise noise = {};
  std::optional<double> wood_density_g_cm3 = {};
};

/// Where a body is proud and shy by more than its scan's noise can explain.
///
/// An area counts where it stands out as it is, or averaged over one, two or four correlation
/// lengths of the noise, by a height that true bodies with such noise reach once in two hundred for
/// each; it reaches out as far as it stays above a third of that. Areas of one sign with gaps of
/// less than a correlation length are one; those smaller than a correlation length squared are
/// none.
///
/// in_body_frame   closed, mirror plane y = 0
/// field           of this body and y = 0, as deviation_field gives it, or of this body and another
///                 one, as deviation_onto does; then no patch has a partner. One without a surface
///                 is taken at its vertices alone
/// facet_measured  as in fit_mirror; empty: all
/// threads         the same bytes whatever `loop` does
/// cost            some passes over the facets, for each averaging a sort of the vertices, and for
///                 the facets of the patches a nearest point each
/// held by         true bodies with noise of 0.3 mm: no patch in at least 95 of 100
[[nodiscard]] Patches find_patches(const geometry::ClosedMesh& in_body_frame,
                                   const DeviationField& field,
                                   std::span<const std::uint8_t> facet_measured,
                                   const PatchOptions& options,
                                   const geometry::ParallelFor& loop = geometry::serial_for);

}  // namespace trueblank::symmetry
