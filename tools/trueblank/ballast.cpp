// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <utility>

#include "float_result.h"
#include "geometry/inside.h"
#include "messages.h"
#include "page_file.h"
#include "report/ballast_report.h"
#include "report/plan_drawing.h"
#include "report/seen_report.h"
#include "rig/materials.h"
#include "rig/waters.h"
#include "sheet/rewritten.h"
#include "sheet/write_weights.h"
#include "symmetry/half_sections.h"
#include "tuning/find_weights.h"
#include "tuning/measure_first.h"
#include "tuning/tables.h"
#include "verbs.h"

namespace trueblank::tools {

namespace {

// All of a sheet that weights are found for; each member refers to those before it.
struct Bench {
  explicit Bench(const BallastRequest& request, const Workshop& workshop)
      : sheet(sheet::read_sheet(request.sheet)),
        framed(framed_body(request, sheet, workshop)),
        resolved(resolved_rig(request, sheet, framed)),
        wet(wet_body(framed, resolved)),
        skin(framed.body->mesh(), workshop.loop) {}

  Bench(const Bench&) = delete;
  Bench& operator=(const Bench&) = delete;

  [[nodiscard]] tuning::Workpiece workpiece() const {
    return {.bare = *framed.body,
            .whole = framed.whole,
            .coated = wet.coated,
            .skin = skin,
            .wet = wet.skin,
            .cut = &wet.tree,
            .rig = resolved.rig,
            .length_mm = framed.length_mm};
  }

  sheet::Sheet sheet;
  body::FramedBody framed;
  sheet::ResolvedRig resolved;
  WetBody wet;
  symmetry::NearestSurface skin;

 private:
  static body::FramedBody framed_body(const BallastRequest& request, const sheet::Sheet& sheet,
                                      const Workshop& workshop) {
    if (!request.seen) sheet::require_target(sheet);
    workshop.progress.step("reading the body and finding its frame ...");
    return body::load_framed_body(sheet.source(), sheet.hints(), workshop.loop);
  }

  static sheet::ResolvedRig resolved_rig(const BallastRequest& request, const sheet::Sheet& sheet,
                                         const body::FramedBody& framed) {
    sheet::ResolvedRig resolved = sheet::resolve(sheet, framed, sheet::Places::to_be_filled);
    if (request.wood) {
      resolved.rig = tuning::with_wood(resolved.rig, request.wood->density_g_cm3);
    }
    return resolved;
  }
};

// The sheet with the plan in it, as it stands in the file that is asked for.
std::string written_sheet(const BallastRequest& request, const Bench& bench,
                          const tuning::Plan& plan) {
  std::vector<sheet::FoundWeight> weights;
  for (const tuning::PlannedWeight& weight : plan.weights) {
    weights.push_back({.place = weight.place, .ballast = weight.ballast});
  }
  std::vector<sheet::ChangedHook> hooks;
  for (const tuning::PlannedHook& hook : plan.hooks) {
    const rig::Hook& before = bench.resolved.rig.hooks[hook.hook];
    sheet::ChangedHook& changed = hooks.emplace_back();
    changed.hook = hook.hook;
    if (hook.mass_g != before.mass_g) changed.mass_g = hook.mass_g;
    if (hook.eye_mm != before.eye_mm) changed.eye_mm = hook.eye_mm;
  }
  std::string text = sheet::with_weights(bench.sheet.text(), weights, hooks);
  if (request.wood) {
    text = sheet::with_wood(text, request.wood->name, request.wood->density_g_cm3);
  }
  if (request.write.empty()) return text;
  return sheet::for_file(text, request.sheet, request.write);
}

std::vector<report::HookBefore> hooks_before(const rig::Rig& rig) {
  std::vector<report::HookBefore> hooks;
  for (const rig::Hook& hook : rig.hooks) {
    hooks.push_back({.name = hook.name, .mass_g = hook.mass_g, .eye_mm = hook.eye_mm});
  }
  return hooks;
}

// Heights of a weight's middle over the belly and under the back.
report::Bench bench_of(const geometry::ClosedMesh& body, const geometry::Vec3& at_mm) {
  const auto heights = geometry::skin_heights_mm(body, at_mm.x(), at_mm.y());
  if (!heights) return {};
  return {.above_belly_mm = at_mm.z() - heights->first,
          .below_back_mm = heights->second - at_mm.z()};
}

// The plan's weights come after the sheet's own.
void add_holes(report::BallastResult& result, const Bench& bench, const rig::Rig& rig) {
  const std::vector<tuning::PlannedWeight>& weights = result.found.plan.weights;
  const std::size_t own = rig.ballasts.size() - weights.size();
  std::vector<std::optional<rig::Mouth>> mouths(own);
  for (const tuning::PlannedWeight& weight : weights) {
    mouths.push_back(result.wishes.places[weight.place].mouth);
    result.bench.push_back(bench_of(*bench.framed.body, weight.ballast.at_mm));
  }
  std::vector<std::optional<tuning::DrillPlan>> all =
      tuning::drill_plans(*bench.framed.body, bench.skin, rig, mouths);
  std::move(all.begin() + static_cast<std::ptrdiff_t>(own), all.end(),
            std::back_inserter(result.holes));
  for (const rig::Wire& wire : rig.wires) result.wires.push_back(tuning::bend_plan(wire));
}

// Of a lure that is to suspend, in water told by its kind.
void add_shift(report::BallastResult& result, const SheetLure& lure) {
  const rig::Water& water = lure.resolved.rig.water;
  if (result.wishes.target.state != rig::WantedState::suspends || water.density_given) return;
  const auto reserve_g = [&](double warmer_c) {
    const rig::Water then = rig::water_at(water.salinity, water.temperature_c + warmer_c);
    return reserve_in_g(lure, then);
  };
  result.reserve_per_degree_g = reserve_g(0.5) - reserve_g(-0.5);
}

// What the pose meant varies by over builds.
void add_varies_by(report::BallastResult& result, const SheetLure& lure) {
  const int pose = result.found.plan.pose;
  if (pose < 0) return;
  const water::RestPose& meant = result.lies.balance.poses[static_cast<std::size_t>(pose)];
  if (meant.indifferent) return;
  result.varies_by = tuning::variance_shares(&lure.wet.tree, lure.laid(lure.resolved.rig),
                                             lure.resolved.tolerances, meant);
}

// The same wishes in the usual woods, and over the sizes of the hooks.
void add_tables(report::BallastResult& result, const BallastRequest& request, const Bench& bench,
                const Workshop& workshop) {
  const tuning::Workpiece lure = bench.workpiece();
  if (request.woods) {
    workshop.progress.step("trying other woods ...");
    result.woods = tuning::over_woods(lure, bench.resolved.wishes, bench.resolved.tolerances,
                                      rig::woods(), workshop.loop);
  }
  if (request.hooks) {
    workshop.progress.step("trying other hooks ...");
    result.hook_sizes =
        tuning::over_hooks(lure, bench.resolved.wishes, bench.resolved.tolerances, workshop.loop);
  }
}

// What a sheet with the plan in it says, told as float tells it.
report::BallastResult result_of(const BallastRequest& request, const Bench& bench,
                                const std::string& text, tuning::FoundWeights found,
                                const Workshop& workshop) {
  const sheet::Sheet with_plan =
      sheet::parse_sheet(text, request.write.empty() ? request.sheet : request.write);
  const sheet::ResolvedRig resolved = sheet::resolve(with_plan, bench.framed);
  const WetBody wet = wet_body(bench.framed, resolved);
  const SheetLure lure{with_plan, bench.framed, resolved, wet};
  report::BallastResult result{.lies = float_result(lure, request.draws, workshop),
                               .wishes = bench.resolved.wishes,
                               .found = std::move(found),
                               .hooks_before = hooks_before(bench.resolved.rig)};
  result.lies.input.file = with_plan.source().path;  // as it is named from there
  if (result.found.choices_left_out > 0) {
    result.lies.warnings.push_back(choices_left_out(result.found.choices_left_out));
  }
  add_holes(result, bench, resolved.rig);
  add_shift(result, lure);
  add_varies_by(result, lure);
  add_tables(result, request, bench, workshop);
  return result;
}

OutputFile plan_file(const BallastRequest& request, const report::BallastResult& result,
                     const body::FramedBody& framed) {
  const report::PlanSheet sheet{
      .result = result,
      .profiles = symmetry::profiles(*framed.body, symmetry::Flanks::mean),
      .paper = request.paper};
  return {request.plan,
          ends_like(request.plan, ".svg") ? report::plan_svg(sheet) : report::plan_pdf(sheet)};
}

// A built lure that misbehaves: why, and what can still be done.
Outcome explained(const BallastRequest& request, const Bench& bench, const Workshop& workshop) {
  workshop.progress.step("letting it float ...");
  const SheetLure lure{bench.sheet, bench.framed, bench.resolved, bench.wet};
  report::SeenResult result{.lies = float_result(lure, request.draws, workshop),
                            .seen = *request.seen};
  if (result.lies.balance.poses.empty()) throw no_pose_to_explain(request.sheet);
  const water::RestPose& nominal = result.lies.balance.poses.front();
  const tuning::Workpiece piece = bench.workpiece();
  const rig::Tolerances& tolerances = bench.resolved.tolerances;
  workshop.progress.step("explaining what was seen ...");
  result.explained = tuning::explain(piece, tolerances, nominal, *request.seen);
  result.remedies =
      tuning::remedies(piece, tolerances, bench.resolved.wishes.target, nominal, *request.seen);
  result.drilled_in = tuning::drilled_in(piece, nominal);
  Outcome outcome;
  outcome.read = bench.sheet.files();
  outcome.read.push_back(request.sheet);
  outcome.text = to_text(result, request.common.style);
  outcome.answer = answer(result, request.common.style);
  outcome.json = to_json(result);
  return outcome;
}

}  // namespace

Outcome run(const BallastRequest& request, const Workshop& workshop) {
  const Bench bench(request, workshop);
  if (request.seen) return explained(request, bench, workshop);
  workshop.progress.step("finding weights ...");
  tuning::FoundWeights found = tuning::find_weights(bench.workpiece(), bench.resolved.wishes,
                                                    bench.resolved.tolerances, workshop.loop);
  workshop.progress.step("letting it float ...");
  const std::string text = written_sheet(request, bench, found.plan);
  const report::BallastResult result = result_of(request, bench, text, std::move(found), workshop);
  Outcome outcome;
  outcome.read = bench.sheet.files();
  outcome.read.push_back(request.sheet);
  outcome.text = to_text(result, request.common.style);
  outcome.answer = answer(result, request.common.style);
  outcome.json = to_json(result);
  outcome.exit_code = result.found.plan.met ? 0 : 1;
  if (!request.write.empty()) outcome.files.push_back({request.write, text});
  if (!request.plan.empty()) outcome.files.push_back(plan_file(request, result, bench.framed));
  if (!request.common.page.empty()) {
    add_page(outcome, request.common,
             {.verb = "ballast",
              .title = bench.sheet.title().empty() ? request.sheet : bench.sheet.title(),
              .skin = skin_in_body_frame(bench.framed),
              .rig = result.found.plan.rig,
              .has_lead = result.lies.has_lead});
  }
  return outcome;
}

}  // namespace trueblank::tools
