// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include "geometry/moments.h"
#include "support/bodies.h"
#include "symmetry/marred_skins.h"
#include "symmetry/patches.h"
#include "symmetry/sanding.h"
#include "symmetry/scan_noise.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::serial_for;
using test_bodies::closed;

struct Alarms {
  int draws = 0;
  int with_patches = 0;
  int asked_for_wood = 0;  ///< more than a thousandth of the body
};

enum class Noise { known, read_off_the_scan };

// True bodies, three lures by turns, with 0.3 mm of noise.
Alarms alarms(double correlation_mm, int draws, unsigned seed, Noise from) {
  Alarms result;
  for (int i = 0; i < draws; ++i) {
    const geometry::TriangleMesh clean = i % 3 == 0   ? test_bodies::pencil(8000)
                                         : i % 3 == 1 ? test_bodies::glider(8000)
                                                      : test_bodies::needle(8000);
    const ClosedMesh body =
        closed(test_bodies::noisy(clean, 0.3, correlation_mm, seed + static_cast<unsigned>(i)));
    const Plane plane{geometry::Vec3::UnitY(), 0};
    const DeviationField field = deviation_field(body, plane, {}, serial_for);
    const ScanNoise noise =
        from == Noise::known ? ScanNoise{0.3, correlation_mm} : scan_noise(body, plane, field, {});
    const Patches patches = find_patches(body, field, {}, {.noise = noise});
    const Sanding target = sanding(body, {}, patches);
    ++result.draws;
    if (!patches.proud.empty() || !patches.shy.empty()) ++result.with_patches;
    if (target.remove_mm3 > 1e-3 * geometry::moments(body).volume_mm3) ++result.asked_for_wood;
  }
  return result;
}

// The promise of find_patches, for noise of each vertex's own, fine, middling and slow.
TEST(FalseAlarms, AreFewerThanOneInTwentyOnTrueBodies) {
  for (const double correlation_mm : {0.01, 1.0, 3.0, 6.0, 12.0}) {
    const Alarms counted = alarms(correlation_mm, 100, 5000, Noise::known);
    EXPECT_LE(counted.with_patches, 5) << correlation_mm;
    EXPECT_LE(counted.asked_for_wood, 5) << correlation_mm;
  }
}

// With the noise that the scan itself shows. Slower noise looks like shape, and can't be known.
TEST(FalseAlarms, AreAsFewWithTheNoiseThatTheScanShows) {
  for (const double correlation_mm : {0.01, 1.0, 3.0}) {
    const Alarms counted = alarms(correlation_mm, 100, 7000, Noise::read_off_the_scan);
    EXPECT_LE(counted.with_patches, 5) << correlation_mm;
    EXPECT_LE(counted.asked_for_wood, 5) << correlation_mm;
  }
}

}  // namespace
}  // namespace trueblank::symmetry
