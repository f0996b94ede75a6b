// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "geometry/mesh.h"
#include "geometry/parallel.h"
#include "symmetry/deviation.h"
#include "symmetry/patches.h"

// Everything in the body frame; R is the reflection in y = 0.
namespace trueblank::symmetry {

/// What to take off a body B so that it is its own mirror image: the target is B ∩ R(B), since
/// wood can come off but not go on.
struct Sanding {
  /// Wood to take off where the deviation is more than noise: the proud patches' volumes.
  double remove_mm3 = 0;
  /// What the target as it stands has less than the body: half the volume between body and mirror
  /// image, noise and all. The least of two noisy skins lies half a standard deviation and more
  /// below either, all over.
  double remove_raw_mm3 = 0;
  double left_mm3 = 0;   ///< of remove_mm3, where y < 0
  double right_mm3 = 0;  ///< of remove_mm3, where y > 0
  double deepest_mm = 0;
  std::optional<geometry::Vec3> deepest_at_mm = {};  ///< nothing where there is nothing to sand
  std::vector<double> patch_mm3 = {};  ///< of each proud patch; they sum to remove_mm3
  double volume_after_mm3 = 0;         ///< of the body when remove_mm3 is off

  /// Where a density was given.
  std::optional<double> remove_g = {};
  std::optional<double> mass_after_g = {};

  /// A vertex each, ≥ 0: how far the skin must go in. The new skin lies on the mirror image of the
  /// opposite side.
  std::vector<double> depth_mm = {};
};

/// The sanding that the patches ask for.
///
/// Noise is told from flaws patch by patch, not by taking a threshold off every depth: what is
/// taken off a flaw would be lost to noise at each of its places, and what is left of the noise
/// would still add up over the whole skin.
///
/// in_body_frame   closed, mirror plane y = 0
/// facet_measured  as in fit_mirror; empty: all. Made-up skin has no say in remove_raw_mm3 either
/// patches         of this body
/// threads         the same bytes whatever `loop` does
/// cost            a pass over the facets, and one_sided (columns.h) for remove_raw_mm3
[[nodiscard]] Sanding sanding(const geometry::ClosedMesh& in_body_frame,
                              std::span<const std::uint8_t> facet_measured, const Patches& patches,
                              std::optional<double> wood_density_g_cm3 = {},
                              const geometry::ParallelFor& loop = geometry::serial_for);

/// What becomes of skin whose deviation noise may explain.
enum class NoisySkin {
  left_alone,  ///< wood comes off the proud patches, and that is all
  evened_out,  ///< both sides meet half way, so that the whole target is true
};

/// The target as a mesh: the body's facets over moved vertices.
struct SandedMesh {
  geometry::TriangleMesh mesh;
  int held_back = 0;  ///< vertices that went only part of the way, so that no facet turns over
};

/// Vertices of proud patches go onto the mirror image of the other side, which stays as it is; no
/// boolean operation on meshes is needed, which would break where two skins lie nearly on each
/// other. With `evened_out` the target is a mirror image of itself to within what its facets stand
/// off a smooth skin and, at the rims of patches, a part of the noise; there, and only there, it
/// may lie outside the body, by half the noise.
///
/// returns  as closed as the body; no facet faces against its old direction
/// cost     a few passes over the facets
[[nodiscard]] SandedMesh sanded(const geometry::ClosedMesh& in_body_frame,
                                const DeviationField& field, const Patches& patches,
                                NoisySkin noisy_skin = NoisySkin::evened_out);

}  // namespace trueblank::symmetry
