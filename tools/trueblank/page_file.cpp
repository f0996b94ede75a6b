// SPDX-License-Identifier: GPL-3.0-or-later
#include "page_file.h"

#include <algorithm>
#include <optional>
#include <utility>

#include "intake/nearest_skin.h"
#include "intake/thin.h"
#include "symmetry/coarse_mesh.h"

namespace trueblank::tools {

namespace {

// More is more than a phone likes to turn; the page is thinned to the lesser.
constexpr int most_facets_shown = 120'000;
constexpr int facets_when_thinned = 100'000;
// Thinning well takes 3 s for so many; beyond, a picture does with less.
constexpr int most_facets_thinned_well = 300'000;
// A solver wants a closed skin, which only thinning well gives.
constexpr int most_facets_made_exact = 1'000'000;

// Those of a scan that was thinned by the user no longer fit its vertices.
std::vector<report::Rgb> colours_of(const body::SoundBody& body) {
  const auto vertices = static_cast<std::size_t>(body.mended.mesh.vertex_count());
  return body.colours.size() == vertices ? body.colours : std::vector<report::Rgb>{};
}

// The values of the vertices that `from` names.
template <class T>
void pick(std::vector<T>& values, const std::vector<int>& from) {
  if (values.empty()) return;
  std::vector<T> picked;
  picked.reserve(from.size());
  for (const int v : from) picked.push_back(values[static_cast<std::size_t>(v)]);
  values = std::move(picked);
}

// For each vertex of `thin` the vertex of `whole` that is nearest to it, of the facet that is.
std::vector<int> nearest_vertices(const geometry::TriangleMesh& whole,
                                  const geometry::TriangleMesh& thin) {
  intake::NearestSkin skin(whole);
  std::vector<int> nearest;
  for (int v = 0; v < thin.vertex_count(); ++v) {
    const geometry::Vec3 at = thin.positions_mm.col(v);
    const int facet = skin.nearest(at).facet;
    int best = whole.facets(0, facet);
    for (int k = 1; k < 3; ++k) {
      const int corner = whole.facets(k, facet);
      if ((whole.positions_mm.col(corner) - at).norm() <
          (whole.positions_mm.col(best) - at).norm()) {
        best = corner;
      }
    }
    nearest.push_back(best);
  }
  return nearest;
}

geometry::TriangleMesh thinned(const geometry::TriangleMesh& mesh, bool exact) {
  if (mesh.facet_count() <= (exact ? most_facets_made_exact : most_facets_thinned_well)) {
    const std::vector<std::uint8_t> measured(static_cast<std::size_t>(mesh.facet_count()), 1);
    // Nothing where it doesn't close.
    if (std::optional<intake::Reshaped> thin = intake::thin(mesh, measured, facets_when_thinned)) {
      return std::move(thin->mesh);
    }
  }
  return symmetry::coarse_mesh(mesh, {}, facets_when_thinned).mesh;
}

// Fewer facets for the page alone, each vertex with the values of the nearest one.
void thin_for_page(report::PageSkin& skin) {
  if (skin.mesh.facet_count() <= most_facets_shown) return;
  geometry::TriangleMesh fewer = thinned(skin.mesh, skin.exact);
  const std::vector<int> from = nearest_vertices(skin.mesh, fewer);
  skin.thinned_from = skin.mesh.facet_count();
  skin.mesh = std::move(fewer);
  pick(skin.deviation_mm, from);
  pick(skin.measured, from);
  pick(skin.beyond_noise, from);
  pick(skin.depth_mm, from);
  pick(skin.colours, from);
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

report::PageSkin exact_skin(const body::FramedBody& framed) {
  report::PageSkin skin = skin_in_body_frame(framed);
  skin.exact = true;
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
  if (page.skin) thin_for_page(*page.skin);
  if (page.skin && !page.skin->depth_mm.empty()) {
    page.depth_scale_mm = report::colour_scale_mm(greatest(page.skin->depth_mm) / 2);
  }
  page.answer = outcome.answer;
  page.text = outcome.text;
  page.json = outcome.json;
  outcome.files.push_back({common.page, report::page_html(page)});
}

}  // namespace trueblank::tools
