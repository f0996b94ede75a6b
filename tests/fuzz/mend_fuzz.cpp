// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "intake/mend.h"
#include "promises.h"

namespace trueblank::fuzz {
namespace {

using intake::Mend;
using intake::MendOptions;
using intake::Table;

/// What the first byte chooses: how to mend, what of a table, and how long a step of the grid is.
/// By a third, points that lay in one plane lie a rounding beside it; the others are far from 1.
struct Choice {
  MendOptions options;
  double step = 1;
};

Choice choice(std::uint8_t byte) {
  constexpr std::array ways = {Mend::holes, Mend::none, Mend::wrap};
  constexpr std::array tables = {Table::unsaid, Table::cut, Table::keep};
  constexpr std::array steps = {1.0, 1.0 / 3, 1e-7, 1e7};
  return {{.how = ways[byte % 3], .table = tables[byte / 3 % 3]}, steps[byte / 9 % 4]};
}

/// A small soup of facets: the first byte says how many vertices, three bytes place each one on a
/// grid of 16 (so that facets lie in one plane, touch and fold), and three more name the corners of
/// each facet.
geometry::TriangleMesh soup(const std::uint8_t* data, std::size_t size, double step) {
  constexpr std::size_t most_facets = 120;
  const std::size_t vertices = std::min<std::size_t>(3 + data[0] % 60, (size - 1) / 3);
  const std::size_t facets = std::min(most_facets, (size - 1) / 3 - vertices);
  geometry::TriangleMesh mesh;
  mesh.positions_mm.resize(3, static_cast<Eigen::Index>(vertices));
  mesh.facets.resize(3, static_cast<Eigen::Index>(facets));
  const std::uint8_t* at = data + 1;
  for (double& x : mesh.positions_mm.reshaped()) x = step * (*at++ % 16);
  for (int& corner : mesh.facets.reshaped()) corner = *at++ % static_cast<int>(vertices);
  return mesh;
}

void finite_and_not_negative(double x) { must(std::isfinite(x) && x >= 0); }

/// What stands in the result, mended or not.
void told_soundly(const intake::MendedMesh& out) {
  must(out.mesh.positions_mm.allFinite());
  must(out.vertex_measured.size() == static_cast<std::size_t>(out.mesh.vertex_count()));
  must(out.facet_measured.size() == static_cast<std::size_t>(out.mesh.facet_count()));
  finite_and_not_negative(out.cavity_mm3);
  finite_and_not_negative(out.made_up_share);
  must(out.made_up_share <= 1);
  finite_and_not_negative(out.made_up_bound_mm3);
  must(std::ranges::is_sorted(out.left_out_mm3, std::greater()));
  for (const double volume : out.left_out_mm3) finite_and_not_negative(volume);
  for (const intake::Mended& step : out.mended) {
    must(!step.what.empty() && step.count > 0);
    finite_and_not_negative(step.bound_mm3);
  }
  for (const intake::FilledHole& hole : out.holes) {
    must(hole.centre_mm.allFinite());
    finite_and_not_negative(hole.area_mm2);
    finite_and_not_negative(hole.bound_mm3);
  }
  for (const std::string& warning : out.warnings) must(warning.find('\n') == std::string::npos);
}

/// Mending either gives a body that keeps its promises, or refuses in one line.
void mended(const geometry::TriangleMesh& mesh, const MendOptions& options) {
  try {
    intake::MendedMesh out = intake::mend(mesh, options, "fuzz");
    told_soundly(out);
    must(out.closed || options.how == Mend::none);
    must(!out.closed || geometry::closed_mesh(out.mesh).has_value());
    must(!out.wrapped || options.how == Mend::wrap);
    intake::scale(out, 25.4);
    told_soundly(out);
  } catch (const geometry::InputError& error) {
    one_line_refusal(error);
  }
}

}  // namespace
}  // namespace trueblank::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace trueblank;
  constexpr std::size_t least_bytes = 2 + 3 * 4;  // three vertices and a facet
  if (size < least_bytes) return 0;
  const auto [options, step] = fuzz::choice(data[0]);
  const geometry::TriangleMesh mesh = fuzz::soup(data + 1, size - 1, step);
  if (mesh.facet_count() == 0) return 0;
  (void)intake::soundness(mesh);
  fuzz::mended(mesh, options);
  return 0;
}
