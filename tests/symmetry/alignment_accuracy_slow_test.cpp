// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <functional>
#include <string>
#include <vector>

#include "geometry/moments.h"
#include "support/bodies.h"
#include "symmetry/alignment_pairs.h"
#include "symmetry/alignment_search.h"
#include "symmetry/marred_skins.h"
#include "symmetry/planted_plane.h"

namespace trueblank::symmetry {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::bumped;
using test_bodies::closed;
using test_bodies::glider;
using test_bodies::needle;
using test_bodies::on_a_flank;
using test_bodies::pencil;

constexpr double most_deg = 0.01;
constexpr double most_mm = 0.01;

AlignmentFit fitted(const TriangleMesh& body, const TriangleMesh& other, const Put& put,
                    const AlignmentSearchOptions& options = {}) {
  return fit_alignment(closed(body), {}, closed(put(other)), {}, options);
}

void expect_home(const AlignmentFit& fit, const Put& put, const std::string& what) {
  const Miss off = miss(fit, put);
  EXPECT_LT(off.turn_deg.norm(), most_deg) << what << ": " << off.text();
  EXPECT_LT(off.shift_mm.norm(), most_mm) << what << ": " << off.text();
}

// The back bent up by a parabola that lifts the end of the tail by `lift_mm`.
TriangleMesh with_lifted_tail(TriangleMesh mesh, double lift_mm, double share) {
  const double length = mesh.positions_mm.row(0).maxCoeff();
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    const double on = (mesh.positions_mm(0, v) / length - (1 - share)) / share;
    if (on > 0) mesh.positions_mm(2, v) += lift_mm * on * on;
  }
  return mesh;
}

TEST(AlignmentSearch, BringsCleanBodiesOfUnlikeMeshesHome) {
  const Put put = put_anywhere(4);
  expect_home(fitted(pencil(12000), pencil(9000), put), put, "pencil");
  expect_home(fitted(glider(12000), glider(9000), put), put, "glider");
  expect_home(fitted(needle(12000), needle(9000), put), put, "needle");
}

// 0.8 mm over a twentieth of the skin, on the other and on the body; 3 mm at the end of the tail.
TEST(AlignmentSearch, IsNotPulledByALocalDifference) {
  const Put put = put_anywhere(5);
  const TriangleMesh body = glider(12000);
  const TriangleMesh other = glider(9000);
  const Vec3 spot = on_a_flank(body, 2);
  expect_home(fitted(body, bumped(other, 0.8, spot, 0.05), put), put, "a bump on the other");
  expect_home(fitted(bumped(body, 0.8, spot, 0.05), other, put), put, "a bump on the body");
  expect_home(fitted(body, with_lifted_tail(other, 3, 0.1), put), put, "a lifted tail");
}

TEST(AlignmentSearch, TellsAMirroredBody) {
  const TriangleMesh clean = glider(9000);
  const Vec3 spot = on_a_flank(clean, 6);
  const TriangleMesh body = bumped(clean, 0.8, spot, 0.1);
  const TriangleMesh other = bumped(glider(7000), 0.8, spot, 0.1);
  Put put = put_anywhere(6);
  const AlignmentFit straight = fitted(body, other, put);
  EXPECT_FALSE(straight.mirrored);
  expect_home(straight, put, "not mirrored");
  put.mirrored = true;
  const AlignmentFit fit = fitted(body, other, put);
  EXPECT_TRUE(fit.mirrored);
  expect_home(fit, put, "mirrored");
  ASSERT_TRUE(fit.other_handed_rms_mm);
  EXPECT_GT(*fit.other_handed_rms_mm, 2 * fit.rms_mm);
  // What `placed` gives lies on the body, and so does what the matrix says.
  const geometry::ClosedMesh moved = placed(closed(put(other)), fit);
  const Eigen::Vector4d first = Vec3(put(other).positions_mm.col(0)).homogeneous();
  EXPECT_LT((moved.positions_mm().col(0) - other.positions_mm.col(0)).norm(), 2 * most_mm);
  EXPECT_LT(((fit.matrix() * first).head<3>() - moved.positions_mm().col(0)).norm(), 1e-9);
  // Not looked for, not told.
  EXPECT_FALSE(fitted(body, other, put, {.look_mirrored = false}).mirrored);
}

// A body that is its own mirror image fits both ways, clean or noisy.
TEST(AlignmentSearch, CallsNoTrueBodyMirrored) {
  Put put = put_anywhere(7);
  for (const bool mirrored : {false, true}) {
    put.mirrored = mirrored;
    EXPECT_FALSE(fitted(needle(6000), needle(5000), put).mirrored);
    EXPECT_FALSE(fitted(test_bodies::noisy(glider(6000), 0.1, 3, 1),
                        test_bodies::noisy(glider(5000), 0.2, 6, 2), put)
                     .mirrored);
  }
}

struct Part {
  std::string what;
  std::function<bool(const Vec3&)> keep;
};

double share_kept(const TriangleMesh& mesh, const Part& part) {
  const TriangleMesh rest =
      test_bodies::without(mesh, [&](const Vec3& p) { return !part.keep(p); });
  return geometry::area_mm2(rest) / geometry::area_mm2(mesh);
}

std::vector<Part> parts(const TriangleMesh& mesh) {
  const double length = mesh.positions_mm.row(0).maxCoeff();
  return {
      {"the front half", [=](const Vec3& p) { return p.x() < 0.5 * length; }},
      {"the back two thirds", [=](const Vec3& p) { return p.x() > length / 3; }},
      {"the left side", [](const Vec3& p) { return p.y() < -0.5; }},
      {"the upper skin", [](const Vec3& p) { return p.z() > 0; }},
  };
}

TEST(AlignmentSearch, LaysAPartOnTheWholeAndTheWholeOnAPart) {
  // Facets of about one size: with the smooth skin gone from one end, what coarser ones lie lower
  // by would be taken for a shift along the body.
  const TriangleMesh whole = glider(10000);
  const TriangleMesh other = glider(9000);
  const Put put = put_anywhere(8);
  for (const Part& part : parts(whole)) {
    const double share = share_kept(whole, part);
    const PartScan scan = part_of(other, part.keep);
    const AlignmentFit fit =
        fit_alignment(closed(whole), {}, closed(put(scan.mesh)), scan.measured);
    expect_home(fit, put, part.what + " on the whole");
    EXPECT_GT(fit.other.compared, 0.95) << part.what;
    EXPECT_NEAR(fit.body.compared, share, 0.03) << part.what;
    EXPECT_FALSE(fit.mirrored) << part.what;

    const AlignmentFit back =
        fit_alignment(closed(scan.mesh), scan.measured, closed(put(whole)), {});
    expect_home(back, put, "the whole on " + part.what);
    EXPECT_NEAR(back.other.compared, share, 0.03) << part.what;
  }
}

TEST(AlignmentSearch, FindsAKnownScale) {
  Put put = put_anywhere(9);
  put.scale = 0.982;
  const AlignmentFit fit = fitted(glider(9000), glider(7000), put, {.fit_scale = true});
  // Flat facets of two sizes let the finer body stand out by some thousandths of its width.
  EXPECT_NEAR(fit.motion.scale, 1 / 0.982, 4e-4);
  ASSERT_TRUE(fit.size);
  EXPECT_EQ(fit.size->factor, fit.motion.scale);
  EXPECT_LT(std::abs(fit.size->factor - 1 / 0.982), 3 * fit.size->sd);
  ASSERT_TRUE(fit.stretch);
  // Not asked for, the scale stays, but is told.
  const AlignmentFit kept = fitted(glider(9000), glider(7000), put);
  EXPECT_EQ(kept.motion.scale, 1);
  ASSERT_TRUE(kept.size);
  EXPECT_NEAR(kept.size->factor, 1 / 0.982, 1e-3);
  EXPECT_FALSE(kept.stretch);
}

// A copy that shrank by 0.4, 1.2 and 2 % along its axes.
TEST(AlignmentSearch, FindsThreeKnownFactors) {
  const Vec3 shrunk(0.996, 0.988, 0.98);
  TriangleMesh copy = glider(7000);
  copy.positions_mm = shrunk.asDiagonal() * copy.positions_mm;
  const AlignmentFit fit = fitted(glider(9000), copy, put_anywhere(10), {.fit_scale = true});
  ASSERT_TRUE(fit.stretch);
  for (int k = 0; k < 3; ++k) {
    const Factor& along = (*fit.stretch)[static_cast<std::size_t>(k)];
    EXPECT_NEAR(along.factor, 1 / shrunk[k], 1e-3) << k;
    EXPECT_LT(std::abs(along.factor - 1 / shrunk[k]), 3 * along.sd) << k;
  }
}

TEST(AlignmentSearch, TellsWrongUnits) {
  for (const double unit : {25.4, 10.0, 1000.0}) {
    Put put = put_anywhere(11);
    put.scale = 1 / unit;
    const AlignmentFit fit = fitted(needle(4000), needle(3000), put);
    ASSERT_TRUE(fit.likely_unit_factor) << unit;
    EXPECT_EQ(*fit.likely_unit_factor, unit);
    ASSERT_TRUE(fit.size) << unit;
    EXPECT_NEAR(fit.size->factor, unit, 1e-3 * unit);
    EXPECT_EQ(fit.motion.scale, 1);
    put.scale = unit;
    const AlignmentFit inverse = fitted(needle(4000), needle(3000), put);
    ASSERT_TRUE(inverse.likely_unit_factor) << unit;
    EXPECT_EQ(*inverse.likely_unit_factor, 1 / unit);
  }
}

TEST(AlignmentSearch, SaysThatTheTurnOfARoundBodyIsOpen) {
  const TriangleMesh round = test_bodies::moved(
      lathe_pencil(96), Eigen::AngleAxisd(std::acos(-1.0) / 2, Vec3::UnitY()).toRotationMatrix(),
      Vec3::Zero());
  const AlignmentFit fit = fitted(round, round, put_anywhere(12));
  EXPECT_TRUE(fit.doubt.turn_is_open);
  EXPECT_GT(fit.doubt.turn_deg.x(), 90);
  EXPECT_LT(fit.doubt.turn_deg.y(), 1);
  EXPECT_LT(fit.doubt.turn_deg.z(), 1);
  EXPECT_LT(fit.rms_mm, 0.02);
}

// The seeds are others than those of the long run.
TEST(AlignmentSearch, HoldsTheTruthInMostNoisyPairs) {
  const DoubtCount count = doubts_held(5000, 901, 6, false);
  for (const int held : count.held) EXPECT_GE(held, count.pairs - 1) << count.table;
}

}  // namespace
}  // namespace trueblank::symmetry
