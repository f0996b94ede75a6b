// SPDX-License-Identifier: GPL-3.0-or-later
#include "body_map.h"
#include "page_file.h"
#include "report/check_report.h"
#include "verbs.h"

namespace trueblank::tools {

Outcome run(const CheckRequest& request, const Workshop& workshop) {
  workshop.progress.step("reading and looking for faults ...");
  const body::SoundBody body =
      body::load_body(request.body.path, request.body.hints, true, workshop.loop);
  const report::CheckResult result{.input = body.input,
                                   .as_read = body.as_read,
                                   .mended = body.mended.mended,
                                   .closed = body.closed.has_value(),
                                   .size_mm = body.size_mm,
                                   .warnings = body.warnings};
  Outcome outcome;
  outcome.read = {request.body.path};
  outcome.text = to_text(result, request.common.style);
  outcome.answer = answer(result, request.common.style);
  outcome.json = to_json(result);
  if (!request.body.map.empty()) outcome.files.push_back(mended_map(request.body.map, body));
  if (!request.common.page.empty()) {
    add_page(outcome, request.common,
             {.verb = "check", .title = request.body.path, .skin = skin_in_file_axes(body)});
  }
  return outcome;
}

}  // namespace trueblank::tools
