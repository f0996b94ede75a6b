// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/plan_drawing.h"

#include <algorithm>

#include "report/ballast_words.h"
#include "report/layout.h"
#include "report/paper_pages.h"
#include "report/plan_blocks.h"

namespace trueblank::report {
namespace {

std::vector<std::string> hole_lines(const BallastResult& result) {
  std::vector<std::string> lines{answer(result, {})};
  for (std::size_t i = 0; i < result.found.plan.weights.size(); ++i) {
    lines.push_back(std::to_string(i + 1) + "  " +
                    shown(result.found.plan.weights[i].ballast.name) + ": " +
                    hole_sentences(result, i, {}));
  }
  lines.emplace_back(
      "Stations are mm from the nose, square to the long axis. Weights are hatched, plugs of wood "
      "are not. A wall's thickness is no promise of strength.");
  return lines;
}

std::vector<std::string> wire_lines(const tuning::BendPlan& wire) {
  return {shown(wire.name) + ": " + wire_sentences(wire, {}),
          "Lengths are those of the wire's middle line; a bend takes up a little of them, so bend "
          "from one end to the other and measure as you go."};
}

Drawing drawn(const PlanSheet& sheet) {
  const BallastResult& result = sheet.result;
  const std::string title = result.lies.title.empty() ? result.lies.sheet : result.lies.title;
  PaperPages pages({.title = title.empty() ? "Drilling plan" : "Drilling plan: " + title,
                    .instruction = "At true size: lay the blank on its outline. Holes are "
                                   "numbered as in the list, with their stations.",
                    .note = "Mark each start on the blank by station and height, and check the "
                            "outline against it before you drill.",
                    .paper = sheet.paper});
  const Block side = plan_side_view(sheet);
  const Block top = plan_top_view(sheet);
  for (const Block& view : {side, top}) {
    pages.add(view);
    pages.end_row();
  }
  pages.add(text_block("The plan", hole_lines(result), pages.width_mm()));
  pages.end_row();
  for (const tuning::BendPlan& wire : result.wires) {
    pages.add(straight_wire(wire, pages.width_mm()));
    pages.end_row();
    pages.add(text_block("", wire_lines(wire), pages.width_mm()));
    pages.end_row();
  }
  pages.add(text_block("Take care", ballast_cautions(result), pages.width_mm()));
  return pages.finished();
}

}  // namespace

std::string plan_svg(const PlanSheet& sheet) { return drawing_svg(drawn(sheet)); }

std::string plan_pdf(const PlanSheet& sheet) { return drawing_pdf(drawn(sheet)); }

}  // namespace trueblank::report
