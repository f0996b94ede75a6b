// SPDX-License-Identifier: GPL-3.0-or-later
#include "float_result.h"
#include "live_scene.h"
#include "page_file.h"
#include "sweep_axes.h"
#include "verbs.h"

namespace trueblank::tools {

namespace {

std::vector<water::SweepAxis> axes_of(const std::vector<SweepWish>& wishes, const rig::Rig& rig,
                                      const rig::Assembly& laid) {
  std::vector<water::SweepAxis> axes;
  for (const SweepWish& wish : wishes) axes.push_back(sweep_axis(wish, rig, laid));
  return axes;
}

void add_sweep(report::FloatResult& result, const FloatRequest& request, const SheetLure& lure,
               const rig::Assembly& laid, std::vector<water::SweepAxis> axes,
               const geometry::ParallelFor& loop) {
  report::SweepResult& sweep = result.sweep.emplace();
  for (const SweepWish& wish : request.sweeps) sweep.keys.push_back(wish.key);
  sweep.map = water::sweep(&lure.wet.tree, *lure.framed.body, laid, std::move(axes), loop);
  for (std::string& line : sweep_warnings(sweep, laid)) result.warnings.push_back(std::move(line));
}

}  // namespace

Outcome run(const FloatRequest& request, const Workshop& workshop) {
  const sheet::Sheet sheet = sheet::read_sheet(request.sheet);
  workshop.progress.step("reading the body and finding its frame ...");
  const body::FramedBody framed =
      body::load_framed_body(sheet.source(), sheet.hints(), workshop.loop);
  const sheet::ResolvedRig resolved = sheet::resolve(sheet, framed);
  const WetBody wet = wet_body(framed, resolved);
  const SheetLure lure{sheet, framed, resolved, wet};
  const rig::Assembly laid = lure.laid(resolved.rig);
  // Before all else is reckoned: it may have to be refused.
  std::vector<water::SweepAxis> axes = axes_of(request.sweeps, resolved.rig, laid);
  workshop.progress.step("letting it float ...");
  report::FloatResult result = float_result(lure, request.draws, workshop);
  if (!axes.empty()) {
    workshop.progress.step("drawing the map ...");
    add_sweep(result, request, lure, laid, std::move(axes), workshop.loop);
  }
  Outcome outcome;
  outcome.read = sheet.files();
  outcome.read.push_back(request.sheet);
  outcome.text = to_text(result, request.common.style);
  outcome.answer = answer(result, request.common.style);
  outcome.json = to_json(result);
  if (!request.csv.empty()) outcome.files.push_back({request.csv, sweep_csv(*result.sweep)});
  if (!request.common.page.empty()) {
    add_page(outcome, request.common,
             {.verb = "float",
              .title = sheet.title().empty() ? request.sheet : sheet.title(),
              .skin = exact_skin(framed),
              .rig = resolved.rig,
              .live = live_scene(lure),
              .has_lead = result.has_lead,
              .imperial = request.common.style.imperial});
  }
  return outcome;
}

}  // namespace trueblank::tools
