// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/coverage.h"

#include <Eigen/Geometry>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "geometry/moments.h"
#include "symmetry/deviation.h"
#include "symmetry/mirror_plane.h"
#include "symmetry/plane_uncertainty.h"
#include "symmetry/planted_plane.h"

namespace trueblank::symmetry {
namespace {

using geometry::Vec3;

// How far a plane lies off the planted one, in the three motions whose uncertainty is stated.
struct Off {
  double tilt_deg = 0;
  double yaw_deg = 0;
  double offset_mm = 0;
};

Off off(const geometry::ClosedMesh& body, const MirrorFit& fit, const Planted& truth) {
  const geometry::Moments whole = geometry::moments(body);
  const Vec3 along = long_axis_within(whole, truth.plane);
  const Vec3 across = truth.plane.normal.cross(along);
  Vec3 normal = fit.plane->normal;
  double offset_mm = fit.plane->offset_mm;
  if (normal.dot(truth.plane.normal) < 0) {
    normal = -normal;
    offset_mm = -offset_mm;
  }
  // Where the line through the centroid square to the true plane meets each.
  const double met = truth.plane.height_mm(whole.centroid_mm) -
                     (normal.dot(whole.centroid_mm) - offset_mm) / normal.dot(truth.plane.normal);
  return {std::asin(normal.dot(across)) * 180 / std::numbers::pi,
          std::asin(normal.dot(along)) * 180 / std::numbers::pi, met};
}

}  // namespace

Coverage covered(int facets, unsigned first, int count) {
  Coverage result;
  for (unsigned seed = first; seed < first + static_cast<unsigned>(count); ++seed) {
    const test_bodies::SimulatedScan scan = test_bodies::simulated_scan(facets, seed);
    const geometry::Mat3 turn = test_bodies::random_turn(seed);
    const Planted truth = planted(scan.mesh, turn, Vec3(5, 6, 7));
    const geometry::ClosedMesh body = test_bodies::closed(truth.body);
    const MirrorFit fit = fit_mirror(body, {}, {.back = turn * Vec3(0.05, 0.1, 1)});
    char line[200];
    ++result.scans;
    if (!fit.plane || !fit.well_determined) {
      ++result.open;
      std::snprintf(line, sizeof line, "%3u %-7s %.3f mm over %5.1f mm: not well determined\n",
                    seed, scan.body.c_str(), scan.sigma_mm, scan.correlation_mm);
      result.table += line;
      continue;
    }
    const DeviationField field = deviation_field(body, *fit.plane, {}, geometry::serial_for);
    const PlaneDoubt doubt = plane_doubt(body, *fit.plane, field, {}, geometry::serial_for);
    const Off miss = off(body, fit, truth);
    const bool tilt = std::abs(miss.tilt_deg) <= 2 * doubt.plane.tilt_deg;
    const bool yaw = std::abs(miss.yaw_deg) <= 2 * doubt.plane.yaw_deg;
    const bool offset = std::abs(miss.offset_mm) <= 2 * doubt.plane.offset_mm;
    result.tilt_held += tilt ? 1 : 0;
    result.yaw_held += yaw ? 1 : 0;
    result.offset_held += offset ? 1 : 0;
    result.all_held += tilt && yaw && offset ? 1 : 0;
    std::snprintf(line, sizeof line,
                  "%3u %-7s %.3f mm over %5.1f mm (found %.3f, %5.1f): tilt %7.4f of %7.4f, yaw "
                  "%7.4f of %7.4f deg, offset %7.4f of %7.4f mm%s\n",
                  seed, scan.body.c_str(), scan.sigma_mm, scan.correlation_mm, doubt.noise.sigma_mm,
                  doubt.noise.correlation_mm, miss.tilt_deg, doubt.plane.tilt_deg, miss.yaw_deg,
                  doubt.plane.yaw_deg, miss.offset_mm, doubt.plane.offset_mm,
                  tilt && yaw && offset ? "" : "  MISSED");
    result.table += line;
  }
  return result;
}

}  // namespace trueblank::symmetry
