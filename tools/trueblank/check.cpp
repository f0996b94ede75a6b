// SPDX-License-Identifier: GPL-3.0-or-later
#include "body_map.h"
#include "given_body.h"
#include "page_file.h"
#include "report/check_report.h"
#include "verbs.h"

namespace trueblank::tools {

Outcome run(const CheckRequest& request, const Workshop& workshop) {
  workshop.progress.step("reading and looking for faults ...");
  const GivenBody given = given_body(request.body);
  const ReadBody read = read_body(given, request.body, true, workshop.loop);
  const body::SoundBody& body = read.sound;
  report::CheckResult result{.input = body.input,
                             .as_read = body.as_read,
                             .record = body.record,
                             .closed = body.closed.has_value(),
                             .size_mm = body.size_mm,
                             .frame = read.frame,
                             .guessed = read.guessed,
                             .warnings = body.warnings};
  if (body.closed) result.volume_mm3 = geometry::moments(*body.closed).volume_mm3;
  Outcome outcome;
  outcome.read = given.read;
  outcome.text = to_text(result, request.common.style);
  outcome.answer = answer(result, request.common.style);
  outcome.json = to_json(result);
  if (!request.body.map.empty()) outcome.files.push_back(mended_map(request.body.map, body));
  if (read.aligned) {
    outcome.files.push_back(mesh_file(request.body.aligned, read.aligned->mesh()));
  }
  if (!request.common.page.empty()) {
    add_page(outcome, request.common,
             {.verb = "check", .title = request.body.path, .skin = skin_in_file_axes(body)});
  }
  return outcome;
}

}  // namespace trueblank::tools
