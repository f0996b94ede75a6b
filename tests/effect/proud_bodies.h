// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "effect/effect.h"
#include "support/bodies.h"
#include "water/floating_bodies.h"

// Bodies with too much wood on one side, and what they are without it.
namespace trueblank::effect {

/// A body, where sanding brings its vertices, and its patches.
struct ProudBody {
  geometry::TriangleMesh mesh;
  Eigen::Matrix3Xd sanded_mm;
  std::vector<int> patch_of_vertex;
  int patches = 0;
};

/// A bar along x, 120 long and 40 high about the origin, with a pad of 20 by 10 mm on its right
/// flank, the middle of its wood at x = 0, y = 10 and z = middle_z_mm: so the bar is a pad's
/// thickness less than 20 wide. The pad's own sides are upright to a thousandth of a millimetre.
[[nodiscard]] ProudBody bar_with_pad(double thick_mm, double middle_z_mm);

/// The ellipsoid x²/a² + y²/b² + z²/c² = 1 with, on its right flank, what of a ball lies outside
/// it: its middle at (x, 0, z), its radius such that it stands out `proud_mm` at that x and z.
struct CapPlace {
  double x_mm = 0;
  double z_mm = 0;
  double radius_mm = 0;
  double proud_mm = 0;
};

struct SemiAxes {
  double a_mm = 0;
  double b_mm = 0;
  double c_mm = 0;
};

[[nodiscard]] ProudBody ellipsoid_with_cap(const SemiAxes& axes, const CapPlace& cap, int rings);

/// How far out the ellipsoid's right flank is at x, z; nothing beside it.
[[nodiscard]] std::optional<double> flank_y_mm(const SemiAxes& axes, double x_mm, double z_mm);

/// Likewise the ball.
[[nodiscard]] std::optional<double> cap_y_mm(const SemiAxes& axes, const CapPlace& cap, double x_mm,
                                             double z_mm);

/// What the other way round is proud on the left.
[[nodiscard]] ProudBody mirrored(const ProudBody& body);

/// The body that is proud where either of two is; both are made of the same sanded mesh.
[[nodiscard]] ProudBody both(const ProudBody& one, const ProudBody& other);

/// A lure made of a proud body, asked about in the pose that it goes to from back up.
class Afloat {
 public:
  Afloat(ProudBody body, double mass_g, const geometry::Vec3& centre_of_mass_mm);

  [[nodiscard]] Asymmetry asymmetry(std::span<const double> slice_edges_mm = {}) const;

  /// Fails the running test where there is none.
  [[nodiscard]] Effect effect(const WoodDensity& wood,
                              std::span<const double> slice_edges_mm = {}) const;

  /// How much less the lure lists once those patches are off (empty: all), solved anew.
  [[nodiscard]] double list_taken_deg(std::span<const int> take, const WoodDensity& wood) const;

  [[nodiscard]] const water::Floater& lure() const { return floater_.lure; }

  [[nodiscard]] const water::RestPose& pose() const { return pose_; }

 private:
  ProudBody body_;
  water::OwnedFloater floater_;
  water::RestPose pose_;
};

}  // namespace trueblank::effect
