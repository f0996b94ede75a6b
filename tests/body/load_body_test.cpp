// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/load_body.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <string>

#include "geometry/error.h"
#include "intake/write_mesh.h"
#include "support/bodies.h"

namespace trueblank::body {
namespace {

using geometry::InputError;
using geometry::Mat3;
using geometry::serial_for;
using geometry::TriangleMesh;
using test_bodies::box;
using test_bodies::moved;
using test_bodies::random_turn;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

class BodyFile : public testing::Test {
 protected:
  ~BodyFile() override { std::remove(path_.c_str()); }

  const std::string& write(const TriangleMesh& mesh) {
    std::ofstream(path_, std::ios::binary) << intake::ply_bytes(mesh);
    return path_;
  }

  SoundBody load(const TriangleMesh& mesh, const BodyHints& hints = {}) {
    return load_body(write(mesh), hints, false, serial_for);
  }

  FramedBody frame(const TriangleMesh& mesh, const BodyHints& hints = {}) {
    return load_framed_body(write(mesh), hints, serial_for);
  }

  std::string refusal(const TriangleMesh& mesh, const BodyHints& hints) {
    try {
      static_cast<void>(frame(mesh, hints));
    } catch (const InputError& error) {
      EXPECT_EQ(error.where, path_);
      return error.problem + "; " + error.mend;
    }
    return "not refused";
  }

 private:
  std::string path_ = testing::TempDir() + "trueblank_" +
                      testing::UnitTest::GetInstance()->current_test_info()->name() + ".ply";
};

TriangleMesh bar(double longest) { return box(longest, longest / 8, longest / 6); }

TEST(Directions, AreFileAxesOrVectors) {
  EXPECT_EQ(direction_named("+x"), Vec3(1, 0, 0));
  EXPECT_EQ(direction_named("-z"), Vec3(0, 0, -1));
  EXPECT_EQ(direction_named("y"), Vec3(0, 1, 0));
  EXPECT_EQ(direction_named("0,-5,0"), Vec3(0, -1, 0));
  const std::optional<Vec3> vector = direction_named(" 0.3, -0.9,+0.1 ");
  ASSERT_TRUE(vector);
  EXPECT_NEAR((*vector - Vec3(0.3, -0.9, 0.1).normalized()).norm(), 0, 1e-15);
  for (const char* nonsense : {"", "+", "w", "xx", "1,2", "1,2,3,4", "0,0,0", "1,,2", "1,2,x",
                               "nan,0,1", "inf,0,0", "--x"}) {
    EXPECT_FALSE(direction_named(nonsense)) << nonsense;
  }
}

TEST(Units, AreFourByName) {
  EXPECT_EQ(mm_per(*unit_named("mm")), 1);
  EXPECT_EQ(mm_per(*unit_named("cm")), 10);
  EXPECT_EQ(mm_per(*unit_named("m")), 1000);
  EXPECT_EQ(mm_per(*unit_named("in")), 25.4);
  EXPECT_FALSE(unit_named("ft"));
  EXPECT_EQ(scale_from_name(ScaleFrom::guessed), "guessed");
}

TEST_F(BodyFile, IsTakenInMmBetween20And1000) {
  for (const double longest : {20.5, 165.0, 999.0}) {
    const SoundBody body = load(bar(longest));
    EXPECT_EQ(body.input.scale_from, ScaleFrom::assumed) << longest;
    EXPECT_EQ(body.input.scale_mm_per_unit, 1) << longest;
    EXPECT_THAT(body.warnings, IsEmpty()) << longest;
    EXPECT_NEAR(body.size_mm[0], longest, 1e-9);
  }
}

// 0.165 m is 165 mm, and is neither in inches (4.2 mm) nor in cm (1.65 mm). 6.5 is 165 mm in inches
// and 65 mm in cm: two likely lures, so mm are kept. 16 in cm is 160 mm, in inches 406.
TEST_F(BodyFile, IsTakenInTheOnlyOtherUnitThatMakesALikelyLure) {
  const SoundBody metres = load(bar(0.165));
  EXPECT_EQ(metres.input.scale_from, ScaleFrom::guessed);
  EXPECT_EQ(metres.input.scale_mm_per_unit, 1000);
  EXPECT_NEAR(metres.size_mm[0], 165, 1e-9);
  ASSERT_TRUE(metres.closed);
  EXPECT_NEAR(metres.closed->positions_mm().row(0).maxCoeff(), 82.5, 1e-9);
  EXPECT_THAT(metres.warnings,
              ElementsAre("The file names no unit: read as mm the body would be 0.1650 mm long, so "
                          "it is taken to be in m, 165.0 mm long; --units or --length says for "
                          "sure."));
  EXPECT_EQ(load(bar(16)).input.scale_mm_per_unit, 10);
  EXPECT_EQ(load(bar(3)).input.scale_mm_per_unit, 25.4);
  const SoundBody either = load(bar(6.5));
  EXPECT_EQ(either.input.scale_mm_per_unit, 1);
  EXPECT_EQ(either.input.scale_from, ScaleFrom::assumed);
  EXPECT_THAT(either.warnings, Contains(HasSubstr("--units or --length sets its scale")));
  EXPECT_EQ(load(bar(1500)).input.scale_mm_per_unit, 1);
}

// Turned cornerwise a bar of 19.5 mm would stretch over 20 mm of the file's axes, or less of each.
TEST_F(BodyFile, IsMeasuredAlongItsOwnAxesWhateverItsTurn) {
  for (const unsigned seed : {1U, 2U}) {
    const SoundBody turned = load(moved(box(19.5, 4, 6), random_turn(seed), {7, 8, 9}));
    EXPECT_EQ(turned.input.scale_mm_per_unit, 10);
    EXPECT_NEAR(turned.size_mm[0], 195, 1e-9);
    EXPECT_NEAR(turned.size_mm[1], 60, 1e-9);
    EXPECT_NEAR(turned.size_mm[2], 40, 1e-9);
  }
}

TEST_F(BodyFile, FollowsTheUnitThatIsSaidWithoutAWord) {
  const SoundBody body = load(bar(6.5), {.units = Unit::in});
  EXPECT_EQ(body.input.scale_from, ScaleFrom::units);
  EXPECT_NEAR(body.size_mm[0], 165.1, 1e-9);
  EXPECT_THAT(body.warnings, IsEmpty());
}

TEST_F(BodyFile, HasExactlyTheLengthThatIsSaid) {
  const FramedBody body =
      frame(moved(test_bodies::pencil(2000), random_turn(3), {1, 2, 3}, 0.31), {.length_mm = 165});
  EXPECT_EQ(body.sound.input.scale_from, ScaleFrom::length);
  EXPECT_NEAR(body.length_mm, 165, 1e-10);
  EXPECT_NEAR(body.body->positions_mm().row(0).minCoeff(), 0, 1e-10);
  EXPECT_NEAR(body.body->positions_mm().row(0).maxCoeff(), 165, 1e-10);
  ASSERT_TRUE(body.fit.plane);
  // The plane and the frame are scaled with the body.
  EXPECT_NEAR(body.plane.height_mm(body.frame.origin_mm), 0, 1e-10);
  EXPECT_NEAR(body.whole.centroid_mm.y(), 0, 1e-9);
  // The same as by the unit that this length amounts to.
  EXPECT_NEAR(
      load(moved(test_bodies::pencil(2000), random_turn(3), {1, 2, 3}, 0.31), {.length_mm = 165})
          .input.scale_mm_per_unit,
      body.sound.input.scale_mm_per_unit, 1e-12);
}

TEST_F(BodyFile, KeepsTheUnitWhereALengthContradictsIt) {
  const FramedBody body = frame(test_bodies::pencil(1500), {.units = Unit::mm, .length_mm = 165});
  EXPECT_NEAR(body.length_mm, 140, 1);
  EXPECT_THAT(body.sound.warnings, Contains(HasSubstr("the unit was kept")));
}

TEST_F(BodyFile, IsFramedByTheHintsHoweverItLies) {
  const TriangleMesh pencil = test_bodies::pencil(2000);
  const FramedBody home = frame(pencil, {.nose = Vec3(-1, 0, 0), .back = Vec3(0, 0, 1)});
  EXPECT_FALSE(home.guessed);
  EXPECT_THAT(home.sound.warnings, IsEmpty());
  EXPECT_TRUE(home.fit.well_determined);
  EXPECT_NEAR((home.frame.y - Vec3::UnitY()).norm(), 0, 1e-9);
  for (const unsigned seed : {4U, 5U}) {
    const Mat3 turn = random_turn(seed);
    // The hints 40° off, each its own way.
    const FramedBody body =
        frame(moved(pencil, turn, {500, -20, 3}),
              {.nose = turn * Vec3(-1, 0.5, -0.6), .back = turn * Vec3(0.4, -0.7, 1)});
    EXPECT_NEAR((body.frame.axes() - turn * home.frame.axes()).norm(), 0, 1e-9);
    EXPECT_NEAR((body.whole.centroid_mm - home.whole.centroid_mm).norm(), 0, 1e-7);
    EXPECT_NEAR(body.length_mm, home.length_mm, 1e-9);
    EXPECT_NEAR((body.plane.normal - body.frame.y).norm(), 0, 0);
  }
}

TEST_F(BodyFile, HasItsNoseAtTheEndNearerToTheNosePoint) {
  const TriangleMesh pencil = test_bodies::pencil(1500);
  const FramedBody fore = frame(pencil, {.nose_point = Vec3(2, 0, -6), .back = Vec3(0, 0, 1)});
  EXPECT_GT(fore.frame.x.x(), 0.99);
  EXPECT_FALSE(fore.guessed);
  const FramedBody aft =
      frame(moved(pencil, Mat3::Identity(), Vec3::Zero(), 0.1),
            {.length_mm = 140, .nose_point = Vec3(135, 0, 8), .back = Vec3(0, 0, 1)});
  EXPECT_LT(aft.frame.x.x(), -0.99);
}

TEST_F(BodyFile, SaysWhatItGuessed) {
  const FramedBody body = frame(test_bodies::pencil(2000));
  EXPECT_TRUE(body.guessed);
  ASSERT_EQ(body.sound.warnings.size(), 1U);
  EXPECT_THAT(body.sound.warnings[0],
              HasSubstr("a guess from the shape; --nose or --nose-point and --back set them"));
  const FramedBody half = frame(test_bodies::pencil(2000), {.nose = Vec3(-1, 0, 0)});
  EXPECT_TRUE(half.guessed);
  EXPECT_THAT(half.sound.warnings, Contains(HasSubstr("--back sets it")));
}

TriangleMesh round_body() {
  return test_bodies::lofted(
      150, [](double t) { return 8 * std::sqrt(4 * t * (1 - t)) * (1.2 - 0.5 * t); },
      [](double t) { return 8 * std::sqrt(4 * t * (1 - t)) * (1.2 - 0.5 * t); },
      [](double) { return 0.0; }, 40, 48);
}

TEST_F(BodyFile, ThatIsRoundStillHasAFrameAndSaysThatAnyTurnWillDo) {
  const FramedBody open = frame(round_body());
  EXPECT_TRUE(open.fit.round);
  EXPECT_FALSE(open.fit.plane);
  EXPECT_FALSE(open.fit.well_determined);
  EXPECT_TRUE(open.guessed);
  EXPECT_NEAR((open.frame.z - Vec3::UnitZ()).norm(), 0, 1e-6);
  EXPECT_THAT(open.sound.warnings, Contains(HasSubstr("Any turn will do")));
  const FramedBody hinted =
      frame(round_body(), {.nose = Vec3(-1, 0, 0), .back = Vec3(0.3, 0.5, 1)});
  ASSERT_TRUE(hinted.fit.plane);
  EXPECT_FALSE(hinted.fit.well_determined);
  EXPECT_FALSE(hinted.guessed);
  EXPECT_EQ(hinted.fit.from, symmetry::PlaneFrom::back);
  EXPECT_NEAR((hinted.frame.z - Vec3(0, 0.5, 1).normalized()).norm(), 0, 1e-6);
}

TEST_F(BodyFile, WithSeveralPlanesAsksForTheBack) {
  const FramedBody open = frame(box(120, 10, 20));
  EXPECT_FALSE(open.fit.plane);
  EXPECT_NEAR(std::abs(open.frame.y.y()), 1, 1e-9);  // narrower across than high, as most lures
  EXPECT_THAT(open.sound.warnings, Contains(HasSubstr("give --back or --split-line")));
}

TEST_F(BodyFile, TakesAPlaneOrASplitLineAsGivenInMm) {
  const TriangleMesh small = moved(test_bodies::pencil(1500), Mat3::Identity(), {0, 0.02, 0}, 0.01);
  const FramedBody by_line =
      frame(small, {.units = Unit::cm,
                    .nose = Vec3(-1, 0, 0),
                    .back = Vec3(0, 0, 1),
                    .split_line = {{Vec3(0, 0.3, 0), Vec3(14, 0.3, 0), Vec3(7, 0.3, 1)}}});
  EXPECT_EQ(by_line.fit.from, symmetry::PlaneFrom::split_line);
  EXPECT_NEAR((by_line.plane.normal - Vec3::UnitY()).norm(), 0, 1e-12);
  EXPECT_NEAR(by_line.plane.offset_mm, 0.3, 1e-12);
  const FramedBody by_plane = frame(small, {.length_mm = 140,
                                            .nose = Vec3(-1, 0, 0),
                                            .back = Vec3(0, 0, 1),
                                            .plane = geometry::Plane{Vec3(0, -2, 0), -4.4}});
  EXPECT_EQ(by_plane.fit.from, symmetry::PlaneFrom::given);
  EXPECT_NEAR(by_plane.plane.offset_mm, 2.2, 1e-12);
  EXPECT_NEAR(by_plane.plane.normal.y(), 1, 1e-12);
}

TEST_F(BodyFile, IsRefusedWithHintsThatCannotBe) {
  const TriangleMesh pencil = test_bodies::pencil(1500);
  EXPECT_THAT(refusal(pencil, {.nose = Vec3(0, 1, 0.1), .back = Vec3(0, 0, 1)}),
              HasSubstr("off the long axis; give --nose along the long axis, to 45° at most"));
  EXPECT_THAT(refusal(pencil, {.back = Vec3(1, 0, 0.1)}),
              HasSubstr("off the long axis; give --back square to the long axis, to 45° at most"));
  EXPECT_THAT(refusal(round_body(), {.back = Vec3(1, 0, 0)}), HasSubstr("give --back square"));
  EXPECT_EQ(refusal(pencil, {.length_mm = -3}),
            "the length must be more than 0 mm; give the length over all, square to its ends");
  EXPECT_THAT(refusal(pencil, {.split_line = {{Vec3(0, 0, 0), Vec3(1, 0, 0), Vec3(2, 0, 0)}}}),
              HasSubstr("in one straight line"));
  EXPECT_THAT(refusal(pencil, {.plane = geometry::Plane{Vec3::Zero(), 1}}),
              HasSubstr("normal has no length"));
}

TEST_F(BodyFile, ThatIsHollowIsFramedByItsOutside) {
  const TriangleMesh outer = test_bodies::ellipsoid(60, 9, 12, 48, 32);
  const TriangleMesh hollow = test_bodies::joined(
      outer, test_bodies::inside_out(moved(test_bodies::ellipsoid(30, 3, 4, 24, 16),
                                           Mat3::Identity(), Vec3(0, 3, 0), 1)));
  const FramedBody framed =
      frame(hollow, {.units = Unit::mm, .nose = -Vec3::UnitX(), .back = Vec3::UnitZ()});
  ASSERT_EQ(framed.outside_measured.size(), static_cast<std::size_t>(hollow.facet_count()));
  EXPECT_EQ(std::ranges::count(framed.outside_measured, 1), outer.facet_count());
  // The mirror plane is that of the outside, y = 0, though the stuff lies off it.
  EXPECT_NEAR(framed.plane.offset_mm, 0, 1e-3);
  EXPECT_NEAR(std::abs(framed.plane.normal.y()), 1, 1e-6);
  EXPECT_LT(framed.whole.centroid_mm.y(), -0.01);
}

TEST_F(BodyFile, ThatStaysOpenHasASizeButNoFrame) {
  const TriangleMesh open =
      test_bodies::without(box(120, 10, 20), [](const Vec3& middle) { return middle.x() > 59; });
  const SoundBody body = load(open, {.mend = intake::Mend::none});
  EXPECT_FALSE(body.closed);
  EXPECT_NEAR(body.size_mm[0], 120, 1);
  EXPECT_EQ(refusal(open, {.mend = intake::Mend::none}),
            "the body stays open (1 open loop), so it has no volume; leave --mend at holes");
  EXPECT_TRUE(load(open).closed);
}

}  // namespace
}  // namespace trueblank::body
