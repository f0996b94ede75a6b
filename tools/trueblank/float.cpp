// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "report/float_report.h"
#include "rig/materials.h"
#include "sheet/build_sheet.h"
#include "verbs.h"

namespace trueblank::tools {

namespace {

bool has_lead(const rig::Rig& rig) {
  const std::optional<rig::Material> lead = rig::find_material("lead");
  const auto of_lead = [&](const auto& part) {
    return lead && part.density_g_cm3 == lead->density_g_cm3;  // by name: the very same number
  };
  return std::ranges::any_of(rig.ballasts, of_lead) || std::ranges::any_of(rig.hooks, of_lead) ||
         std::ranges::any_of(rig.wires, of_lead);
}

std::vector<std::string> joined(std::vector<std::string> first,
                                const std::vector<std::string>& second) {
  first.insert(first.end(), second.begin(), second.end());
  return first;
}

}  // namespace

Outcome run(const FloatRequest& request, const Workshop& workshop) {
  const sheet::Sheet sheet = sheet::read_sheet(request.sheet);
  workshop.progress.step("reading the body and finding its frame ...");
  const body::FramedBody framed =
      body::load_framed_body(sheet.mesh_path(), sheet.hints(), workshop.loop);
  const sheet::ResolvedRig resolved = sheet::resolve(sheet, framed);
  const rig::RiggedLure lure = rig::rigged(*framed.body, framed.whole, resolved.rig);
  workshop.progress.step("letting it float ...");
  const geometry::MomentTree tree(*framed.body);
  const water::Balance balance = water::balance(water::floater(tree, lure), workshop.loop);
  report::FloatResult result{.input = framed.sound.input,
                             .sheet = request.sheet,
                             .title = sheet.title(),
                             .frame = framed.frame,
                             .guessed = framed.guessed,
                             .length_mm = framed.length_mm,
                             .volume_mm3 = framed.whole.volume_mm3,
                             .wood_name = sheet.wood_name(),
                             .wood_density_g_cm3 = resolved.rig.wood_density_g_cm3,
                             .has_lead = has_lead(resolved.rig),
                             .water = resolved.rig.water,
                             .lure = lure,
                             .balance = balance,
                             .warnings = joined(framed.sound.warnings, resolved.warnings)};
  if (!balance.poses.empty()) {
    result.list_per_1g_2mm_deg = water::list_for_sideways_move_deg(balance.poses.front(), 1, 2);
  }
  Outcome outcome;
  outcome.read = {request.sheet, sheet.mesh_path()};
  outcome.text = to_text(result, request.common.style);
  outcome.answer = answer(result, request.common.style);
  outcome.json = to_json(result);
  return outcome;
}

}  // namespace trueblank::tools
