// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/plain_energy.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

namespace trueblank::water::judge {
namespace {

using geometry::Mat3;

constexpr double unit_rounding = std::numeric_limits<double>::epsilon();

Vec3 square_to(const Vec3& up, const Vec3& v) { return v - up.dot(v) * up; }

}  // namespace

// What is under water at one level.
struct PlainEnergy::Wet {
  double mass_g = 0;
  double grows_g_mm = 0;           // per mm of level
  double lifted_g_mm = 0;          // the work of lifting that water to the surface
  Vec3 first_g_mm = Vec3::Zero();  // its mass × place
};

PlainEnergy::PlainEnergy(const geometry::ClosedMesh& body, const rig::RiggedLure& lure)
    : body_(&body),
      outside_(lure.outside),
      mass_g_(lure.mass_g),
      centre_of_mass_mm_(lure.centre_of_mass_mm),
      water_g_mm3_(lure.water_density_g_cm3 * 1e-3) {
  const double reach = body.positions_mm().colwise().norm().maxCoeff();
  const Wet all = wet_at(Vec3::UnitZ(), body.positions_mm().row(2).transpose(), 4 * reach + 1000);
  full_g_ = all.mass_g;
  full_centre_mm_ = all.first_g_mm / all.mass_g;
  scale_g_mm_ = mass_g_ * std::max(reach, centre_of_mass_mm_.norm());
}

// Each facet's part under water is clipped off and joined to the point of the surface that lies
// over the origin: the cut face, seen from a point in its own plane, adds nothing to the volume.
// The edges that the clipping leaves in that plane go round the cut face, and tell its area.
PlainEnergy::Wet PlainEnergy::wet_at(const Vec3& up, const Eigen::VectorXd& height_mm,
                                     double level_mm) const {
  const Vec3 apex = level_mm * up;
  double volume6 = 0;
  Vec3 first24 = Vec3::Zero();
  Vec3 round = Vec3::Zero();
  for (int f = 0; f < body_->facet_count(); ++f) {
    std::array<Vec3, 4> clipped;
    std::size_t count = 0;
    std::array<Vec3, 2> edge;
    bool crossed = false;
    const auto corners = body_->facets().col(f);
    const double over_0 = height_mm(corners(0)) - level_mm;
    const double over_1 = height_mm(corners(1)) - level_mm;
    const double over_2 = height_mm(corners(2)) - level_mm;
    if (over_0 >= 0 && over_1 >= 0 && over_2 >= 0) continue;
    const std::array<double, 3> over = {over_0, over_1, over_2};
    for (int k = 0; k < 3; ++k) {
      const int next = (k + 1) % 3;
      const double a = over[static_cast<std::size_t>(k)];
      const double b = over[static_cast<std::size_t>(next)];
      const Vec3 from = body_->positions_mm().col(corners(k)) - apex;
      if (a < 0) clipped[count++] = from;
      if ((a < 0) == (b < 0)) continue;
      const Vec3 to = body_->positions_mm().col(corners(next)) - apex;
      const Vec3 at = from + a / (a - b) * (to - from);
      edge[a < 0 ? 0 : 1] = at;
      clipped[count++] = at;
      crossed = true;
    }
    for (std::size_t k = 1; k + 1 < count; ++k) {
      const double det = clipped[0].dot(clipped[k].cross(clipped[k + 1]));
      volume6 += det;
      first24 += det * (clipped[0] + clipped[k] + clipped[k + 1]);
    }
    if (crossed) round += edge[0].cross(edge[1]);
  }
  const double volume = volume6 / 6;
  const Vec3 first_from_apex = first24 / 24;
  Wet wet;
  wet.mass_g = water_g_mm3_ * volume;
  wet.grows_g_mm = water_g_mm3_ * std::abs(up.dot(round)) / 2;
  // Seen from the apex, which lies in the surface, the water is up·p below it.
  wet.lifted_g_mm = -water_g_mm3_ * up.dot(first_from_apex);
  wet.first_g_mm = water_g_mm3_ * (first_from_apex + volume * apex);
  for (const rig::SpreadPart& part : outside_) {
    const double whole_g = water_g_mm3_ * part.volume_mm3;
    const double length = part.below_mm + part.above_mm;
    const double under = level_mm - up.dot(part.at_mm) + part.below_mm;  // of its lowest point
    const double wetted = std::clamp(under, 0.0, length);
    wet.mass_g += whole_g * wetted / length;
    if (under > 0 && under < length) wet.grows_g_mm += whole_g / length;
    // The middle of what is wetted is so deep.
    wet.lifted_g_mm += whole_g * wetted / length * (under - wetted / 2);
    wet.first_g_mm += whole_g * wetted / length * part.at_mm;
  }
  return wet;
}

double PlainEnergy::excess_g(const Vec3& up, double level_mm) const {
  const Eigen::VectorXd height_mm = body_->positions_mm().transpose() * up;
  return wet_at(up, height_mm, level_mm).mass_g - mass_g_;
}

Afloat PlainEnergy::at(const Vec3& up, std::optional<double> level_mm) const {
  const Eigen::VectorXd height_mm = body_->positions_mm().transpose() * up;
  double low = height_mm.minCoeff();
  double high = height_mm.maxCoeff();
  for (const rig::SpreadPart& part : outside_) {
    low = std::min(low, up.dot(part.at_mm) - part.below_mm);
    high = std::max(high, up.dot(part.at_mm) + part.above_mm);
  }
  Afloat afloat;
  afloat.level_mm = std::clamp(level_mm.value_or((low + high) / 2), low, high);
  Wet wet;
  constexpr int most_looks = 100;
  double before_g = std::numeric_limits<double>::infinity();
  for (int look = 0; look < most_looks; ++look) {
    wet = wet_at(up, height_mm, afloat.level_mm);
    afloat.excess_g = wet.mass_g - mass_g_;
    if (std::abs(afloat.excess_g) <= 1e-13 * full_g_) break;
    (afloat.excess_g > 0 ? high : low) = afloat.level_mm;
    // Newton's step, where it stays between the bounds and the last one halved what was left.
    double next = afloat.level_mm - afloat.excess_g / wet.grows_g_mm;
    const bool helps = std::abs(afloat.excess_g) <= before_g / 2 && next > low && next < high;
    before_g = helps ? std::abs(afloat.excess_g) : std::numeric_limits<double>::infinity();
    if (!helps) next = low + (high - low) / 2;
    if (std::abs(next - afloat.level_mm) <= 4 * unit_rounding * std::abs(next)) break;
    afloat.level_mm = next;
  }
  afloat.energy_g_mm = mass_g_ * (up.dot(centre_of_mass_mm_) - afloat.level_mm) + wet.lifted_g_mm;
  afloat.couple_g_mm = square_to(up, mass_g_ * centre_of_mass_mm_ - wet.first_g_mm);
  return afloat;
}

Vec3 tilted(const Vec3& up, const Vec3& towards, double angle_rad) {
  return (std::cos(angle_rad) * up + std::sin(angle_rad) * towards).normalized();
}

Ended downhill(const PlainEnergy& energy, const Vec3& start) {
  constexpr int most_steps = 400;
  constexpr double longest_rad = 0.1;
  const double rounding = 1e-13 * energy.scale_g_mm();
  Ended ended{start, energy.at(start), 1};
  // Of turns per couple; begins as if the lure were a pendulum as long as itself.
  const double first = 1 / energy.scale_g_mm();
  Mat3 inverse = first * Mat3::Identity();
  bool fresh = true;
  for (int i = 0; i < most_steps; ++i) {
    const Vec3 couple = ended.there.couple_g_mm;
    if (couple.norm() <= rounding) break;
    Vec3 step = square_to(ended.up, -inverse * couple);
    if (step.dot(couple) >= 0) {
      inverse = first * Mat3::Identity();
      fresh = true;
      step = -first * couple;
    }
    double length = std::min(step.norm(), longest_rad);
    const Vec3 towards = step.normalized();
    bool stepped = false;
    for (int halving = 0; halving < 40 && length > 1e-12; ++halving) {
      const Vec3 up = tilted(ended.up, towards, length);
      const Afloat there = energy.at(up, ended.there.level_mm);
      ++ended.looks;
      const double promised = 1e-4 * length * towards.dot(couple);
      if (there.energy_g_mm <= ended.there.energy_g_mm + promised) {
        const Vec3 turn = square_to(up, up - ended.up);
        const Vec3 change = square_to(up, there.couple_g_mm - couple);
        const double bent = turn.dot(change);
        if (bent > 1e-10 * turn.norm() * change.norm()) {
          if (fresh) inverse = bent / change.squaredNorm() * Mat3::Identity();
          const Mat3 half = Mat3::Identity() - turn * change.transpose() / bent;
          inverse = half * inverse * half.transpose() + turn * turn.transpose() / bent;
          fresh = false;
        } else {
          // Over a hump nothing is learnt of a valley's width, and steps that are as short as ever
          // would never get down from it.
          inverse *= 2;
        }
        ended.up = up;
        ended.there = there;
        stepped = true;
        break;
      }
      length /= 4;
    }
    if (stepped) continue;
    // Rounding, or a picture of the curvature that is no longer true.
    if (fresh) break;
    inverse = first * Mat3::Identity();
    fresh = true;
  }
  return ended;
}

std::vector<Vec3> even_directions(int count, const Mat3& turn) {
  const double golden = std::numbers::pi * (3 - std::sqrt(5.0));
  std::vector<Vec3> directions;
  directions.reserve(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) {
    const double z = 1 - (2.0 * i + 1) / count;
    const double r = std::sqrt(1 - z * z);
    directions.emplace_back(turn * Vec3(r * std::cos(golden * i), r * std::sin(golden * i), z));
  }
  return directions;
}

}  // namespace trueblank::water::judge
