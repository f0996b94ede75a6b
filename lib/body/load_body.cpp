// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/load_body.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <utility>

#include "body/fit_frame.h"
#include "body/frame_of_body.h"
#include "body/messages.h"
#include "body/missing_end.h"
#include "body/scan.h"
#include "body/shells.h"
#include "geometry/shells.h"

namespace trueblank::body {
namespace {

// A missing end that is worth less of the length than this is not worth a word.
constexpr double least_end_share = 0.002;

struct Loaded {
  Scan scan;
  std::optional<Fitted> fitted;  // where the length asked for it, and no skin was moved since
};

Fitted fit(const Scan& scan, const BodyHints& hints, double mm_per_unit,
           const geometry::ParallelFor& loop) {
  const SoundBody& body = scan.body;
  const std::vector<std::uint8_t> measured = outside_measured(body.mended);
  return fit_frame({.closed = *body.closed,
                    .whole = *scan.whole,
                    .facet_measured = measured,
                    .file = body.input.file},
                   hints, mm_per_unit, loop);
}

// Where an end was made up, the length that was measured is not that of the mesh.
void note_missing_ends(Scan& scan, const Vec3& to_tail, double found) {
  SoundBody& body = scan.body;
  const intake::MendedMesh& mended = body.mended;
  const EndDoubt nose = end_doubt(mended.mesh, mended.facet_measured, mended.holes, -to_tail);
  const EndDoubt tail = end_doubt(mended.mesh, mended.facet_measured, mended.holes, to_tail);
  const double longer = (nose.beyond + tail.beyond) / found;
  const double shorter = (nose.short_of + tail.short_of) / found;
  if (!(longer > 0) && !(shorter > 0)) return;
  // How far the scale may be off: to l / (l + longer) and to l / (l - shorter).
  scan.end_off_share = std::max(longer / (1 + longer), shorter / std::max(1 - shorter, 0.5));
  if (scan.end_off_share < least_end_share) return;
  body.warnings.push_back(end_made_up(nose.made_up(), tail.made_up(), scan.end_off_share));
}

void scale_by_length(Loaded& loaded, const BodyHints& hints, const geometry::ParallelFor& loop) {
  SoundBody& body = loaded.scan.body;
  const double wanted = *hints.length_mm;
  const std::string& file = body.input.file;
  if (!(wanted > 0)) throw length_not_positive(file);
  if (!(body.size_mm[0] > 0)) throw no_extent(file);
  // Points in mm need the scale before it is found exactly; ends and directions bear a rough one.
  const double roughly = wanted / body.size_mm[0];
  if (!body.closed) {
    scale(loaded.scan, roughly, ScaleFrom::length);
    return;
  }
  loaded.fitted = fit(loaded.scan, hints, roughly, loop);
  const double found = extent_along(body.closed->mesh(), loaded.fitted->frame.x).length_mm();
  note_missing_ends(loaded.scan, loaded.fitted->frame.x, found);
  const double factor = wanted / found;
  scale(loaded.scan, factor, ScaleFrom::length);
  scale(*loaded.fitted, factor);
  if (hints.plane || hints.split_line || hints.eyes)
    loaded.fitted.reset();  // their places were only rough
}

Loaded load(const Source& source, const BodyHints& hints, bool look_for_self_intersections,
            const geometry::ParallelFor& loop) {
  Loaded loaded{read_and_mend(source, hints, look_for_self_intersections), {}};
  Scan& scan = loaded.scan;
  if (hints.dunk && !scan.body.closed) {
    throw stays_open(source.path, scan.body.as_read.open_loops);
  }
  if (hints.units) {
    scale(scan, mm_per(*hints.units), ScaleFrom::units);
  } else if (hints.length_mm) {
    scale_by_length(loaded, hints, loop);
  } else if (hints.dunk) {
    scale_by_dunk(scan, hints);
  } else if (scan.mm_per_unit) {
    scale(scan, *scan.mm_per_unit, ScaleFrom::format);
  } else {
    scale_by_guess(scan);
  }
  if (move_skin(scan, hints)) loaded.fitted.reset();
  note_doubts(scan, hints, loop);
  return loaded;
}

// Width and height by calliper, beside what the body has.
void cross_check(SoundBody& body, const geometry::Frame& frame, const BodyHints& hints) {
  const auto check = [&](const std::optional<double>& told_mm, const Vec3& along,
                         std::string_view which) {
    if (!told_mm) return;
    const double found_mm = extent_along(body.closed->mesh(), along).length_mm();
    const double off_mm = std::abs(found_mm - *told_mm);
    if (off_mm <= 0.01 * *told_mm && off_mm <= 0.5) return;
    body.warnings.push_back(calliper_differs(which, found_mm, *told_mm, body.record.displaced_mm3));
  };
  check(hints.width_mm, frame.y, "wide");
  check(hints.height_mm, frame.z, "high");
}

FramedBody framed_body(Loaded loaded, const BodyHints& hints, const geometry::ParallelFor& loop) {
  Scan& scan = loaded.scan;
  if (!loaded.fitted) loaded.fitted = fit(scan, hints, 1, loop);
  Fitted& fitted = *loaded.fitted;

  FramedBody framed;
  framed.fit = std::move(fitted.fit);
  framed.frame = fitted.frame;
  framed.plane = fitted.plane;
  framed.guessed = fitted.guessed;
  framed.sound = std::move(scan.body);
  std::vector<std::string>& warnings = framed.sound.warnings;
  warnings.insert(warnings.end(), fitted.warnings.begin(), fitted.warnings.end());
  framed.length_mm = extent_along(framed.sound.closed->mesh(), framed.frame.x).length_mm();
  if (hints.units && hints.length_mm &&
      std::abs(framed.length_mm - *hints.length_mm) > 0.005 * *hints.length_mm) {
    warnings.push_back(units_and_length_differ(framed.length_mm, *hints.length_mm));
  }
  cross_check(framed.sound, framed.frame, hints);
  framed.body = framed.frame.to_body(*framed.sound.closed);
  framed.whole = geometry::moments(*framed.body);
  framed.outside_measured = outside_measured(framed.sound.mended);
  if (framed.sound.record.cavity == Cavity::air) {
    const std::optional<geometry::ClosedMesh> outer = geometry::outer_skin(*framed.sound.closed);
    if (outer) framed.outer = framed.frame.to_body(*outer);
  }
  return framed;
}

}  // namespace

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
    case ScaleFrom::displaced:
      return "displaced";
    case ScaleFrom::push:
      return "push";
  }
  return "assumed";
}

SoundBody load_body(const Source& source, const BodyHints& hints, bool look_for_self_intersections,
                    const geometry::ParallelFor& loop) {
  Loaded loaded = load(source, hints, look_for_self_intersections, loop);
  SoundBody& body = loaded.scan.body;
  if (body.closed && (hints.width_mm || hints.height_mm)) {
    if (!loaded.fitted) loaded.fitted = fit(loaded.scan, hints, 1, loop);
    cross_check(body, loaded.fitted->frame, hints);
  }
  return std::move(body);
}

SoundBody load_body(const std::string& path, const BodyHints& hints,
                    bool look_for_self_intersections, const geometry::ParallelFor& loop) {
  return load_body(Source{.path = path}, hints, look_for_self_intersections, loop);
}

FramedBody load_framed_body(const Source& source, const BodyHints& hints,
                            const geometry::ParallelFor& loop, bool look_for_self_intersections) {
  Loaded loaded = load(source, hints, look_for_self_intersections, loop);
  const SoundBody& body = loaded.scan.body;
  if (!body.closed) throw stays_open(source.path, body.as_read.open_loops);
  return framed_body(std::move(loaded), hints, loop);
}

std::variant<FramedBody, SoundBody> load_framed_if_closed(const Source& source,
                                                          const BodyHints& hints,
                                                          const geometry::ParallelFor& loop,
                                                          bool look_for_self_intersections) {
  Loaded loaded = load(source, hints, look_for_self_intersections, loop);
  if (!loaded.scan.body.closed) return std::move(loaded.scan.body);
  return framed_body(std::move(loaded), hints, loop);
}

FramedBody load_framed_body(const std::string& path, const BodyHints& hints,
                            const geometry::ParallelFor& loop) {
  return load_framed_body(Source{.path = path}, hints, loop);
}

}  // namespace trueblank::body
