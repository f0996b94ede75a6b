// SPDX-License-Identifier: GPL-3.0-or-later
// Floating as an energy: P. Bouguer, Traité du navire, 1746 (metacentre: the waterplane's second
// moment over the displaced volume), in the form of a potential whose minimum over the waterline's
// height is weight = buoyancy and whose derivatives over turns are M·(G − B) and M·GM.
#include "water/waterline.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace trueblank::water {
namespace {

constexpr int most_cuts = 200;
constexpr double unit_rounding = std::numeric_limits<double>::epsilon();

// A spread part's share under water and what follows from it, with s the height of the water over
// the part's point.
struct Wetted {
  double fraction = 0;      // of its volume under water
  double slope_per_mm = 0;  // d fraction / ds
  double fraction_mm = 0;   // ∫ fraction ds
};

Wetted wetted(const rig::SpreadPart& part, double s_mm) {
  const double length = part.below_mm + part.above_mm;
  const double reach = s_mm + part.below_mm;
  if (reach <= 0) return {};
  if (reach >= length) return {1, 0, s_mm + (part.below_mm - part.above_mm) / 2};
  return {reach / length, 1 / length, reach * reach / (2 * length)};
}

// All that depends on the waterline's height at one `up`.
struct Immersion {
  geometry::BelowPlane below;
  double displaced_g = 0;
  double slope_g_per_mm = 0;        // d displaced / d offset
  Vec3 moment_g_mm = Vec3::Zero();  // ∫ p dm over the displaced water
};

Immersion immersion(const Floater& lure, const Vec3& up, double offset_mm) {
  const double water = lure.water_g_per_mm3();
  Immersion at;
  at.below = lure.body.below({up, offset_mm});
  at.displaced_g = water * at.below.volume_mm3;
  at.slope_g_per_mm = water * at.below.waterplane_mm2;
  at.moment_g_mm = water * at.below.first_moment_mm4;
  for (const rig::SpreadPart& part : lure.outside) {
    const Wetted wet = wetted(part, offset_mm - up.dot(part.at_mm));
    const double mass_g = water * part.volume_mm3;
    at.displaced_g += mass_g * wet.fraction;
    at.slope_g_per_mm += mass_g * wet.slope_per_mm;
    at.moment_g_mm += mass_g * wet.fraction * part.at_mm;
  }
  return at;
}

// The waterplane with each partly wetted part as a point area at its eye: centroid and, about it,
// the second moments, times the water's density.
struct Waterplane {
  Vec3 centroid_mm = Vec3::Zero();
  Mat3 second_g_mm = Mat3::Zero();
};

Waterplane waterplane(const Floater& lure, const Vec3& up, double offset_mm, const Immersion& at) {
  const double water = lure.water_g_per_mm3();
  Waterplane plane;
  if (at.slope_g_per_mm <= 0) return plane;
  Vec3 sum = water * at.below.waterplane_mm2 * at.below.waterplane_centroid_mm;
  for (const rig::SpreadPart& part : lure.outside) {
    const Wetted wet = wetted(part, offset_mm - up.dot(part.at_mm));
    sum += water * part.volume_mm3 * wet.slope_per_mm * part.at_mm;
  }
  plane.centroid_mm = sum / at.slope_g_per_mm;
  const Vec3 arm = at.below.waterplane_centroid_mm - plane.centroid_mm;
  plane.second_g_mm =
      water * (at.below.waterplane_second_mm4 + at.below.waterplane_mm2 * arm * arm.transpose());
  for (const rig::SpreadPart& part : lure.outside) {
    const Wetted wet = wetted(part, offset_mm - up.dot(part.at_mm));
    const Vec3 away = part.at_mm - plane.centroid_mm;
    plane.second_g_mm += water * part.volume_mm3 * wet.slope_per_mm * away * away.transpose();
  }
  return plane;
}

struct Bracket {
  double low_mm = 0;   // nothing displaced
  double high_mm = 0;  // everything displaced
};

Bracket reach(const Floater& lure, const Vec3& up) {
  const std::pair<double, double> body = lure.body.extent_mm(up);
  Bracket all{body.first, body.second};
  for (const rig::SpreadPart& part : lure.outside) {
    const double eye = up.dot(part.at_mm);
    all.low_mm = std::min(all.low_mm, eye - part.below_mm);
    all.high_mm = std::max(all.high_mm, eye + part.above_mm);
  }
  return all;
}

// The offset at which weight equals buoyancy, and the immersion there.
struct Level {
  double offset_mm = 0;
  Immersion at;
  bool converged = false;
};

Level find_level(const Floater& lure, const Vec3& up, std::optional<double> start_mm,
                 double relative_residual) {
  const double full_g = lure.displacement_full_g();
  const double enough_g = std::max(relative_residual * lure.mass_g, 2 * unit_rounding * full_g);
  // From a start the bracket is only sought once Newton needs it: that costs half a cut.
  std::optional<Bracket> bracket;
  Bracket tried{-std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
  const auto halved = [&] {
    if (!bracket) {
      bracket = reach(lure, up);
      tried.low_mm = std::max(tried.low_mm, bracket->low_mm);
      tried.high_mm = std::min(tried.high_mm, bracket->high_mm);
    }
    return tried.low_mm + (tried.high_mm - tried.low_mm) / 2;
  };
  Level level;
  level.offset_mm = start_mm ? *start_mm : halved();
  double before_g = std::numeric_limits<double>::infinity();
  for (int cut = 0; cut < most_cuts; ++cut) {
    level.at = immersion(lure, up, level.offset_mm);
    const double excess_g = level.at.displaced_g - lure.mass_g;
    (excess_g > 0 ? tried.high_mm : tried.low_mm) = level.offset_mm;
    const bool halving = std::abs(excess_g) <= before_g / 2;
    const double enough_here_g =
        halving ? enough_g : std::max(enough_g, 64 * unit_rounding * full_g);
    double next = level.offset_mm - excess_g / level.at.slope_g_per_mm;
    const double length_rounding = 2 * unit_rounding * std::abs(level.offset_mm);
    const bool tiny =
        level.at.slope_g_per_mm > 0 && std::abs(next - level.offset_mm) <= length_rounding;
    const bool narrow = tried.high_mm - tried.low_mm <= length_rounding;
    if (std::abs(excess_g) <= enough_here_g || tiny || narrow) {
      level.converged = true;
      break;
    }
    // A step that did not halve the excess gives way to halving the bracket.
    const bool within = next > tried.low_mm && next < tried.high_mm;
    if (!within || !halving) {
      next = halved();
      before_g = std::numeric_limits<double>::infinity();
    } else {
      before_g = std::abs(excess_g);
    }
    level.offset_mm = next;
  }
  return level;
}

}  // namespace

double Floater::displacement_full_g() const {
  double volume = body.volume_mm3();
  for (const rig::SpreadPart& part : outside) volume += part.volume_mm3;
  return water_g_per_mm3() * volume;
}

Vec3 Floater::centre_of_full_buoyancy_mm() const {
  double volume = body.volume_mm3();
  Vec3 sum = body.first_moment_mm4();
  for (const rig::SpreadPart& part : outside) {
    volume += part.volume_mm3;
    sum += part.volume_mm3 * part.at_mm;
  }
  return sum / volume;
}

double Floater::size_mm() const {
  double size = centre_of_mass_mm.norm();
  for (int axis = 0; axis < 3; ++axis) {
    const std::pair<double, double> extent = body.extent_mm(Vec3::Unit(axis));
    size = std::max({size, std::abs(extent.first), std::abs(extent.second)});
  }
  for (const rig::SpreadPart& part : outside) size = std::max(size, part.at_mm.norm());
  return size;
}

Floater floater(const CutBody& body, const rig::RiggedLure& lure) {
  Floater made;
  made.body = body;
  made.mass_g = lure.mass_g;
  made.centre_of_mass_mm = lure.centre_of_mass_mm;
  made.water_density_g_cm3 = lure.water_density_g_cm3;
  made.outside = lure.outside;
  return made;
}

Floater floater(const geometry::MomentTree& body, const rig::RiggedLure& lure) {
  return floater(CutBody(&body), lure);
}

Waterline waterline_at(const Floater& lure, const Vec3& up, std::optional<double> start_mm,
                       double relative_residual) {
  const Level level = find_level(lure, up, start_mm, relative_residual);
  const Immersion& at = level.at;
  const double height_of_g_mm = up.dot(lure.centre_of_mass_mm);
  const double h = level.offset_mm;

  Waterline line;
  line.below = at.below;
  line.converged = level.converged;
  line.offset_mm = h;
  line.energy_g_mm =
      lure.mass_g * (height_of_g_mm - h) + at.displaced_g * h - up.dot(at.moment_g_mm);
  line.gradient_g_mm = lure.mass_g * lure.centre_of_mass_mm - at.moment_g_mm;
  // A part's work is the integral of its wetted fraction; the line above took it as fraction × s.
  for (const rig::SpreadPart& part : lure.outside) {
    const double s = h - up.dot(part.at_mm);
    const Wetted wet = wetted(part, s);
    line.energy_g_mm +=
        lure.water_g_per_mm3() * part.volume_mm3 * (wet.fraction_mm - s * wet.fraction);
  }

  const Waterplane plane = waterplane(lure, up, h, at);
  line.offset_slope_mm = plane.centroid_mm;
  line.residual_g = at.displaced_g - lure.mass_g;
  if (at.slope_g_per_mm > 0) {
    const double rest_mm = -line.residual_g / at.slope_g_per_mm;
    line.offset_mm += rest_mm;
    line.energy_g_mm += line.residual_g * rest_mm / 2;
    line.gradient_g_mm -= at.slope_g_per_mm * rest_mm * plane.centroid_mm;
  }
  const Mat3 across = Mat3::Identity() - up * up.transpose();
  line.hessian_g_mm = across * plane.second_g_mm * across - up.dot(line.gradient_g_mm) * across;
  return line;
}

}  // namespace trueblank::water
