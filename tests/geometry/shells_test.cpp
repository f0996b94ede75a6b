// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/shells.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>
#include <optional>
#include <vector>

#include "geometry/coat.h"
#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

using namespace test_bodies;

/// A flag for each vertex: `a` for the first of them, `b` for the rest.
std::vector<std::uint8_t> flags(int first, int a, int rest, int b) {
  std::vector<std::uint8_t> made(static_cast<std::size_t>(first), static_cast<std::uint8_t>(a));
  made.resize(static_cast<std::size_t>(first + rest), static_cast<std::uint8_t>(b));
  return made;
}

/// A box with a smaller one hollowed out of it, off its middle. The outer corners are the first 8.
TriangleMesh hollow_box() {
  return joined(box(30, 20, 10), moved(inside_out(box(6, 4, 2)), Mat3::Identity(), {5, 3, 1}));
}

// Source: each body is made right side out, its cavity inside out.
TEST(OuterSkin, IsTheBodysAndNotItsCavitys) {
  EXPECT_EQ(on_outer_skin(box(30, 20, 10)), flags(8, 1, 0, 0));
  EXPECT_EQ(on_outer_skin(inside_out(box(30, 20, 10))), flags(8, 0, 0, 0));
  EXPECT_EQ(on_outer_skin(hollow_box()), flags(8, 1, 8, 0));
  EXPECT_EQ(on_outer_skin(moved(hollow_box(), random_turn(1), {1000, -2000, 3000})),
            flags(8, 1, 8, 0));
  const TriangleMesh apart =
      joined(moved(box(1, 2, 3), Mat3::Identity(), {50, 0, 0}), box(9, 9, 9));
  EXPECT_EQ(on_outer_skin(apart), flags(16, 1, 0, 0));
}

// Source: of a tetrahedron about one of its own corners a single facet has a volume, so its sign is
// that of one determinant, which a corner anywhere tries.
TEST(OuterSkin, KnowsATetrahedronOfAnyShape) {
  for (unsigned seed = 1; seed <= 100; ++seed) {
    const Mat3 a = random_turn(seed);
    const Mat3 b = random_turn(seed + 1000);
    const TriangleMesh right =
        tetrahedron(a.col(0), 2 * a.col(1) + b.col(0), 3 * b.col(1), 4 * b.col(2) - a.col(2));
    ASSERT_GT(std::abs(signed_volume_mm3(right, Vec3::Zero())), 1e-3) << seed;
    EXPECT_EQ(on_outer_skin(right), flags(4, 1, 0, 0)) << seed;
    EXPECT_EQ(on_outer_skin(inside_out(right)), flags(4, 0, 0, 0)) << seed;
  }
}

TEST(OuterSkin, HasNoVertexWithoutAFacet) {
  TriangleMesh mesh = box(3, 4, 5);
  mesh.positions_mm.conservativeResize(3, 9);
  mesh.positions_mm.col(8) = Vec3(9, 9, 9);
  EXPECT_EQ(on_outer_skin(mesh), flags(8, 1, 1, 0));
}

// Source: the bodies' own parts: what is kept of a hollow body is the box that it was made of.
TEST(FacetsOver, KeepsTheMarkedOnesInTheirOrderAndEveryVertex) {
  const TriangleMesh hollow = hollow_box();
  const TriangleMesh outer = facets_over(hollow, on_outer_skin(hollow));
  EXPECT_EQ(outer.positions_mm, hollow.positions_mm);
  EXPECT_EQ(outer.facets, box(30, 20, 10).facets);
  const TriangleMesh wall = facets_over(hollow, flags(8, 0, 8, 1));
  EXPECT_EQ(wall.facets, hollow.facets.rightCols(12));
  EXPECT_EQ(facets_over(hollow, flags(16, 0, 0, 0)).facet_count(), 0);
}

// Source: as a coat on a box, whose corners move along their diagonals; a cavity's walls stay.
TEST(OuterSkinMoved, LeavesTheCavityAsItWas) {
  for (const double out : {0.3, -0.3}) {
    const std::optional<ClosedMesh> body = with_outer_skin_moved(closed(hollow_box()), out);
    ASSERT_TRUE(body);
    const double more = 2 * out / std::sqrt(3);
    const Eigen::Matrix3Xd expected = box(30 + more, 20 + more, 10 + more).positions_mm;
    EXPECT_LT((body->positions_mm().leftCols(8) - expected).cwiseAbs().maxCoeff(), 1e-13);
    EXPECT_EQ(body->positions_mm().rightCols(8), hollow_box().positions_mm.rightCols(8));
    EXPECT_EQ(body->facets(), hollow_box().facets);
  }
}

}  // namespace
}  // namespace trueblank::geometry
