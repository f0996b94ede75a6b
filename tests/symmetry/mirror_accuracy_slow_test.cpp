// SPDX-License-Identifier: GPL-3.0-or-later
//
// Our own bodies with a planted plane: no published angular error was found to hold against. Every
// case prints what was reached; the limits are what is promised.
#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>
#include <string>
#include <vector>

#include "support/bodies.h"
#include "symmetry/mirror_plane.h"
#include "symmetry/planted_plane.h"

namespace trueblank::symmetry {
namespace {

using geometry::TriangleMesh;
using test_bodies::bumped;
using test_bodies::noisy;
using test_bodies::on_a_flank;
using test_bodies::random_turn;

constexpr int kFacets = 40000;
constexpr unsigned kSeeds = 5;

struct Marred {
  TriangleMesh mesh;
  std::vector<std::uint8_t> measured = {};
};

struct Worst {
  double deg = 0;
  double mm = 0;
};

using Marring = std::function<Marred(const TriangleMesh& clean, unsigned seed)>;

Worst worst_of(const std::string& name, TriangleMesh (*body)(int), const Marring& marring) {
  Worst worst;
  const TriangleMesh clean = body(kFacets);
  for (unsigned seed = 1; seed <= kSeeds; ++seed) {
    const Marred marred = marring(clean, seed);
    const geometry::Mat3 turn = random_turn(seed);
    const Planted truth = planted(marred.mesh, turn, Vec3(5, 6, 7));
    const MirrorFit fit = fit_mirror(test_bodies::closed(truth.body), marred.measured,
                                     {.back = turn * Vec3(0.05, 0.1, 1)});
    EXPECT_TRUE(fit.plane && fit.well_determined) << name << ", seed " << seed;
    if (!fit.plane || !fit.well_determined) continue;
    worst.deg = std::max(worst.deg, off_deg(*fit.plane, truth));
    worst.mm = std::max(worst.mm, std::abs(off_mm(*fit.plane, truth)));
    std::printf("%s, seed %u: %.5f deg, %.5f mm\n", name.c_str(), seed, off_deg(*fit.plane, truth),
                off_mm(*fit.plane, truth));
  }
  std::printf("%s: worst of %u: %.5f deg, %.5f mm\n", name.c_str(), kSeeds, worst.deg, worst.mm);
  return worst;
}

// Each vertex with its own noise: at 40 k facets vertices lie half a millimetre apart and more.
TriangleMesh own_noise(TriangleMesh mesh, double sigma_mm, unsigned seed) {
  return noisy(std::move(mesh), sigma_mm, 0.3, seed);
}

Marred with_a_bump(const TriangleMesh& clean, unsigned seed) {
  return {own_noise(bumped(clean, 0.8, on_a_flank(clean, seed), 0.05), 0.06, seed)};
}

// The belly between a third and a half of the length, where the camera saw nothing, filled flat.
Marred with_a_hole(const TriangleMesh& clean, unsigned seed) {
  Marred marred{own_noise(bumped(clean, 0.8, on_a_flank(clean, seed), 0.05), 0.08, seed)};
  TriangleMesh& mesh = marred.mesh;
  const double length = clean.positions_mm.row(0).maxCoeff();
  const double low = clean.positions_mm.row(2).minCoeff();
  const double flat = 0.6 * low;
  std::vector<std::uint8_t> filled(static_cast<std::size_t>(mesh.vertex_count()), 0);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    const Vec3 p = mesh.positions_mm.col(v);
    // Askew, as shadows fall: further up on one side.
    const double rim = flat + 0.1 * p.y();
    if (p.x() < 0.33 * length || p.x() > 0.5 * length || p.z() > rim) continue;
    mesh.positions_mm(2, v) = rim;
    filled[static_cast<std::size_t>(v)] = 1;
  }
  marred.measured.assign(static_cast<std::size_t>(mesh.facet_count()), 1);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      if (filled[static_cast<std::size_t>(mesh.facets(k, f))] == 0) continue;
      marred.measured[static_cast<std::size_t>(f)] = 0;
    }
  }
  return marred;
}

// A corner of the table that the scan took for part of the body, under one side of the belly.
Marred with_table(const TriangleMesh& clean, unsigned seed) {
  const double length = clean.positions_mm.row(0).maxCoeff();
  const double low = clean.positions_mm.row(2).minCoeff();
  const double x = length * (0.35 + 0.05 * seed);
  const TriangleMesh slab = test_bodies::moved(test_bodies::box(36, 24, 1.5),
                                               geometry::Mat3::Identity(), Vec3(x, 7, low + 0.5));
  return {test_bodies::joined(own_noise(clean, 0.06, seed), slab)};
}

Marred with_three_bumps(const TriangleMesh& clean, unsigned seed) {
  TriangleMesh mesh = clean;
  for (unsigned bump = 0; bump < 3; ++bump) {
    mesh = bumped(mesh, 0.8, on_a_flank(clean, 10 * seed + bump), 1.0 / 12);
  }
  return {own_noise(mesh, 0.06, seed)};
}

TEST(MirrorAccuracy, OfACleanBodyIsAThousandthOfADegree) {
  struct Clean {
    const char* name;
    TriangleMesh (*body)(int);
  };

  for (const Clean& clean :
       {Clean{"clean glider", test_bodies::glider}, Clean{"clean needle", test_bodies::needle},
        Clean{"clean pencil", test_bodies::pencil}}) {
    const Worst worst = worst_of(clean.name, clean.body,
                                 [](const TriangleMesh& mesh, unsigned) { return Marred{mesh}; });
    EXPECT_LT(worst.deg, 0.001);
    EXPECT_LT(worst.mm, 0.0001);
  }
}

TEST(MirrorAccuracy, UnderNoiseWithABump) {
  const Worst worst = worst_of("noise 0.06 mm, bump", test_bodies::glider, with_a_bump);
  EXPECT_LT(worst.deg, 0.03);
  EXPECT_LT(worst.mm, 0.015);
}

TEST(MirrorAccuracy, UnderNoiseWithABumpAndAHoleUnderTheBelly) {
  const Worst worst = worst_of("noise 0.08 mm, bump, hole", test_bodies::glider, with_a_hole);
  EXPECT_LT(worst.deg, 0.06);
  EXPECT_LT(worst.mm, 0.03);
}

TEST(MirrorAccuracy, WithAPieceOfTableLeftIn) {
  const Worst worst = worst_of("noise 0.06 mm, table", test_bodies::glider, with_table);
  EXPECT_LT(worst.deg, 0.06);
}

TEST(MirrorAccuracy, WithThreeBumpsOverAQuarterOfTheSkin) {
  const Worst worst = worst_of("noise 0.06 mm, three bumps", test_bodies::glider, with_three_bumps);
  EXPECT_LT(worst.deg, 0.3);
}

}  // namespace
}  // namespace trueblank::symmetry
