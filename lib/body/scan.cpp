// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/scan.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "body/carried_colours.h"
#include "body/frame_of_body.h"
#include "body/messages.h"
#include "body/noise_of_scan.h"
#include "body/skin.h"
#include "intake/chords.h"
#include "intake/smooth.h"
#include "intake/thin.h"

namespace trueblank::body {
namespace {

// Of skin that the scan has no colour for.
constexpr Colour bare_wood = {222, 205, 178};

using geometry::ClosedMesh;
using geometry::TriangleMesh;

// A length by callipers or rule, and the reading of a kitchen or tackle scale: one standard
// deviation each. Common practice, no published source.
constexpr double length_sd_mm = 0.3;
constexpr double dunk_sd_g = 0.3;
// A skin that is further off than this was not swollen by a scanner: something was misread.
constexpr double most_offset_mm = 0.5;
// The format's own unit and the dunk test, apart by more than this, are worth a word.
constexpr double unlike_scale = 0.01;
// From vertex to vertex, what facets of unlike size on a bend make is less; no scanner has so
// little.
constexpr double least_noise_mm = 0.003;

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

// What is in the cavities, as far as is told.
Cavity filling(const BodyHints& hints) { return hints.cavity.value_or(Cavity::air); }

// The body of the mended mesh, and what follows from it.
void take_mesh(Scan& scan) {
  SoundBody& body = scan.body;
  body.closed.reset();
  scan.whole.reset();
  if (body.mended.closed) body.closed = geometry::closed_mesh(body.mended.mesh);
  if (body.closed) scan.whole = geometry::moments(*body.closed);
  const geometry::Mat3 spread =
      scan.whole ? scan.whole->spread_mm5 : surface_spread(body.mended.mesh);
  body.size_mm = principal_extents(body.mended.mesh, spread);
}

void reshape(SoundBody& body, const std::string& what, std::optional<intake::Reshaped> reshaped) {
  if (!reshaped) {
    body.warnings.push_back(not_reshaped(what));
    return;
  }
  body.record.reshaped.push_back({.what = what,
                                  .facets = reshaped->mesh.facet_count(),
                                  .volume_change_mm3 = reshaped->volume_change_mm3,
                                  .greatest_distance_mm = reshaped->greatest_distance_mm});
  body.mended.mesh = std::move(reshaped->mesh);
  body.mended.vertex_measured = std::move(reshaped->vertex_measured);
  body.mended.facet_measured = std::move(reshaped->facet_measured);
}

bool smooth_and_thin(Scan& scan, const BodyHints& hints) {
  SoundBody& body = scan.body;
  if (!body.closed || (!hints.smooth_mm && !hints.thin_facets)) return false;
  if (hints.smooth_mm) {
    reshape(body, "smoothed",
            intake::smooth(body.mended.mesh, body.mended.facet_measured, *hints.smooth_mm));
  }
  if (hints.thin_facets) {
    reshape(body, "thinned",
            intake::thin(body.mended.mesh, body.mended.facet_measured, *hints.thin_facets));
  }
  take_mesh(scan);
  return !body.record.reshaped.empty();
}

ScaleFrom from_dunk(const Dunk& dunk) {
  return dunk.from_push ? ScaleFrom::push : ScaleFrom::displaced;
}

// What set the scale, as a sentence begins with it.
std::string scale_from_words(ScaleFrom from) {
  if (from == ScaleFrom::length) return "the length";
  return from == ScaleFrom::units ? "the unit" : "the file's own unit";
}

// By how much the skin must go out for the dunk test's sake, its coat taken off.
double dunk_offset_mm(const SoundBody& body, const MovableSkin& skin, const BodyHints& hints) {
  const Dunk& dunk = *hints.dunk;
  const double coat_mm = hints.coat_mm.value_or(0);
  const auto within = [&](double most_mm) {
    return skin.offset_to_displace(dunk.volume_mm3(), -coat_mm - most_mm, -coat_mm + most_mm);
  };
  if (const std::optional<double> out_mm = within(most_offset_mm)) return *out_mm + coat_mm;
  const double scan_mm3 = skin.displaced_mm3(-coat_mm);
  const double by_area_mm = (dunk.volume_mm3() - scan_mm3) / skin.outer_area_mm2();
  const std::optional<double> further_mm = within(10 * most_offset_mm);
  throw dunk_far_off(body.input.file,
                     {.scale_from = scale_from_words(body.input.scale_from),
                      .scan_displaces_g = scan_mm3 * dunk.water_density_g_cm3 / 1000,
                      .dunk_displaces_g = dunk.displaced_g,
                      .skin_mm = further_mm ? *further_mm + coat_mm : by_area_mm});
}

// A body whose thin parts are thinner than twice the coat turns over on the way in, and then
// encloses more the further it goes.
bool survives(const MovableSkin& skin, double coat_mm) {
  constexpr int steps = 16;
  double before = skin.displaced_mm3(0);
  for (int step = 1; step <= steps; ++step) {
    const double now = skin.displaced_mm3(-coat_mm * step / steps);
    if (!(now > 0) || now >= before) return false;
    before = now;
  }
  return true;
}

// Takes the coat off and moves the skin to the dunk test.
bool offset(Scan& scan, const BodyHints& hints) {
  SoundBody& body = scan.body;
  const ScaleFrom from = body.input.scale_from;
  const bool by_dunk = hints.dunk && from != ScaleFrom::displaced && from != ScaleFrom::push;
  if (!body.closed || (!by_dunk && !hints.coat_mm)) return false;
  const MovableSkin skin(*body.closed, filling(hints));
  const double coat_mm = hints.coat_mm.value_or(0);
  body.record.coat_off_mm = coat_mm;
  if (coat_mm > 0 && !survives(skin, coat_mm)) throw coat_too_thick(body.input.file, coat_mm);
  if (by_dunk) body.record.skin_offset_mm = dunk_offset_mm(body, skin, hints);
  body.mended.mesh = skin.moved(body.record.skin_offset_mm - coat_mm);
  take_mesh(scan);
  if (!body.closed) throw coat_too_thick(body.input.file, coat_mm);
  return true;
}

// Scaled by the dunk test, a body that was smoothed, thinned or stripped of its coat is so again.
void dunk_scale(Scan& scan, const BodyHints& hints) {
  const Dunk& dunk = *hints.dunk;
  const double coat_mm = hints.coat_mm.value_or(0);
  // A coat does not grow with the body: some rounds, each some hundred times nearer.
  for (int round = 0; round < 30; ++round) {
    const double mm3 = MovableSkin(*scan.body.closed, filling(hints)).displaced_mm3(-coat_mm);
    if (!(mm3 > 0)) throw coat_too_thick(scan.body.input.file, coat_mm);
    const double factor = std::cbrt(dunk.volume_mm3() / mm3);
    scale(scan, factor, from_dunk(dunk));
    if (std::abs(factor - 1) < 1e-14 || coat_mm == 0) return;
  }
}

void add(BodyRecord& record, const std::string& what, double mm3, bool bound) {
  if (mm3 > 0) record.doubts.push_back({what, mm3, bound});
}

// What of mending may have changed the body itself: what was left out or cut off was not of it, and
// holes are told by the skin that was made up.
double mending_bound_mm3(const std::vector<intake::Mended>& mended) {
  double bound = 0;
  for (const intake::Mended& step : mended) {
    const bool of_body = step.what == "seams sewn" || step.what == "self-intersections resolved" ||
                         step.what == "wrapped";
    if (of_body) bound += step.bound_mm3;
  }
  return bound;
}

// What is anywhere within ± 1 alike has this standard deviation; it lies within two of them.
const double evenly_within = 1 / std::sqrt(3.0);

std::optional<double> scale_sd_percent(const BodyRecord& record, ScaleFrom from,
                                       const BodyHints& hints) {
  switch (from) {
    case ScaleFrom::units:
    case ScaleFrom::format:
      return 0;
    case ScaleFrom::length:
      return 100 *
             std::hypot(length_sd_mm / *hints.length_mm, evenly_within * record.end_off_share);
    case ScaleFrom::displaced:
    case ScaleFrom::push:
      return 100 * dunk_sd_g / record.dunk->displaced_g / 3;
    case ScaleFrom::assumed:
    case ScaleFrom::guessed:
      break;
  }
  return {};
}

// A drawing has no noise, nor has what a drawing program wrote: its skin is smooth and whole.
bool is_scan(const BodyRecord& record) {
  return !record.drawn && (record.noise_mm > least_noise_mm || record.made_up_share > 0);
}

// A volume goes with the cube of a length: three times its share, and more where an end is missing,
// since that is no small change.
double scale_sd_mm3(const BodyRecord& record) {
  const double end = record.end_off_share;
  const double sd = record.scale_sd_percent.value_or(0) / 100;
  const double read = std::sqrt(std::max(0.0, sd * sd - evenly_within * end * evenly_within * end));
  const double cubed = std::pow(1 + end, 3) - 1;
  return record.displaced_mm3 * std::hypot(3 * read, evenly_within * cubed);
}

}  // namespace

Scan read_and_mend(const Source& source, const BodyHints& hints, bool look_for_self_intersections) {
  Scan scan;
  SoundBody& body = scan.body;
  TriangleMesh mesh;
  body.input.file = source.path;
  body.record.drawn = source.drawn.has_value();
  if (source.drawn) {
    mesh = source.drawn->mesh_mm;
    body.input.format = source.drawn->format;
    body.warnings = source.drawn->warnings;
    scan.mm_per_unit = 1;
  } else {
    intake::FileMesh file = intake::read_mesh(source.path);
    mesh = {std::move(file.positions), std::move(file.facets)};
    body.input.format = intake::format_name(file.format);
    scan.mm_per_unit = file.mm_per_unit;
    body.colours = std::move(file.colours);
    body.warnings = std::move(file.warnings);
  }
  body.input.facets = mesh.facet_count();
  body.input.vertices = mesh.vertex_count();
  body.as_read = look_for_self_intersections ? intake::soundness(mesh) : intake::topology(mesh);
  body.mended = intake::mend(
      mesh, {.how = hints.mend.value_or(intake::Mend::holes), .table = hints.table}, source.path);
  body.colours =
      carried_colours(mesh.positions_mm, body.colours, body.mended.mesh.positions_mm, bare_wood);
  body.warnings.insert(body.warnings.end(), body.mended.warnings.begin(),
                       body.mended.warnings.end());
  take_mesh(scan);
  body.input.length_in_file = body.size_mm[0];
  return scan;
}

void scale(Scan& scan, double mm_per_unit, ScaleFrom from) {
  SoundBody& body = scan.body;
  body.input.scale_mm_per_unit *= mm_per_unit;
  body.input.scale_from = from;
  if (mm_per_unit == 1) return;
  intake::scale(body.mended, mm_per_unit);
  for (double& extent : body.size_mm) extent *= mm_per_unit;
  if (body.closed) {
    body.closed = body.closed->moved(geometry::Mat3::Identity(), Vec3::Zero(), mm_per_unit);
    scan.whole = geometry::moments(*body.closed);
  }
}

void scale_by_guess(Scan& scan) {
  const double longest = scan.body.size_mm[0];
  if (longest >= 20 && longest <= 1000) {
    scale(scan, 1, ScaleFrom::assumed);
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
    scan.body.warnings.push_back(size_unlikely(longest));
    scale(scan, 1, ScaleFrom::assumed);
    return;
  }
  scan.body.warnings.push_back(
      unit_guessed(unit_name(*likely), longest, longest * mm_per(*likely)));
  scale(scan, mm_per(*likely), ScaleFrom::guessed);
}

void scale_by_dunk(Scan& scan, const BodyHints& hints) {
  const double volume_mm3 = MovableSkin(*scan.body.closed, filling(hints)).displaced_mm3(0);
  const double factor = std::cbrt(hints.dunk->volume_mm3() / volume_mm3);
  scale(scan, factor, from_dunk(*hints.dunk));
  if (scan.mm_per_unit && std::abs(factor / *scan.mm_per_unit - 1) > unlike_scale) {
    scan.body.warnings.push_back(format_and_dunk_differ(
        *scan.mm_per_unit * scan.body.input.length_in_file, scan.body.size_mm[0]));
  }
}

bool move_skin(Scan& scan, const BodyHints& hints) {
  const bool reshaped = smooth_and_thin(scan, hints);
  const ScaleFrom from = scan.body.input.scale_from;
  if (from == ScaleFrom::displaced || from == ScaleFrom::push) dunk_scale(scan, hints);
  return offset(scan, hints) || reshaped;
}

void note_doubts(Scan& scan, const BodyHints& hints, const geometry::ParallelFor& loop) {
  SoundBody& body = scan.body;
  BodyRecord& record = body.record;
  record.mended = body.mended.mended;
  record.holes = body.mended.holes;
  record.made_up_share = body.mended.made_up_share;
  record.made_up_bound_mm3 = body.mended.made_up_bound_mm3;
  record.dunk = hints.dunk;
  record.end_off_share = scan.end_off_share;
  record.scale_sd_percent = scale_sd_percent(record, body.input.scale_from, hints);
  record.area_mm2 = geometry::area_mm2(body.mended.mesh);
  if (!body.closed) return;
  if (body.mended.cavity_mm3 > 0) {
    const MovableSkin skin(*body.closed, filling(hints));
    record.area_mm2 = skin.outer_area_mm2();
    record.displaced_mm3 = skin.displaced_mm3(0);
    if (skin.hollow()) record.cavity = filling(hints);
    body.mended.cavity_mm3 = skin.cavity_mm3();
  } else {
    record.displaced_mm3 = scan.whole->volume_mm3;
  }
  if (!record.drawn) {
    record.noise_mm = vertex_noise_mm(*body.closed, body.mended.facet_measured);
  }
  if (record.dunk) {
    // The volume was measured as a whole; what the scan is unsure of moves about within it.
    add(record, "dunk test", dunk_sd_g / record.dunk->water_density_g_cm3 * 1000, false);
    return;
  }
  add(record, "scale", scale_sd_mm3(record), false);
  add(record, "made-up skin", record.made_up_bound_mm3, true);
  add(record, "mending", mending_bound_mm3(record.mended), true);
  for (const Reshaping& one : record.reshaped) {
    add(record, one.what, std::abs(one.volume_change_mm3), true);
  }
  add(record, "chords of the facets", std::abs(intake::chord_volume(body.mended.mesh)), true);
  if (!is_scan(record)) return;
  const NoiseOfScan noise =
      noise_of_scan(*body.closed, *scan.whole, body.mended.facet_measured, loop);
  record.noise_sigma_mm = noise.sigma_mm;
  record.noise_correlation_mm = noise.correlation_mm;
  add(record, "noise of the scan", noise.volume_mm3, false);
}

double volume_sd_mm3(const BodyRecord& record) {
  double squares = 0;
  for (const VolumeDoubt& one : record.doubts) {
    if (!one.bound) squares += one.mm3 * one.mm3;
  }
  return std::sqrt(squares);
}

double volume_bound_mm3(const BodyRecord& record) {
  double bounds = 2 * volume_sd_mm3(record);
  for (const VolumeDoubt& one : record.doubts) {
    if (one.bound) bounds += one.mm3;
  }
  return bounds;
}

}  // namespace trueblank::body
