// SPDX-License-Identifier: GPL-3.0-or-later
#include <utility>

#include "body_map.h"
#include "given_body.h"
#include "messages.h"
#include "page_file.h"
#include "report/check_report.h"
#include "verbs.h"

namespace trueblank::tools {

namespace {

struct Looked {
  ReadBody read;
  std::optional<body::PrintCheck> print = {};
};

// What is to be printed is looked over in its own frame.
Looked look_over(const GivenBody& given, const CheckRequest& request, const Workshop& workshop) {
  const bool may_stay_open = given.hints.mend == intake::Mend::none;
  if (!request.print || may_stay_open) {
    Looked looked{.read = read_body(given, request.body, true, workshop.loop)};
    if (!request.print) return looked;
    if (!looked.read.sound.closed) {
      looked.read.sound.warnings.push_back(open_is_not_printed());
      return looked;
    }
  }
  body::FramedBody framed = body::load_framed_body(given.source, given.hints, workshop.loop, true);
  workshop.progress.step("measuring walls, gaps and rooms ...");
  Looked looked{.read = {}, .print = body::check_print(framed, *request.print, workshop.loop)};
  looked.read.sound = std::move(framed.sound);
  looked.read.frame = framed.frame;
  looked.read.guessed = framed.guessed;
  if (!request.body.aligned.empty()) looked.read.aligned = std::move(framed.body);
  return looked;
}

bool limits_met(const CheckRequest& request, const body::PrintCheck& print) {
  return print.fits_bed() && (!request.print->wall_min_mm || print.walls_hold());
}

}  // namespace

Outcome run(const CheckRequest& request, const Workshop& workshop) {
  workshop.progress.step("reading and looking for faults ...");
  const GivenBody given = given_body(request.body);
  Looked looked = look_over(given, request, workshop);
  const ReadBody& read = looked.read;
  const body::SoundBody& body = read.sound;
  report::CheckResult result{.input = body.input,
                             .as_read = body.as_read,
                             .record = body.record,
                             .closed = body.closed.has_value(),
                             .size_mm = body.size_mm,
                             .frame = read.frame,
                             .guessed = read.guessed,
                             .warnings = body.warnings,
                             .to_be_printed = request.print.has_value(),
                             .print = std::move(looked.print)};
  if (body.closed) result.volume_mm3 = geometry::moments(*body.closed).volume_mm3;
  Outcome outcome;
  outcome.read = given.read;
  outcome.text = to_text(result, request.common.style);
  outcome.answer = answer(result, request.common.style);
  outcome.json = to_json(result);
  if (result.print && !limits_met(request, *result.print)) outcome.exit_code = 1;
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
