// SPDX-License-Identifier: GPL-3.0-or-later
#include "body_map.h"
#include "given_body.h"
#include "messages.h"
#include "page_file.h"
#include "report/weigh_report.h"
#include "verbs.h"

namespace trueblank::tools {

namespace {

std::optional<rig::Blank> blank(const WeighRequest& request, const geometry::Moments& whole) {
  if (request.density_g_cm3) return rig::blank_of_density(whole, *request.density_g_cm3);
  if (request.mass_g) return rig::blank_of_mass(whole, *request.mass_g);
  return {};
}

}  // namespace

Outcome run(const WeighRequest& request, const Workshop& workshop) {
  workshop.progress.step("reading and weighing ...");
  const GivenBody given = given_body(request.body);
  const ReadBody read = read_body(given, request.body, false, workshop.loop);
  const body::SoundBody& body = read.sound;
  if (!body.closed) throw body_is_open(request.body.path);
  const geometry::Moments whole = geometry::moments(*body.closed);
  const report::WeighResult result{.input = body.input,
                                   .record = body.record,
                                   .whole = whole,
                                   .principal = geometry::principal(whole.inertia_mm5),
                                   .cavity_mm3 = body.mended.cavity_mm3,
                                   .size_mm = body.size_mm,
                                   .blank = blank(request, whole),
                                   .mass_given = request.mass_g.has_value(),
                                   .frame = read.frame,
                                   .guessed = read.guessed,
                                   .warnings = body.warnings};
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
             {.verb = "weigh", .title = request.body.path, .skin = skin_in_file_axes(body)});
  }
  return outcome;
}

}  // namespace trueblank::tools
