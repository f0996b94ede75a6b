// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/alignment_search.h"

#include <gtest/gtest.h>

#include <functional>
#include <thread>

#include "support/bodies.h"
#include "symmetry/alignment_pairs.h"
#include "symmetry/marred_skins.h"

namespace trueblank::symmetry {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::closed;
using test_bodies::glider;
using test_bodies::needle;

TEST(AlignmentSearch, BringsTheSameBodyHomeToRounding) {
  const Put put = put_anywhere(3);
  const AlignmentFit fit = fit_alignment(closed(glider(4000)), {}, closed(put(glider(4000))), {});
  const Miss off = miss(fit, put);
  EXPECT_LT(off.turn_deg.norm(), 1e-6) << off.text();
  EXPECT_LT(off.shift_mm.norm(), 1e-7) << off.text();
  EXPECT_LT(fit.rms_mm, 1e-7);
  EXPECT_EQ(fit.motion.scale, 1);
  EXPECT_FALSE(fit.mirrored);
  EXPECT_EQ(fit.body.compared, 1);
  EXPECT_EQ(fit.other.compared, 1);
  ASSERT_TRUE(fit.runner_up_rms_mm);
  EXPECT_GT(*fit.runner_up_rms_mm, 0.1);
  ASSERT_TRUE(fit.size);
  EXPECT_NEAR(fit.size->factor, 1, 1e-7);
  EXPECT_FALSE(fit.likely_unit_factor);
  EXPECT_FALSE(fit.doubt.turn_is_open);
}

TEST(AlignmentSearch, TellsAMirroredBodyAndNoOther) {
  const TriangleMesh clean = glider(4000);
  const TriangleMesh body = test_bodies::bumped(clean, 0.8, test_bodies::on_a_flank(clean, 6), 0.1);
  Put put = put_anywhere(6);
  EXPECT_FALSE(fit_alignment(closed(body), {}, closed(put(body)), {}).mirrored);
  put.mirrored = true;
  const AlignmentFit fit = fit_alignment(closed(body), {}, closed(put(body)), {});
  EXPECT_TRUE(fit.mirrored);
  EXPECT_LT(miss(fit, put).shift_mm.norm(), 1e-6);
  EXPECT_FALSE(fit_alignment(closed(clean), {}, closed(put(clean)), {}).mirrored);
}

TEST(AlignmentSearch, LaysAHalfOnTheWhole) {
  const TriangleMesh whole = needle(4000);
  const double length = whole.positions_mm.row(0).maxCoeff();
  const PartScan half = part_of(whole, [=](const Vec3& p) { return p.x() < 0.5 * length; });
  const Put put = put_anywhere(8);
  const AlignmentFit fit = fit_alignment(closed(whole), {}, closed(put(half.mesh)), half.measured);
  EXPECT_LT(miss(fit, put).turn_deg.norm(), 1e-6);
  EXPECT_LT(miss(fit, put).shift_mm.norm(), 1e-6);
  EXPECT_GT(fit.other.compared, 0.95);
  EXPECT_LT(fit.body.compared, 0.6);
}

void two_threads(int count, const std::function<void(int)>& body) {
  std::thread other([&] {
    for (int i = 1; i < count; i += 2) body(i);
  });
  for (int i = 0; i < count; i += 2) body(i);
  other.join();
}

TEST(AlignmentSearch, GivesTheSameBytesWhateverTheThreads) {
  const geometry::ClosedMesh body = closed(test_bodies::noisy(needle(4000), 0.05, 2, 1));
  const geometry::ClosedMesh other = closed(put_anywhere(2)(needle(3000)));
  const AlignmentFit one = fit_alignment(body, {}, other, {}, {.fit_scale = true});
  const AlignmentFit two = fit_alignment(body, {}, other, {}, {.fit_scale = true}, two_threads);
  EXPECT_EQ(one.motion.turn, two.motion.turn);
  EXPECT_EQ(one.motion.shift_mm, two.motion.shift_mm);
  EXPECT_EQ(one.motion.scale, two.motion.scale);
  EXPECT_EQ(one.doubt.covariance, two.doubt.covariance);
  EXPECT_EQ(one.rms_mm, two.rms_mm);
  EXPECT_EQ(one.runner_up_rms_mm, two.runner_up_rms_mm);
}

}  // namespace
}  // namespace trueblank::symmetry
