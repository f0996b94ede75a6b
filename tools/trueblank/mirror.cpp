// SPDX-License-Identifier: GPL-3.0-or-later
#include "given_body.h"
#include "messages.h"
#include "mirror_files.h"
#include "mirror_water.h"
#include "page_file.h"
#include "report/mirror_report.h"
#include "sheet/build_sheet.h"
#include "symmetry/again.h"
#include "symmetry/patch_doubt.h"
#include "values.h"
#include "verbs.h"

namespace trueblank::tools {

namespace {

// Half widths are told at every so much of height.
constexpr double height_step_mm = 5;

report::MirrorResult found_plane(const body::FramedBody& framed, const MirrorRequest& request) {
  report::MirrorResult result{.input = framed.sound.input,
                              .record = framed.sound.record,
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

// Of a plane that was given there is nothing to be unsure of.
bool was_fitted(const report::MirrorResult& result) {
  return result.plane_from == symmetry::PlaneFrom::shape ||
         (result.plane_from == symmetry::PlaneFrom::best_sand && result.well_determined);
}

void add_warnings(report::MirrorResult& result, const std::vector<std::string>& more,
                  const std::string& before = "") {
  for (const std::string& warning : more) result.warnings.push_back(before + warning);
}

// All that is told of the skin, and how much of it is the scan's noise.
symmetry::DeviationField measure(report::MirrorResult& result, const body::FramedBody& framed,
                                 const MirrorRequest& request, const geometry::ParallelFor& loop) {
  const geometry::ClosedMesh& body = *framed.body;
  const std::vector<std::uint8_t>& measured = framed.outside_measured;
  symmetry::DeviationField field =
      symmetry::deviation_field(body, geometry::Plane{}, measured, loop);
  result.deviation_mm = symmetry::deviation_statistics(body, field, measured);
  result.extremes = symmetry::extremes(body, field.deviation_mm);
  const symmetry::PlaneDoubt doubt =
      symmetry::plane_doubt(body, geometry::Plane{}, field, measured, loop);
  result.noise = doubt.noise;
  if (was_fitted(result)) result.plane_uncertainty = doubt.plane;
  result.volumes = symmetry::side_volumes(body);
  result.stations =
      symmetry::station_table(body, symmetry::stations(body, framed.length_mm, request.stations),
                              {.step_mm = height_step_mm});
  return field;
}

void add_roundness(report::MirrorResult& result, const body::FramedBody& framed,
                   const symmetry::StationSpacing& spacing) {
  if (!result.round) return;
  std::vector<double> at;
  for (const geometry::Section& one : symmetry::stations(*framed.body, framed.length_mm, spacing)) {
    at.push_back(one.x_mm);
  }
  result.roundness = symmetry::roundness(*framed.body, at);
}

// The scan of --again, scaled and made ready as the first is; it lies in axes of its own, so that
// no direction is known.
body::SoundBody second_scan(const std::string& path, const body::BodyHints& first,
                            const geometry::ParallelFor& loop) {
  body::SoundBody second = body::load_body(path,
                                           {.units = first.units,
                                            .length_mm = first.length_mm,
                                            .dunk = first.dunk,
                                            .mend = first.mend,
                                            .table = first.table,
                                            .coat_mm = first.coat_mm,
                                            .cavity = first.cavity,
                                            .smooth_mm = first.smooth_mm,
                                            .thin_facets = first.thin_facets},
                                           false, loop);
  if (!second.closed) throw body_is_open(path);
  return second;
}

void add_again(report::MirrorResult& result, const body::FramedBody& framed,
               const body::SoundBody& second, const geometry::ParallelFor& loop) {
  const std::string& path = second.input.file;
  const symmetry::Again told = symmetry::told_apart(
      *framed.sound.closed, framed.plane, framed.outside_measured, *second.closed,
      second.mended.facet_measured, {.plane_is_given = !was_fitted(result)}, loop);
  result.again = report::ScannedAgain{.file = path,
                                      .rms_mm = told.alignment.rms_mm,
                                      .runner_up_rms_mm = told.alignment.runner_up_rms_mm,
                                      .body_mm = told.body.statistics,
                                      .scanner_mm = told.scanner.statistics,
                                      .first_noise = told.first_noise,
                                      .second_noise = told.second_noise};
  add_warnings(result, second.warnings, path + ": ");
  const std::string doubt = doubtful_alignment(*result.again, result.length_mm);
  if (!doubt.empty()) result.warnings.push_back(doubt);
}

// The proud patches, what to sand, and what it does in the water where there is a sheet.
symmetry::Patches add_patches(report::MirrorResult& result, const body::FramedBody& framed,
                              const symmetry::DeviationField& field, const MirrorRequest& request,
                              const std::optional<sheet::ResolvedRig>& resolved,
                              const geometry::ParallelFor& loop) {
  const std::vector<std::uint8_t>& measured = framed.outside_measured;
  std::optional<double> density;
  if (resolved) density = resolved->rig.wood_density_g_cm3;
  symmetry::Patches patches = symmetry::find_patches(
      *framed.body, field, measured, {.noise = result.noise, .wood_density_g_cm3 = density}, loop);
  result.sanding = symmetry::sanding(*framed.body, measured, patches, density, loop);
  result.patches = patches.proud;
  if (resolved) add_water(result, request.sheet, *resolved, framed, patches, loop);
  if (result.plane_uncertainty) {
    result.patch_doubt_mm =
        symmetry::greatest_doubt_mm(*framed.body, result.patches, *result.plane_uncertainty,
                                    framed.whole.centroid_mm, result.noise.slow_mm);
  }
  return patches;
}

void say_what_is_left_out(report::MirrorResult& result, const MirrorRequest& request) {
  say_no_files(request, result.warnings);
  if (!request.sheet.empty()) {
    result.warnings.push_back(report::no_effect_without_plane(request.sheet));
  }
  if (!request.again.empty()) {
    result.warnings.push_back(report::not_told_apart_without_plane(request.again));
  }
}

// What was read, beside the body.
struct Beside {
  std::optional<sheet::Sheet> sheet;
  std::optional<body::SoundBody> second;
};

// The files that were asked for, and the page's picture of the body where a page was.
struct Shown {
  std::vector<OutputFile> files;
  std::optional<report::PageSkin> skin;
};

// All that the plane lets one tell, and what is to be shown of it.
Shown tell(report::MirrorResult& result, const body::FramedBody& framed,
           const MirrorRequest& request, const Beside& beside, const Workshop& workshop) {
  std::optional<sheet::ResolvedRig> resolved;
  if (beside.sheet) {
    resolved = sheet::resolve(*beside.sheet, framed);
    add_warnings(result, resolved->warnings);
  }
  workshop.progress.step("measuring left against right ...");
  Measured measured;
  measured.field = measure(result, framed, request, workshop.loop);
  measured.patches = add_patches(result, framed, measured.field, request, resolved, workshop.loop);
  if (beside.second) {
    workshop.progress.step("laying the second scan on the first ...");
    add_again(result, framed, *beside.second, workshop.loop);
  }
  const bool titled = beside.sheet && !beside.sheet->title().empty();
  Shown shown;
  shown.files = mirror_files(request, framed, measured,
                             titled ? beside.sheet->title() : request.body.path, result);
  if (!request.common.page.empty()) {
    shown.skin = skin_with_maps(framed, measured, *result.sanding);
  }
  return shown;
}

}  // namespace

Outcome run(const MirrorRequest& request, const Workshop& workshop) {
  Outcome outcome;
  GivenBody given = given_body(request.body);
  outcome.read = given.read;
  Beside beside{.sheet = std::move(given.sheet), .second = {}};
  if (!request.sheet.empty()) {
    beside.sheet = sheet::read_sheet(request.sheet);
    const std::vector<std::string>& files = beside.sheet->files();
    if (!is_sheet(request.body.path)) {
      given.hints = hints_over_sheet(given.hints, beside.sheet->hints());
    }
    outcome.read.push_back(request.sheet);
    outcome.read.insert(outcome.read.end(), files.begin(), files.end());
  }
  workshop.progress.step("reading and looking for the mirror plane ...");
  const body::FramedBody framed = body::load_framed_body(given.source, given.hints, workshop.loop);
  check_stations(request.stations, framed.length_mm);
  if (!request.again.empty()) {
    beside.second = second_scan(request.again, given.hints, workshop.loop);
    outcome.read.push_back(request.again);
  }
  report::MirrorResult result = found_plane(framed, request);
  add_roundness(result, framed, request.stations);
  report::Page page{.verb = "mirror", .title = request.body.path};
  if (beside.sheet && !beside.sheet->title().empty()) page.title = beside.sheet->title();
  if (result.plane) {
    Shown shown = tell(result, framed, request, beside, workshop);
    outcome.files = std::move(shown.files);
    page.skin = std::move(shown.skin);
    page.deviation_scale_mm = report::colour_scale_mm(result.deviation_mm->p95);
  } else {
    if (!request.common.page.empty()) page.skin = skin_in_body_frame(framed);
    say_what_is_left_out(result, request);
  }
  if (!request.body.aligned.empty()) {
    outcome.files.push_back(mesh_file(request.body.aligned, framed.body->mesh()));
  }
  outcome.text = to_text(result, request.common.style);
  outcome.answer = answer(result, request.common.style);
  outcome.json = to_json(result);
  outcome.exit_code = limit_missed(result) ? 1 : 0;
  add_page(outcome, request.common, std::move(page));
  return outcome;
}

}  // namespace trueblank::tools
