// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mesh.h"

#include <gtest/gtest.h>

#include <limits>

#include "geometry/frame.h"
#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

using namespace test_bodies;

TEST(ClosedMesh, TakesEveryClosedBody) {
  for (const NamedMesh& body : closed_bodies()) {
    EXPECT_TRUE(closed_mesh(body.mesh)) << body.name;
    EXPECT_TRUE(closed_mesh(shuffled(body.mesh, 4))) << body.name;
  }
}

TEST(ClosedMesh, RefusesABodyThatIsInsideOut) {
  for (const NamedMesh& body : closed_bodies()) {
    EXPECT_FALSE(closed_mesh(inside_out(body.mesh))) << body.name;
  }
}

TEST(ClosedMesh, RefusesABodyThatLacksAnyOneFacet) {
  for (const NamedMesh& body : closed_bodies()) {
    for (const int missing : {0, body.mesh.facet_count() / 2, body.mesh.facet_count() - 1}) {
      int facet = 0;
      EXPECT_FALSE(closed_mesh(without(body.mesh, [&](const Vec3&) { return facet++ == missing; })))
          << body.name << ", facet " << missing;
    }
  }
}

// A box without one of its sides, its vertices numbered in every way of many: where the numbers
// rise and fall in turn round the hole, each vertex has as many edges to later ones as from them.
TEST(ClosedMesh, RefusesABodyThatLacksASideHoweverItIsNumbered) {
  const geometry::TriangleMesh open = test_bodies::without(
      test_bodies::box(3, 4, 5), [](const Vec3& middle) { return middle.z() > 2.4; });
  ASSERT_EQ(open.facet_count(), 10);
  for (unsigned seed = 0; seed < 100; ++seed) {
    EXPECT_FALSE(closed_mesh(test_bodies::shuffled(open, seed))) << seed;
  }
}

TEST(ClosedMesh, RefusesABodyWithOneFacetTurned) {
  TriangleMesh mesh = box(10, 20, 30);
  std::swap(mesh.facets(0, 5), mesh.facets(1, 5));
  EXPECT_FALSE(closed_mesh(mesh));
}

TEST(ClosedMesh, RefusesPositionsThatAreNotNumbers) {
  for (const double bad :
       {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()}) {
    TriangleMesh mesh = box(10, 20, 30);
    mesh.positions_mm(1, 3) = bad;
    EXPECT_FALSE(closed_mesh(mesh));
  }
}

TEST(ClosedMesh, RefusesIndicesOutOfRange) {
  for (const int bad : {-1, 8, std::numeric_limits<int>::max()}) {
    TriangleMesh mesh = box(10, 20, 30);
    mesh.facets(2, 7) = bad;
    EXPECT_FALSE(closed_mesh(mesh));
  }
}

TEST(ClosedMesh, RefusesWhatEnclosesNothing) {
  EXPECT_FALSE(closed_mesh(TriangleMesh{}));
  EXPECT_FALSE(closed_mesh(box(10, 20, 0)));
  // Tilted, so that rounding gives it a volume of either sign.
  for (unsigned seed = 1; seed <= 20; ++seed) {
    EXPECT_FALSE(closed_mesh(moved(box(10, 20, 0), random_turn(seed), {100, 200, 300})));
  }
  const TriangleMesh ball = ellipsoid(5, 5, 5, 8, 8);
  EXPECT_FALSE(closed_mesh(joined(ball, inside_out(ball))));
}

TEST(ClosedMesh, TakesAVertexThatManyPiecesShareAndAnEdgeThatFourFacetsShare) {
  // Two boxes that touch along an edge, welded there: each directed edge is met twice.
  TriangleMesh mesh =
      joined(box(10, 10, 10), moved(box(10, 10, 10), Mat3::Identity(), {10, 10, 0}));
  for (Eigen::Index i = 0; i < mesh.facets.size(); ++i) {
    int& index = mesh.facets.data()[i];
    if (index == 8) index = 3;   // (5, 5, −5)
    if (index == 12) index = 7;  // (5, 5, 5)
  }
  ASSERT_EQ(mesh.positions_mm.col(8), mesh.positions_mm.col(3));
  ASSERT_EQ(mesh.positions_mm.col(12), mesh.positions_mm.col(7));
  const std::optional<ClosedMesh> body = closed_mesh(mesh);
  ASSERT_TRUE(body);
  EXPECT_NEAR(moments(*body).volume_mm3, 2000, 1e-11);
}

TEST(ClosedMesh, MovesItsVerticesByScaleTurnAndShift) {
  const ClosedMesh body = closed(needle(500));
  const Mat3 turn = random_turn(3);
  const Vec3 shift(4, 5, 6);
  const ClosedMesh moved_body = body.moved(turn, shift, 2.5);
  for (int v = 0; v < body.vertex_count(); ++v) {
    const Vec3 expected = 2.5 * (turn * body.positions_mm().col(v)) + shift;
    EXPECT_LE((moved_body.positions_mm().col(v) - expected).norm(), 1e-12);
  }
  EXPECT_EQ(moved_body.facets(), body.facets());
}

TEST(Frame, ThereAndBackIsWhereItWas) {
  const Mat3 turn = random_turn(5);
  Frame frame;
  frame.origin_mm = Vec3(10, 20, 30);
  frame.x = turn.col(0);
  frame.y = turn.col(1);
  frame.z = turn.col(2);
  const Vec3 p(1, -2, 3);
  EXPECT_LE((frame.to_file(frame.to_body(p)) - p).norm(), 1e-14 * 40);
  const ClosedMesh body = closed(box(2, 3, 4));
  EXPECT_LE((frame.to_body(body).corner(3, 1) - frame.to_body(body.corner(3, 1))).norm(), 1e-13);
}

TEST(Plane, ReflectsAPointToItsOtherSide) {
  const Plane plane{Vec3(2, -1, 2) / 3, 5};
  const Vec3 p(7, 8, 9);
  EXPECT_NEAR(plane.height_mm(plane.reflected(p)), -plane.height_mm(p), 1e-13);
  EXPECT_LE((plane.reflected(plane.reflected(p)) - p).norm(), 1e-13);
}

}  // namespace
}  // namespace trueblank::geometry
