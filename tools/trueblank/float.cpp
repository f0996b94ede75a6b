// SPDX-License-Identifier: GPL-3.0-or-later
#include "float_result.h"
#include "page_file.h"
#include "verbs.h"

namespace trueblank::tools {

Outcome run(const FloatRequest& request, const Workshop& workshop) {
  const sheet::Sheet sheet = sheet::read_sheet(request.sheet);
  workshop.progress.step("reading the body and finding its frame ...");
  const body::FramedBody framed =
      body::load_framed_body(sheet.source(), sheet.hints(), workshop.loop);
  const sheet::ResolvedRig resolved = sheet::resolve(sheet, framed);
  const WetBody wet = wet_body(framed, resolved);
  workshop.progress.step("letting it float ...");
  const report::FloatResult result =
      float_result({sheet, framed, resolved, wet}, request.draws, workshop);
  Outcome outcome;
  outcome.read = sheet.files();
  outcome.read.push_back(request.sheet);
  outcome.text = to_text(result, request.common.style);
  outcome.answer = answer(result, request.common.style);
  outcome.json = to_json(result);
  if (!request.common.page.empty()) {
    add_page(outcome, request.common,
             {.verb = "float",
              .title = sheet.title().empty() ? request.sheet : sheet.title(),
              .skin = skin_in_body_frame(framed),
              .rig = resolved.rig,
              .has_lead = result.has_lead});
  }
  return outcome;
}

}  // namespace trueblank::tools
