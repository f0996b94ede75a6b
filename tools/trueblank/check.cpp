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

// What is to be printed is looked over in its own frame.
ReadBody read_to_print(const GivenBody& given, const CheckRequest& request,
                       const Workshop& workshop, std::optional<body::PrintCheck>& print) {
  body::FramedBody framed = body::load_framed_body(given.source, given.hints, workshop.loop, true);
  workshop.progress.step("measuring walls, gaps and rooms ...");
  print = body::check_print(framed, *request.print, workshop.loop);
  ReadBody read;
  read.sound = std::move(framed.sound);
  read.frame = framed.frame;
  read.guessed = framed.guessed;
  if (!request.body.aligned.empty()) read.aligned = std::move(framed.body);
  return read;
}

// A body that may stay open has no frame to look it over in, if it does.
bool stays_open(const GivenBody& given, const CheckRequest& request, const Workshop& workshop) {
  return given.hints.mend == intake::Mend::none &&
         !read_body(given, request.body, false, workshop.loop).sound.closed;
}

bool limits_met(const CheckRequest& request, const body::PrintCheck& print) {
  return print.fits_bed() && (!request.print->wall_min_mm || print.walls_hold());
}

}  // namespace

Outcome run(const CheckRequest& request, const Workshop& workshop) {
  workshop.progress.step("reading and looking for faults ...");
  GivenBody given = given_body(request.body);
  // What is to be printed was drawn, and stood on no table.
  if (request.print && given.hints.table == intake::Table::unsaid) {
    given.hints.table = intake::Table::keep;
  }
  const bool open = request.print && stays_open(given, request, workshop);
  std::optional<body::PrintCheck> print;
  const ReadBody read = request.print && !open
                            ? read_to_print(given, request, workshop, print)
                            : read_body(given, request.body, true, workshop.loop);
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
                             .print = std::move(print)};
  if (open) result.warnings.push_back(open_is_not_printed());
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
