// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/patch_doubt.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/moments.h"
#include "support/bodies.h"
#include "symmetry/deviation.h"

namespace trueblank::symmetry {
namespace {

using geometry::Vec3;

// A bump on the right flank, aft of the middle and above it.
geometry::ClosedMesh bumped() {
  test_bodies::TriangleMesh mesh = test_bodies::ellipsoid(70, 9, 14, 120, 120);
  for (Eigen::Index v = 0; v < mesh.positions_mm.cols(); ++v) {
    const Vec3 p = mesh.positions_mm.col(v);
    const double off = std::hypot(p.x() - 30, p.z() - 6);
    if (p.y() > 0 && off < 8) mesh.positions_mm(1, v) += 0.4 * (1 - off * off / 64);
  }
  return test_bodies::closed(std::move(mesh));
}

double deviation_at(const geometry::ClosedMesh& body, const Plane& plane, const Vec3& at) {
  const std::vector<double> all = deviation_mm(body, plane, geometry::serial_for);
  for (Eigen::Index v = 0; v < body.positions_mm().cols(); ++v) {
    if (body.positions_mm().col(v) == at) return all[static_cast<std::size_t>(v)];
  }
  ADD_FAILURE() << "no such vertex";
  return 0;
}

/// What a plane that is off by `by` changes at the bump's top, by measuring again.
double measured_change(const geometry::ClosedMesh& body, const Vec3& centroid, const Vec3& at,
                       const PlaneUncertainty& by) {
  const double rad = std::numbers::pi / 180;
  const auto at_plane = [&](double sign) {
    const Vec3 normal = Vec3(sign * by.yaw_deg * rad, 1, sign * by.tilt_deg * rad).normalized();
    return deviation_at(
        body, {normal, normal.dot(Vec3(centroid.x(), 0, centroid.z())) + sign * by.offset_mm}, at);
  };
  return std::abs(at_plane(1) - at_plane(-1)) / 2;
}

// A second way: the plane is turned and shifted, and the deviation measured again. It is the
// distance to the nearest skin, along the other side's normal, not quite the bump's own: 10 %.
TEST(GreatestDoubt, IsWhatATurnedOrShiftedPlaneChanges) {
  const geometry::ClosedMesh body = bumped();
  const Vec3 centroid = geometry::moments(body).centroid_mm;
  const DeviationField field = deviation_field(body, Plane{}, {}, geometry::serial_for);
  const Patches patches = find_patches(body, field, {}, {});
  ASSERT_EQ(patches.proud.size(), 1U);
  const Vec3 top = patches.proud.front().greatest_at_mm;
  for (const PlaneUncertainty& by :
       {PlaneUncertainty{.tilt_deg = 0.2}, PlaneUncertainty{.yaw_deg = 0.05},
        PlaneUncertainty{.offset_mm = 0.02}}) {
    const double told = greatest_doubt_mm(body, patches.proud, by, centroid).front();
    const double found = measured_change(body, centroid, top, by);
    EXPECT_GT(found, 0.01);
    EXPECT_NEAR(told, found, 0.1 * found);
  }
}

// Three independent errors add by their squares.
TEST(GreatestDoubt, AddsByTheSquares) {
  const geometry::ClosedMesh body = bumped();
  const Vec3 centroid = geometry::moments(body).centroid_mm;
  const DeviationField field = deviation_field(body, Plane{}, {}, geometry::serial_for);
  const Patches patches = find_patches(body, field, {}, {});
  ASSERT_FALSE(patches.proud.empty());
  const auto doubt = [&](const PlaneUncertainty& plane) {
    return greatest_doubt_mm(body, patches.proud, plane, centroid).front();
  };
  const double tilt = doubt({.tilt_deg = 0.3});
  const double yaw = doubt({.yaw_deg = 0.1});
  const double offset = doubt({.offset_mm = 0.05});
  EXPECT_NEAR(doubt({.tilt_deg = 0.3, .yaw_deg = 0.1, .offset_mm = 0.05}),
              std::sqrt(tilt * tilt + yaw * yaw + offset * offset), 1e-12);
  EXPECT_EQ(doubt({}), 0);
}

}  // namespace
}  // namespace trueblank::symmetry
