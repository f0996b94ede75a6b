// SPDX-License-Identifier: GPL-3.0-or-later
// Looking near a point must miss nothing that a plain loop over the facets finds.
#include "symmetry/facet_tree.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "support/bodies.h"
#include "symmetry/nearest_on_triangle.h"

namespace trueblank::symmetry {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;

struct Named {
  std::string name;
  TriangleMesh mesh;
};

// Slivers with one long side from x = 0 to x = 60, up to `scale` mm wide, some of no width, in all
// directions about it.
TriangleMesh slivers(double scale) {
  constexpr int count = 90;
  TriangleMesh mesh;
  mesh.positions_mm.resize(3, count + 2);
  mesh.facets.resize(3, count);
  mesh.positions_mm.col(0) = Vec3(0, 0, 0);
  mesh.positions_mm.col(1) = Vec3(60, 0, 0);
  for (int i = 0; i < count; ++i) {
    const double width = i % 9 == 0 ? 0 : 1e-6 * scale * std::pow(10, i % 7);
    mesh.positions_mm.col(i + 2) =
        Vec3(i % 60, width * std::cos(0.7 * i), width * std::sin(0.7 * i));
    mesh.facets.col(i) << 0, 1, i + 2;
  }
  return mesh;
}

TriangleMesh only(const TriangleMesh& mesh, int facets) {
  return {mesh.positions_mm, mesh.facets.leftCols(facets)};
}

std::vector<Named> skins() {
  const TriangleMesh pencil = test_bodies::pencil(3000);
  return {{"a pencil", pencil},
          {"a needle at a slant", test_bodies::moved(test_bodies::needle(1500),
                                                     test_bodies::random_turn(3), Vec3(1, 2, 3))},
          {"slivers", slivers(1)},
          {"slivers at a slant",
           test_bodies::moved(slivers(1), test_bodies::random_turn(5), Vec3(1, 2, 3))},
          {"slivers as thin as rounding",
           test_bodies::moved(slivers(1e-9), test_bodies::random_turn(5), Vec3(1, 2, 3))},
          {"a facet", only(pencil, 1)},
          {"a leaf", only(pencil, 8)},
          {"a leaf and one", only(pencil, 9)},
          {"a node and one", only(pencil, 65)}};
}

double off_mm(const TriangleMesh& mesh, int facet, const Vec3& p) {
  return (p - nearest_on_triangle(p, mesh.corner(facet, 0), mesh.corner(facet, 1),
                                  mesh.corner(facet, 2))
                  .point)
      .norm();
}

std::vector<int> visited(const FacetTree& tree, const Vec3& p, double within_mm, int near = -1) {
  std::vector<int> facets;
  tree.look_near(p, within_mm * within_mm, near,
                 [&](int facet, double&) { facets.push_back(facet); });
  return facets;
}

/// Upon a corner, near the skin, about it and far from it; straight ahead of the outermost corners
/// too, where a box is as near as what it holds, and a number of single precision says otherwise.
std::vector<Vec3> points(const TriangleMesh& mesh) {
  std::mt19937 random(11);
  std::normal_distribution<double> spread;
  std::vector<Vec3> all;
  for (const double far_mm : {0.0, 1e-7, 0.05, 2.0, 40.0, 3000.0}) {
    for (int i = 0; i < 12; ++i) {
      const int facet = static_cast<int>(random() % static_cast<unsigned>(mesh.facet_count()));
      const Vec3 off(spread(random), spread(random), spread(random));
      all.emplace_back(mesh.corner(facet, i % 3) + far_mm * off);
    }
  }
  for (int axis = 0; axis < 3; ++axis) {
    for (const double side : {-1.0, 1.0}) {
      Eigen::Index outermost = 0;
      (side * mesh.positions_mm.row(axis)).maxCoeff(&outermost);
      for (int i = 0; i < 20; ++i) {
        Vec3 p = mesh.positions_mm.col(outermost);
        p[axis] += side * (3000 + 1.2345e-4 * i);
        all.push_back(p);
      }
    }
  }
  return all;
}

TEST(FacetTree, MissesNothingThatIsNearEnough) {
  for (const Named& skin : skins()) {
    SCOPED_TRACE(skin.name);
    const FacetTree tree(skin.mesh.positions_mm, skin.mesh.facets, geometry::serial_for);
    for (const Vec3& p : points(skin.mesh)) {
      std::vector<double> off;
      for (int f = 0; f < skin.mesh.facet_count(); ++f) off.push_back(off_mm(skin.mesh, f, p));
      const auto least = std::min_element(off.begin(), off.end());
      const int nearest = static_cast<int>(least - off.begin());
      const int beside = (nearest + 1) % skin.mesh.facet_count();
      for (const double within_mm : {*least, 1.01 * *least, 2 * *least + 0.3}) {
        for (const int near : {-1, nearest, beside}) {
          std::vector<int> found = visited(tree, p, within_mm, near);
          std::sort(found.begin(), found.end());
          ASSERT_EQ(std::adjacent_find(found.begin(), found.end()), found.end()) << "twice";
          for (int f = 0; f < skin.mesh.facet_count(); ++f) {
            const double at_mm = off[static_cast<std::size_t>(f)];
            if (at_mm > within_mm) continue;
            ASSERT_TRUE(std::binary_search(found.begin(), found.end(), f))
                << "facet " << f << ", " << at_mm << " of " << within_mm << ", near " << near;
          }
        }
      }
    }
  }
}

TEST(FacetTree, VisitsTheSameFourAtAStepAndEight) {
  for (const Named& skin : skins()) {
    SCOPED_TRACE(skin.name);
    const FacetTree tree(skin.mesh.positions_mm, skin.mesh.facets, geometry::serial_for);
    FacetTree by_four = tree;
    by_four.take_four_at_a_step();
    for (const Vec3& p : points(skin.mesh)) {
      for (const double within_mm : {0.0, 0.1, 3.0, 100.0}) {
        ASSERT_EQ(visited(by_four, p, within_mm), visited(tree, p, within_mm));
      }
    }
  }
}

TEST(FacetTree, VisitsFewWhereTheLeastIsKnown) {
  const TriangleMesh mesh = test_bodies::pencil(3000);
  const FacetTree tree(mesh.positions_mm, mesh.facets, geometry::serial_for);
  std::size_t visits = 0;
  constexpr int questions = 200;
  for (int i = 0; i < questions; ++i) {
    const Vec3 a = mesh.corner(7 * i, 0);
    const Vec3 b = mesh.corner(7 * i, 1);
    const Vec3 c = mesh.corner(7 * i, 2);
    const Vec3 p = (a + b + c) / 3 + 0.05 * (b - a).cross(c - a).normalized();
    visits += visited(tree, p, 0.05 * (1 + 1e-9)).size();
  }
  // Boxes alone would let in the facets beside.
  EXPECT_LT(visits, 1.5 * questions);
}

TEST(FacetTree, FacetsThatDrawTheLimitInAreFollowedByFewer) {
  const TriangleMesh mesh = test_bodies::pencil(3000);
  const FacetTree tree(mesh.positions_mm, mesh.facets, geometry::serial_for);
  const Vec3 p = mesh.corner(1234, 0) + Vec3(0, 3, 1);
  int visits = 0;
  double least2 = 0;
  tree.look_near(p, 1e6, -1, [&](int facet, double& within2) {
    ++visits;
    within2 = std::min(within2, std::pow(off_mm(mesh, facet, p), 2));
    least2 = within2;
  });
  double least_mm = 1e9;
  for (int f = 0; f < mesh.facet_count(); ++f) least_mm = std::min(least_mm, off_mm(mesh, f, p));
  EXPECT_DOUBLE_EQ(std::sqrt(least2), least_mm);
  EXPECT_LT(visits, mesh.facet_count() / 4);
}

}  // namespace
}  // namespace trueblank::symmetry
