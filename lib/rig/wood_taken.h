// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/mesh.h"

// How much wood a part takes the place of, where the two sides of the body may differ. Not
// installed.
namespace trueblank::rig {

using geometry::Vec3;

/// Mass and where its middle is, added up.
struct Heap {
  double mass_g = 0;
  Vec3 moment_g_mm = Vec3::Zero();

  void add(double grams, const Vec3& at_mm) {
    mass_g += grams;
    moment_g_mm += grams * at_mm;
  }

  void add(const Heap& other) {
    mass_g += other.mass_g;
    moment_g_mm += other.moment_g_mm;
  }

  [[nodiscard]] Vec3 centre_mm(const Vec3& if_empty) const {
    if (mass_g == 0) return if_empty;  // exactly nothing was added, or all was taken away
    return moment_g_mm / mass_g;
  }
};

/// The wood's density on either side of y = 0; right is y > 0.
struct WoodDensity {
  double left_g_mm3 = 0;
  double right_g_mm3 = 0;

  /// The wood in a ball.
  [[nodiscard]] Heap in_ball(const Vec3& centre_mm, double volume_mm3) const;

  /// The wood in a rod with flat ends. It is cut where its axis meets y = 0, and each piece divided
  /// in the ratio in which the plane divides its middle section: exact where the rod is parallel to
  /// the plane or meets it well away from its ends.
  [[nodiscard]] Heap in_rod(const Vec3& a_mm, const Vec3& b_mm, double diameter_mm) const;

 private:
  [[nodiscard]] bool even() const { return left_g_mm3 == right_g_mm3; }

  [[nodiscard]] Heap in_piece(const Vec3& a_mm, const Vec3& b_mm, double diameter_mm) const;
};

}  // namespace trueblank::rig
