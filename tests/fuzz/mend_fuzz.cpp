// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "intake/mend.h"
#include "promises.h"

namespace trueblank::fuzz {
namespace {

/// A small soup of facets: the first byte says how many vertices, three bytes place each one on a
/// grid of 16 (so that facets lie in one plane, touch and fold), and three more name the corners of
/// each facet.
geometry::TriangleMesh soup(const std::uint8_t* data, std::size_t size) {
  constexpr std::size_t most_facets = 120;
  const std::size_t vertices = std::min<std::size_t>(3 + data[0] % 60, (size - 1) / 3);
  const std::size_t facets = std::min(most_facets, (size - 1) / 3 - vertices);
  geometry::TriangleMesh mesh;
  mesh.positions_mm.resize(3, static_cast<Eigen::Index>(vertices));
  mesh.facets.resize(3, static_cast<Eigen::Index>(facets));
  const std::uint8_t* at = data + 1;
  for (double& x : mesh.positions_mm.reshaped()) x = *at++ % 16;
  for (int& corner : mesh.facets.reshaped()) corner = *at++ % static_cast<int>(vertices);
  return mesh;
}

/// Mending either gives a body that keeps its promises, or refuses in one line.
void mended(const geometry::TriangleMesh& mesh, intake::Mend how) {
  try {
    const intake::MendedMesh out = intake::mend(mesh, how, "fuzz");
    must(out.closed || how == intake::Mend::none);
    must(!out.closed || geometry::closed_mesh(out.mesh).has_value());
    must(out.vertex_measured.size() == static_cast<std::size_t>(out.mesh.vertex_count()));
    must(out.facet_measured.size() == static_cast<std::size_t>(out.mesh.facet_count()));
    must(out.cavity_mm3 >= 0);
  } catch (const geometry::InputError& error) {
    one_line_refusal(error);
  }
}

}  // namespace
}  // namespace trueblank::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using trueblank::intake::Mend;
  constexpr std::size_t least_bytes = 1 + 3 * 4;  // three vertices and a facet
  if (size < least_bytes) return 0;
  const trueblank::geometry::TriangleMesh mesh = trueblank::fuzz::soup(data, size);
  if (mesh.facet_count() == 0) return 0;
  (void)trueblank::intake::soundness(mesh);
  trueblank::fuzz::mended(mesh, Mend::none);
  trueblank::fuzz::mended(mesh, Mend::holes);
  return 0;
}
