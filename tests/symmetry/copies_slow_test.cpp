// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "support/bodies.h"
#include "symmetry/copied_bodies.h"
#include "symmetry/copies.h"
#include "symmetry/marred_skins.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::bumped;
using test_bodies::closed;
using test_bodies::glider;
using test_bodies::noisy;

const Vec3 mould_at(45, 9.5, 0);
const Vec3 scatter_at(80, -7.2, 0);

struct Batch {
  double mould_mm = 0;    // a bump on the right flank, the same on all
  double scatter_mm = 0;  // one standard deviation of a bump on the left flank, each its own
  double noise_mm = 0.04;
};

// Twenty copies of a clean master, as scans.
CopiesResult twenty(const Batch& batch, unsigned seed) {
  std::mt19937 random(seed);
  const auto even = [&] { return (static_cast<double>(random()) + 0.5) / 4294967296.0; };
  const ClosedMesh master = closed(glider(4000));
  const ComparisonSkin master_skin(master);
  Copies all(master_skin);
  const TriangleMesh cast =
      batch.mould_mm > 0 ? bumped(glider(5000), batch.mould_mm, mould_at, 0.08) : glider(5000);
  const ScanNoise noise{batch.noise_mm / std::numbers::sqrt2, 2};
  for (unsigned i = 0; i < 20; ++i) {
    const double normal =
        std::sqrt(-2 * std::log(even())) * std::cos(2 * std::numbers::pi * even());
    TriangleMesh mesh = cast;
    if (batch.scatter_mm > 0) mesh = bumped(mesh, batch.scatter_mm * normal, scatter_at, 0.2);
    if (batch.noise_mm > 0) mesh = noisy(mesh, batch.noise_mm, 2, 1000 * seed + i);
    const ClosedMesh copy = closed(mesh);
    const Comparison c = compared(master_skin, ComparisonSkin(copy), {.noise = noise});
    all.add(c.master.field, c.noise);
  }
  return all.result();
}

TEST(TwentyCopies, TellTheMouldsErrorAndItsPlace) {
  for (unsigned seed = 1; seed <= 3; ++seed) {
    const CopiesResult result = twenty({.mould_mm = 0.5, .scatter_mm = 0.05}, seed);
    EXPECT_EQ(result.verdict, CopiesVerdict::mould) << seed;
    ASSERT_EQ(result.proud.size(), 1U) << seed;
    const MouldPatch& found = result.proud[0];
    EXPECT_LT(found.patch.from_station_mm, mould_at.x());
    EXPECT_GT(found.patch.to_station_mm, mould_at.x());
    EXPECT_EQ(found.patch.side, Side::right);
    EXPECT_NEAR(found.patch.greatest_mm, 0.5, 0.06);
    EXPECT_GT(*found.t, 10);
  }
}

TEST(TwentyCopies, TellScatterFromAMouldsError) {
  for (unsigned seed = 1; seed <= 3; ++seed) {
    const CopiesResult result = twenty({.scatter_mm = 0.4}, seed);
    EXPECT_EQ(result.verdict, CopiesVerdict::scatter) << seed;
    EXPECT_FALSE(result.mould_found) << seed;
    EXPECT_TRUE(result.proud.empty()) << seed;
    EXPECT_TRUE(result.shy.empty()) << seed;
    EXPECT_GT(result.scatter_rms_mm, 0.05);
    EXPECT_NEAR(result.spread_noise_mm, 0.04, 0.012);
  }
}

TEST(TwentyCopies, TellBothWhereThereAreBoth) {
  for (unsigned seed = 1; seed <= 3; ++seed) {
    const CopiesResult result = twenty({.mould_mm = 0.4, .scatter_mm = 0.4}, seed);
    EXPECT_TRUE(result.mould_found) << seed;
    EXPECT_TRUE(result.scatter_found) << seed;
    // The scatter's bump is as high and covers more than twice the skin.
    EXPECT_EQ(result.verdict, CopiesVerdict::scatter) << seed;
    ASSERT_EQ(result.proud.size(), 1U) << seed;
    EXPECT_EQ(result.proud[0].patch.side, Side::right) << seed;
  }
}

TEST(TwentyCopies, OfNoiseAlonePointToNothing) {
  int alarms = 0;
  for (unsigned seed = 1; seed <= 5; ++seed) {
    const CopiesResult result = twenty({}, seed);
    const bool quiet =
        result.verdict == CopiesVerdict::neither && result.proud.empty() && result.shy.empty();
    alarms += quiet ? 0 : 1;
  }
  EXPECT_EQ(alarms, 0);
}

}  // namespace
}  // namespace trueblank::symmetry
