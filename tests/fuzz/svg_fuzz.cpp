// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/outlines.h"
#include "intake/svg_outline.h"
#include "promises.h"

// One drawing, taken for the outline from the side and for the one from above.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace trueblank;
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  try {
    const intake::SvgOutline outline = intake::parse_svg_outline(text, "fuzz.svg");
    fuzz::must(outline.area_mm2 > 0 && outline.points_mm.cols() >= 3);
    fuzz::must(outline.points_mm.allFinite());
    const body::OutlinedBody drawn = body::body_of_outlines({.side = outline.points_mm,
                                                             .top = outline.points_mm,
                                                             .side_file = "fuzz.svg",
                                                             .top_file = "fuzz.svg"},
                                                            {.around = 16, .along = 16});
    fuzz::must(drawn.mesh_mm.positions_mm.allFinite());
  } catch (const geometry::InputError& error) {
    fuzz::one_line_refusal(error);
  }
  return 0;
}
