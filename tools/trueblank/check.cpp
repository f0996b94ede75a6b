// SPDX-License-Identifier: GPL-3.0-or-later
#include <utility>
#include <variant>

#include "body_map.h"
#include "given_body.h"
#include "messages.h"
#include "page_file.h"
#include "report/check_report.h"
#include "verbs.h"

namespace trueblank::tools {

namespace {

// What is to be printed is looked over in its own frame; a body that stays open has none, and is
// not looked over.
ReadBody read_to_print(const GivenBody& given, const CheckRequest& request,
                       const Workshop& workshop, std::optional<body::PrintCheck>& print) {
  ReadBody read;
  body::FramedBody framed;
  if (given.hints.mend == intake::Mend::none && request.body.aligned.empty()) {
    auto loaded = body::load_framed_if_closed(given.source, given.hints, workshop.loop, true);
    if (auto* open = std::get_if<body::SoundBody>(&loaded)) {
      read.sound = std::move(*open);
      return read;
    }
    framed = std::get<body::FramedBody>(std::move(loaded));
  } else {
    framed = body::load_framed_body(given.source, given.hints, workshop.loop, true);
  }
  workshop.progress.step("measuring walls, gaps and rooms ...");
  print = body::check_print(framed, *request.print, workshop.loop);
  read.sound = std::move(framed.sound);
  read.frame = framed.frame;
  read.guessed = framed.guessed;
  if (!request.body.aligned.empty()) read.aligned = std::move(framed.body);
  return read;
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
  std::optional<body::PrintCheck> print;
  const ReadBody read = request.print ? read_to_print(given, request, workshop, print)
                                      : read_body(given, request.body, true, workshop.loop);
  const bool open = request.print && !read.sound.closed;
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
