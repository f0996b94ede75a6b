// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "geometry/moments.h"
#include "support/bodies.h"
#include "symmetry/mirror_plane.h"
#include "symmetry/patch_doubt.h"
#include "symmetry/patches.h"
#include "symmetry/planted_plane.h"
#include "symmetry/sanding.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::serial_for;
using geometry::Vec3;
using test_bodies::closed;

// Lures with the needle's length and less, and an egg as fat as none of them.
enum class Kind { pencil, glider, needle, egg };

geometry::TriangleMesh true_body(Kind kind) {
  if (kind == Kind::pencil) return test_bodies::pencil(8000);
  if (kind == Kind::glider) return test_bodies::glider(8000);
  if (kind == Kind::needle) return test_bodies::needle(8000);
  const auto fat = [](double t) { return std::sqrt(4 * t * (1 - t)) * (1.15 - 0.3 * t); };
  return test_bodies::lofted(
      60, [&](double t) { return 14 * fat(t); }, [&](double t) { return 18 * fat(t); },
      [](double) { return 0.0; }, 71, 56);
}

struct Alarms {
  int with_patches = 0;
  int asked_for_wood = 0;  ///< more than a thousandth of the body
  int undoubted = 0;       ///< with a proud patch that is over twice its doubt
};

void judge(const ClosedMesh& body, const PlaneDoubt& doubt, Alarms& alarms) {
  const DeviationField field = deviation_field(body, {}, {}, serial_for);
  const Patches patches = find_patches(body, field, {}, {.noise = doubt.noise});
  const geometry::Moments whole = geometry::moments(body);
  if (!patches.proud.empty() || !patches.shy.empty()) ++alarms.with_patches;
  if (sanding(body, {}, patches).remove_mm3 > 1e-3 * whole.volume_mm3) ++alarms.asked_for_wood;
  const std::vector<double> doubts =
      greatest_doubt_mm(body, patches.proud, doubt.plane, whole.centroid_mm, doubt.noise.slow_mm);
  for (std::size_t i = 0; i < doubts.size(); ++i) {
    if (patches.proud[i].greatest_mm < 2 * doubts[i]) continue;
    ++alarms.undoubted;
    break;
  }
}

// The promise of find_patches, for noise of each vertex's own, fine, middling and slow: the noise
// is known, and so is the plane y = 0.
TEST(FalseAlarms, AreFewerThanOneInTwentyOnTrueBodies) {
  for (const double correlation_mm : {0.01, 1.0, 3.0, 6.0, 12.0}) {
    Alarms counted;
    for (unsigned i = 0; i < 100; ++i) {
      const geometry::TriangleMesh clean = true_body(static_cast<Kind>(i % 3));
      const ClosedMesh body = closed(test_bodies::noisy(clean, 0.3, correlation_mm, 5000 + i));
      judge(body, {{0.3, correlation_mm}, {}}, counted);
    }
    EXPECT_LE(counted.with_patches, 5) << correlation_mm;
    EXPECT_LE(counted.asked_for_wood, 5) << correlation_mm;
  }
}

// As a maker has it: the plane is fitted, the noise read off the scan.
Alarms alarms_of_scans(Kind kind, double correlation_mm, unsigned draws, unsigned seed) {
  Alarms counted;
  for (unsigned i = 0; i < draws; ++i) {
    const ClosedMesh scan =
        closed(test_bodies::noisy(true_body(kind), 0.3, correlation_mm, seed + i));
    const ClosedMesh body = upright(scan, fit_mirror(scan, {}, {.back = Vec3(0.05, 0.1, 1)}).plane);
    const Plane middle;
    judge(body, plane_doubt(body, middle, deviation_field(body, middle, {}, serial_for), {}),
          counted);
  }
  return counted;
}

// A true body with 0.3 mm of noise asks for less than a thousandth of its wood, in nineteen of
// twenty draws.
TEST(TrueBody, AsksForNextToNoWoodUnderNoiseOfUpToATwelfthOfItsLength) {
  for (const double correlation_mm : {0.01, 1.0, 3.0, 6.0, 10.0}) {
    for (const Kind kind : {Kind::pencil, Kind::glider, Kind::needle, Kind::egg}) {
      // The egg is 60 mm long: 6 mm are a tenth of it, and 2 of 20 draws ask for wood; 10 mm are
      // a sixth.
      if (kind == Kind::egg && correlation_mm > 3) continue;
      const Alarms counted = alarms_of_scans(kind, correlation_mm, 20, 12000);
      EXPECT_LE(counted.asked_for_wood, 1)
          << correlation_mm << " mm, kind " << static_cast<int>(kind);
    }
  }
}

// A vertex where the body is as wide as it gets about there, one for each seed.
Vec3 out_on_a_flank(const geometry::TriangleMesh& mesh, unsigned seed) {
  const Vec3 near = test_bodies::on_a_flank(mesh, seed);
  const double reach_mm = 0.02 * mesh.positions_mm.row(0).maxCoeff();
  Vec3 best = near;
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    const Vec3 p = mesh.positions_mm.col(v);
    if (std::abs(p.x() - near.x()) < reach_mm && p.y() * near.y() > std::abs(best.y() * near.y())) {
      best = p;
    }
  }
  return best;
}

/// How many of 20 scans ask for at least half of what a bump of 1 mm over a fifth of the skin adds.
int bumps_found(Kind kind, double sigma_mm, double correlation_mm) {
  const geometry::TriangleMesh clean = true_body(kind);
  int found = 0;
  for (unsigned i = 0; i < 20; ++i) {
    const geometry::TriangleMesh marred =
        test_bodies::bumped(clean, 1.0, out_on_a_flank(clean, i + 1), 0.2);
    const double added_mm3 =
        geometry::moments(closed(marred)).volume_mm3 - geometry::moments(closed(clean)).volume_mm3;
    const ClosedMesh scan = closed(test_bodies::noisy(marred, sigma_mm, correlation_mm, i + 1));
    const ClosedMesh body = upright(scan, fit_mirror(scan, {}, {.back = Vec3(0.05, 0.1, 1)}).plane);
    const DeviationField field = deviation_field(body, {}, {}, serial_for);
    const Patches patches =
        find_patches(body, field, {}, {.noise = scan_noise(body, {}, field, {})});
    if (sanding(body, {}, patches).remove_mm3 >= 0.5 * added_mm3) ++found;
  }
  return found;
}

// Half the skin holds fewer than four places of noise that is slower than some 17 mm; what shows
// there can't be told from shape. Then each patch's doubt says so.
TEST(TrueBody, HasItsPatchesDoubtedUnderSlowNoise) {
  for (const double correlation_mm : {20.0, 40.0}) {
    for (const Kind kind : {Kind::pencil, Kind::glider, Kind::needle, Kind::egg}) {
      const Alarms counted = alarms_of_scans(kind, correlation_mm, 10, 12000);
      EXPECT_LE(counted.undoubted, 1) << correlation_mm << " mm, kind " << static_cast<int>(kind);
    }
  }
}

// Noise of 0.1 mm that holds together over 8 mm, as wide a wave as half the bump. Even where the
// noise is known a bump near an end or with a wave against it is lost now and then.
TEST(WideBump, IsFoundInSlowNoise) {
  EXPECT_GE(bumps_found(Kind::glider, 0.1, 8), 14);
  EXPECT_GE(bumps_found(Kind::needle, 0.1, 8), 14);
}

}  // namespace
}  // namespace trueblank::symmetry
