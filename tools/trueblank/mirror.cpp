// SPDX-License-Identifier: GPL-3.0-or-later
#include "body_map.h"
#include "report/deviation_colours.h"
#include "report/mirror_report.h"
#include "values.h"
#include "verbs.h"

namespace trueblank::tools {

namespace {

report::MirrorResult found_plane(const body::FramedBody& framed, const MirrorRequest& request) {
  report::MirrorResult result{.input = framed.sound.input,
                              .frame = framed.frame,
                              .guessed = framed.guessed,
                              .length_mm = framed.length_mm,
                              .plane_from = framed.fit.from,
                              .well_determined = framed.fit.well_determined,
                              .round = framed.fit.round,
                              .candidates = framed.fit.candidates,
                              .limit_mm = request.limit_mm,
                              .warnings = framed.sound.warnings};
  if (framed.fit.plane) result.plane = framed.plane;
  return result;
}

}  // namespace

Outcome run(const MirrorRequest& request, const Workshop& workshop) {
  workshop.progress.step("reading and looking for the mirror plane ...");
  const body::FramedBody framed =
      body::load_framed_body(request.body.path, request.body.hints, workshop.loop);
  check_stations(request.stations, framed.length_mm);
  report::MirrorResult result = found_plane(framed, request);
  Outcome outcome;
  outcome.read = {request.body.path};
  if (result.plane) {
    workshop.progress.step("measuring left against right ...");
    const geometry::ClosedMesh& in_body_frame = *framed.body;
    const std::vector<double> deviation =
        symmetry::deviation_mm(in_body_frame, geometry::Plane{}, workshop.loop);
    result.deviation_mm = symmetry::deviation_statistics(in_body_frame, deviation,
                                                         framed.sound.mended.facet_measured);
    result.extremes = symmetry::extremes(in_body_frame, deviation);
    result.volumes = symmetry::side_volumes(in_body_frame);
    result.stations = symmetry::stations(in_body_frame, framed.length_mm, request.stations);
    if (!request.body.map.empty()) {
      result.map_scale_mm = report::colour_scale_mm(result.deviation_mm->p95);
      outcome.files.push_back(
          deviation_map(request.body.map, framed.sound, deviation, *result.map_scale_mm));
    }
  } else if (!request.body.map.empty()) {
    result.warnings.push_back(report::no_map_without_plane(request.body.map));
  }
  outcome.text = to_text(result, request.common.style);
  outcome.answer = answer(result, request.common.style);
  outcome.json = to_json(result);
  outcome.exit_code = limit_missed(result) ? 1 : 0;
  return outcome;
}

}  // namespace trueblank::tools
