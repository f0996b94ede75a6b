// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/tight_line.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "water/rest_places.h"

namespace trueblank::water {
namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double no_list_beyond_tail_down_deg = 85;

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
  line.tail_down_deg = std::asin(std::clamp(-line.up.x(), -1.0, 1.0)) / degree;
  if (std::abs(line.tail_down_deg) <= no_list_beyond_tail_down_deg) {
    line.list_deg = std::atan2(-line.up.y(), line.up.z()) / degree;
    // Keel up is 180, whichever side of it rounding falls.
    if (*line.list_deg < -180 + 1e-9) line.list_deg = 180;
  }
  line.tension_g = std::abs(M - D);
  line.holds_down = M < D;
  line.stiffness_g_mm_per_deg = strength_g_mm * degree;
  return line;
}

}  // namespace trueblank::water
