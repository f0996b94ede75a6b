// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/print_check.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>

#include "body/print_rooms.h"
#include "body/print_walls.h"
#include "print_bodies.h"

namespace trueblank::body {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;
using print_bodies::blocks;
using print_bodies::framed;
using print_bodies::hollow_ball;
using test_bodies::closed;

WallsAndGaps walls_of(const TriangleMesh& mesh, const PrintOptions& options = {}) {
  return measured_walls(closed(mesh), options, geometry::serial_for);
}

TriangleMesh hollow_box() {
  return test_bodies::joined(test_bodies::box(100, 20, 12),
                             test_bodies::inside_out(test_bodies::box(96, 16, 8)));
}

// A slab 60 mm long, 20 wide, 10 high, with a fin of that thickness and 6 mm height along it.
TriangleMesh slab_with_fin(double fin_mm) {
  return blocks({0, 60}, {-10, -fin_mm / 2, fin_mm / 2, 10}, {0, 10, 16},
                [](int, int j, int k) { return k == 0 || j == 1; });
}

// A block of 60 × 20 × 16 mm with a slot of that width and 6 mm depth along it.
TriangleMesh block_with_slot(double slot_mm) {
  return blocks({0, 60}, {-10, -slot_mm / 2, slot_mm / 2, 10}, {0, 10, 16},
                [](int, int j, int k) { return k == 0 || j != 1; });
}

// From 10 mm high at the nose to an edge 80 mm behind it; 20 mm wide.
TriangleMesh wedge() {
  const geometry::Mat3 turn =
      Eigen::AngleAxis<double>(-std::numbers::pi / 2, Vec3::UnitZ()).toRotationMatrix();
  return test_bodies::moved(test_bodies::prism({{0, -5}, {80, 0}, {0, 5}}, 20), turn, Vec3::Zero());
}

// All its walls are 2 mm, measured within the stuff alone: no corner of the box is thin.
TEST(WallThickness, OfAHollowBoxIsThatOfItsWalls) {
  const WallsAndGaps found = walls_of(hollow_box());
  EXPECT_TRUE(found.walls.places.empty());
  EXPECT_NEAR(found.walls.twentieth_mm.value(), 2, 1e-9);
  EXPECT_NEAR(found.walls.median_mm.value(), 2, 1e-9);
}

TEST(WallThickness, UnderTheLimitTheHollowBoxIsOneThinPlaceOfBothSides) {
  const WallsAndGaps found = walls_of(hollow_box(), {.wall_min_mm = 2.5});
  ASSERT_EQ(found.walls.places.size(), 1U);
  const ThinPlace& place = found.walls.places.front();
  EXPECT_NEAR(place.least_mm, 2, 1e-9);
  EXPECT_FALSE(place.runs_out);
  // At least what lies straight over against the other skin: twice the inner box's faces.
  EXPECT_GT(place.area_mm2, 0.98 * 4 * (96 * 16 + 96 * 8 + 16 * 8));
  EXPECT_EQ(place.under_one_mm2, 0);
}

// Of concentric balls the wall is the difference of the radii; a polyhedron of 192 corners around
// lies within it by 13·(1 − cos(π/192)) = 0.002 mm.
TEST(WallThickness, OfAHollowBallIsTheDifferenceOfItsRadii) {
  const WallsAndGaps found = walls_of(hollow_ball(15, 0, 96, 192));
  EXPECT_NEAR(found.walls.twentieth_mm.value(), 2, 0.005);
  EXPECT_NEAR(found.walls.median_mm.value(), 2, 0.005);
}

// The ball that touches the ends of an ellipsoid's least axis is as wide as that axis; so at the
// thinnest is an ellipsoid that is hollow and filled by a smaller one with the same middle.
TEST(WallThickness, OfAnEllipsoidShellIsLeastAcrossItsNarrowSide) {
  const TriangleMesh outer = test_bodies::ellipsoid(60, 12, 9, 100, 96);
  const TriangleMesh inner = test_bodies::ellipsoid(55, 11, 7, 100, 96);
  const WallsAndGaps found =
      walls_of(test_bodies::joined(outer, test_bodies::inside_out(inner)), {.wall_min_mm = 1.5});
  ASSERT_FALSE(found.walls.places.empty());
  EXPECT_NEAR(found.walls.least_mm.value(), 1, 0.03);  // 12 − 11 at the flanks
  EXPECT_NEAR(std::abs(found.walls.places.front().least_at_mm.y()), 11.5, 0.6);
}

TEST(WallThickness, OfASolidBodyIsNothingToNameSaveWhereItRunsOut) {
  const WallsAndGaps found = walls_of(test_bodies::pencil(6000));
  EXPECT_FALSE(found.walls.least_mm.has_value());
  EXPECT_TRUE(found.gaps.places.empty());
  EXPECT_FALSE(found.faces_over_air);
}

TEST(WallThickness, OfAFinIsTheFins) {
  const WallsAndGaps found = walls_of(slab_with_fin(0.4));
  ASSERT_EQ(found.walls.places.size(), 1U);
  const ThinPlace& place = found.walls.places.front();
  EXPECT_NEAR(place.least_mm, 0.4, 1e-9);
  EXPECT_FALSE(place.runs_out);
  EXPECT_NEAR(place.area_mm2, 2 * 60 * 6, 1e-6);
  EXPECT_NEAR(place.from_station_mm, 0, 0.5);
  EXPECT_NEAR(place.to_station_mm, 60, 0.5);
  EXPECT_EQ(place.under_one_mm2, 0);  // a nozzle of 0.4 mm just lays it
  EXPECT_EQ(walls_of(slab_with_fin(0.41), {.feature_mm = 0.2}).walls.places.size(), 0U);
}

TEST(WallThickness, UnderTheNozzlesWidthCannotBePrinted) {
  const WallsAndGaps found = walls_of(slab_with_fin(0.4), {.feature_mm = 0.5});
  ASSERT_EQ(found.walls.places.size(), 1U);
  EXPECT_NEAR(found.walls.places.front().under_one_mm2, 2 * 60 * 6, 1e-6);
}

// Skins at the angle a are the nozzle's width d apart, by the ball that touches both, where the
// ball touches at d / (2·tan(a/2)) from the edge: 0.4 / (2·5/80) = 3.2 mm.
TEST(WallThickness, OfAWedgeRunsOutAndLosesItsLastMillimetres) {
  const WallsAndGaps found = walls_of(wedge());
  ASSERT_EQ(found.walls.places.size(), 1U);
  const ThinPlace& place = found.walls.places.front();
  EXPECT_TRUE(place.runs_out);
  EXPECT_NEAR(place.lost_mm, 3.2, 1e-6);
  EXPECT_FALSE(found.walls.least_mm.has_value());
  EXPECT_TRUE(place.name.starts_with("tail, 74 to 80 mm")) << place.name;
  // Two faces of 20 mm width and that much along the slope, as far as samples tell.
  EXPECT_NEAR(place.under_one_mm2, 2 * 20 * 3.2, 8);
}

TEST(GapWidth, OfASlotIsTheSlots) {
  const WallsAndGaps found = walls_of(block_with_slot(0.5));
  ASSERT_EQ(found.gaps.places.size(), 1U);
  EXPECT_NEAR(found.gaps.least_mm.value(), 0.5, 1e-9);
  EXPECT_NEAR(found.gaps.places.front().area_mm2, 2 * 60 * 6, 1e-6);
  EXPECT_TRUE(found.walls.places.empty());
  EXPECT_TRUE(walls_of(block_with_slot(0.81)).gaps.places.empty());
}

// The same body turned, moved, its facets shuffled, has the same walls.
TEST(WallThickness, IsTheSameHoweverTheBodyLies) {
  const TriangleMesh moved = test_bodies::moved(test_bodies::shuffled(slab_with_fin(0.4), 7),
                                                test_bodies::random_turn(3), Vec3(900, -40, 7));
  const WallsAndGaps found = walls_of(moved);
  ASSERT_EQ(found.walls.places.size(), 1U);
  EXPECT_NEAR(found.walls.least_mm.value(), 0.4, 1e-9);
  EXPECT_NEAR(found.walls.places.front().area_mm2, 2 * 60 * 6, 1e-6);
}

constexpr double coarse = 6e4;  // cells, which are 0.76 mm wide about a ball of 30 mm

// Source: V = 4/3 π r³ of the room, less what the facets cut off; and half of the hole's own
// π·1.5²·2 mm³, more or less.
TEST(OpenRooms, ABallWithAHoleFloodsThroughTheHole) {
  const double room_mm3 = 4.0 / 3 * std::numbers::pi * 13 * 13 * 13;
  for (const unsigned seed : {1U, 2U}) {
    const geometry::Mat3 turn = test_bodies::random_turn(seed);
    const Vec3 shift(0.13, -0.41, 7.77);
    const Rooms found =
        open_rooms(closed(test_bodies::moved(hollow_ball(15, 1.5, 48, 96), turn, shift)),
                   geometry::serial_for);
    ASSERT_EQ(found.open.size(), 1U);
    const Chamber& room = found.open.front();
    ASSERT_TRUE(room.opening.has_value());
    EXPECT_NEAR(room.opening->width_mm, 3, 0.1);
    const Vec3 hole = turn * Vec3(0, 0, 14) + shift;
    EXPECT_LT((*room.opening->at_mm - hole).norm(), 1.5);
    EXPECT_LT((room.middle_mm - shift).norm(), 0.2);
    EXPECT_NEAR(room.volume_mm3, room_mm3, room.bound_mm3);
    EXPECT_LT(room.bound_mm3, 0.05 * room_mm3);
  }
}

TEST(OpenRooms, AWayInThatIsTooNarrowForTheGridIsToldWithoutAPlace) {
  const Rooms found =
      open_rooms(closed(hollow_ball(15, 0.05, 48, 96)), geometry::serial_for, coarse);
  ASSERT_EQ(found.open.size(), 1U);
  const Chamber& room = found.open.front();
  ASSERT_TRUE(room.opening.has_value());
  EXPECT_EQ(room.opening->width_mm, 0);
  EXPECT_FALSE(room.opening->at_mm.has_value());
  EXPECT_TRUE(room.opening->name.empty());
}

TEST(OpenRooms, AHoleDrilledAlikeAllTheWayIsNone) {
  const TriangleMesh drilled =
      blocks({0, 28.5, 31.5, 60}, {-10, -1.5, 1.5, 10}, {0, 4, 16},
             [](int i, int j, int k) { return k == 0 || i != 1 || j != 1; });
  EXPECT_TRUE(open_rooms(closed(drilled), geometry::serial_for, coarse).open.empty());
  EXPECT_TRUE(open_rooms(closed(test_bodies::torus(20, 6, 60, 30)), geometry::serial_for, coarse)
                  .open.empty());
}

TEST(Print, AHollowBodyIsWaterTightOrFloods) {
  TriangleMesh tight = hollow_ball(15, 0, 48, 96);
  TriangleMesh vented = hollow_ball(15, 1.5, 48, 96);
  tight.positions_mm.row(0) *= 2;
  vented.positions_mm.row(0) *= 2;
  const PrintCheck one = check_print(framed(tight), {}, geometry::serial_for);
  ASSERT_EQ(one.hollow.chambers.size(), 1U);
  EXPECT_FALSE(one.hollow.chambers.front().opening.has_value());
  const double room_mm3 = 2 * 4.0 / 3 * std::numbers::pi * 13 * 13 * 13;
  EXPECT_NEAR(one.hollow.chambers.front().volume_mm3, room_mm3, 0.005 * room_mm3);
  // Outside less inside, of polyhedra alike.
  EXPECT_NEAR(one.material_mm3 / one.hollow.chambers.front().volume_mm3,
              (15.0 * 15 * 15) / (13 * 13 * 13) - 1, 1e-9);

  const PrintCheck other = check_print(framed(vented), {}, geometry::serial_for);
  ASSERT_EQ(other.hollow.chambers.size(), 1U);
  const Chamber& room = other.hollow.chambers.front();
  ASSERT_TRUE(room.opening.has_value());
  EXPECT_NEAR(room.opening->width_mm, 3, 0.1);
  EXPECT_TRUE(room.opening->name.starts_with("back")) << room.opening->name;
  EXPECT_NEAR(room.volume_mm3, room_mm3, room.bound_mm3);
}

// A pencil whose vertices about one place of the right flank stand out by that much.
TriangleMesh pencil_with_bump(double out_mm) {
  TriangleMesh mesh = test_bodies::pencil(6000);
  for (Eigen::Index v = 0; v < mesh.positions_mm.cols(); ++v) {
    const Vec3 at = mesh.positions_mm.col(v);
    if (at.y() > 2 && (at - Vec3(70, at.y(), 1)).norm() < 4) mesh.positions_mm(1, v) += out_mm;
  }
  return mesh;
}

TEST(PrintMirror, ADrawnBodyIsTrueToTheLastDigit) {
  const MirrorTruth truth =
      check_print(framed(test_bodies::pencil(6000)), {}, geometry::serial_for).mirror;
  EXPECT_EQ(truth.is, Trueness::exact);
  EXPECT_LT(truth.greatest_mm, 1e-9);
  EXPECT_EQ(truth.vertices_mirrored, 1);
}

TEST(PrintMirror, TwoThousandthsAreShownWithTheirPlace) {
  const MirrorTruth truth =
      check_print(framed(pencil_with_bump(2e-3)), {}, geometry::serial_for).mirror;
  EXPECT_EQ(truth.is, Trueness::untrue);
  EXPECT_NEAR(truth.greatest_mm, 2e-3, 1e-4);
  ASSERT_EQ(truth.places.size(), 2U);  // proud on the right, shy on the left
  for (const UntruePlace& place : truth.places) {
    EXPECT_NEAR(place.greatest_at_mm.x(), 70, 4.5);
    EXPECT_EQ(place.name.starts_with("right flank"), place.greatest_mm > 0) << place.name;
  }
}

TEST(PrintMirror, HalfAThousandthIsWithinAThousandth) {
  const MirrorTruth truth =
      check_print(framed(pencil_with_bump(5e-4)), {}, geometry::serial_for).mirror;
  EXPECT_EQ(truth.is, Trueness::exact);
  EXPECT_NEAR(truth.greatest_mm, 5e-4, 5e-5);
  EXPECT_TRUE(truth.places.empty());
}

// Vertices on a true ellipsoid, but turned by a part of a step about its long axis: none stands
// over against another, and the skin is true all the same.
TriangleMesh twisted_ellipsoid(int rings, int around) {
  TriangleMesh mesh = test_bodies::ellipsoid(60, 12, 12, rings, around);
  const double turn = 2 * std::numbers::pi / around * 0.3;
  mesh = test_bodies::moved(mesh, Eigen::AngleAxis<double>(turn, Vec3::UnitX()).toRotationMatrix(),
                            Vec3::Zero());
  mesh.positions_mm.row(2) *= 9.0 / 12;
  return mesh;
}

TEST(PrintMirror, FacetsThatAreNotMirroredAreNoAsymmetry) {
  const MirrorTruth truth =
      check_print(framed(twisted_ellipsoid(80, 64)), {}, geometry::serial_for).mirror;
  EXPECT_EQ(truth.is, Trueness::facets);
  EXPECT_LT(truth.vertices_mirrored, 0.2);
  EXPECT_GT(truth.greatest_mm, MirrorTruth::limit_mm);
  EXPECT_GT(truth.facets_mm, 1e-3);
  EXPECT_LT(truth.facets_mm, 0.05);
}

TEST(PrintMirror, AFlawFarAboveTheFacetsIsShownAllTheSame) {
  TriangleMesh mesh = twisted_ellipsoid(80, 64);
  for (Eigen::Index v = 0; v < mesh.positions_mm.cols(); ++v) {
    const Vec3 at = mesh.positions_mm.col(v);
    if (at.y() > 6 && std::abs(at.x() - 10) < 6) mesh.positions_mm(1, v) += 0.3;
  }
  const MirrorTruth truth = check_print(framed(mesh), {}, geometry::serial_for).mirror;
  EXPECT_EQ(truth.is, Trueness::untrue);
  ASSERT_FALSE(truth.places.empty());
  EXPECT_NEAR(truth.greatest_mm, 0.3, 0.05);
}

// A box L × W turned by t takes up L·cos t + W·sin t along the bed and L·sin t + W·cos t across; on
// a bed of just that size at 30° no other turn has more room, as the first falls with t where the
// second rises.
TEST(BedFit, ABoxLiesAlongTheDiagonalWhereItJustFits) {
  const double c = std::cos(std::numbers::pi / 6);
  const double s = std::sin(std::numbers::pi / 6);
  const std::array<double, 3> bed = {100 * c + 20 * s, 100 * s + 20 * c, 50};
  const PrintCheck check =
      check_print(framed(test_bodies::box(100, 20, 12)), {.bed_mm = bed}, geometry::serial_for);
  const auto rest = std::ranges::find(check.rests, "belly down", &BedRest::name);
  ASSERT_NE(rest, check.rests.end());
  EXPECT_NEAR(rest->spare_mm, 0, 1e-6);
  EXPECT_NEAR(rest->turned_deg, 30, 1e-4);
  // On its flank it is 12 mm wide there, and has room to spare; as filed it is too long.
  EXPECT_EQ(check.rests.front().name, "on its flank");
  EXPECT_TRUE(check.rests.front().fits);
  const auto filed = std::ranges::find(check.rests, "as in the file", &BedRest::name);
  EXPECT_NEAR(filed->spare_mm, 100 * c + 20 * s - 100, 1e-9);
  const auto upright = std::ranges::find(check.rests, "upright", &BedRest::name);
  EXPECT_NEAR(upright->spare_mm, -50, 1e-9);
  EXPECT_TRUE(check.fits_bed());
}

TEST(BedFit, SaysByHowMuchItIsTooLong) {
  const PrintCheck check =
      check_print(framed(test_bodies::box(100, 20, 12)),
                  {.bed_mm = std::array<double, 3>{120, 15, 90}}, geometry::serial_for);
  // On its flank 12 mm by 100 mm: fits. Upright by 10 mm too high, belly down by 5 mm too wide.
  EXPECT_EQ(check.rests.front().name, "on its flank");
  EXPECT_NEAR(check.rests.front().spare_mm, 3, 1e-9);
  const auto down = std::ranges::find(check.rests, "as in the file", &BedRest::name);
  EXPECT_NEAR(down->spare_mm, -5, 1e-9);
}

TEST(Print, IsTheSameWhateverTheNumberOfThreads) {
  const FramedBody body = framed([] {
    TriangleMesh mesh = hollow_ball(15, 1.5, 24, 48);
    mesh.positions_mm.row(0) *= 2;
    return mesh;
  }());
  const auto reversed = [](int count, const std::function<void(int)>& run) {
    for (int i = count - 1; i >= 0; --i) run(i);
  };
  const PrintCheck one = check_print(body, {.wall_min_mm = 3}, geometry::serial_for);
  const PrintCheck other = check_print(body, {.wall_min_mm = 3}, reversed);
  ASSERT_EQ(one.walls.places.size(), other.walls.places.size());
  for (std::size_t i = 0; i < one.walls.places.size(); ++i) {
    EXPECT_EQ(one.walls.places[i].least_mm, other.walls.places[i].least_mm);
    EXPECT_EQ(one.walls.places[i].area_mm2, other.walls.places[i].area_mm2);
  }
  EXPECT_EQ(one.walls.median_mm, other.walls.median_mm);
  ASSERT_EQ(one.hollow.chambers.size(), 1U);
  ASSERT_EQ(other.hollow.chambers.size(), 1U);
  EXPECT_EQ(one.hollow.chambers.front().volume_mm3, other.hollow.chambers.front().volume_mm3);
  EXPECT_EQ(one.hollow.chambers.front().opening->width_mm,
            other.hollow.chambers.front().opening->width_mm);
}

}  // namespace
}  // namespace trueblank::body
