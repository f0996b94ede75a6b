// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/fit_frame.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "body/frame_of_body.h"
#include "body/messages.h"
#include "symmetry/best_sand.h"

namespace trueblank::body {
namespace {

using geometry::ClosedMesh;
using geometry::Moments;
using geometry::Plane;

constexpr double kPerDegree = std::numbers::pi / 180;

double angle_deg(const Vec3& one, const Vec3& other) {
  return std::atan2(one.cross(other).norm(), one.dot(other)) / kPerDegree;
}

// Hints in the axes and the unit of the body that is at hand, which is `mm_per_unit` off mm.
struct Directions {
  symmetry::MirrorOptions options;
  FrameHints ends;
};

// The wire's two ends, which with the back fix a plane.
std::pair<Vec3, Vec3> eyes_in(const BodyHints& hints, double mm_per_unit, const std::string& file) {
  const Vec3 along = hints.eyes->second - hints.eyes->first;
  if (!hints.back) throw eyes_without_back(file);
  const double off = std::min(angle_deg(*hints.back, along), angle_deg(*hints.back, -along));
  if (!(along.norm() > 0) || off < 45 - 1e-9) throw back_along_wire(file);
  return {hints.eyes->first / mm_per_unit, hints.eyes->second / mm_per_unit};
}

Directions directions(const Moments& whole, const BodyHints& hints, double mm_per_unit,
                      const std::string& file) {
  Directions result;
  result.options.kernel = hints.kernel;
  if (hints.nose) {
    result.options.nose = hints.nose->normalized();
  } else if (hints.nose_point) {
    const Vec3 towards = *hints.nose_point / mm_per_unit - whole.centroid_mm;
    if (!(towards.norm() > 0)) throw nose_point_at_middle(file);
    result.options.nose = towards.normalized();
  }
  if (hints.back) result.options.back = hints.back->normalized();
  if (hints.plane) {
    const double length = hints.plane->normal.norm();
    if (!(length > 0)) throw plane_without_normal(file);
    result.options.given =
        Plane{hints.plane->normal / length, hints.plane->offset_mm / length / mm_per_unit};
  }
  if (hints.split_line) {
    const std::array<Vec3, 3>& line = *hints.split_line;
    const Vec3 one = line[1] - line[0];
    const Vec3 other = line[2] - line[0];
    if (!(one.cross(other).norm() > 1e-6 * one.norm() * other.norm())) {
      throw split_line_straight(file);
    }
    result.options.split_line = {line[0] / mm_per_unit, line[1] / mm_per_unit,
                                 line[2] / mm_per_unit};
  }
  if (hints.eyes) result.options.eyes = eyes_in(hints, mm_per_unit, file);
  result.ends = {result.options.nose, result.options.back};
  return result;
}

void refuse_bad_directions(const symmetry::MirrorFit& fit, const symmetry::MirrorOptions& options,
                           bool nose_is_point, const std::string& file) {
  const auto off_axis = [&](const Vec3& direction) {
    const double angle = angle_deg(direction, fit.long_axis);
    return std::min(angle, 180 - angle);
  };
  constexpr double kMostOff = 45 + 1e-9;
  if (options.nose && !nose_is_point && off_axis(*options.nose) > kMostOff) {
    throw nose_across_long_axis(file, off_axis(*options.nose));
  }
  if (options.back && off_axis(*options.back) < 90 - kMostOff) {
    throw back_along_long_axis(file, off_axis(*options.back));
  }
}

// A plane to stand in where the shape leaves it open: of a round body through the long axis and a
// file axis; of one with several mirror planes the one across which it is narrowest, since most
// lures are higher than wide.
Plane stand_in_plane(const symmetry::MirrorFit& fit, const ClosedMesh& body, const Moments& whole) {
  if (!fit.round && !fit.candidates.empty()) {
    const symmetry::Candidate* narrowest = nullptr;
    double least = 0;
    for (const symmetry::Candidate& candidate : fit.candidates) {
      if (candidate.rms_mm > 1.5 * fit.candidates.front().rms_mm + 1e-6) continue;
      const double width = extent_along(body.mesh(), candidate.plane.normal).length_mm();
      if (narrowest == nullptr || width < least * (1 - 1e-9)) {
        narrowest = &candidate;
        least = width;
      }
    }
    return narrowest->plane;
  }
  const Vec3 axis = fit.long_axis;
  Vec3 back = Vec3::UnitZ();
  if (std::abs(axis.z()) > std::numbers::sqrt2 / 2) {
    back = std::abs(axis.y()) > std::abs(axis.x()) ? Vec3::UnitX() : Vec3::UnitY();
  }
  const Vec3 normal = back.cross(axis).normalized();
  return {normal, normal.dot(whole.centroid_mm)};
}

void say_what_was_guessed(Fitted& fitted, const symmetry::MirrorOptions& options) {
  const Vec3 nose = -fitted.frame.x;
  const Vec3 back = fitted.frame.z;
  const bool plane_open = !fitted.fit.plane;
  if (plane_open) {
    fitted.warnings.push_back(fitted.fit.round ? round_body(back) : several_planes(back));
    if (!options.nose) fitted.warnings.push_back(nose_guessed(nose));
  } else if (!options.nose && !options.back) {
    fitted.warnings.push_back(nose_and_back_guessed(nose, back));
  } else if (!options.nose) {
    fitted.warnings.push_back(nose_guessed(nose));
  } else if (!options.back) {
    fitted.warnings.push_back(back_guessed(back));
  }
  if (fitted.fit.from == symmetry::PlaneFrom::back) {
    fitted.warnings.push_back(fitted.fit.round ? round_body_with_back()
                                               : unclear_plane_with_back());
  }
  if (options.back && !plane_open) {
    const double from_plane = std::abs(90 - angle_deg(*options.back, fitted.plane.normal));
    if (from_plane > 45 + 1e-9) fitted.warnings.push_back(back_off_plane(from_plane));
  }
}

}  // namespace

Fitted fit_frame(const Unframed& body, const BodyHints& hints, double mm_per_unit,
                 const geometry::ParallelFor& loop) {
  const Directions known = directions(body.whole, hints, mm_per_unit, body.file);
  Fitted fitted;
  fitted.fit = symmetry::fit_mirror(body.closed, body.facet_measured, known.options, loop);
  const bool nose_is_point = !hints.nose && hints.nose_point;
  refuse_bad_directions(fitted.fit, known.options, nose_is_point, body.file);
  if (hints.best_sand && fitted.fit.plane) {
    fitted.fit.plane =
        symmetry::best_sand_plane(body.closed, *fitted.fit.plane, body.facet_measured, loop).plane;
    fitted.fit.from = symmetry::PlaneFrom::best_sand;
  }
  fitted.plane =
      fitted.fit.plane ? *fitted.fit.plane : stand_in_plane(fitted.fit, body.closed, body.whole);
  FrameHints ends = known.ends;
  if (nose_is_point) {
    // The end that the point is nearer to, along the long axis.
    const Vec3 axis = symmetry::long_axis_within(body.whole, fitted.plane);
    const Extent extent = extent_along(body.closed.mesh(), axis);
    const double middle = 0.5 * (extent.low_mm + extent.high_mm);
    const double at = axis.dot(*hints.nose_point) / mm_per_unit;
    ends.nose = at < middle ? Vec3(-axis) : axis;
  }
  fitted.frame = body_frame(body.closed, body.whole, fitted.plane, ends);
  fitted.plane = {fitted.frame.y, fitted.frame.y.dot(fitted.frame.origin_mm)};
  if (fitted.fit.plane) fitted.fit.plane = fitted.plane;
  fitted.fit.long_axis = fitted.frame.x;
  for (symmetry::Candidate& candidate : fitted.fit.candidates) {
    if (candidate.plane.normal.dot(fitted.frame.y) >= 0) continue;
    candidate.plane = {-candidate.plane.normal, -candidate.plane.offset_mm};
  }
  fitted.guessed = !known.options.nose || !known.options.back;
  say_what_was_guessed(fitted, known.options);
  return fitted;
}

void scale(Fitted& fitted, double mm_per_unit) {
  fitted.frame.origin_mm *= mm_per_unit;
  fitted.plane.offset_mm *= mm_per_unit;
  if (fitted.fit.plane) fitted.fit.plane->offset_mm *= mm_per_unit;
  for (symmetry::Candidate& candidate : fitted.fit.candidates) {
    candidate.plane.offset_mm *= mm_per_unit;
    candidate.rms_mm *= mm_per_unit;
  }
}

}  // namespace trueblank::body
