// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/ellipsoid_table.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>

namespace trueblank::water {

double ellipsoid_cap_depth(double s) {
  double low = 0;
  double high = 2;
  for (int i = 0; i < 200; ++i) {
    const double middle = (low + high) / 2;
    (middle * middle * (3 - middle) / 4 < s ? low : high) = middle;
  }
  return low;
}

double ellipsoid_beta(double s) {
  const double depth = ellipsoid_cap_depth(s);
  return 3 * (2 - depth) * (2 - depth) / (4 * (3 - depth));
}

std::vector<EllipsoidRow> ellipsoid_rows() {
  return {{30, {0, 0, -3}, 0, 0, 4.0957, 2.280658, 105.277371, 1.194150, 1},
          {30, {5, 0, -3}, 2.8615, 0, 4.3117, 2.320444, 90.447087, 1.214981, 1},
          {30, {5, 0.2, -3}, 2.8580, 4.9286, 4.3068, 2.334318, 90.558636, 1.222246, 1},
          {30, {20, 0, -1}, 77.9044, 0, 26.7120, 4.661969, 4.788450, 2.441001, 1},
          {36, {2, 0.1, -4}, 2.4210, 1.5500, 7.4536, 3.700356, 44.156832, 2.325002, 1},
          {ellipsoid_half_g, {0, 0, 0}, 0, 90, 0, 1.650000, 236.25, 0.579017, 2},
          {ellipsoid_half_g, {0, 0, -1}, 0, 48.554802, 0, 0.711696, 216.318302, 0.249748, 2}};
}

geometry::ClosedMesh ellipsoid_mesh(int n) {
  return grown_to(test_bodies::closed(
                      test_bodies::ellipsoid(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm, n, n)),
                  FormulaEllipsoid(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm).volume_mm3());
}

void expect_row(const EllipsoidRow& row, const Balance& found, double angle_tolerance_deg,
                double length_tolerance_mm, double relative_tolerance) {
  ASSERT_EQ(static_cast<int>(found.poses.size()), row.poses) << described(found);
  EXPECT_EQ(found.state, State::floats);
  double shares = 0;
  for (std::size_t i = 0; i < found.poses.size(); ++i) {
    const RestPose& pose = found.poses[i];
    const double list = i == 0 ? row.list_deg : -row.list_deg;  // of two, the positive list first
    EXPECT_NEAR(pose.tail_down_deg, row.tail_down_deg, angle_tolerance_deg);
    ASSERT_TRUE(pose.list_deg.has_value());
    EXPECT_NEAR(*pose.list_deg, list, angle_tolerance_deg);
    EXPECT_NEAR(pose.waterline_offset_mm.value(), row.waterline_mm, length_tolerance_mm);
    EXPECT_NEAR(pose.least_stiffness_g_mm_per_deg, row.least_stiffness_g_mm_per_deg,
                relative_tolerance * row.least_stiffness_g_mm_per_deg);
    const double roll = pose.gm_roll_mm.value();
    const double pitch = pose.gm_pitch_mm.value();
    // Roll and pitch are the two principal turns to second order in the list only.
    EXPECT_NEAR(roll + pitch, row.gm_least_mm + row.gm_greatest_mm,
                relative_tolerance * (row.gm_least_mm + row.gm_greatest_mm));
    EXPECT_NEAR(roll * found.mass_g * degree, pose.roll_stiffness_g_mm_per_deg.value(), 1e-12);
    EXPECT_NEAR(pitch * found.mass_g * degree, pose.pitch_stiffness_g_mm_per_deg.value(), 1e-12);
    EXPECT_FALSE(pose.indifferent);
    shares += pose.share;
  }
  EXPECT_NEAR(shares, 1, 1e-9);
}

TurnedEllipsoid leaning_ellipsoid_turned(double turn_deg) {
  const geometry::Mat3 turn =
      Eigen::AngleAxisd(turn_deg * degree, Vec3::UnitX()).toRotationMatrix();
  const Vec3 upright = turn * Vec3::UnitZ();
  return {
      floating(test_bodies::closed(test_bodies::moved(
                   test_bodies::ellipsoid(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm, 24, 48),
                   turn, Vec3::Zero())),
               ellipsoid_half_g, turn * Vec3(0, 0, -1)),
      std::atan2(-upright.y(), upright.z()) / degree};
}

}  // namespace trueblank::water
