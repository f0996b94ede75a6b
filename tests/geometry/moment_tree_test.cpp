// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/moment_tree.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <thread>

#include "cut_cases.h"
#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

using namespace test_bodies;

/// The family, each as it stands, turned and 10 m away, a thousand times as large, a thousandth,
/// and in another order.
std::vector<NamedMesh> trees() {
  std::vector<NamedMesh> all;
  const Mat3 still = Mat3::Identity();
  for (const NamedMesh& body : closed_bodies()) {
    all.push_back(body);
    all.push_back({body.name + ", large", moved(body.mesh, still, Vec3::Zero(), 1000)});
    all.push_back({body.name + ", small", moved(body.mesh, still, Vec3::Zero(), 0.001)});
    all.push_back({body.name + ", shuffled", shuffled(body.mesh, 6)});
    if (body.name == "wafer") continue;  // thinner than what rounding leaves of it up there
    all.push_back(
        {body.name + ", far away", moved(body.mesh, random_turn(4), {10000, -10000, 10000})});
  }
  return all;
}

TEST(MomentTree, AnswersAsThePlainLoopDoesOnEveryKindOfBodyAndPlane) {
  for (const NamedMesh& named : trees()) {
    const ClosedMesh body = closed(named.mesh);
    const MomentTree tree(body);
    const Moments whole = moments(body);
    const Sizes sizes = sizes_of(body, whole.volume_mm3, whole.area_mm2);
    EXPECT_EQ(tree.volume_mm3(), whole.volume_mm3);
    EXPECT_EQ(tree.first_moment_mm4(), whole.volume_mm3 * whole.centroid_mm);
    // The wire and the wafer: the whole's own digits are few, see the laws of moments.
    const bool thin = named.name.starts_with("wire") || named.name.starts_with("wafer");
    for (const NamedPlane& cut : planes_for(body, 79, 20)) {
      SCOPED_TRACE(named.name + ", " + cut.name);
      expect_same_cut(tree.below(cut.plane), moments_below(body, cut.plane), sizes,
                      thin ? 1e-8 : 1e-12);
    }
  }
}

TEST(MomentTree, AnswersAsLongDoublesDoOnALureBody) {
  for (const TriangleMesh& mesh : {needle(10000), glider(10000), torus(30, 8, 100, 50)}) {
    const ClosedMesh body = closed(shuffled(moved(mesh, random_turn(14), {5, 6, 7}), 3));
    const MomentTree tree(body);
    const Moments whole = moments(body);
    const Sizes sizes = sizes_of(body, whole.volume_mm3, whole.area_mm2);
    for (const NamedPlane& cut : planes_for(body, 80, 8)) {
      if (cut.name != "random") continue;
      expect_same_cut(tree.below(cut.plane), SlowCut(body, cut.plane).result(), sizes, 1e-13);
    }
  }
}

// Close under its outermost vertex a polyhedron is a cone, so half as deep a cut has a quarter of
// the face and a sixteenth of its second moments. The face is less than 1e-6 of the body's skin
// here and must keep digits of its own: heights round by 3e-14 mm and the cut is 1e-5 mm deep or
// more.
TEST(MomentTree, KeepsTheDigitsOfAVerySmallFace) {
  const ClosedMesh body = closed(moved(needle(20000), random_turn(31), {20, 30, 40}));
  const MomentTree tree(body);
  for (unsigned seed = 1; seed <= 20; ++seed) {
    const Vec3 n = random_turn(seed).col(1);
    Eigen::RowVectorXd heights = n.transpose() * body.positions_mm();
    std::ranges::sort(heights);
    const double top = heights[heights.size() - 1];
    const double depth = (top - heights[heights.size() - 2]) / 2;
    ASSERT_GT(depth, 1e-6);
    const BelowPlane deep = tree.below({n, top - depth});
    const BelowPlane half = tree.below({n, top - depth / 2});
    EXPECT_GT(half.waterplane_mm2, 0);
    EXPECT_NEAR(deep.waterplane_mm2, 4 * half.waterplane_mm2, 1e-7 * deep.waterplane_mm2);
    EXPECT_LE((deep.waterplane_second_mm4 - 16 * half.waterplane_second_mm4).norm(),
              1e-7 * deep.waterplane_second_mm4.norm());
  }
}

TEST(MomentTree, GivesAllOrNothingWhereThePlaneMisses) {
  for (const NamedMesh& named : closed_bodies()) {
    SCOPED_TRACE(named.name);
    const ClosedMesh body = closed(named.mesh);
    const MomentTree tree(body);
    for (const double offset : {300.0, 1e6, 1e300}) {
      const BelowPlane all = tree.below({Vec3(2, -1, 2) / 3, offset});
      EXPECT_EQ(all.volume_mm3, tree.volume_mm3());
      EXPECT_EQ(all.first_moment_mm4, tree.first_moment_mm4());
      EXPECT_EQ(all.waterplane_mm2, 0);
      const BelowPlane none = tree.below({Vec3(2, -1, 2) / 3, -offset});
      EXPECT_EQ(none.volume_mm3, 0);
      EXPECT_EQ(none.first_moment_mm4, Vec3::Zero());
      EXPECT_EQ(none.waterplane_mm2, 0);
    }
  }
}

TEST(MomentTree, KnowsHowFarTheBodyReaches) {
  for (const NamedMesh& named : trees()) {
    SCOPED_TRACE(named.name);
    const ClosedMesh body = closed(named.mesh);
    const MomentTree tree(body);
    const double size = body.positions_mm().cwiseAbs().maxCoeff();
    for (unsigned seed = 1; seed <= 20; ++seed) {
      const Vec3 direction = seed <= 3 ? Vec3(Vec3::Unit(static_cast<int>(seed) - 1))
                                       : Vec3(seed * random_turn(seed).col(0));
      const Eigen::RowVectorXd heights = direction.transpose() * body.positions_mm();
      const auto [low, high] = tree.extent_mm(direction);
      EXPECT_NEAR(low, heights.minCoeff(), 4e-15 * size * direction.norm());
      EXPECT_NEAR(high, heights.maxCoeff(), 4e-15 * size * direction.norm());
    }
  }
}

TEST(MomentTree, LeavesOutVerticesThatNoFacetHas) {
  TriangleMesh mesh = box(10, 20, 30);
  mesh.positions_mm.conservativeResize(3, 9);
  mesh.positions_mm.col(8) = Vec3(1e6, 1e6, 1e6);
  const MomentTree tree(closed(mesh));
  EXPECT_EQ(tree.extent_mm(Vec3::UnitX()), std::pair(-5.0, 5.0));
}

TEST(MomentTree, GivesTheSameBitsToManyThreads) {
  const ClosedMesh body = closed(glider(20000));
  const MomentTree tree(body);
  const std::vector<NamedPlane> planes = planes_for(body, 81, 200);
  std::vector<std::vector<BelowPlane>> answers(4);
  std::vector<std::thread> threads;
  for (std::vector<BelowPlane>& mine : answers) {
    threads.emplace_back([&] {
      for (const NamedPlane& cut : planes) mine.push_back(tree.below(cut.plane));
    });
  }
  for (std::thread& thread : threads) thread.join();
  for (std::size_t i = 0; i < planes.size(); ++i) {
    for (const std::vector<BelowPlane>& other : answers) {
      EXPECT_EQ(other[i].volume_mm3, answers[0][i].volume_mm3);
      EXPECT_EQ(other[i].first_moment_mm4, answers[0][i].first_moment_mm4);
      EXPECT_EQ(other[i].waterplane_mm2, answers[0][i].waterplane_mm2);
      EXPECT_EQ(other[i].waterplane_second_mm4, answers[0][i].waterplane_second_mm4);
    }
  }
}

}  // namespace
}  // namespace trueblank::geometry
