// SPDX-License-Identifier: GPL-3.0-or-later
#include <CGAL/Exact_predicates_exact_constructions_kernel.h>
#include <CGAL/intersections.h>
#include <gmock/gmock.h>

#include <algorithm>
#include <array>
#include <random>

#include "intake/mend.h"
#include "intake/self_intersections.h"
#include "support/bodies.h"

namespace trueblank::intake {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;
using testing::IsEmpty;

TriangleMesh shifted(const TriangleMesh& mesh, const Vec3& by) {
  return test_bodies::moved(mesh, geometry::Mat3::Identity(), by);
}

TriangleMesh ball() { return test_bodies::ellipsoid(10, 10, 10, 12, 16); }

TEST(Soundness, OfAWholeBody) {
  const Soundness s = soundness(ball());
  EXPECT_TRUE(s.closed);
  EXPECT_TRUE(s.oriented);
  EXPECT_TRUE(s.outward);
  EXPECT_EQ(s.pieces, 1);
  EXPECT_EQ(s.open_loops, 0);
  EXPECT_EQ(s.self_intersections, 0);
}

TEST(Soundness, OfAnInsideOutBody) {
  const Soundness s = soundness(test_bodies::inside_out(ball()));
  EXPECT_TRUE(s.closed);
  EXPECT_TRUE(s.oriented);
  EXPECT_FALSE(s.outward);
}

TEST(Soundness, OfABodyWithTwoHoles) {
  const TriangleMesh open =
      test_bodies::without(ball(), [](const Vec3& p) { return std::abs(p.x()) > 9; });
  const Soundness s = soundness(open);
  EXPECT_FALSE(s.closed);
  EXPECT_TRUE(s.oriented);
  EXPECT_EQ(s.open_loops, 2);
  EXPECT_EQ(s.pieces, 1);
}

TEST(Soundness, HolesThatTouchInAVertexAreTwo) {
  TriangleMesh mesh = test_bodies::box(2, 2, 2);
  // Two facets that share a vertex and no edge.
  for (int f = 1; f < mesh.facet_count(); ++f) {
    int shared = 0;
    for (int i = 0; i < 3; ++i) {
      for (int j = 0; j < 3; ++j) shared += mesh.facets(i, 0) == mesh.facets(j, f) ? 1 : 0;
    }
    if (shared != 1) continue;
    mesh.facets.col(0).swap(mesh.facets.col(mesh.facet_count() - 1));
    if (f != mesh.facet_count() - 1)
      mesh.facets.col(f).swap(mesh.facets.col(mesh.facet_count() - 2));
    mesh.facets.conservativeResize(3, mesh.facet_count() - 2);
    break;
  }
  ASSERT_EQ(mesh.facet_count(), 10);
  EXPECT_EQ(soundness(mesh).open_loops, 2);
}

TEST(Soundness, OfTwoBodiesAndOfAShellInAShell) {
  EXPECT_EQ(soundness(test_bodies::joined(ball(), shifted(ball(), {30, 0, 0}))).pieces, 2);
  const TriangleMesh hollow =
      test_bodies::joined(ball(), test_bodies::inside_out(test_bodies::ellipsoid(5, 5, 5, 8, 12)));
  const Soundness s = soundness(hollow);
  EXPECT_EQ(s.pieces, 2);
  EXPECT_EQ(s.self_intersections, 0);
  EXPECT_TRUE(s.closed);
}

TEST(Soundness, AFacetTurnedOverIsSeen) {
  TriangleMesh mesh = ball();
  std::swap(mesh.facets(0, 5), mesh.facets(1, 5));
  const Soundness s = soundness(mesh);
  EXPECT_TRUE(s.closed);
  EXPECT_FALSE(s.oriented);
}

TEST(Soundness, FacetsWithTwoEqualCornersAreLeftAside) {
  TriangleMesh mesh = ball();
  mesh.facets.conservativeResize(3, mesh.facet_count() + 1);
  mesh.facets.col(mesh.facet_count() - 1) << 0, 0, 1;
  const Soundness s = soundness(mesh);
  EXPECT_TRUE(s.closed);
  EXPECT_EQ(s.pieces, 1);
}

/// The slow and sure way: every pair of facets, exact constructions.
std::vector<std::pair<int, int>> by_brute_force(const TriangleMesh& mesh) {
  using Kernel = CGAL::Exact_predicates_exact_constructions_kernel;
  const auto point = [&](int v) {
    return Kernel::Point_3(mesh.positions_mm(0, v), mesh.positions_mm(1, v),
                           mesh.positions_mm(2, v));
  };
  std::vector<std::pair<int, int>> out;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    for (int g = f + 1; g < mesh.facet_count(); ++g) {
      std::vector<int> shared;
      for (int i = 0; i < 3; ++i) {
        for (int j = 0; j < 3; ++j) {
          if (mesh.facets(i, f) == mesh.facets(j, g)) shared.push_back(mesh.facets(i, f));
        }
      }
      const Kernel::Triangle_3 a(point(mesh.facets(0, f)), point(mesh.facets(1, f)),
                                 point(mesh.facets(2, f)));
      const Kernel::Triangle_3 b(point(mesh.facets(0, g)), point(mesh.facets(1, g)),
                                 point(mesh.facets(2, g)));
      if (a.is_degenerate() || b.is_degenerate() || !CGAL::do_intersect(a, b)) continue;
      if (shared.empty()) {
        out.emplace_back(f, g);
        continue;
      }
      // They share corners: what else do they have in common?
      const auto common = CGAL::intersection(a, b);
      bool more = false;
      if (const auto* p = boost::get<Kernel::Point_3>(&*common)) {
        more = *p != point(shared[0]);
      } else if (const auto* s = boost::get<Kernel::Segment_3>(&*common)) {
        more = shared.size() < 2 || *s != Kernel::Segment_3(point(shared[0]), point(shared[1]));
        more = more && (shared.size() < 2 ||
                        s->opposite() != Kernel::Segment_3(point(shared[0]), point(shared[1])));
      } else {
        more = true;
      }
      if (more) out.emplace_back(f, g);
    }
  }
  return out;
}

std::vector<std::pair<int, int>> found(const TriangleMesh& mesh) {
  return self_intersections(Corners(mesh.facets.data(), mesh.facets.data() + mesh.facets.size()),
                            mesh.positions_mm);
}

TEST(SelfIntersections, OfAWholeBodyAreNone) {
  EXPECT_THAT(found(ball()), IsEmpty());
  EXPECT_THAT(found(test_bodies::box(3, 4, 5)), IsEmpty());
  EXPECT_THAT(found(test_bodies::torus(20, 5, 16, 12)), IsEmpty());
}

TEST(SelfIntersections, OfBodiesThatCrossAreThoseOfBruteForce) {
  const TriangleMesh small = test_bodies::ellipsoid(6, 4, 5, 6, 8);
  for (const unsigned seed : {1U, 2U, 3U}) {
    const TriangleMesh crossing = test_bodies::joined(
        small, test_bodies::moved(small, test_bodies::random_turn(seed), {2, 1, 0.5}));
    const auto expected = by_brute_force(crossing);
    EXPECT_GT(expected.size(), 10U);
    EXPECT_EQ(found(crossing), expected) << seed;
  }
}

// Corners on a small grid: facets in one plane, touching in edges and corners, folded onto each
// other, without area, more than two to an edge.
TEST(SelfIntersections, OfRandomSoupsOnAGridAreThoseOfBruteForce) {
  for (const unsigned seed : {1U, 2U, 3U, 4U}) {
    std::mt19937 random(seed);
    TriangleMesh soup;
    soup.positions_mm.resize(3, 27);
    for (int v = 0; v < 27; ++v) soup.positions_mm.col(v) << v % 3, v / 3 % 3, v / 9;
    if (seed > 2) {  // and the same in a plane that no double holds exactly
      soup.positions_mm = test_bodies::random_turn(seed) * soup.positions_mm;
    }
    soup.facets.resize(3, 60);
    for (int f = 0; f < 60; ++f) {
      std::array<int, 3> corners = {};
      do {
        for (int& c : corners) c = static_cast<int>(random() % 27);
      } while (corners[0] == corners[1] || corners[1] == corners[2] || corners[2] == corners[0]);
      soup.facets.col(f) << corners[0], corners[1], corners[2];
    }
    const auto quick = found(soup);
    const auto sure = by_brute_force(soup);
    std::vector<std::pair<int, int>> apart;  // whatever only one of the two says
    std::ranges::set_symmetric_difference(quick, sure, std::back_inserter(apart));
    EXPECT_THAT(apart, IsEmpty()) << seed;
    EXPECT_GT(sure.size(), 100U);
  }
}

TEST(SelfIntersections, FarFromTheOriginAreTheSame) {
  // Positions on a grid of 1/1024 move by 8192 without rounding.
  TriangleMesh mesh = test_bodies::joined(ball(), shifted(ball(), {5, 3, 1}));
  mesh.positions_mm = (mesh.positions_mm * 1024).array().round() / 1024;
  const auto here = found(mesh);
  EXPECT_GT(here.size(), 10U);
  mesh.positions_mm.array() += 8192;
  EXPECT_EQ(found(mesh), here);
}

TEST(SelfIntersections, OfNeighboursFoldedOntoEachOtherCount) {
  TriangleMesh mesh;
  mesh.positions_mm.resize(3, 4);
  mesh.positions_mm << 0, 4, 1, 2, 0, 0, 3, 1, 0, 0, 0, 0;
  mesh.facets.resize(3, 2);
  mesh.facets << 0, 1, 1, 0, 2, 3;
  EXPECT_EQ(found(mesh).size(), 1U);
  mesh.positions_mm(1, 3) = -1;  // unfolded
  EXPECT_THAT(found(mesh), IsEmpty());
}

}  // namespace
}  // namespace trueblank::intake
