// SPDX-License-Identifier: GPL-3.0-or-later
// Bodies of fewer facets, held against what they are made to keep: definitions and the ellipsoid's
// closed form, no outside source.
#include "geometry/rough_body.h"

#include <gtest/gtest.h>

#include <cmath>
#include <optional>
#include <vector>

#include "geometry/moment_tree.h"
#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

using test_bodies::closed;

TEST(VertexCells, AreCountedInTheOrderOfXThenYThenZ) {
  TriangleMesh mesh;
  mesh.positions_mm.resize(3, 6);
  mesh.positions_mm.col(0) << 2.5, 0, 0;
  mesh.positions_mm.col(1) << 0, 0, 0;
  mesh.positions_mm.col(2) << 0.5, 2.5, 0.5;
  mesh.positions_mm.col(3) << 0.5, 0.9, 3.5;
  mesh.positions_mm.col(4) << 2.9, 0.1, 0.4;
  mesh.positions_mm.col(5) << 0.9, 0.5, 0;
  const VertexCells cells = vertex_cells(mesh, 1);
  EXPECT_EQ(cells.count, 4);
  EXPECT_EQ(cells.of_vertex, (std::vector<int>{3, 0, 2, 1, 3, 0}));
  const Eigen::Matrix3Xd means = cell_means_mm(mesh, cells);
  ASSERT_EQ(means.cols(), 4);
  EXPECT_LT((means.col(0) - Vec3(0.45, 0.25, 0)).norm(), 1e-15);
  EXPECT_LT((means.col(3) - Vec3(2.7, 0.05, 0.2)).norm(), 1e-15);
}

// All its corners lie within a cell, 2.4 mm, of the ellipsoid.
TEST(RoughBody, KeepsAnEllipsoidsVolumeAndShape) {
  const Vec3 semi_axes(80, 10, 12);
  const ClosedMesh fine = closed(test_bodies::ellipsoid(80, 10, 12, 200, 200));
  constexpr int wanted = 3000;
  const std::optional<ClosedMesh> rough = rough_body(fine, wanted);
  ASSERT_TRUE(rough.has_value());
  EXPECT_GT(rough->facet_count(), wanted / 2);
  EXPECT_LT(rough->facet_count(), 2 * wanted);
  const Moments whole = moments(fine);
  const Moments of_rough = moments(*rough);
  EXPECT_NEAR(of_rough.volume_mm3, whole.volume_mm3, 1e-12 * whole.volume_mm3);
  EXPECT_LT((of_rough.centroid_mm - whole.centroid_mm).norm(), 0.02);
  const double cell_mm = cell_for_facets_mm(fine.mesh(), wanted);
  EXPECT_NEAR(cell_mm, std::sqrt(2 * whole.area_mm2 / wanted), 1e-12);
  for (int v = 0; v < rough->vertex_count(); ++v) {
    const Vec3 p = rough->positions_mm().col(v);
    // To first order: what x²/a² + y²/b² + z²/c² is over 1, by its slope.
    const Vec3 scaled = p.cwiseQuotient(semi_axes);
    const double slope = 2 * scaled.cwiseQuotient(semi_axes).norm();
    EXPECT_LT(std::abs(scaled.squaredNorm() - 1) / slope, cell_mm) << p.transpose();
  }
}

// A body in one cell has no facet left.
TEST(RoughBody, IsNoneWhereNothingIsLeft) {
  EXPECT_FALSE(rough_body(closed(test_bodies::box(3, 2, 1)), 1).has_value());
}

TEST(MomentTree, HasARoughOneBesideItWhereTheBodyHasManyFacets) {
  const ClosedMesh few = closed(test_bodies::ellipsoid(80, 10, 12, 100, 100));
  EXPECT_EQ(MomentTree::with_rough(few).rough(), nullptr);
  const ClosedMesh many = closed(test_bodies::ellipsoid(80, 10, 12, 330, 330));
  ASSERT_GT(many.facet_count(), 200'000);
  EXPECT_EQ(MomentTree(many).rough(), nullptr);
  const MomentTree tree = MomentTree::with_rough(many);
  ASSERT_NE(tree.rough(), nullptr);
  EXPECT_NEAR(tree.rough()->volume_mm3(), tree.volume_mm3(), 1e-12 * tree.volume_mm3());
  const Plane water{Vec3(0.1, 0.3, 1).normalized(), 2};
  EXPECT_EQ(tree.below(water).volume_mm3, MomentTree(many).below(water).volume_mm3);
  const double rough_mm3 = tree.rough()->below(water).volume_mm3;
  EXPECT_NE(rough_mm3, tree.below(water).volume_mm3);
  EXPECT_NEAR(rough_mm3, tree.below(water).volume_mm3, 1e-3 * tree.volume_mm3());
}

}  // namespace
}  // namespace trueblank::geometry
