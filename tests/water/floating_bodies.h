// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <numbers>
#include <optional>
#include <string>
#include <vector>

#include "support/bodies.h"
#include "water/rest_poses.h"

// Floaters for the tests of lib/water, and the words they are asked with.
namespace trueblank::water {

inline constexpr double degree = std::numbers::pi / 180;

/// A floater with the body it is made of.
struct OwnedFloater {
  std::shared_ptr<const geometry::ClosedMesh> mesh;
  std::shared_ptr<const geometry::MomentTree> tree;
  Floater lure;
};

/// A mesh of some mass with its centre somewhere, in water of 1 g/cm³.
[[nodiscard]] OwnedFloater floating(geometry::ClosedMesh mesh, double mass_g,
                                    const Vec3& centre_of_mass_mm);

/// A uniform body of `gravity` times the water's density.
[[nodiscard]] OwnedFloater uniform(geometry::ClosedMesh mesh, double gravity);

/// The ellipsoid x²/a² + y²/b² + z²/c² = 1, cut by formula: the unit sphere's cap, stretched.
class FormulaEllipsoid {
 public:
  FormulaEllipsoid(double a_mm, double b_mm, double c_mm) : semi_axes_mm_(a_mm, b_mm, c_mm) {}

  [[nodiscard]] CutBody cut_body() const;
  [[nodiscard]] double volume_mm3() const;

  [[nodiscard]] const Vec3& semi_axes_mm() const { return semi_axes_mm_; }

 private:
  Vec3 semi_axes_mm_;
};

/// A body that counts how often it is cut.
struct CountedCuts {
  CutBody body;
  mutable int cuts = 0;
};

/// The same lure, cut through `counter`, which is kept by reference.
[[nodiscard]] Floater counted(const Floater& lure, const CountedCuts& counter);

/// A body's mesh grown about its origin to a given volume.
[[nodiscard]] geometry::ClosedMesh grown_to(const geometry::ClosedMesh& mesh, double volume_mm3);

/// A solid of revolution of (radius, z) turned so that its axis is x.
[[nodiscard]] geometry::ClosedMesh along_x(const geometry::TriangleMesh& turned_about_z);

/// 100 mm along x, in and out, up and down: of some 900 facets.
[[nodiscard]] geometry::TriangleMesh lumpy();

/// A loop that hands its work to so many threads, the last piece first.
[[nodiscard]] geometry::ParallelFor on_threads(int threads);

[[nodiscard]] std::string described(const Balance& balance);

/// All lists, rising; −1000 for none.
[[nodiscard]] std::vector<double> lists_deg(const Balance& balance);

/// The angle between two directions.
[[nodiscard]] double angle_deg(const Vec3& a, const Vec3& b);

/// `up` when the body lists by so much (right flank down), level fore and aft.
[[nodiscard]] Vec3 up_at_list(double list_deg);

}  // namespace trueblank::water
