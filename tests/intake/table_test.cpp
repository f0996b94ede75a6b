// SPDX-License-Identifier: GPL-3.0-or-later
// Bodies of known volume that stand on a table when they are scanned.
#include <gmock/gmock.h>

#include <Eigen/Geometry>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <random>
#include <utility>

#include "geometry/moments.h"
#include "intake/edges.h"
#include "intake/mend.h"
#include "support/bodies.h"

namespace trueblank::intake {
namespace {

using geometry::Mat3;
using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::ellipsoid;
using test_bodies::joined;
using test_bodies::moved;
using test_bodies::without;
using testing::HasSubstr;
using testing::IsEmpty;

double volume(const TriangleMesh& mesh) { return geometry::signed_volume_mm3(mesh, Vec3::Zero()); }

/// How a table comes into a scan.
struct Scene {
  double unseen = 1;     ///< mm of the body above the table that the scanner couldn't see
  double fillet = 0;     ///< mm: how far out the scan runs from the body down to the table
  double reach = 60;     ///< mm of table around the body
  double thickness = 0;  ///< of a plate; 0: a sheet
  double noise = 0;
  unsigned seed = 1;
};

std::vector<int> open_loop(const TriangleMesh& mesh) {
  const Corners facets(mesh.facets.reshaped().begin(), mesh.facets.reshaped().end());
  const Edges edges(facets, mesh.vertex_count());
  std::vector<std::pair<int, int>> open;
  for (int e = 0; e < edges.count(); ++e) {
    if (edges.half_edges(e).size() != 1) continue;
    const int h = edges.half_edges(e)[0];
    open.emplace_back(to_vertex(facets, h), from_vertex(facets, h));
  }
  const auto found = loops(open, true);
  EXPECT_EQ(found.size(), 1U);
  return found.front();
}

/// Goes on from a loop of vertices by one ring of as many; returns the new loop.
std::vector<int> add_ring(TriangleMesh& mesh, const std::vector<int>& loop,
                          const std::vector<Vec3>& places) {
  const int n = static_cast<int>(loop.size());
  const int from = mesh.vertex_count();
  const int facets = mesh.facet_count();
  mesh.positions_mm.conservativeResize(3, from + n);
  mesh.facets.conservativeResize(3, facets + 2 * n);
  std::vector<int> ring;
  for (int i = 0; i < n; ++i) {
    mesh.positions_mm.col(from + i) = places[static_cast<std::size_t>(i)];
    ring.push_back(from + i);
    const int j = (i + 1) % n;
    const int a = loop[static_cast<std::size_t>(i)];
    const int b = loop[static_cast<std::size_t>(j)];
    mesh.facets.col(facets + 2 * i) << a, b, from + i;
    mesh.facets.col(facets + 2 * i + 1) << b, from + j, from + i;
  }
  return ring;
}

TriangleMesh noisy(TriangleMesh mesh, double noise, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> normal;
  for (double& x : mesh.positions_mm.reshaped()) x += noise * normal(random);
  return mesh;
}

/// A body with its lowest point at z = 0, on a table at z = 0, in one mesh.
TriangleMesh on_table(const TriangleMesh& standing, const Scene& scene) {
  TriangleMesh mesh = without(standing, [&](const Vec3& p) { return p.z() < scene.unseen; });
  std::vector<int> loop = open_loop(mesh);
  Vec3 middle = Vec3::Zero();
  for (const int v : loop) middle += mesh.positions_mm.col(v) / static_cast<double>(loop.size());
  const auto outward = [&](int v) {
    Vec3 d = mesh.positions_mm.col(v) - middle;
    d.z() = 0;
    return d.normalized();
  };
  std::vector<Vec3> out;
  std::vector<Vec3> foot;
  for (const int v : loop) {
    out.push_back(outward(v));
    foot.emplace_back(mesh.positions_mm.col(v));
  }
  const auto ring_at = [&](double distance, double height) {  // height < 0: of the table itself
    std::vector<Vec3> places;
    for (std::size_t i = 0; i < foot.size(); ++i) {
      Vec3 p = foot[i] + distance * out[i];
      p.z() = height * foot[i].z();
      places.push_back(p);
    }
    return places;
  };
  constexpr int steps = 6;
  for (int k = 1; k <= steps; ++k) {  // a quarter circle, hollow
    const double turn = std::numbers::pi / 2 * k / steps;
    loop = add_ring(mesh, loop,
                    ring_at(scene.fillet * (1 - std::cos(turn)) + 0.05 * k / steps,
                            k == steps ? 0 : 1 - std::sin(turn)));
  }
  constexpr int rings = 24;
  for (int k = 1; k <= rings; ++k) {
    const double t = static_cast<double>(k) / rings;
    loop = add_ring(mesh, loop, ring_at(scene.fillet + 0.05 + scene.reach * t * (1 + t) / 2, 0));
  }
  if (scene.thickness > 0) {
    for (const double share : {0.5, 1.0, 1.0, 1.0}) {
      static const Vec3 down = -Vec3::UnitZ();
      std::vector<Vec3> places;
      for (const int v : loop) places.emplace_back(mesh.positions_mm.col(v));
      const bool edge = places.front().z() > -scene.thickness;
      for (Vec3& p : places) {
        if (edge)
          p = Vec3(p.x(), p.y(), 0) + share * scene.thickness * down;
        else
          p = Vec3(middle.x(), middle.y(), p.z()) * 0.6 + p * 0.4;
      }
      loop = add_ring(mesh, loop, places);
    }
    const int centre = mesh.vertex_count();
    mesh.positions_mm.conservativeResize(3, centre + 1);
    mesh.positions_mm.rightCols(1) << middle.x(), middle.y(), -scene.thickness;
    const int facets = mesh.facet_count();
    const int n = static_cast<int>(loop.size());
    mesh.facets.conservativeResize(3, facets + n);
    for (int i = 0; i < n; ++i) {
      mesh.facets.col(facets + i) << loop[static_cast<std::size_t>(i)],
          loop[static_cast<std::size_t>((i + 1) % n)], centre;
    }
  }
  return noisy(std::move(mesh), scene.noise, scene.seed);
}

TriangleMesh standing(const TriangleMesh& mesh) {
  return moved(mesh, Mat3::Identity(), Vec3(0, 0, -mesh.positions_mm.row(2).minCoeff()));
}

TriangleMesh egg() { return standing(ellipsoid(40, 12, 15, 90, 72)); }

int count_of(const MendedMesh& out, const std::string& what) {
  for (const Mended& m : out.mended) {
    if (m.what == what) return m.count;
  }
  return 0;
}

MendedMesh mended(const TriangleMesh& mesh, Table table = Table::unsaid) {
  return mend(mesh, {.how = Mend::holes, .table = table}, "scan.stl");
}

/// The table is gone, and the volume is the body's within the bound that is told.
void expect_cut(const TriangleMesh& scan, double truth, const std::string& which) {
  const MendedMesh out = mended(scan);
  EXPECT_GT(count_of(out, "table facets cut off"), 100) << which;
  const double found = volume(out.mesh);
  EXPECT_NEAR(found, truth, out.made_up_bound_mm3) << which;
  EXPECT_NEAR(found / truth, 1, 0.02) << which;
  EXPECT_LT(out.made_up_bound_mm3, 0.06 * truth) << which;
}

/// The skin of a box of unit cells that is hollow, with walls three cells thick and a vent through
/// one of them: one piece, whose inner floor looks up at the rest.
TriangleMesh vented_box(int length, int width, int height) {
  constexpr int wall = 3;
  const auto within = [](int i, int from, int to) { return i >= from && i < to; };
  const auto solid = [&](const std::array<int, 3>& at) {
    const auto [x, y, z] = at;
    if (!within(x, 0, length) || !within(y, 0, width) || !within(z, 0, height)) return false;
    const bool middle =
        within(y, width / 2 - 2, width / 2 + 2) && within(z, height / 2 - 2, height / 2 + 2);
    if (x >= length - wall && middle) return false;
    return !within(x, wall, length - wall) || !within(y, wall, width - wall) ||
           !within(z, wall, height - wall);
  };
  std::map<std::array<int, 3>, int> number;
  std::vector<int> facets;
  const auto add_side = [&](const std::array<int, 3>& cell, std::size_t axis, bool far) {
    std::array<int, 4> corners{};
    for (int k = 0; k < 4; ++k) {
      std::array<int, 3> at = cell;
      at[axis] += far ? 1 : 0;
      at[(axis + 1) % 3] += k == 1 || k == 2 ? 1 : 0;
      at[(axis + 2) % 3] += k >= 2 ? 1 : 0;
      corners[static_cast<std::size_t>(k)] =
          number.try_emplace(at, static_cast<int>(number.size())).first->second;
    }
    if (!far) std::swap(corners[1], corners[3]);
    const auto [a, b, c, d] = corners;
    facets.insert(facets.end(), {a, b, c, a, c, d});
  };
  for (int x = 0; x < length; ++x) {
    for (int y = 0; y < width; ++y) {
      for (int z = 0; z < height; ++z) {
        const std::array<int, 3> cell{x, y, z};
        if (!solid(cell)) continue;
        for (std::size_t axis = 0; axis < 3; ++axis) {
          for (const int way : {-1, 1}) {
            std::array<int, 3> beside = cell;
            beside[axis] += way;
            if (!solid(beside)) add_side(cell, axis, way > 0);
          }
        }
      }
    }
  }
  TriangleMesh mesh;
  mesh.positions_mm.resize(3, static_cast<Eigen::Index>(number.size()));
  for (const auto& [at, v] : number) mesh.positions_mm.col(v) = Vec3(at[0], at[1], at[2]);
  mesh.facets = Eigen::Map<const Eigen::Matrix3Xi>(facets.data(), 3,
                                                   static_cast<Eigen::Index>(facets.size() / 3));
  return mesh;
}

TEST(Table, ASheetThatTheBodyStandsOnIsCutOff) {
  const double truth = volume(egg());
  for (const double fillet : {0.0, 1.0, 3.0}) {
    for (const double noise : {0.0, 0.05, 0.12}) {
      for (const double thickness : {0.0, 4.0}) {
        for (const unsigned seed : {0U, 1U}) {
          if (seed == 1 && noise != 0.05) continue;
          const TriangleMesh scan = on_table(
              egg(), {.fillet = fillet, .thickness = thickness, .noise = noise, .seed = seed + 7});
          const TriangleMesh placed =
              seed == 0 ? scan : moved(scan, test_bodies::random_turn(seed), {20, -300, 70});
          expect_cut(placed, truth,
                     "fillet " + std::to_string(fillet) + ", noise " + std::to_string(noise) +
                         ", plate " + std::to_string(thickness) + ", turn " + std::to_string(seed));
        }
      }
    }
  }
}

TEST(Table, BodiesOfManyShapesStandOnIt) {
  for (const auto& [name, mesh] : {std::pair("pencil", test_bodies::pencil(16000)),
                                   {"glider", test_bodies::glider(16000)},
                                   {"needle", test_bodies::needle(16000)}}) {
    const TriangleMesh body = standing(mesh);
    for (const double fillet : {0.0, 2.0}) {
      expect_cut(on_table(body, {.fillet = fillet, .noise = 0.05}), volume(body),
                 std::string(name) + ", fillet " + std::to_string(fillet));
    }
  }
}

/// The upper half of an ellipsoid over z = 0, its flat side closed.
TriangleMesh half_egg() {
  const TriangleMesh open =
      without(ellipsoid(40, 12, 15, 90, 72), [](const Vec3& p) { return p.z() < 0; });
  return mend(open, Mend::holes, "half").mesh;
}

// Source: half of 4/3·π·abc, of the polyhedron; its walls stand upright on the table.
TEST(Table, AHalfBodyThatLiesOnItsFlatSideIsCutOffAtItsWalls) {
  const TriangleMesh half = half_egg();
  for (const double fillet : {0.0, 1.0}) {
    const MendedMesh out = mended(on_table(half, {.unseen = 0.3, .fillet = fillet, .noise = 0.03}));
    EXPECT_GT(count_of(out, "table facets cut off"), 100);
    EXPECT_NEAR(volume(out.mesh) / volume(half), 1, 0.01);
    EXPECT_NEAR(volume(out.mesh), volume(half), out.made_up_bound_mm3);
  }
}

TEST(Table, AFlatSideOfTheBodysOwnIsNeverCutUnasked) {
  const TriangleMesh half = half_egg();
  const MendedMesh out = mended(half);
  EXPECT_EQ(count_of(out, "table facets cut off"), 0);
  EXPECT_NEAR(volume(out.mesh), volume(half), 1e-9);
  ASSERT_EQ(out.warnings.size(), 1U);
  EXPECT_THAT(out.warnings[0], HasSubstr("of the skin is taken as the body's own; --table cut "
                                         "takes it off if it is a table."));
  EXPECT_THAT(mended(half, Table::keep).warnings, IsEmpty());
  const MendedMesh cut = mended(half, Table::cut);
  EXPECT_GT(count_of(cut, "table facets cut off"), 10);
  EXPECT_NEAR(volume(cut.mesh), volume(half), cut.made_up_bound_mm3 + 1e-9);
}

/// A body on a pin that comes out of a hole in its belly and stands on a disc.
TriangleMesh on_pin(const TriangleMesh& body, double radius, double length, double noise) {
  TriangleMesh mesh = without(
      body, [&](const Vec3& p) { return p.z() < 5 && std::hypot(p.x(), p.y()) < radius + 1.5; });
  std::vector<int> loop = open_loop(mesh);
  const auto circle = [&](double r, double z) {
    std::vector<Vec3> places;
    for (const int v : loop) {
      const Vec3 p = mesh.positions_mm.col(v);
      places.push_back(r / std::hypot(p.x(), p.y()) * Vec3(p.x(), p.y(), 0) + Vec3(0, 0, z));
    }
    return places;
  };
  for (int k = 0; k <= 10; ++k) loop = add_ring(mesh, loop, circle(radius, -0.5 - length * k / 10));
  for (int k = 1; k <= 10; ++k) {
    loop = add_ring(mesh, loop, circle(radius + 6.0 * k, -0.5 - length));
  }
  return noisy(std::move(mesh), noise, 5);
}

TEST(Table, APinThatHoldsTheBodyIsCutOffWithItsDisc) {
  const double truth = volume(egg());
  for (const double noise : {0.0, 0.03}) {
    for (const double length : {15.0, 40.0}) {
      const TriangleMesh scan =
          moved(on_pin(egg(), 2.5, length, noise), test_bodies::random_turn(4), {5, 6, 7});
      expect_cut(scan, truth, "pin of " + std::to_string(length));
    }
  }
}

TEST(Table, BodiesWithoutOneStayAsTheyAre) {
  for (const auto& [name, mesh] : test_bodies::closed_bodies()) {
    const MendedMesh out = mended(mesh);
    EXPECT_EQ(count_of(out, "table facets cut off"), 0) << name;
  }
  for (const auto& mesh :
       {test_bodies::box(100, 20, 30), test_bodies::box(100, 100, 10),
        test_bodies::turned({{8, 0}, {8, 50}, {8, 100}}, 64), test_bodies::pencil(9000),
        test_bodies::glider(9000), test_bodies::needle(9000)}) {
    const MendedMesh out = mended(mesh);
    EXPECT_THAT(out.warnings, IsEmpty());
    EXPECT_EQ(out.mesh.facets, mesh.facets);
    const TriangleMesh open = without(mesh, [](const Vec3& p) { return p.x() > 30; });
    EXPECT_EQ(count_of(mended(open), "table facets cut off"), 0);
  }
}

// Closed form: the box less its hollow and its vent.
TEST(Table, TheFloorOfAHollowBodyIsNone) {
  for (const int turned : {0, 1, 2}) {
    TriangleMesh mesh = vented_box(70, 24, 20);
    for (int k = 0; k < turned; ++k) {  // a floor of its own whichever way is up
      const Eigen::RowVectorXd x = mesh.positions_mm.row(0);
      mesh.positions_mm.row(0) = mesh.positions_mm.row(1);
      mesh.positions_mm.row(1) = mesh.positions_mm.row(2);
      mesh.positions_mm.row(2) = x;
    }
    const MendedMesh out = mended(mesh);
    EXPECT_EQ(out.mesh.facet_count(), mesh.facet_count());
    EXPECT_NEAR(volume(out.mesh), 70 * 24 * 20 - 64 * 18 * 14 - 3 * 16, 1e-6);
  }
}

TEST(Table, KeptWhenAskedAndByMendNone) {
  const TriangleMesh scan = on_table(egg(), {.fillet = 1});
  const MendedMesh kept = mended(scan, Table::keep);
  EXPECT_EQ(count_of(kept, "table facets cut off"), 0);
  // The sheet is closed on its underside, which adds nothing.
  EXPECT_NEAR(volume(kept.mesh) / volume(egg()), 1, 0.05);
  EXPECT_LT(kept.made_up_bound_mm3, 0.2 * volume(egg()));
  const MendedMesh none = mend(scan, {.how = Mend::none}, "scan.stl");
  EXPECT_EQ(none.mesh.facet_count(), scan.facet_count());
}

TEST(Table, ASheetOrAPlateOfItsOwnIsAnotherPiece) {
  const double truth = volume(egg());
  const TriangleMesh sheet =
      moved(test_bodies::sheet(200, 200, 40, 40), Mat3::Identity(), Vec3(0, 0, -0.4));
  const TriangleMesh plate =
      moved(test_bodies::turned({{100, -5}, {100, -1}}, 90), Mat3::Identity(), Vec3::Zero());
  for (const TriangleMesh& table : {noisy(sheet, 0.1, 3), plate}) {
    const MendedMesh out = mended(joined(egg(), table));
    EXPECT_NEAR(volume(out.mesh), truth, 1e-9);
  }
}

}  // namespace
}  // namespace trueblank::intake
