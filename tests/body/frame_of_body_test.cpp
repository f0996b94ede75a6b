// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/frame_of_body.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

#include "support/bodies.h"

namespace trueblank::body {
namespace {

using geometry::ClosedMesh;
using geometry::Frame;
using geometry::Mat3;
using geometry::Moments;
using geometry::Plane;
using geometry::Vec3;
using test_bodies::closed;

// Of a cone of height 60 on a base of radius 10, about z from the base (z = 0) to the tip, the
// centroid lies a quarter of the height from the base.
ClosedMesh cone() { return closed(test_bodies::turned({{10, 0}, {0, 60}}, 48)); }

void expect_right_handed(const Frame& frame) {
  EXPECT_NEAR((frame.axes().transpose() * frame.axes() - Mat3::Identity()).norm(), 0, 1e-14);
  EXPECT_NEAR(frame.axes().determinant(), 1, 1e-14);
}

TEST(BodyFrame, RunsFromNoseToTailWithTheRightHandToY) {
  const ClosedMesh body = cone();
  const Moments whole = geometry::moments(body);
  const Frame frame = body_frame(body, whole, {Vec3::UnitX(), 0},
                                 {.nose = Vec3(0.2, 0.1, 1), .back = Vec3(0.3, -1, 0.4)});
  EXPECT_NEAR((frame.x - Vec3(0, 0, -1)).norm(), 0, 1e-12);  // the nose is the tip
  EXPECT_NEAR((frame.z - Vec3(0, -1, 0)).norm(), 0, 1e-12);
  // Facing along the nose (+z) with the back up (−y), the right hand points to nose × back.
  EXPECT_NEAR((frame.y - Vec3::UnitZ().cross(-Vec3::UnitY())).norm(), 0, 1e-12);
  EXPECT_NEAR((frame.origin_mm - Vec3(0, 0, 60)).norm(), 0, 1e-9);
  expect_right_handed(frame);
}

TEST(BodyFrame, LiesTheSameWhicheverWayTheHintsAreOffByLessThan45Degrees) {
  const ClosedMesh body = closed(test_bodies::pencil(2000));
  const Moments whole = geometry::moments(body);
  const Plane mirror{Vec3::UnitY(), 0};
  const Frame straight =
      body_frame(body, whole, mirror, {.nose = Vec3(-1, 0, 0), .back = Vec3(0, 0, 1)});
  for (const double turn : {-44.0, 44.0}) {
    const double angle = turn * std::numbers::pi / 180;
    const Frame hinted = body_frame(body, whole, mirror,
                                    {.nose = Vec3(-std::cos(angle), 0, std::sin(angle)),
                                     .back = Vec3(0, std::sin(angle), std::cos(angle))});
    EXPECT_EQ(hinted.axes(), straight.axes());
    EXPECT_EQ(hinted.origin_mm, straight.origin_mm);
  }
}

TEST(BodyFrame, HasItsOriginAtTheMostForwardStationOnTheLineThroughTheCentroid) {
  const ClosedMesh body = closed(test_bodies::glider(2000));
  const Moments whole = geometry::moments(body);
  const Plane mirror{Vec3::UnitY(), 0.25};  // a plane beside the centroid: the line is projected
  const Frame frame =
      body_frame(body, whole, mirror, {.nose = Vec3(-1, 0, 0), .back = Vec3(0, 0, 1)});
  EXPECT_NEAR(mirror.height_mm(frame.origin_mm), 0, 1e-12);
  const Vec3 centroid = frame.to_body(whole.centroid_mm);
  EXPECT_NEAR(centroid.z(), 0, 1e-12);
  EXPECT_NEAR(centroid.y(), -0.25, 1e-9);
  double least = 1e9;
  for (int v = 0; v < body.vertex_count(); ++v) {
    least = std::min(least, frame.to_body(body.positions_mm().col(v)).x());
  }
  EXPECT_NEAR(least, 0, 1e-12);
}

// The long axis is a principal axis within the plane: the product of inertia there is nil, and the
// spread along x is the greater.
TEST(BodyFrame, TakesTheAxisOfLeastInertiaWithinThePlane) {
  const ClosedMesh body = closed(test_bodies::pencil(2000));
  const Moments whole = geometry::moments(body);
  const Plane tilted{Vec3(0.2, 1, 0.1).normalized(), 0};
  const Frame frame = body_frame(body, whole, tilted, {});
  const Mat3 spread = frame.axes().transpose() * whole.spread_mm5 * frame.axes();
  EXPECT_NEAR(spread(0, 2) / spread(0, 0), 0, 1e-13);
  EXPECT_GT(spread(0, 0), spread(2, 2));
  EXPECT_NEAR(std::abs(frame.y.dot(tilted.normal)), 1, 1e-14);
}

TEST(BodyFrame, GuessesTheFullerEndAsTheNose) {
  const ClosedMesh body = cone();
  const Frame frame = body_frame(body, geometry::moments(body), {Vec3::UnitX(), 0}, {});
  EXPECT_NEAR((frame.x - Vec3::UnitZ()).norm(), 0, 1e-12);  // from the base to the tip
  const ClosedMesh over =
      body.moved(Eigen::AngleAxisd(std::numbers::pi, Vec3::UnitX()).matrix(), Vec3::Zero());
  const Frame turned = body_frame(over, geometry::moments(over), {Vec3::UnitX(), 0}, {});
  EXPECT_NEAR((turned.x + Vec3::UnitZ()).norm(), 0, 1e-12);
}

// A wedge-like bar whose section is fuller below the line from end to end than above it.
TEST(BodyFrame, GuessesTheDeeperSideAsTheBelly) {
  const auto belly_down = test_bodies::lofted(
      100, [](double t) { return 6 * std::sqrt(4 * t * (1 - t)); },
      [](double t) { return 8 * std::sqrt(4 * t * (1 - t)); },
      [](double t) { return -12 * t * (1 - t); }, 40, 32);
  const ClosedMesh body = closed(belly_down);
  const Frame frame = body_frame(body, geometry::moments(body), {Vec3::UnitY(), 0}, {});
  EXPECT_GT(frame.z.z(), 0.99);
}

TEST(BodyFrame, OfABodyAlikeBothWaysFollowsTheFilesAxes) {
  const ClosedMesh body = closed(test_bodies::box(100, 10, 20));
  const Frame frame = body_frame(body, geometry::moments(body), {Vec3::UnitY(), 0}, {});
  EXPECT_NEAR((frame.x - Vec3::UnitX()).norm(), 0, 1e-12);
  EXPECT_NEAR((frame.z - Vec3::UnitZ()).norm(), 0, 1e-12);
  EXPECT_NEAR((frame.origin_mm - Vec3(-50, 0, 0)).norm(), 0, 1e-12);
}

}  // namespace
}  // namespace trueblank::body
