// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <array>
#include <exception>
#include <optional>
#include <utility>

#include "body/copy_in_frame.h"
#include "body_map.h"
#include "compare_water.h"
#include "given_body.h"
#include "messages.h"
#include "page_file.h"
#include "report/compare_report.h"
#include "report/deviation_colours.h"
#include "symmetry/profile.h"
#include "values.h"
#include "verbs.h"

namespace trueblank::tools {

namespace {

// So many copies are held at a time, whatever the number of threads: memory stays bounded.
constexpr std::size_t copies_at_once = 4;

// The master, and what all copies are held against.
struct Master {
  Master(const CompareRequest& asked, const body::FramedBody& its_body,
         const std::optional<sheet::Sheet>& sheet, const geometry::ParallelFor& loop)
      : request(asked), framed(its_body), skin(*its_body.body, its_body.outside_measured, loop) {
    if (sheet) water.emplace(*sheet, its_body, loop);
  }

  const CompareRequest& request;
  const body::FramedBody& framed;
  symmetry::ComparisonSkin skin;
  std::optional<MasterInWater> water;
};

// A copy and all that its map and the mean of many are made from.
struct OneCopy {
  report::ComparedCopy told;
  symmetry::Comparison comparison;               // with its fields
  std::optional<geometry::TriangleMesh> placed;  // in the master's frame, as it was compared
  std::vector<std::uint8_t> measured;            // a vertex each
  std::optional<report::SkippedCopy> skipped;
  std::exception_ptr trouble;  // of which `skipped` tells
  std::vector<std::string> read;
};

// The other bodies are mended and smoothed as the master is; their places and scale are their own.
body::BodyHints hints_of_other(const CompareRequest& request) {
  const body::BodyHints& masters = request.body.hints;
  return {.units = request.other_units,
          .mend = masters.mend,
          .table = masters.table,
          .smooth_mm = masters.smooth_mm,
          .thin_facets = masters.thin_facets};
}

body::SoundBody read_other(const std::string& path, const CompareRequest& request,
                           std::vector<std::string>& read, const geometry::ParallelFor& loop) {
  BodyOptions options{.path = path, .hints = hints_of_other(request)};
  GivenBody given = given_body(options);
  if (request.other_units && is_sheet(path)) given.hints.units = request.other_units;
  read = given.read;
  body::SoundBody sound = body::load_body(given.source, given.hints, false, loop);
  if (!sound.closed) throw body_is_open(path);
  return sound;
}

Eigen::Matrix4d to_file(const geometry::Frame& frame) {
  Eigen::Matrix4d matrix = Eigen::Matrix4d::Identity();
  matrix.topLeftCorner<3, 3>() = frame.axes();
  matrix.topRightCorner<3, 1>() = frame.origin_mm;
  return matrix;
}

void compare(OneCopy& one, const std::string& path, const Master& master,
             const geometry::ParallelFor& loop) {
  const CompareRequest& request = master.request;
  body::SoundBody sound = read_other(path, request, one.read, loop);
  report::ComparedCopy& told = one.told;
  told.input = sound.input;
  told.record = sound.record;
  told.warnings = sound.warnings;
  one.measured = sound.mended.vertex_measured;
  told.fit =
      symmetry::fit_alignment(*master.framed.body, master.framed.outside_measured, *sound.closed,
                              sound.mended.facet_measured, {.fit_scale = request.fit_scale}, loop);
  told.to_file = to_file(master.framed.frame) * told.fit.matrix();
  const body::FramedBody copy = body::copy_in_frame(std::move(sound), master.framed, told.fit);
  // A factor that was asked for is taken off before the skins are held against each other; what the
  // copy measures as a whole stays its own.
  std::optional<geometry::ClosedMesh> even;
  if (request.fit_scale) even = symmetry::placed(*copy.sound.closed, told.fit);
  const symmetry::ComparisonSkin skin(even ? *even : *copy.body, copy.outside_measured, loop);
  std::optional<double> density;
  if (master.water) density = master.water->wood_density_g_cm3();
  one.comparison = symmetry::compared(
      master.skin, skin,
      {.alignment = told.fit.doubt, .density_g_cm3 = density, .stations = request.stations}, loop);
  if (even) {
    one.comparison.copy_figures = symmetry::figures_of(*copy.body);
    one.comparison.changes =
        symmetry::changes_of(one.comparison.master_figures, one.comparison.copy_figures);
  }
  if (request.limit_mm) {
    told.profile =
        symmetry::held_to_profile(master.skin, skin, one.comparison, *request.limit_mm, loop);
  }
  const std::vector<std::string> doubts = report::doubts_of(told, master.framed.length_mm);
  told.warnings.insert(told.warnings.end(), doubts.begin(), doubts.end());
  if (master.water && !report::is_part(told))
    told.water = master.water->of(copy, told.warnings, loop);
  told.comparison = report::slimmed(one.comparison);
  one.placed = skin.body().mesh();
}

// A file of many that can't be used is named and left out; a sole one ends the run.
OneCopy compared(const std::string& path, const Master& master, const geometry::ParallelFor& loop) {
  OneCopy one;
  try {
    compare(one, path, master, loop);
  } catch (const InputError& error) {
    one.skipped = {.file = path, .why = one_line(error)};
    one.trouble = std::current_exception();
  }
  return one;
}

std::string progress_words(std::size_t from, std::size_t to, std::size_t all) {
  if (all == 1) return "laying the copy on its master and comparing ...";
  return "comparing copies " + std::to_string(from + 1) + " to " + std::to_string(to) + " of " +
         std::to_string(all) + " ...";
}

// All copies, a few at a time, in the order given. `last` is the last of them, for the map of one.
struct AllCopies {
  std::vector<report::ComparedCopy> told;
  std::vector<report::SkippedCopy> skipped;
  std::vector<std::string> read;
  std::optional<symmetry::CopiesResult> together;
  std::optional<OneCopy> last;
};

AllCopies compare_all(const Master& master, const Workshop& workshop) {
  const std::vector<std::string>& paths = master.request.others;
  AllCopies all;
  symmetry::Copies sums(master.skin);
  std::exception_ptr trouble;
  for (std::size_t from = 0; from < paths.size(); from += copies_at_once) {
    const std::size_t to = std::min(paths.size(), from + copies_at_once);
    workshop.progress.step(progress_words(from, to, paths.size()));
    std::vector<OneCopy> some(to - from);
    workshop.loop(static_cast<int>(some.size()), [&](int i) {
      const auto place = static_cast<std::size_t>(i);
      some[place] = compared(paths[from + place], master, workshop.loop);
    });
    for (OneCopy& one : some) {
      all.read.insert(all.read.end(), one.read.begin(), one.read.end());
      if (one.skipped) {
        all.skipped.push_back(*one.skipped);
        if (trouble == nullptr) trouble = one.trouble;
        continue;
      }
      sums.add(one.comparison.master.field, one.comparison.noise);
      all.told.push_back(std::move(one.told));
      all.last = std::move(one);
    }
  }
  if (all.told.empty()) std::rethrow_exception(trouble);
  if (all.told.size() > 1) all.together = sums.result(workshop.loop);
  return all;
}

// The copy as it lies on the master, in the master's file axes; or the master with the copies'
// mean.
OutputFile map_of(const CompareRequest& request, const body::FramedBody& framed,
                  const AllCopies& all, double scale_mm) {
  if (all.together) {
    std::vector<std::uint8_t> counted;
    for (const int count : all.together->counts) counted.push_back(count > 0 ? 1 : 0);
    return skin_map(request.body.map, framed.sound.closed->mesh(), all.together->mean_mm, counted,
                    scale_mm);
  }
  geometry::TriangleMesh mesh = *all.last->placed;
  for (Eigen::Index v = 0; v < mesh.positions_mm.cols(); ++v) {
    mesh.positions_mm.col(v) = framed.frame.to_file(mesh.positions_mm.col(v));
  }
  const symmetry::DeviationField& field = all.last->comparison.copy.field;
  return skin_map(request.body.map, mesh, field.deviation_mm, field.counted, scale_mm);
}

double colour_scale_of(const report::CompareResult& result) {
  double p95_mm = 0;
  for (const report::ComparedCopy& copy : result.copies) {
    p95_mm = std::max(p95_mm, copy.comparison.copy.statistics.p95);
  }
  return report::colour_scale_mm(p95_mm);
}

report::PageSkin page_skin(const body::FramedBody& framed, const AllCopies& all) {
  if (all.together) {
    report::PageSkin skin = skin_in_body_frame(framed);
    skin.deviation_mm = all.together->mean_mm;
    skin.measured.clear();
    for (const int count : all.together->counts) skin.measured.push_back(count > 0 ? 1 : 0);
    skin.beyond_noise.assign(skin.measured.size(), 0);
    for (const auto* list : {&all.together->proud, &all.together->shy}) {
      for (const symmetry::MouldPatch& one : *list) {
        for (const int v : one.patch.vertices) skin.beyond_noise[static_cast<std::size_t>(v)] = 1;
      }
    }
    return skin;
  }
  const symmetry::SkinComparison& own = all.last->comparison.copy;
  report::PageSkin skin{.mesh = *all.last->placed,
                        .in_body_frame = true,
                        .deviation_mm = own.field.deviation_mm,
                        .measured = own.field.counted};
  for (const int label : own.patches.labels) skin.beyond_noise.push_back(label != 0 ? 1 : 0);
  return skin;
}

}  // namespace

Outcome run(const CompareRequest& request, const Workshop& workshop) {
  Outcome outcome;
  GivenBody given = given_body(request.body);
  outcome.read = given.read;
  std::optional<sheet::Sheet> sheet = std::move(given.sheet);
  if (!request.sheet.empty()) {
    sheet = sheet::read_sheet(request.sheet);
    if (!is_sheet(request.body.path)) given.hints = hints_over_sheet(given.hints, sheet->hints());
    outcome.read.push_back(request.sheet);
    outcome.read.insert(outcome.read.end(), sheet->files().begin(), sheet->files().end());
  }
  workshop.progress.step("reading the master and finding its frame ...");
  const body::FramedBody framed = body::load_framed_body(given.source, given.hints, workshop.loop);
  check_stations(request.stations, framed.length_mm);
  const Master master(request, framed, sheet, workshop.loop);
  AllCopies all = compare_all(master, workshop);
  outcome.read.insert(outcome.read.end(), all.read.begin(), all.read.end());
  report::CompareResult result{.input = framed.sound.input,
                               .record = framed.sound.record,
                               .frame = framed.frame,
                               .guessed = framed.guessed,
                               .length_mm = framed.length_mm,
                               .scale_was_fitted = request.fit_scale,
                               .limit_mm = request.limit_mm,
                               .sheet = sheet ? sheet->path() : "",
                               .copies = std::move(all.told),
                               .skipped = std::move(all.skipped),
                               .together = std::move(all.together),
                               .warnings = framed.sound.warnings};
  if (master.water) {
    const std::vector<std::string>& more = master.water->warnings();
    result.warnings.insert(result.warnings.end(), more.begin(), more.end());
  }
  all.together = result.together;
  if (result.together) {
    constexpr int slices = 8;
    result.by_place = symmetry::by_place(master.skin, *result.together, slices);
  }
  const double scale_mm = colour_scale_of(result);
  if (!request.body.map.empty()) {
    result.map_scale_mm = scale_mm;
    outcome.files.push_back(map_of(request, framed, all, scale_mm));
  }
  if (!request.body.aligned.empty()) {
    outcome.files.push_back(mesh_file(request.body.aligned, *all.last->placed));
  }
  if (!request.csv.empty()) outcome.files.push_back({request.csv, comparison_csv(result)});
  outcome.text = to_text(result, request.common.style);
  outcome.answer = answer(result, request.common.style);
  outcome.json = to_json(result);
  outcome.exit_code = limit_missed(result) || !result.skipped.empty() ? 1 : 0;
  report::Page page{.verb = "compare", .title = request.body.path};
  if (sheet && !sheet->title().empty()) page.title = sheet->title();
  if (!request.common.page.empty()) page.skin = page_skin(framed, all);
  page.deviation_scale_mm = scale_mm;
  add_page(outcome, request.common, std::move(page));
  return outcome;
}

}  // namespace trueblank::tools
