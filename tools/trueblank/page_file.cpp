// SPDX-License-Identifier: GPL-3.0-or-later
#include "page_file.h"

#include <algorithm>
#include <utility>

namespace trueblank::tools {

namespace {

// A scan's colours go with the file's vertices, which come first in the mended mesh only where
// none of them was left out.
std::vector<report::Rgb> colours_of(const body::SoundBody& body) {
  const auto vertices = static_cast<std::size_t>(body.mended.mesh.vertex_count());
  return body.colours.size() == vertices ? body.colours : std::vector<report::Rgb>{};
}

double greatest(const std::vector<double>& values) {
  return values.empty() ? 0.0 : *std::max_element(values.begin(), values.end());
}

}  // namespace

report::PageSkin skin_in_file_axes(const body::SoundBody& body) {
  return {.mesh = body.mended.mesh,
          .measured = body.mended.vertex_measured,
          .colours = colours_of(body)};
}

report::PageSkin skin_in_body_frame(const body::FramedBody& framed) {
  report::PageSkin skin = skin_in_file_axes(framed.sound);
  skin.mesh = framed.body->mesh();
  skin.in_body_frame = true;
  return skin;
}

report::PageSkin skin_with_maps(const body::FramedBody& framed, const Measured& measured,
                                const symmetry::Sanding& sanding) {
  report::PageSkin skin = skin_in_body_frame(framed);
  skin.deviation_mm = measured.field.deviation_mm;
  skin.measured = measured.field.counted;
  for (const int label : measured.patches.labels) skin.beyond_noise.push_back(label != 0 ? 1 : 0);
  skin.depth_mm = sanding.depth_mm;
  return skin;
}

void add_page(Outcome& outcome, const CommonOptions& common, report::Page page) {
  if (common.page.empty()) return;
  if (page.skin && !page.skin->depth_mm.empty()) {
    page.depth_scale_mm = report::colour_scale_mm(greatest(page.skin->depth_mm) / 2);
  }
  page.answer = outcome.answer;
  page.text = outcome.text;
  page.json = outcome.json;
  outcome.files.push_back({common.page, report::page_html(page)});
}

}  // namespace trueblank::tools
