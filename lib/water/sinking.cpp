// SPDX-License-Identifier: GPL-3.0-or-later
// The flow square to a long body and the flow along it taken apart: H. J. Allen, E. W. Perkins, "A
// study of effects of viscosity on flow over slender inclined bodies of revolution", NACA Report
// 1048, 1951 (from memory). The moment of frictionless flow: M. M. Munk, "The aerodynamic forces on
// airship hulls", NACA Report 184, 1924; H. Lamb, Hydrodynamics, art. 124.
#include "water/sinking.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "geometry/moments.h"
#include "geometry/silhouette.h"
#include "water/attitude.h"

namespace trueblank::water {
namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double gravity_m_s2 = 9.80665;  // standard, CGPM 1901
// Of water between 5 and 28 °C, fresh or salt: 1.6e-6 to 0.85e-6 (from memory).
constexpr double kinematic_viscosity_m2_s = 1.2e-6;
constexpr double least_reynolds = 1000;
// Where B lies so nearly fore or aft of G, the side on which it does is rounding's.
constexpr double across_rounding = 1e-9;

/// The fall in the plane of x and `across` (t): `up` is -sin(pitch)·x + cos(pitch)·t.
class FallPlane {
 public:
  FallPlane(const Floater& lure, const DragShape& shape, const DragSet& drag)
      : shape_(&shape), water_density_g_cm3_(lure.water_density_g_cm3) {
    const double M = lure.mass_g;
    const double D = lure.displacement_full_g();
    const Vec3 B = lure.centre_of_full_buoyancy_mm();
    const Vec3 G = lure.centre_of_mass_mm;
    excess_g_ = M - D;
    end_on_mm2_ = drag.end_on * shape.frontal_mm2;
    broadside_mm2_ = drag.broadside * shape.broad_mm2;
    // The drag carries the weight in water: its part along x at the frontal centre, its part across
    // at the broad one.
    along_g_mm_ = D * B.x() + excess_g_ * shape.broad_x_mm - M * G.x();
    across_g_mm_ =
        D * B.dot(shape.across) + excess_g_ * shape.frontal_across_mm - M * G.dot(shape.across);
    munk_g_mm_ = drag.moment * 2 * excess_g_ * shape.volume_mm3 * shape.added_mass_gap /
                 std::sqrt(end_on_mm2_ * broadside_mm2_);
    const Vec3 lift = D * (B - G);
    free_pitch_ = std::atan2(-lift.x(), lift.dot(shape.across));
  }

  [[nodiscard]] double free_pitch() const { return free_pitch_; }

  /// Turns the tail down where positive.
  [[nodiscard]] double moment_g_mm(double pitch) const {
    const double up_along = -std::sin(pitch);
    const double up_across = std::cos(pitch);
    const double product = up_along * up_across;
    return across_g_mm_ * up_along - along_g_mm_ * up_across +
           munk_g_mm_ * std::copysign(std::sqrt(std::abs(product)), product);
  }

  /// From the pose set free, the way the moment pushes, to where it is nil. The moment's mean over
  /// a whole turn is nil, so that it changes its sign within one.
  [[nodiscard]] double settled_pitch() const {
    const double first = moment_g_mm(free_pitch_);
    if (first == 0) return free_pitch_;  // exactly at rest already
    const double step = std::copysign(0.25 * degree, first);
    double from = free_pitch_;
    double to = from + step;
    for (int i = 0; i < 1440 && moment_g_mm(to) * first > 0; ++i) {
      from = to;
      to += step;
    }
    for (int i = 0; i < 60; ++i) {
      const double middle = from + (to - from) / 2;
      (moment_g_mm(middle) * first > 0 ? from : to) = middle;
    }
    return from + (to - from) / 2;
  }

  [[nodiscard]] Fall fall_at(double pitch) const {
    const double along = std::abs(std::sin(pitch));
    const double across = std::abs(std::cos(pitch));
    Fall fall;
    fall.pitch_deg = pitch / degree;
    fall.up = -std::sin(pitch) * Vec3::UnitX() + std::cos(pitch) * shape_->across;
    fall.tail_down_deg = tail_down_deg(fall.up);
    // Of drag·area = 1 mm²: the thousandths of grams, of densities and of square metres cancel.
    const double unit_m_s = std::sqrt(2 * excess_g_ * gravity_m_s2 / water_density_g_cm3_);
    fall.rate_m_s = unit_m_s * (along * std::sqrt(along / end_on_mm2_) +
                                across * std::sqrt(across / broadside_mm2_));
    fall.straight_rate_m_s = unit_m_s / std::sqrt(end_on_mm2_ * along * along * along +
                                                  broadside_mm2_ * across * across * across);
    return fall;
  }

 private:
  const DragShape* shape_;
  double water_density_g_cm3_;
  double excess_g_ = 0;
  double end_on_mm2_ = 0;     // drag coefficient × area
  double broadside_mm2_ = 0;  // likewise
  double along_g_mm_ = 0;
  double across_g_mm_ = 0;
  double munk_g_mm_ = 0;
  double free_pitch_ = 0;
};

struct Widening {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();

  void add(double value) {
    low = std::min(low, value);
    high = std::max(high, value);
  }

  [[nodiscard]] Band band() const { return {low, high}; }
};

/// tail_down over a range of pitches that may pass through nose up or nose down.
Band tail_down_over(const Widening& pitch_deg) {
  const auto tail_down = [](double deg) {
    return std::asin(std::clamp(std::sin(deg * degree), -1.0, 1.0)) / degree;
  };
  Widening band;
  band.add(tail_down(pitch_deg.low));
  band.add(tail_down(pitch_deg.high));
  for (const double turning_deg : {-450.0, -270.0, -90.0, 90.0, 270.0, 450.0}) {
    if (pitch_deg.low < turning_deg && turning_deg < pitch_deg.high) {
      band.add(tail_down(turning_deg));
    }
  }
  return band.band();
}

}  // namespace

AddedMass spheroid_added_mass(double slenderness) {
  constexpr double near_sphere = 1 + 1e-6;  // the formulas are 0/0 at the sphere
  if (slenderness < near_sphere) return {.end_on = 0.5, .broadside = 0.5};
  const double n = slenderness;
  const double e2 = 1 - 1 / (n * n);
  const double e = std::sqrt(e2);
  const double L = std::log((1 + e) / (1 - e));
  const double alpha = 2 * (1 - e2) * (L / 2 - e) / (e2 * e);
  const double gamma = 1 / e2 - (1 - e2) * L / (2 * e2 * e);
  return {.end_on = alpha / (2 - alpha), .broadside = gamma / (2 - gamma)};
}

DragShape drag_shape(const geometry::ClosedMesh& body, const Vec3& across) {
  const geometry::Silhouette frontal = geometry::silhouette(body, Vec3::UnitX());
  const geometry::Silhouette broad = geometry::silhouette(body, across);
  DragShape shape;
  shape.across = across;
  shape.frontal_mm2 = frontal.area_mm2;
  shape.frontal_across_mm = frontal.centroid_mm.dot(across);
  shape.broad_mm2 = broad.area_mm2;
  shape.broad_x_mm = broad.centroid_mm.x();
  shape.volume_mm3 = geometry::moments(body).volume_mm3;
  // As a spheroid of the same length and volume.
  const double length_mm =
      body.positions_mm().row(0).maxCoeff() - body.positions_mm().row(0).minCoeff();
  const double breadth_mm = std::sqrt(6 * shape.volume_mm3 / (std::numbers::pi * length_mm));
  const AddedMass added = spheroid_added_mass(std::max(1.0, length_mm / breadth_mm));
  shape.added_mass_gap = added.broadside - added.end_on;
  return shape;
}

Vec3 falls_across(const Floater& lure) {
  const Vec3 lift = lure.centre_of_full_buoyancy_mm() - lure.centre_of_mass_mm;
  const Vec3 across(0, lift.y(), lift.z());
  if (across.norm() <= across_rounding * lure.size_mm()) return Vec3::UnitZ();
  return across.normalized();
}

Fall steady_fall(const Floater& lure, const DragShape& shape, const DragSet& drag) {
  const FallPlane plane(lure, shape, drag);
  return plane.fall_at(plane.settled_pitch());
}

std::optional<SinkEstimate> sink_estimate(const Floater& lure, const geometry::ClosedMesh& body) {
  const double excess_g = lure.mass_g - lure.displacement_full_g();
  if (!(excess_g > 0)) return {};
  const DragShape shape = drag_shape(body, falls_across(lure));
  Widening rate_m_s;
  Widening pitch_deg;
  for (const double end_on : {least_drag.end_on, most_drag.end_on}) {
    for (const double broadside : {least_drag.broadside, most_drag.broadside}) {
      for (const double moment : {least_drag.moment, most_drag.moment}) {
        const Fall fall =
            steady_fall(lure, shape, {.end_on = end_on, .broadside = broadside, .moment = moment});
        pitch_deg.add(fall.pitch_deg);
        rate_m_s.add(fall.rate_m_s);
        rate_m_s.add(fall.straight_rate_m_s);
      }
    }
  }
  SinkEstimate estimate;
  estimate.rate_m_s = rate_m_s.band();
  estimate.tail_down_deg = tail_down_over(pitch_deg);
  const double diameter_m = std::sqrt(4 * shape.frontal_mm2 / std::numbers::pi) / 1000;
  estimate.reynolds = {estimate.rate_m_s.low * diameter_m / kinematic_viscosity_m2_s,
                       estimate.rate_m_s.high * diameter_m / kinematic_viscosity_m2_s};
  estimate.slow = estimate.reynolds.low < least_reynolds;
  estimate.weight_in_water_g = excess_g;
  return estimate;
}

}  // namespace trueblank::water
