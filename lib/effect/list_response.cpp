// SPDX-License-Identifier: GPL-3.0-or-later
// With E(up) the least energy over waterlines, a little weight m at p changes E by m·(up·p − h),
// h(up) the waterline, and so dE/dup by m·(p − dh/dup); dh/dup is the waterplane's centroid. Part
// of the skin that passes the waterline adds nothing: there up·p = h.
//
// Under water E = −D·(B − G)·up, D the displaced mass, B its centre, G the centre of mass. A weight
// m at p moves G by m·(p − G)/M; what displaces d at p moves D·B by d·p and D by d.
#include "effect/list_response.h"

#include <cmath>
#include <numbers>

namespace trueblank::effect {

namespace {

constexpr double degree = std::numbers::pi / 180;

}  // namespace

std::optional<ListResponse> ListResponse::of(const water::Floater& lure,
                                             const water::RestPose& pose) {
  if (!pose.list_deg || pose.indifferent) return {};
  ListResponse response;
  if (pose.waterline_offset_mm) {
    const water::Waterline line = waterline_at(lure, pose.up, pose.waterline_offset_mm);
    if (!line.converged) return {};
    response.pivot_mm_ = line.offset_slope_mm;
    response.surface_ = geometry::Plane{pose.up, line.offset_mm};
  } else {
    response.pivot_mm_ = lure.centre_of_mass_mm;
    response.weight_factor_ = lure.displacement_full_g() / lure.mass_g;
  }
  // up = (−sin t, −cos t · sin l, cos t · cos l) for tail_down t and list l.
  const double list = *pose.list_deg * degree;
  const double trim = pose.tail_down_deg * degree;
  response.by_list_ = std::cos(trim) * Vec3(0, -std::cos(list), -std::sin(list));
  response.by_trim_ =
      Vec3(-std::cos(trim), std::sin(trim) * std::sin(list), -std::sin(trim) * std::cos(list));
  const Vec3 of_list = pose.hessian_g_mm * response.by_list_;
  response.list_list_ = response.by_list_.dot(of_list);
  response.list_trim_ = response.by_trim_.dot(of_list);
  response.trim_trim_ = response.by_trim_.dot(pose.hessian_g_mm * response.by_trim_);
  const double determinant =
      response.list_list_ * response.trim_trim_ - response.list_trim_ * response.list_trim_;
  if (!(response.trim_trim_ > 0 && determinant > 0)) return {};
  return response;
}

double ListResponse::turning_moment_g_mm(const Vec3& pull_g_mm) const {
  return -pull_g_mm.dot(by_list_);
}

double ListResponse::list_deg(const Vec3& pull_g_mm) const {
  const double list_slope = pull_g_mm.dot(by_list_);
  const double trim_slope = pull_g_mm.dot(by_trim_);
  const double determinant = list_list_ * trim_trim_ - list_trim_ * list_trim_;
  return -(trim_trim_ * list_slope - list_trim_ * trim_slope) / determinant / degree;
}

}  // namespace trueblank::effect
