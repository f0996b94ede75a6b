// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "geometry/mesh.h"
#include "rig/mass_model.h"

// The potential energy of a rigged lure in still water, reckoned from the law alone: no moment
// tree, no table, no second derivatives, nothing of lib/water. A judge of what the solver says.
namespace trueblank::water::judge {

using geometry::Vec3;

/// Everything of one lure at one direction of up, floating as high as its weight asks for.
struct Afloat {
  double level_mm = 0;  ///< up·p of the water's surface
  double excess_g = 0;  ///< displaced mass less mass, as far as it was left
  double energy_g_mm = 0;
  Vec3 couple_g_mm = Vec3::Zero();  ///< M·G − D·B, square to up: the energy's slope over turns
};

/// source  Archimedes, On Floating Bodies: what floats displaces its own weight. The energy is that
///         of two masses moved: the lure's, at the height of G over the water's surface, and the
///         water's, lifted from where the lure is now to the surface. (A spread part's volume lies
///         evenly on the vertical through its point, as rig/mass_model.h has it.)
class PlainEnergy {
 public:
  /// body  the (coated) body that displaces; kept by reference
  PlainEnergy(const geometry::ClosedMesh& body, const rig::RiggedLure& lure);

  /// The lure must be lighter than all that it displaces.
  /// cost  a few passes over the facets, fewer from a level that is nearly right
  [[nodiscard]] Afloat at(const Vec3& up, std::optional<double> level_mm = {}) const;

  /// Displaced mass less mass with the water at a level.
  [[nodiscard]] double excess_g(const Vec3& up, double level_mm) const;

  /// All that is displaced when the whole lure is under water, and where that acts.
  [[nodiscard]] double displaced_full_g() const { return full_g_; }

  [[nodiscard]] const Vec3& centre_of_full_buoyancy_mm() const { return full_centre_mm_; }

  /// Mass times a length that the lure does not exceed: what rounding is judged by.
  [[nodiscard]] double scale_g_mm() const { return scale_g_mm_; }

  [[nodiscard]] double mass_g() const { return mass_g_; }

 private:
  struct Wet;
  [[nodiscard]] Wet wet_at(const Vec3& up, const Eigen::VectorXd& height_mm, double level_mm) const;

  const geometry::ClosedMesh* body_;
  std::vector<rig::SpreadPart> outside_;
  double mass_g_ = 0;
  Vec3 centre_of_mass_mm_ = Vec3::Zero();
  double water_g_mm3_ = 0;
  double full_g_ = 0;
  Vec3 full_centre_mm_ = Vec3::Zero();
  double scale_g_mm_ = 0;
};

/// Where a descent of that energy came to rest.
struct Ended {
  Vec3 up = Vec3::UnitZ();
  Afloat there;
  int looks = 0;  ///< how often the energy was asked for
};

/// Downhill, and never up, from a direction to where no small turn loses energy: by the couple and
/// what its changes told of the curvature on the way.
/// source  the update: Nocedal & Wright, Numerical Optimization, 2006, eq. 6.17
[[nodiscard]] Ended downhill(const PlainEnergy& energy, const Vec3& start);

/// So many directions spread evenly over the sphere, turned by `turn`.
/// source  the golden-angle spiral: Swinbank & Purser, Q. J. R. Meteorol. Soc. 132, 1769-1793, 2006
[[nodiscard]] std::vector<Vec3> even_directions(int count, const geometry::Mat3& turn);

/// `up` turned by an angle towards `towards`, which is of unit length and square to it.
[[nodiscard]] Vec3 tilted(const Vec3& up, const Vec3& towards, double angle_rad);

}  // namespace trueblank::water::judge
