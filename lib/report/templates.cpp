// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/templates.h"

#include "report/paper_pages.h"
#include "report/template_blocks.h"

namespace trueblank::report {
namespace {

Drawing drawn(const Templates& templates) {
  PaperPages pages({.title = templates.title,
                    .instruction =
                        "Cut along the thick lines. A card fits over one flank, its straight edges "
                        "on the middle line of back and belly; turned over, over the other.",
                    .note = templates.note,
                    .paper = templates.paper});
  const Block side = side_view(templates);
  const Block top = top_view(templates);
  const Block both = stacked(side, top);
  // Together, so that those that are longer than a page share the pages.
  for (const Block& block :
       both.size_mm.y() <= pages.height_mm() ? std::vector{both} : std::vector{side, top}) {
    pages.add(block);
    pages.end_row();
  }
  for (const symmetry::HalfSection& section : templates.sections) {
    if (!section.outline_mm.empty()) pages.add(card(section));
  }
  return pages.finished();
}

}  // namespace

std::string templates_svg(const Templates& templates) { return drawing_svg(drawn(templates)); }

std::string templates_pdf(const Templates& templates) { return drawing_pdf(drawn(templates)); }

}  // namespace trueblank::report
