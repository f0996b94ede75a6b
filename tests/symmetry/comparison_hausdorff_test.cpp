// SPDX-License-Identifier: GPL-3.0-or-later
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/distance.h>
#include <CGAL/Surface_mesh.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <utility>
#include <vector>

#include "support/bodies.h"
#include "symmetry/comparison.h"
#include "symmetry/copied_bodies.h"
#include "symmetry/lopsided.h"
#include "symmetry/marred_skins.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Mat3;
using geometry::TriangleMesh;
using geometry::Vec3;

double greatest_size(const Comparison& c) {
  return std::max({c.copy.statistics.max_proud, -c.copy.statistics.max_shy,
                   c.master.statistics.max_proud, -c.master.statistics.max_shy});
}

// The judge: CGAL's distance between the two as wholes, within 0.01 mm. Ours is read at vertices,
// which on fine meshes is all but a small part of a facet's height.
TEST(LargestDistance, IsCgalsHausdorffDistance) {
  using K = CGAL::Exact_predicates_inexact_constructions_kernel;
  using Mesh = CGAL::Surface_mesh<K::Point_3>;
  const auto of = [](const ClosedMesh& body) {
    Mesh mesh;
    for (int v = 0; v < body.vertex_count(); ++v) {
      const Vec3 p = body.positions_mm().col(v);
      mesh.add_vertex({p.x(), p.y(), p.z()});
    }
    for (int f = 0; f < body.facet_count(); ++f) {
      mesh.add_face(Mesh::Vertex_index(static_cast<unsigned>(body.facets()(0, f))),
                    Mesh::Vertex_index(static_cast<unsigned>(body.facets()(1, f))),
                    Mesh::Vertex_index(static_cast<unsigned>(body.facets()(2, f))));
    }
    return mesh;
  };
  const TriangleMesh plain = plain_ellipsoid(80, 60);
  const TriangleMesh glider = test_bodies::glider(6000);
  const std::vector<std::pair<TriangleMesh, TriangleMesh>> pairs = {
      {plain, test_bodies::capped_ellipsoid({70, 4, 3}, 9.5, 120, 120).mesh},
      {plain, cut_off(plain, 150)},
      {glider, test_bodies::bumped(test_bodies::glider(9000), 0.8, {45, 9.5, 0}, 0.05)},
      {glider, test_bodies::moved(glider, Mat3::Identity(), {0.3, 0.2, -0.1}, 1.01)}};
  constexpr double bound_mm = 0.002;
  for (const auto& [one, other] : pairs) {
    const Pair pair(one, other);
    const double judged = CGAL::Polygon_mesh_processing::bounded_error_symmetric_Hausdorff_distance<
        CGAL::Sequential_tag>(of(pair.master), of(pair.copy), bound_mm);
    EXPECT_NEAR(greatest_size(pair.compare()), judged, 0.01);
  }
}

}  // namespace
}  // namespace trueblank::symmetry
