// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/floating_bodies.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <sstream>
#include <thread>
#include <utility>

#include "geometry/moments.h"

namespace trueblank::water {
namespace {

constexpr double pi = std::numbers::pi;

geometry::BelowPlane ellipsoid_below(const void* body, const geometry::Plane& plane) {
  const Vec3& semi_axes = *static_cast<const Vec3*>(body);
  const Mat3 stretch = semi_axes.asDiagonal();
  const Vec3 normal = stretch * plane.normal;
  const double reach = normal.norm();
  const Vec3 m = normal / reach;
  const double t = std::clamp(plane.offset_mm / reach, -1.0, 1.0);
  const double det = semi_axes.prod();
  const double r2 = 1 - t * t;
  geometry::BelowPlane below;
  below.volume_mm3 = det * pi * (1 + t) * (1 + t) * (2 - t) / 3;
  below.first_moment_mm4 = det * (-pi * r2 * r2 / 4) * (stretch * m);
  below.waterplane_mm2 = det / reach * pi * r2;
  below.waterplane_centroid_mm = t * (stretch * m);
  below.waterplane_second_mm4 =
      det / reach * pi * r2 * r2 / 4 * stretch * (Mat3::Identity() - m * m.transpose()) * stretch;
  return below;
}

std::pair<double, double> ellipsoid_extent(const void* body, const Vec3& direction) {
  const Vec3& semi_axes = *static_cast<const Vec3*>(body);
  const double reach = direction.cwiseProduct(semi_axes).norm();
  return {-reach, reach};
}

}  // namespace

OwnedFloater floating(geometry::ClosedMesh mesh, double mass_g, const Vec3& centre_of_mass_mm) {
  OwnedFloater made;
  made.mesh = std::make_shared<const geometry::ClosedMesh>(std::move(mesh));
  made.tree = std::make_shared<const geometry::MomentTree>(*made.mesh);
  made.lure.body = made.tree.get();
  made.lure.mass_g = mass_g;
  made.lure.centre_of_mass_mm = centre_of_mass_mm;
  return made;
}

OwnedFloater uniform(geometry::ClosedMesh mesh, double gravity) {
  const geometry::Moments whole = geometry::moments(mesh);
  return floating(std::move(mesh), gravity * 1e-3 * whole.volume_mm3, whole.centroid_mm);
}

CutBody FormulaEllipsoid::cut_body() const {
  return {&semi_axes_mm_, ellipsoid_below, ellipsoid_extent, volume_mm3(), Vec3::Zero()};
}

double FormulaEllipsoid::volume_mm3() const { return 4 * pi / 3 * semi_axes_mm_.prod(); }

geometry::ClosedMesh grown_to(const geometry::ClosedMesh& mesh, double volume_mm3) {
  const double scale = std::cbrt(volume_mm3 / geometry::moments(mesh).volume_mm3);
  return mesh.moved(Mat3::Identity(), Vec3::Zero(), scale);
}

Floater counted(const Floater& lure, const CountedCuts& counter) {
  Floater made = lure;
  made.body = CutBody(
      &counter,
      [](const void* body, const geometry::Plane& plane) {
        const CountedCuts& asked = *static_cast<const CountedCuts*>(body);
        ++asked.cuts;
        return asked.body.below(plane);
      },
      [](const void* body, const Vec3& direction) {
        return static_cast<const CountedCuts*>(body)->body.extent_mm(direction);
      },
      lure.body.volume_mm3(), lure.body.first_moment_mm4());
  return made;
}

geometry::ClosedMesh along_x(const geometry::TriangleMesh& turned_about_z) {
  Mat3 turn;
  turn << 0, 0, 1,  //
      1, 0, 0,      //
      0, 1, 0;
  return test_bodies::closed(test_bodies::moved(turned_about_z, turn, Vec3::Zero()));
}

geometry::TriangleMesh lumpy() {
  return test_bodies::lofted(
      100, [](double t) { return 8 + 6 * std::sin(9 * t); },
      [](double t) { return 11 + 5 * std::cos(7 * t); },
      [](double t) { return 6 * std::sin(5 * t); }, 24, 20);
}

geometry::ParallelFor on_threads(int threads) {
  return [threads](int count, const std::function<void(int)>& body) {
    std::vector<std::thread> workers;
    workers.reserve(static_cast<std::size_t>(threads));
    for (int worker = 0; worker < threads; ++worker) {
      workers.emplace_back([=, &body] {
        for (int i = count - 1 - worker; i >= 0; i -= threads) body(i);
      });
    }
    for (std::thread& worker : workers) worker.join();
  };
}

std::string described(const Balance& balance) {
  std::ostringstream text;
  for (const RestPose& pose : balance.poses) {
    text << "share " << pose.share << ", tail down " << pose.tail_down_deg << ", list "
         << (pose.list_deg ? std::to_string(*pose.list_deg) : "none") << ", least stiffness "
         << pose.least_stiffness_g_mm_per_deg << (pose.indifferent ? ", indifferent" : "") << "\n";
  }
  return text.str();
}

std::vector<double> lists_deg(const Balance& balance) {
  std::vector<double> lists;
  for (const RestPose& pose : balance.poses) lists.push_back(pose.list_deg.value_or(-1000));
  std::sort(lists.begin(), lists.end());
  return lists;
}

double angle_deg(const Vec3& a, const Vec3& b) {
  return std::atan2(a.cross(b).norm(), a.dot(b)) / degree;
}

Vec3 up_at_list(double list_deg) {
  return {0, -std::sin(list_deg * degree), std::cos(list_deg * degree)};
}

}  // namespace trueblank::water
