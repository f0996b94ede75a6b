// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/reshaped.h"

#include <algorithm>

#include "geometry/moments.h"
#include "intake/nearest_skin.h"

namespace trueblank::intake {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;

Vec3 middle_of(const TriangleMesh& mesh, int facet) {
  return (mesh.corner(facet, 0) + mesh.corner(facet, 1) + mesh.corner(facet, 2)) / 3;
}

/// Facet by facet, so that each question is near the last.
double greatest_distance(const TriangleMesh& from, const NearestSkin& to) {
  double greatest = 0;
  std::vector<std::uint8_t> asked(static_cast<std::size_t>(from.vertex_count()), 0);
  for (int f = 0; f < from.facet_count(); ++f) {
    greatest = std::max(greatest, to.nearest(middle_of(from, f)).distance);
    for (int k = 0; k < 3; ++k) {
      auto& done = asked[static_cast<std::size_t>(from.facets(k, f))];
      if (done == 0) greatest = std::max(greatest, to.nearest(from.corner(f, k)).distance);
      done = 1;
    }
  }
  return greatest;
}

}  // namespace

void measure_change(const TriangleMesh& original, Reshaped& out) {
  const Vec3 apex = original.corner(0, 0);
  out.volume_mm3 = geometry::signed_volume_mm3(original, apex);
  out.volume_change_mm3 = geometry::signed_volume_mm3(out.mesh, apex) - out.volume_mm3;
  const NearestSkin old_skin(original);
  const NearestSkin new_skin(out.mesh);
  out.greatest_distance_mm =
      std::max(greatest_distance(out.mesh, old_skin), greatest_distance(original, new_skin));
}

void carry_measured(const TriangleMesh& original, std::span<const std::uint8_t> facet_measured,
                    Reshaped& out) {
  out.facet_measured.assign(static_cast<std::size_t>(out.mesh.facet_count()), 1);
  const bool all =
      std::find(facet_measured.begin(), facet_measured.end(), 0) == facet_measured.end();
  if (!all) {
    const NearestSkin skin(original);
    for (int f = 0; f < out.mesh.facet_count(); ++f) {
      const int nearest = skin.nearest(middle_of(out.mesh, f)).facet;
      out.facet_measured[static_cast<std::size_t>(f)] =
          facet_measured[static_cast<std::size_t>(nearest)];
    }
  }
  out.vertex_measured = vertices_measured(out.mesh, out.facet_measured);
}

std::vector<std::uint8_t> vertices_measured(const TriangleMesh& mesh,
                                            const std::vector<std::uint8_t>& facet_measured) {
  std::vector<std::uint8_t> out(static_cast<std::size_t>(mesh.vertex_count()), 0);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    if (facet_measured[static_cast<std::size_t>(f)] == 0) continue;
    for (int k = 0; k < 3; ++k) out[static_cast<std::size_t>(mesh.facets(k, f))] = 1;
  }
  return out;
}

}  // namespace trueblank::intake
