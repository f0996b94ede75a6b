// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/held_pose.h"

#include <cmath>
#include <numbers>

#include "water/stationary.h"

namespace trueblank::tuning {
namespace {

constexpr double degree = std::numbers::pi / 180;
// A load that is nearly all that the body can carry has hardly a waterline; one that is more is
// taken as if weight and buoyancy were alike, so that a search finds its way back.
constexpr double most_of_full = 1 - 1e-9;

struct AngleTerms {
  double sin_t, cos_t, sin_l, cos_l;

  explicit AngleTerms(const Angles& a)
      : sin_t(std::sin(a.tail_down_deg * degree)),
        cos_t(std::cos(a.tail_down_deg * degree)),
        sin_l(std::sin(a.list_deg * degree)),
        cos_l(std::cos(a.list_deg * degree)) {}
};

}  // namespace

Vec3 Angles::up() const {
  const AngleTerms a(*this);
  return {-a.sin_t, -a.cos_t * a.sin_l, a.cos_t * a.cos_l};
}

UpSlopes up_slopes(const Angles& angles) {
  const AngleTerms a(angles);
  return {.tail = degree * Vec3(-a.cos_t, a.sin_t * a.sin_l, -a.sin_t * a.cos_l),
          .list = degree * Vec3(0, -a.cos_t * a.cos_l, -a.cos_t * a.sin_l)};
}

double Water::displaced_full_g(const Load& load) const {
  double volume_mm3 = body_.volume_mm3();
  for (const rig::SpreadPart& part : load.outside) volume_mm3 += part.volume_mm3;
  return density_g_cm3_ * volume_mm3 / 1000;
}

Held Water::hold(const Load& load, const Angles& angles, Where where,
                 std::optional<double> start_mm) const {
  water::Floater lure;
  lure.body = body_;
  lure.mass_g = load.mass_g;
  lure.centre_of_mass_mm = load.moment_g_mm / load.mass_g;
  lure.water_density_g_cm3 = density_g_cm3_;
  lure.outside = load.outside;
  const Vec3 up = angles.up();
  Held held;
  held.displaced_full_g = lure.displacement_full_g();
  Vec3 gradient;  // dE / d up
  Mat3 hessian;   // over turns
  if (where == Where::afloat && load.mass_g < most_of_full * held.displaced_full_g) {
    const water::Waterline line = water::waterline_at(lure, up, start_mm);
    gradient = line.gradient_g_mm;
    hessian = line.hessian_g_mm;
    held.pivot_mm = line.offset_slope_mm;
    held.offset_mm = line.offset_mm;
  } else {
    const Vec3 all = lure.centre_of_full_buoyancy_mm();
    const bool overweight = where == Where::afloat;
    const double displaced_g = overweight ? load.mass_g : held.displaced_full_g;
    gradient = displaced_g * (lure.centre_of_mass_mm - all);
    const Mat3 across = Mat3::Identity() - up * up.transpose();
    hessian = -up.dot(gradient) * across;
    held.pivot_mm = overweight ? all : lure.centre_of_mass_mm;
    held.leverage = displaced_g / load.mass_g;
    held.offset_mm = lure.body.extent_mm(up).second;
  }
  held.least_stiffness_g_mm_per_deg = water::curvatures(up, hessian).soft_g_mm * degree;
  const AngleTerms a(angles);
  const UpSlopes slope = up_slopes(angles);
  held.turning_g_mm_per_deg = {gradient.dot(slope.tail), gradient.dot(slope.list)};
  // Along tail_down `up` runs on a great circle, along list on a small one, and the two turn each
  // other: the covariant second derivatives and what the gradient adds.
  const double along_up = up.dot(gradient);
  const Mat3 plain = hessian + along_up * (Mat3::Identity() - up * up.transpose());
  const Vec3 tail_tail = -degree * degree * up;
  const Vec3 list_list = -degree * degree * Vec3(0, up.y(), up.z());
  const Vec3 tail_list = degree * degree * Vec3(0, a.sin_t * a.cos_l, a.sin_t * a.sin_l);
  const double mixed = slope.tail.dot(plain * slope.list) + gradient.dot(tail_list);
  held.per_angle << slope.tail.dot(plain * slope.tail) + gradient.dot(tail_tail), mixed, mixed,
      slope.list.dot(plain * slope.list) + gradient.dot(list_list);
  return held;
}

}  // namespace trueblank::tuning
