// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/copies.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <memory>
#include <numbers>
#include <vector>

#include "support/bodies.h"
#include "symmetry/chance.h"
#include "symmetry/copied_bodies.h"
#include "symmetry/marred_skins.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Mat3;
using geometry::TriangleMesh;
using geometry::Vec3;
using test_bodies::bumped;
using test_bodies::closed;
using test_bodies::glider;
using test_bodies::noisy;

// Copies as the tool adds them: each is compared, then forgotten.
CopiesResult result_of(const TriangleMesh& of_master, const std::vector<TriangleMesh>& copies,
                       const ScanNoise& noise) {
  const ClosedMesh master = closed(of_master);
  const ComparisonSkin master_skin(master);
  Copies all(master_skin);
  for (const TriangleMesh& mesh : copies) {
    const ClosedMesh copy = closed(mesh);
    const ComparisonSkin skin(copy);
    const Comparison c = compared(master_skin, skin, {.noise = noise});
    all.add(c.master.field, c.noise);
  }
  return all.result();
}

// Deviations that are told vertex by vertex.
DeviationField told(const ClosedMesh& master, const std::vector<double>& copy_proud_mm) {
  DeviationField field{copy_proud_mm,
                       std::vector<std::uint8_t>(copy_proud_mm.size(), 1),
                       master.positions_mm(),
                       std::vector<int>(copy_proud_mm.size(), 0),
                       {},
                       Against::other_body,
                       {}};
  for (double& deviation : field.deviation_mm) deviation = -deviation;
  return field;
}

// Worked by hand: at every vertex 1, 2 and 6 → mean 3, spread √((4 + 1 + 9)/2) = √7. All places
// say the same, so there is one: F = 3²/(7/3) = 27/7 with 1 and 2 degrees of freedom, t = √F, and
// for two degrees P = 1 − t/√(2 + t²) (Student 1908).
TEST(Copies, AddUpAsByHand) {
  const ClosedMesh master = closed(test_bodies::ellipsoid(30, 10, 12, 20, 24));
  const ComparisonSkin skin(master);
  Copies all(skin);
  const std::size_t count = static_cast<std::size_t>(master.vertex_count());
  for (const double value : {1.0, 2.0, 6.0}) {
    all.add(told(master, std::vector<double>(count, value)), {});
  }
  const CopiesResult result = all.result();
  EXPECT_EQ(result.copies, 3);
  for (std::size_t v = 0; v < count; ++v) {
    ASSERT_NEAR(result.mean_mm[v], 3, 1e-12);
    ASSERT_NEAR(result.spread_mm[v], std::sqrt(7.0), 1e-12);
    ASSERT_EQ(result.counts[v], 3);
  }
  EXPECT_NEAR(result.mean_rms_mm, 3, 1e-12);
  EXPECT_NEAR(result.spread_rms_mm, std::sqrt(7.0), 1e-12);
  EXPECT_NEAR(result.mould_rms_mm, std::sqrt(9 - 7.0 / 3), 1e-12);
  EXPECT_NEAR(result.scatter_rms_mm, std::sqrt(7.0), 1e-12);
  ASSERT_TRUE(result.F);
  EXPECT_NEAR(*result.F, 27.0 / 7, 1e-9);
  EXPECT_NEAR(result.freedom_above, 1, 1e-9);
  EXPECT_NEAR(result.freedom_below, 2, 1e-9);
  const double t = std::sqrt(27.0 / 7);
  EXPECT_NEAR(result.chance, 1 - t / std::sqrt(2 + t * t), 1e-9);
  EXPECT_FALSE(result.mould_found);
  EXPECT_EQ(result.verdict, CopiesVerdict::scatter);
}

// Where a copy did not measure a place, its mean is that of the others.
TEST(Copies, HaveNoSayWhereTheyDidNotMeasure) {
  const ClosedMesh master = closed(test_bodies::ellipsoid(30, 10, 12, 20, 24));
  const ComparisonSkin skin(master);
  Copies all(skin);
  const std::size_t count = static_cast<std::size_t>(master.vertex_count());
  for (const double value : {1.0, 2.0, 6.0}) {
    DeviationField field = told(master, std::vector<double>(count, value));
    for (std::size_t v = 0; v < count; ++v) {
      if (value == 6 && master.positions_mm()(0, static_cast<Eigen::Index>(v)) > 0) {
        field.counted[v] = 0;
      }
    }
    all.add(field, {});
  }
  const CopiesResult result = all.result();
  for (std::size_t v = 0; v < count; ++v) {
    const bool two = master.positions_mm()(0, static_cast<Eigen::Index>(v)) > 0;
    ASSERT_EQ(result.counts[v], two ? 2 : 3);
    ASSERT_NEAR(result.mean_mm[v], two ? 1.5 : 3, 1e-12);
    ASSERT_NEAR(result.spread_mm[v], two ? std::sqrt(0.5) : std::sqrt(7.0), 1e-12);
  }
}

// Source: chance of t in closed form for one and two degrees (Student 1908; arctangent), F(2, d) by
// (1 + 2f/d)^(−d/2), and F(1, d) = t²(d).
TEST(Chance, IsThatOfTheClosedForms) {
  for (const double t : {0.1, 1.0, 3.0, 30.0}) {
    EXPECT_NEAR(chance_of_t(t, 1), 1 - 2 * std::atan(t) / std::numbers::pi, 1e-13);
    EXPECT_NEAR(chance_of_t(t, 2), 1 - t / std::sqrt(2 + t * t), 1e-13);
    for (const double d : {1.5, 4.0, 60.0, 3000.0}) {
      EXPECT_NEAR(chance_of_f(t, 2, d), std::pow(1 + 2 * t / d, -d / 2), 1e-12) << t << " " << d;
      EXPECT_NEAR(chance_of_f(t * t, 1, d), chance_of_t(t, d), 1e-12);
    }
  }
  EXPECT_EQ(chance_of_f(0, 3, 4), 1);
}

std::vector<TriangleMesh> noisy_copies(const TriangleMesh& clean, int count, double sigma_mm) {
  std::vector<TriangleMesh> copies;
  for (int i = 0; i < count; ++i) {
    copies.push_back(noisy(clean, sigma_mm, 2, 300 + static_cast<unsigned>(i)));
  }
  return copies;
}

TEST(CopiesOfNoiseAlone, PointToNothing) {
  for (const double master_sigma_mm : {0.0, 0.06}) {
    const TriangleMesh clean = glider(4000);
    const TriangleMesh master = master_sigma_mm > 0 ? noisy(clean, master_sigma_mm, 2, 7) : clean;
    const CopiesResult result =
        result_of(master, noisy_copies(glider(5000), 5, 0.06),
                  {std::hypot(master_sigma_mm, 0.06) / std::numbers::sqrt2, 2});
    EXPECT_EQ(result.verdict, CopiesVerdict::neither) << master_sigma_mm;
    EXPECT_TRUE(result.proud.empty());
    EXPECT_TRUE(result.shy.empty());
    EXPECT_NEAR(result.spread_noise_mm, 0.06, 0.02);
    EXPECT_NEAR(result.mean_noise_mm, std::hypot(master_sigma_mm, 0.06 / std::sqrt(5.0)), 0.015);
    EXPECT_LT(result.mould_rms_mm, 0.03);
    EXPECT_LT(result.scatter_rms_mm, 0.03);
  }
}

TEST(CopiesThatAreAllTheSame, PointToTheMould) {
  const TriangleMesh clean = glider(4000);
  const TriangleMesh marred = bumped(clean, 0.5, Vec3(45, 9.5, 0), 0.05);
  const CopiesResult result = result_of(clean, {marred, marred, marred, marred}, {});
  EXPECT_EQ(result.verdict, CopiesVerdict::mould);
  EXPECT_EQ(result.spread_rms_mm, 0);
  ASSERT_EQ(result.proud.size(), 1U);
  EXPECT_FALSE(result.proud[0].t);
  EXPECT_NEAR(result.proud[0].patch.greatest_mm, 0.5, 0.05);
}

TEST(Copies, GiveTheSameBytesForAnyNumberOfThreads) {
  const TriangleMesh clean = glider(4000);
  const std::vector<TriangleMesh> meshes =
      noisy_copies(bumped(glider(3000), 0.5, Vec3(45, 9.5, 0), 0.05), 3, 0.03);
  std::vector<CopiesResult> results;
  const ClosedMesh master = closed(clean);
  for (const int threads : {1, 2, 7}) {
    const geometry::ParallelFor loop = on_threads(threads);
    const ComparisonSkin master_skin(master, {}, loop);
    Copies all(master_skin);
    for (const TriangleMesh& mesh : meshes) {
      const ClosedMesh copy = closed(mesh);
      const Comparison c = compared(master_skin, ComparisonSkin(copy, {}, loop),
                                    {.noise = ScanNoise{0.02, 2}}, loop);
      all.add(c.master.field, c.noise);
    }
    results.push_back(all.result(loop));
  }
  for (std::size_t i = 1; i < results.size(); ++i) {
    EXPECT_EQ(std::memcmp(results[0].mean_mm.data(), results[i].mean_mm.data(),
                          results[0].mean_mm.size() * sizeof(double)),
              0);
    EXPECT_EQ(results[0].F, results[i].F);
    EXPECT_EQ(results[0].mean_noise_mm, results[i].mean_noise_mm);
    EXPECT_EQ(results[0].proud.size(), results[i].proud.size());
  }
}

}  // namespace
}  // namespace trueblank::symmetry
