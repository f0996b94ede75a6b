// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/copy_in_frame.h"

#include <gtest/gtest.h>

#include <cstdio>
#include <fstream>
#include <string>
#include <utility>

#include "geometry/error.h"
#include "intake/write_mesh.h"
#include "support/bodies.h"

namespace trueblank::body {
namespace {

using geometry::Mat3;
using geometry::serial_for;
using geometry::TriangleMesh;

/// A lure, higher at its back than it is wide, that is unlike left and right.
TriangleMesh lopsided() {
  return test_bodies::moved(test_bodies::two_halves(70, 10, 12, 15, 20, 24), Mat3::Identity(),
                            Vec3(70, 0, 0));
}

class CopyInFrame : public testing::Test {
 protected:
  ~CopyInFrame() override { std::remove(path_.c_str()); }

  SoundBody load(const TriangleMesh& mesh, const BodyHints& hints = {}) {
    std::ofstream(path_, std::ios::binary) << intake::ply_bytes(mesh);
    return load_body(path_, hints, false, serial_for);
  }

  FramedBody frame(const TriangleMesh& mesh, const BodyHints& hints = {}) {
    std::ofstream(path_, std::ios::binary) << intake::ply_bytes(mesh);
    return load_framed_body(path_, hints, serial_for);
  }

 private:
  std::string path_ = testing::TempDir() + "trueblank_copy_" +
                      testing::UnitTest::GetInstance()->current_test_info()->name() + ".ply";
};

/// The motion of a file's axes into a frame in them.
symmetry::Motion into(const geometry::Frame& frame) {
  const Mat3 turn = frame.axes().transpose();
  return {.turn = turn, .shift_mm = -(turn * frame.origin_mm)};
}

symmetry::AlignmentFit fit_of(const symmetry::Motion& motion, bool mirrored = false) {
  symmetry::AlignmentFit fit;
  fit.motion = motion;
  fit.mirrored = mirrored;
  return fit;
}

double furthest_mm(const geometry::ClosedMesh& a, const geometry::ClosedMesh& b) {
  return (a.positions_mm() - b.positions_mm()).colwise().norm().maxCoeff();
}

// The very same body, laid on itself.
TEST_F(CopyInFrame, OfABodyLaidOnItselfIsThatBodyToTheBit) {
  const FramedBody master = frame(lopsided());
  const FramedBody copy = copy_in_frame(load(lopsided()), master, fit_of(into(master.frame)));
  EXPECT_EQ(copy.body->positions_mm(), master.body->positions_mm());
  EXPECT_EQ(copy.body->facets(), master.body->facets());
  EXPECT_EQ(copy.whole.volume_mm3, master.whole.volume_mm3);
  EXPECT_EQ(copy.outside_measured, master.outside_measured);
  EXPECT_EQ(copy.length_mm, master.length_mm);
  EXPECT_EQ(copy.guessed, master.guessed);
}

// A rigid motion and its inverse: the copy comes to lie on the master, and its frame leads there.
TEST_F(CopyInFrame, AMovedCopyComesToLieOnItsMaster) {
  const FramedBody master = frame(lopsided());
  const Mat3 turn = test_bodies::random_turn(3);
  const Vec3 shift(12, -40, 7);
  const symmetry::Motion home = into(master.frame);
  const symmetry::AlignmentFit fit =
      fit_of({.turn = home.turn * turn.transpose(),
              .shift_mm = home.shift_mm - home.turn * turn.transpose() * shift});
  const FramedBody copy =
      copy_in_frame(load(test_bodies::moved(lopsided(), turn, shift)), master, fit);
  EXPECT_LT(furthest_mm(*copy.body, *master.body), 1e-4);  // a PLY file of single precision
  const geometry::ClosedMesh by_frame = copy.frame.to_body(*copy.sound.closed);
  EXPECT_LT(furthest_mm(by_frame, *copy.body), 1e-10);
  EXPECT_NEAR(copy.plane.height_mm(copy.frame.to_file({30, 0, 5})), 0, 1e-10);
  EXPECT_NEAR(copy.plane.height_mm(copy.frame.to_file({30, 2, 5})), 2, 1e-10);
}

TEST_F(CopyInFrame, OneReadMirroredIsTurnedBack) {
  const FramedBody master = frame(lopsided());
  const FramedBody copy = copy_in_frame(load(test_bodies::mirrored_y(lopsided())), master,
                                        fit_of(into(master.frame), true));
  EXPECT_NEAR(copy.whole.volume_mm3, master.whole.volume_mm3, 1e-6);
  EXPECT_LT((copy.whole.centroid_mm - master.whole.centroid_mm).norm(), 1e-9);
  EXPECT_LT((copy.whole.inertia_mm5 - master.whole.inertia_mm5).norm(),
            1e-9 * master.whole.inertia_mm5.norm());
}

// Shrunk by 1 %, and a fit that took that out: it stays as small as it is, amid the master. For a
// body that shrank evenly about any point the centroids meet.
TEST_F(CopyInFrame, KeepsItsOwnSize) {
  const FramedBody master = frame(lopsided());
  const double factor = 0.99;
  const Vec3 about(10, 3, -2);
  symmetry::Motion home = into(master.frame);
  home.scale = 1 / factor;
  home.shift_mm -= home.turn * (1 / factor - 1) * about;
  const FramedBody copy = copy_in_frame(
      load(test_bodies::moved(lopsided(), Mat3::Identity(), (1 - factor) * about, factor)), master,
      fit_of(home));
  EXPECT_NEAR(copy.whole.volume_mm3, factor * factor * factor * master.whole.volume_mm3, 0.5);
  EXPECT_LT((copy.whole.centroid_mm - master.whole.centroid_mm).norm(), 1e-4);
  EXPECT_NEAR(copy.length_mm, factor * master.length_mm, 1e-4);
}

// A cavity of air: what the water sees is all within the outer skin.
TEST_F(CopyInFrame, AHollowCopyDisplacesAllOfItsOutside) {
  BodyHints hints;
  hints.cavity = Cavity::air;
  const TriangleMesh hollow = test_bodies::joined(
      lopsided(), test_bodies::inside_out(test_bodies::moved(
                      test_bodies::ellipsoid(40, 6, 8, 12, 12), Mat3::Identity(), Vec3(70, 0, 0))));
  const FramedBody master = frame(hollow, hints);
  const FramedBody copy = copy_in_frame(load(hollow, hints), master, fit_of(into(master.frame)));
  ASSERT_TRUE(master.outer);
  ASSERT_TRUE(copy.outer);
  EXPECT_EQ(copy.outer->positions_mm(), master.outer->positions_mm());
  EXPECT_EQ(copy.outside_measured, master.outside_measured);
}

TEST_F(CopyInFrame, RefusesOneThatStaysOpen) {
  const FramedBody master = frame(lopsided());
  BodyHints hints;
  hints.mend = intake::Mend::none;
  const TriangleMesh open =
      test_bodies::without(lopsided(), [](const Vec3& centre) { return centre.x() > 100; });
  EXPECT_THROW(static_cast<void>(copy_in_frame(load(open, hints), master, {})),
               geometry::InputError);
}

}  // namespace
}  // namespace trueblank::body
