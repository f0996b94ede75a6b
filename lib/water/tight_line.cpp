// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/tight_line.h"

#include <cmath>
#include <numbers>

#include "water/attitude.h"
#include "water/rest_places.h"

namespace trueblank::water {
namespace {

constexpr double degree = std::numbers::pi / 180;

}  // namespace

std::optional<TightLine> on_tight_line(const Floater& lure, const Vec3& eye_mm) {
  const double M = lure.mass_g;
  const double D = lure.displacement_full_g();
  const Vec3 B = lure.centre_of_full_buoyancy_mm();
  const Vec3 G = lure.centre_of_mass_mm;
  const Vec3 lift_g_mm = D * (B - eye_mm) - M * (G - eye_mm);  // −dE/dup
  const double strength_g_mm = lift_g_mm.norm();
  // From the best direction to the worst the energy varies by twice that.
  if (2 * strength_g_mm < indifferent_within_g_mm) return {};
  TightLine line;
  line.up = lift_g_mm / strength_g_mm;
  line.tail_down_deg = tail_down_deg(line.up);
  line.list_deg = list_deg(line.up);
  line.tension_g = std::abs(M - D);
  line.holds_down = M < D;
  line.stiffness_g_mm_per_deg = strength_g_mm * degree;
  return line;
}

}  // namespace trueblank::water
