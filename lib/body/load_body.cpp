// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/load_body.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numbers>
#include <utility>

#include "body/frame_of_body.h"
#include "body/messages.h"
#include "symmetry/best_sand.h"

namespace trueblank::body {
namespace {

using geometry::ClosedMesh;
using geometry::Moments;
using geometry::Plane;
using geometry::TriangleMesh;

constexpr double kPerDegree = std::numbers::pi / 180;

double angle_deg(const Vec3& one, const Vec3& other) {
  return std::atan2(one.cross(other).norm(), one.dot(other)) / kPerDegree;
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

std::optional<double> number_in(std::string_view text) {
  text = trimmed(text);
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) return {};
  return value;
}

// ∫ q qᵀ dA over a surface, q from its centroid: of three times the mid-edge points, each with a
// third of the area, which is exact for second moments of a triangle.
geometry::Mat3 surface_spread(const TriangleMesh& mesh) {
  double area = 0;
  Vec3 first = Vec3::Zero();
  geometry::Mat3 second = geometry::Mat3::Zero();
  if (mesh.facet_count() == 0) return second;
  const Vec3 from = mesh.corner(0, 0);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Vec3 a = mesh.corner(f, 0) - from;
    const Vec3 b = mesh.corner(f, 1) - from;
    const Vec3 c = mesh.corner(f, 2) - from;
    const double third = (b - a).cross(c - a).norm() / 6;
    for (const Vec3& middle : {Vec3(0.5 * (a + b)), Vec3(0.5 * (b + c)), Vec3(0.5 * (c + a))}) {
      area += third;
      first += third * middle;
      second += third * middle * middle.transpose();
    }
  }
  if (!(area > 0)) return geometry::Mat3::Zero();
  return second - first * first.transpose() / area;
}

std::array<double, 3> principal_extents(const TriangleMesh& mesh, const geometry::Mat3& spread) {
  const geometry::Principal axes = geometry::principal(spread);
  std::array<double, 3> size{};
  for (int k = 0; k < 3; ++k) {
    size[static_cast<std::size_t>(k)] = extent_along(mesh, axes.axes.col(k)).length_mm();
  }
  std::sort(size.begin(), size.end(), std::greater<>());
  return size;
}

// A file as read and mended, still in its own unit.
struct Unscaled {
  SoundBody body;
  std::optional<Moments> whole;
};

Unscaled read_and_mend(const std::string& path, const BodyHints& hints,
                       bool look_for_self_intersections) {
  Unscaled result;
  SoundBody& body = result.body;
  intake::FileMesh file = intake::read_mesh(path);
  TriangleMesh mesh = file.in_mm(1);
  body.input.file = path;
  body.input.format = intake::format_name(file.format);
  body.input.facets = mesh.facet_count();
  body.input.vertices = mesh.vertex_count();
  body.colours = std::move(file.colours);
  body.warnings = std::move(file.warnings);
  body.as_read = look_for_self_intersections ? intake::soundness(mesh) : intake::topology(mesh);
  body.mended = intake::mend(mesh, hints.mend, path);
  body.warnings.insert(body.warnings.end(), body.mended.warnings.begin(),
                       body.mended.warnings.end());
  if (body.mended.closed) body.closed = geometry::closed_mesh(body.mended.mesh);
  if (body.closed) result.whole = geometry::moments(*body.closed);
  const geometry::Mat3 spread =
      result.whole ? result.whole->spread_mm5 : surface_spread(body.mended.mesh);
  body.size_mm = principal_extents(body.mended.mesh, spread);
  return result;
}

void scale(Unscaled& unscaled, double mm_per_unit, ScaleFrom from) {
  SoundBody& body = unscaled.body;
  body.input.scale_mm_per_unit = mm_per_unit;
  body.input.scale_from = from;
  if (mm_per_unit == 1) return;
  const double cubed = mm_per_unit * mm_per_unit * mm_per_unit;
  body.mended.mesh.positions_mm *= mm_per_unit;
  body.mended.cavity_mm3 *= cubed;
  for (double& volume : body.mended.left_out_mm3) volume *= cubed;
  for (double& extent : body.size_mm) extent *= mm_per_unit;
  if (body.closed) {
    body.closed = body.closed->moved(geometry::Mat3::Identity(), Vec3::Zero(), mm_per_unit);
    unscaled.whole = geometry::moments(*body.closed);
  }
}

constexpr std::array<std::pair<Unit, std::string_view>, 4> kUnits = {
    {{Unit::mm, "mm"}, {Unit::cm, "cm"}, {Unit::m, "m"}, {Unit::in, "in"}}};

// A lure is 60 to 300 mm long; from 20 to 1000 mm a file in mm is believed.
void scale_by_guess(Unscaled& unscaled) {
  const double longest = unscaled.body.size_mm[0];
  if (longest >= 20 && longest <= 1000) {
    scale(unscaled, 1, ScaleFrom::assumed);
    return;
  }
  std::optional<Unit> likely;
  int count = 0;
  for (const Unit unit : {Unit::m, Unit::in, Unit::cm}) {
    const double as_unit = longest * mm_per(unit);
    if (as_unit < 60 || as_unit > 300) continue;
    likely = unit;
    ++count;
  }
  if (count != 1) {
    unscaled.body.warnings.push_back(size_unlikely(longest));
    scale(unscaled, 1, ScaleFrom::assumed);
    return;
  }
  const auto* const named = std::find_if(kUnits.begin(), kUnits.end(),
                                         [&](const auto& entry) { return entry.first == *likely; });
  unscaled.body.warnings.push_back(unit_guessed(named->second, longest, longest * mm_per(*likely)));
  scale(unscaled, mm_per(*likely), ScaleFrom::guessed);
}

struct Fitted {
  symmetry::MirrorFit fit;
  geometry::Frame frame;
  Plane plane;
  bool guessed = false;
  std::vector<std::string> warnings;
};

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

Fitted fit_frame(const Unscaled& unscaled, const BodyHints& hints, double mm_per_unit,
                 const geometry::ParallelFor& loop) {
  const SoundBody& sound = unscaled.body;
  const std::string& file = sound.input.file;
  const Directions known = directions(*unscaled.whole, hints, mm_per_unit, file);
  Fitted fitted;
  fitted.fit =
      symmetry::fit_mirror(*sound.closed, sound.mended.facet_measured, known.options, loop);
  const bool nose_is_point = !hints.nose && hints.nose_point;
  refuse_bad_directions(fitted.fit, known.options, nose_is_point, file);
  if (hints.best_sand && fitted.fit.plane) {
    fitted.fit.plane = symmetry::best_sand_plane(*sound.closed, *fitted.fit.plane,
                                                 sound.mended.facet_measured, loop)
                           .plane;
    fitted.fit.from = symmetry::PlaneFrom::best_sand;
  }
  fitted.plane = fitted.fit.plane ? *fitted.fit.plane
                                  : stand_in_plane(fitted.fit, *sound.closed, *unscaled.whole);
  FrameHints ends = known.ends;
  if (nose_is_point) {
    // The end that the point is nearer to, along the long axis.
    const Vec3 axis = symmetry::long_axis_within(*unscaled.whole, fitted.plane);
    const Extent extent = extent_along(sound.closed->mesh(), axis);
    const double middle = 0.5 * (extent.low_mm + extent.high_mm);
    const double at = axis.dot(*hints.nose_point) / mm_per_unit;
    ends.nose = at < middle ? Vec3(-axis) : axis;
  }
  fitted.frame = body_frame(*sound.closed, *unscaled.whole, fitted.plane, ends);
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

struct Loaded {
  Unscaled unscaled;             // scaled by now
  std::optional<Fitted> fitted;  // where the length asked for it
};

void scale_by_length(Loaded& loaded, const BodyHints& hints, const geometry::ParallelFor& loop) {
  SoundBody& body = loaded.unscaled.body;
  const double wanted = *hints.length_mm;
  const std::string& file = body.input.file;
  if (!(wanted > 0)) throw length_not_positive(file);
  if (!(body.size_mm[0] > 0)) throw no_extent(file);
  // Points in mm need the scale before it is found exactly; ends and directions bear a rough one.
  const double roughly = wanted / body.size_mm[0];
  if (!body.closed) {
    scale(loaded.unscaled, roughly, ScaleFrom::length);
    return;
  }
  loaded.fitted = fit_frame(loaded.unscaled, hints, roughly, loop);
  const double found = extent_along(body.closed->mesh(), loaded.fitted->frame.x).length_mm();
  const double factor = wanted / found;
  scale(loaded.unscaled, factor, ScaleFrom::length);
  scale(*loaded.fitted, factor);
  if (hints.plane || hints.split_line || hints.eyes)
    loaded.fitted.reset();  // their places were only rough
}

Loaded load(const std::string& path, const BodyHints& hints, bool look_for_self_intersections,
            const geometry::ParallelFor& loop) {
  Loaded loaded{read_and_mend(path, hints, look_for_self_intersections), {}};
  if (hints.units) {
    scale(loaded.unscaled, mm_per(*hints.units), ScaleFrom::units);
  } else if (hints.length_mm) {
    scale_by_length(loaded, hints, loop);
  } else {
    scale_by_guess(loaded.unscaled);
  }
  return loaded;
}

}  // namespace

double mm_per(Unit unit) {
  switch (unit) {
    case Unit::mm:
      return 1;
    case Unit::cm:
      return 10;
    case Unit::m:
      return 1000;
    case Unit::in:
      return 25.4;  // exactly, by the international yard and pound agreement of 1959
  }
  return 1;
}

std::optional<Unit> unit_named(std::string_view name) {
  for (const auto& [unit, its_name] : kUnits) {
    if (name == its_name) return unit;
  }
  return {};
}

std::optional<Vec3> direction_named(std::string_view text) {
  text = trimmed(text);
  std::string_view axis = text;
  double sign = 1;
  if (axis.starts_with('+') || axis.starts_with('-')) {
    sign = axis.front() == '-' ? -1 : 1;
    axis.remove_prefix(1);
  }
  if (axis == "x") return sign * Vec3::UnitX();
  if (axis == "y") return sign * Vec3::UnitY();
  if (axis == "z") return sign * Vec3::UnitZ();
  Vec3 vector = Vec3::Zero();
  for (int k = 0; k < 3; ++k) {
    const std::size_t comma = text.find(',');
    if ((comma == std::string_view::npos) != (k == 2)) return {};
    const std::optional<double> entry = number_in(text.substr(0, comma));
    if (!entry) return {};
    vector[k] = *entry;
    if (k < 2) text.remove_prefix(comma + 1);
  }
  const double length = vector.stableNorm();
  if (!(length > 0) || !std::isfinite(length)) return {};
  return vector.stableNormalized();
}

std::string_view scale_from_name(ScaleFrom from) {
  switch (from) {
    case ScaleFrom::units:
      return "units";
    case ScaleFrom::length:
      return "length";
    case ScaleFrom::format:
      return "format";
    case ScaleFrom::assumed:
      return "assumed";
    case ScaleFrom::guessed:
      return "guessed";
  }
  return "assumed";
}

SoundBody load_body(const std::string& path, const BodyHints& hints,
                    bool look_for_self_intersections, const geometry::ParallelFor& loop) {
  return std::move(load(path, hints, look_for_self_intersections, loop).unscaled.body);
}

FramedBody load_framed_body(const std::string& path, const BodyHints& hints,
                            const geometry::ParallelFor& loop) {
  Loaded loaded = load(path, hints, false, loop);
  Unscaled& unscaled = loaded.unscaled;
  if (!unscaled.body.closed) throw stays_open(path, unscaled.body.as_read.open_loops);
  if (!loaded.fitted) loaded.fitted = fit_frame(unscaled, hints, 1, loop);
  Fitted& fitted = *loaded.fitted;

  FramedBody framed;
  framed.fit = std::move(fitted.fit);
  framed.frame = fitted.frame;
  framed.plane = fitted.plane;
  framed.guessed = fitted.guessed;
  framed.sound = std::move(unscaled.body);
  std::vector<std::string>& warnings = framed.sound.warnings;
  warnings.insert(warnings.end(), fitted.warnings.begin(), fitted.warnings.end());
  framed.length_mm = extent_along(framed.sound.closed->mesh(), framed.frame.x).length_mm();
  if (hints.units && hints.length_mm &&
      std::abs(framed.length_mm - *hints.length_mm) > 0.005 * *hints.length_mm) {
    warnings.push_back(units_and_length_differ(framed.length_mm, *hints.length_mm));
  }
  framed.body = framed.frame.to_body(*framed.sound.closed);
  framed.whole = geometry::moments(*framed.body);
  return framed;
}

}  // namespace trueblank::body
