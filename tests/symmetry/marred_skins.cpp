// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/marred_skins.h"

#include <Eigen/Geometry>
#include <array>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

namespace trueblank::test_bodies {
namespace {

Eigen::Matrix3Xd vertex_normals(const TriangleMesh& mesh) {
  Eigen::Matrix3Xd normals = Eigen::Matrix3Xd::Zero(3, mesh.vertex_count());
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Vec3 a = mesh.corner(f, 0);
    const Vec3 area = (mesh.corner(f, 1) - a).cross(mesh.corner(f, 2) - a);
    for (int k = 0; k < 3; ++k) normals.col(mesh.facets(k, f)) += area;
  }
  normals.colwise().normalize();
  return normals;
}

// Numbers that are the same with every standard library.
class Draws {
 public:
  explicit Draws(unsigned seed) : random_(seed) {}

  double even() { return (static_cast<double>(random_()) + 0.5) / 4294967296.0; }

  double normal() {
    const double size = std::sqrt(-2 * std::log(even()));
    return size * std::cos(2 * std::numbers::pi * even());
  }

 private:
  std::mt19937 random_;
};

double area_within(const TriangleMesh& mesh, const Vec3& at, double radius) {
  double area = 0;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Vec3 a = mesh.corner(f, 0);
    const Vec3 b = mesh.corner(f, 1);
    const Vec3 c = mesh.corner(f, 2);
    if (((a + b + c) / 3 - at).norm() < radius) area += 0.5 * (b - a).cross(c - a).norm();
  }
  return area;
}

}  // namespace

TriangleMesh noisy(TriangleMesh mesh, double sigma_mm, double correlation_mm, unsigned seed) {
  Draws draws(seed);
  constexpr int kWaves = 200;
  const Eigen::Matrix3Xd normals = vertex_normals(mesh);
  Eigen::VectorXd noise = Eigen::VectorXd::Zero(mesh.vertex_count());
  for (int wave = 0; wave < kWaves; ++wave) {
    Vec3 steepness;
    for (int k = 0; k < 3; ++k) steepness[k] = draws.normal() / correlation_mm;
    const double phase = 2 * std::numbers::pi * draws.even();
    for (int v = 0; v < mesh.vertex_count(); ++v) {
      noise[v] += std::cos(steepness.dot(mesh.positions_mm.col(v)) + phase);
    }
  }
  noise *= sigma_mm * std::sqrt(2.0 / kWaves);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    mesh.positions_mm.col(v) += noise[v] * normals.col(v);
  }
  return mesh;
}

TriangleMesh bumped(TriangleMesh mesh, double height_mm, const Vec3& at_mm, double share) {
  const double whole = area_within(mesh, at_mm, 1e9);
  double low = 0;
  double high = 500;
  for (int i = 0; i < 40; ++i) {
    const double radius = 0.5 * (low + high);
    (area_within(mesh, at_mm, radius) < share * whole ? low : high) = radius;
  }
  const Eigen::Matrix3Xd normals = vertex_normals(mesh);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    const double off = (mesh.positions_mm.col(v) - at_mm).norm() / high;
    if (off >= 1) continue;
    const double falls = (1 - off * off) * (1 - off * off);
    mesh.positions_mm.col(v) += height_mm * falls * normals.col(v);
  }
  return mesh;
}

SimulatedScan simulated_scan(int facets, unsigned seed) {
  Draws draws(1000 + seed);
  SimulatedScan scan;
  scan.sigma_mm = 0.05 * std::pow(10, draws.even());
  scan.correlation_mm = std::pow(40, draws.even());
  const std::array<const char*, 3> bodies = {"pencil", "glider", "needle"};
  scan.body = bodies[seed % 3];
  const TriangleMesh clean = seed % 3 == 0   ? pencil(facets)
                             : seed % 3 == 1 ? glider(facets)
                                             : needle(facets);
  scan.mesh = noisy(clean, scan.sigma_mm, scan.correlation_mm, seed);
  return scan;
}

Vec3 on_a_flank(const TriangleMesh& mesh, unsigned seed) {
  Draws draws(seed);
  const double widest = mesh.positions_mm.row(1).maxCoeff();
  const double length = mesh.positions_mm.row(0).maxCoeff();
  std::vector<int> flank;
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    const Vec3 p = mesh.positions_mm.col(v);
    if (std::abs(p.y()) > 0.5 * widest && p.x() > 0.15 * length && p.x() < 0.85 * length) {
      flank.push_back(v);
    }
  }
  const double pick = draws.even() * static_cast<double>(flank.size());
  return mesh.positions_mm.col(flank[static_cast<std::size_t>(pick)]);
}

}  // namespace trueblank::test_bodies
