// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/deviation.h"

#include <CGAL/AABB_face_graph_triangle_primitive.h>
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/Simple_cartesian.h>
#include <CGAL/Surface_mesh.h>
#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <cstring>
#include <numbers>
#include <numeric>
#include <thread>
#include <vector>

#include "geometry/inside.h"
#include "geometry/moments.h"
#include "support/bodies.h"
#include "symmetry/marred_skins.h"

namespace trueblank::symmetry {
namespace {

using geometry::Mat3;
using geometry::serial_for;
using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::closed;

const Plane y_zero{Vec3::UnitY(), 0};

std::vector<double> deviations(const geometry::ClosedMesh& body) {
  return deviation_mm(body, y_zero, serial_for);
}

// Source: half volumes ⅔π·a·b·c for a 82.5, c 14, b 11 and 11.5: 26609.289776 and 27818.802948 mm³;
// at the widest place one side stands off the other by the difference of the widths, 0.5 mm.
TEST(TwoHalfEllipsoids, DifferByWhatTheirWidthsSay) {
  const geometry::ClosedMesh body = closed(test_bodies::two_halves(82.5, 11, 11.5, 14, 240, 240));
  const DeviationStatistics all = deviation_statistics(body, deviations(body), {});
  // Facets fall short of the skin by some 1e-4 of its size, the same on both sides.
  EXPECT_NEAR(all.max_proud, 0.5, 1e-3);
  EXPECT_NEAR(all.max_shy, -0.5, 1e-3);
  const SideVolumes sides = side_volumes(body);
  EXPECT_NEAR(sides.left_mm3, 26609.289776, 4e-4 * 26609);
  EXPECT_NEAR(sides.right_mm3, 27818.802948, 4e-4 * 27818);
  // Exact for the polyhedron: both sides are the same facets, drawn out 11 and 11.5 times.
  EXPECT_NEAR(sides.right_mm3 / sides.left_mm3, 11.5 / 11, 1e-12);
  EXPECT_NEAR(sides.left_mm3 + sides.right_mm3, geometry::moments(body).volume_mm3, 1e-8);
}

TEST(Deviation, IsPlusOnTheProudSideAndMinusOnTheShyOne) {
  const geometry::ClosedMesh body = closed(test_bodies::two_halves(82.5, 11, 11.5, 14, 40, 40));
  const std::vector<double> all = deviations(body);
  int proud = 0;
  for (int v = 0; v < body.vertex_count(); ++v) {
    const double y = body.positions_mm()(1, v);
    if (std::abs(y) > 2) {
      EXPECT_EQ(all[static_cast<std::size_t>(v)] > 0, y > 0) << "vertex " << v;
    }
    proud += y > 2;
  }
  EXPECT_GT(proud, 100);
}

TEST(Deviation, IsNilOnABodyThatIsItsOwnMirrorImage) {
  const geometry::ClosedMesh body = closed(test_bodies::glider(5000));
  // Rounding of coordinates of up to 120 mm.
  for (const double d : deviations(body)) EXPECT_NEAR(d, 0, 1e-13);
}

// The judge: CGAL's own distances on its own mesh, and the winding number for the side.
TEST(Deviation, IsWhatCgalsDistancesSay) {
  using K = CGAL::Simple_cartesian<double>;
  using Mesh = CGAL::Surface_mesh<K::Point_3>;
  using Primitive = CGAL::AABB_face_graph_triangle_primitive<Mesh>;
  using Tree = CGAL::AABB_tree<CGAL::AABB_traits<K, Primitive>>;
  const geometry::ClosedMesh body =
      closed(test_bodies::noisy(test_bodies::pencil(3000), 0.3, 6, 4));
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
  const Tree tree(mesh.faces_begin(), mesh.faces_end(), mesh);
  const Plane plane{Vec3(0.02, 1, -0.03).normalized(), 0.1};
  const std::vector<double> all = deviation_mm(body, plane, serial_for);
  for (int v = 0; v < body.vertex_count(); ++v) {
    const Vec3 q = plane.reflected(body.positions_mm().col(v));
    const double distance = std::sqrt(tree.squared_distance({q.x(), q.y(), q.z()}));
    const double own = all[static_cast<std::size_t>(v)];
    // A square root near nil doubles the digits that rounding takes.
    ASSERT_NEAR(std::abs(own), distance, 1e-9) << "vertex " << v;
    if (distance > 1e-6 && v % 7 == 0) {
      ASSERT_EQ(own < 0, geometry::contains(body, q)) << "vertex " << v;
    }
  }
}

TEST(Deviation, IsTheSameBytesForAnyNumberOfThreads) {
  const geometry::ClosedMesh body =
      closed(test_bodies::noisy(test_bodies::pencil(6000), 0.3, 6, 2));
  const auto backwards_on_threads = [](int count, const std::function<void(int)>& each) {
    std::vector<std::thread> threads;
    for (int t = 0; t < 3; ++t) {
      threads.emplace_back([&, t] {
        for (int i = count - 1 - t; i >= 0; i -= 3) each(i);
      });
    }
    for (std::thread& thread : threads) thread.join();
  };
  const std::vector<double> one = deviations(body);
  const std::vector<double> three = deviation_mm(body, y_zero, backwards_on_threads);
  ASSERT_EQ(one.size(), three.size());
  EXPECT_EQ(std::memcmp(one.data(), three.data(), one.size() * sizeof(double)), 0);
}

// The same figures by the plainest sums: weights by vertex, a sort, a running sum.
TEST(DeviationStatistics, AreWhatPlainSumsGive) {
  const geometry::ClosedMesh body =
      closed(test_bodies::noisy(test_bodies::glider(2000), 0.4, 8, 5));
  const std::vector<double> all = deviations(body);
  std::vector<std::uint8_t> measured(static_cast<std::size_t>(body.facet_count()), 1);
  for (std::size_t f = 0; f < measured.size(); f += 5) measured[f] = 0;
  std::vector<double> weights(all.size(), 0.0);
  for (int f = 0; f < body.facet_count(); ++f) {
    if (measured[static_cast<std::size_t>(f)] == 0) continue;
    const Vec3 a = body.corner(f, 0);
    const double area = 0.5 * (body.corner(f, 1) - a).cross(body.corner(f, 2) - a).norm();
    for (int k = 0; k < 3; ++k) weights[static_cast<std::size_t>(body.facets()(k, f))] += area / 3;
  }
  const double whole = std::accumulate(weights.begin(), weights.end(), 0.0);
  double squares = 0;
  double sizes = 0;
  double proud = 0;
  double shy = 0;
  for (std::size_t v = 0; v < all.size(); ++v) {
    squares += weights[v] * all[v] * all[v];
    sizes += weights[v] * std::abs(all[v]);
    if (weights[v] > 0) {
      proud = std::max(proud, all[v]);
      shy = std::min(shy, all[v]);
    }
  }
  const DeviationStatistics ours = deviation_statistics(body, all, measured);
  EXPECT_NEAR(ours.rms, std::sqrt(squares / whole), 1e-12);
  EXPECT_NEAR(ours.mean_abs, sizes / whole, 1e-12);
  EXPECT_EQ(ours.max_proud, proud);
  EXPECT_EQ(ours.max_shy, shy);
  double at_or_below = 0;
  double below = 0;
  for (std::size_t v = 0; v < all.size(); ++v) {
    if (std::abs(all[v]) <= ours.p95) at_or_below += weights[v];
    if (std::abs(all[v]) < ours.p95) below += weights[v];
  }
  EXPECT_GE(at_or_below, 0.95 * whole * (1 - 1e-12));
  EXPECT_LT(below, 0.95 * whole);
}

TEST(DeviationStatistics, LeaveOutWhatWasMadeUpAndWhatMeetsIt) {
  TriangleMesh mesh = test_bodies::ellipsoid(60, 10, 12, 60, 60);
  // A hole on the left flank that was filled flat: one facet's width inside the skin.
  std::vector<std::uint8_t> measured(static_cast<std::size_t>(mesh.facet_count()), 1);
  std::vector<std::uint8_t> inner(static_cast<std::size_t>(mesh.vertex_count()), 0);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    Vec3 p = mesh.positions_mm.col(v);
    if (p.y() > -8 || std::abs(p.x()) > 15) continue;
    mesh.positions_mm(1, v) = -8;
    inner[static_cast<std::size_t>(v)] = 1;
  }
  for (int f = 0; f < mesh.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      if (inner[static_cast<std::size_t>(mesh.facets(k, f))] != 0) {
        measured[static_cast<std::size_t>(f)] = 0;
      }
    }
  }
  const geometry::ClosedMesh body = closed(mesh);
  const DeviationField field = deviation_field(body, y_zero, measured, serial_for);
  const DeviationStatistics seen = deviation_statistics(body, field, measured);
  EXPECT_LT(seen.max_proud, 0.05);
  EXPECT_GT(seen.max_shy, -0.05);
  // Without knowing of the hole the right flank would stand two millimetres proud.
  EXPECT_GT(deviation_statistics(body, deviations(body), {}).max_proud, 1.5);
}

TEST(Stations, LieAtStepsShortOfTheLengthOrAtTheMiddlesOfEqualSlices) {
  const geometry::ClosedMesh body =
      closed(test_bodies::moved(test_bodies::box(40, 8, 10), Mat3::Identity(), {20, 1, 0}));
  const std::vector<geometry::Section> steps = stations(body, 40, {.step_mm = 10});
  ASSERT_EQ(steps.size(), 3U);  // at 10, 20, 30; 40 is the end
  EXPECT_EQ(steps[2].x_mm, 30);
  EXPECT_NEAR(steps[0].left_half_width_mm, 3, 1e-12);
  EXPECT_NEAR(steps[0].right_half_width_mm, 5, 1e-12);
  EXPECT_NEAR(steps[0].left_area_mm2, 30, 1e-12);
  EXPECT_NEAR(steps[0].right_area_mm2, 50, 1e-12);
  EXPECT_NEAR(steps[0].height_mm(), 10, 1e-12);
  const std::vector<geometry::Section> middles = stations(body, 40, {.count = 4});
  ASSERT_EQ(middles.size(), 4U);
  EXPECT_NEAR(middles[0].x_mm, 5, 1e-12);
  EXPECT_NEAR(middles[3].x_mm, 35, 1e-12);
}

}  // namespace
}  // namespace trueblank::symmetry
