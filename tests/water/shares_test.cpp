// SPDX-License-Identifier: GPL-3.0-or-later
// Where one goes down on the table of the energy, and where that is caught.
#include "water/shares.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "water/ellipsoid_table.h"
#include "water/floating_bodies.h"

namespace trueblank::water {
namespace {

// Closed form: half an ellipsoid whose G is e low has the slope M·sin φ·(e − β·(c² − b²)·cos φ/r)
// over lists, r² = b²·sin²φ + c²·cos²φ, β = 3/8, so that it is level at φ where r is so much;
// upright it is on a ridge. Of two poses so near each other what starts between them goes to its
// own.
TEST(ShareCount, KeepsPosesApartThatAreNearEachOther) {
  const double b2 = ellipsoid_b_mm * ellipsoid_b_mm;
  const double c2 = ellipsoid_c_mm * ellipsoid_c_mm;
  const double list_deg = 1.4;
  const double sine2 = std::pow(std::sin(list_deg * degree), 2);
  const double r = std::sqrt(b2 * sine2 + c2 * (1 - sine2));
  const double low_mm = 0.375 * (c2 - b2) * std::sqrt(1 - sine2) / r;
  const FormulaEllipsoid body(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm);
  Floater lure;
  lure.body = body.cut_body();
  lure.mass_g = ellipsoid_half_g;
  lure.centre_of_mass_mm = {0, 0, -low_mm};
  const Balance found = balance(lure);
  ASSERT_EQ(found.poses.size(), 2U) << described(found);
  for (const RestPose& pose : found.poses) {
    EXPECT_NEAR(std::abs(pose.list_deg.value()), list_deg, 1e-5);
    EXPECT_NEAR(pose.share, 0.5, 0.004);
  }
  const SphereGrid grid(5);
  const EnergyField field(lure, grid, geometry::serial_for);
  for (const double first : {list_deg, -list_deg}) {
    const ShareCount count(field, {{{up_at_list(first)}}, {{up_at_list(-first)}}});
    for (const double from : {0.05, 0.3, 1.0, 2.0, 5.0, 60.0}) {
      EXPECT_EQ(count.descend(up_at_list(std::copysign(from, first))).ending, 0) << from;
      EXPECT_EQ(count.descend(up_at_list(std::copysign(from, -first))).ending, 1) << from;
    }
  }
}

// A ball with G at its middle is level all over, so that nothing leads to an ending: caught at the
// start where one is within a degree and a half, in whichever face of the table that lies.
TEST(ShareCount, CatchesWhatIsNearFromEveryCornerOfEveryFace) {
  const FormulaEllipsoid ball(20, 20, 20);
  Floater lure;
  lure.body = ball.cut_body();
  lure.mass_g = ball.volume_mm3() / 2000;
  const SphereGrid grid(2);
  const EnergyField field(lure, grid, geometry::serial_for);
  for (int f = 0; f < grid.face_count(); ++f) {
    const std::array<int, 3>& corners = grid.face(f);
    for (std::size_t k = 0; k < 3; ++k) {
      // From a corner straight on, seen from each place that the face has: its middle, its other
      // two corners, the middles of its sides.
      const Vec3& corner = grid.node(corners[k]);
      const Vec3& next = grid.node(corners[(k + 1) % 3]);
      const Vec3& last = grid.node(corners[(k + 2) % 3]);
      const Vec3 start = (corner + 1e-4 * (next + last - 2 * corner)).normalized();
      for (const Vec3& seen_from : {Vec3(corner + next + last), next, last, Vec3(next + last),
                                    Vec3(2 * next + last), Vec3(next + 2 * last)}) {
        const Vec3 on = (start.dot(seen_from) * start - seen_from).normalized();
        const ShareCount count(field, {{{turned(start, 1.495 * degree * on)}}});
        ASSERT_EQ(count.descend(start).ending, 0) << f << " " << k;
      }
    }
  }
}

}  // namespace
}  // namespace trueblank::water
