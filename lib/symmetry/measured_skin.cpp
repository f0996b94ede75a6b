// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/measured_skin.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "symmetry/path_through_box.h"

namespace trueblank::symmetry {
namespace {

Vec3 area_vector(const geometry::TriangleMesh& mesh, int facet) {
  const Vec3 a = mesh.corner(facet, 0);
  return 0.5 * (mesh.corner(facet, 1) - a).cross(mesh.corner(facet, 2) - a);
}

}  // namespace

MeasuredSkin::MeasuredSkin(const geometry::TriangleMesh& mesh,
                           std::span<const std::uint8_t> facet_measured,
                           const geometry::ParallelFor& loop)
    : mesh_(mesh), facet_measured_(facet_measured), surface_(mesh, loop) {
  std::vector<int> columns;
  Eigen::Matrix3Xd middles(3, mesh_.facet_count());
  area_mm2_.resize(static_cast<std::size_t>(mesh_.facet_count()));
  for (int f = 0; f < mesh_.facet_count(); ++f) {
    area_mm2_[static_cast<std::size_t>(f)] = area_vector(mesh_, f).norm();
    middles.col(f) = (mesh_.corner(f, 0) + mesh_.corner(f, 1) + mesh_.corner(f, 2)) / 3;
    if (measured(f)) columns.push_back(f);
  }
  facets_along_skin_ = along_path(middles, columns);
  smooth_normals(loop);
}

// A neighbour that faces elsewhere has little say, so that ridges stay ridges and flat sides flat.
Vec3 MeasuredSkin::smoothed_normal(int facet) const {
  const Vec3 own = facet_normals_.col(facet);
  Vec3 sum = area_mm2_[static_cast<std::size_t>(facet)] * own;
  for (int k = 0; k < 3; ++k) {
    const int other = surface_.across(facet, k);
    if (other < 0) continue;
    const Vec3 theirs = facet_normals_.col(other);
    const double alike = std::max(0.0, own.dot(theirs));
    sum += area_mm2_[static_cast<std::size_t>(other)] * alike * alike * theirs;
  }
  const double length = sum.norm();
  return length > 0 ? Vec3(sum / length) : own;
}

void MeasuredSkin::smooth_normals(const geometry::ParallelFor& loop) {
  const int count = mesh_.facet_count();
  facet_normals_.resize(3, count);
  for (int f = 0; f < count; ++f) {
    facet_normals_.col(f) = area_vector(mesh_, f).stableNormalized();
  }
  constexpr int kRounds = 6;
  constexpr int kRun = 4096;
  Eigen::Matrix3Xd next(3, count);
  for (int round = 0; round < kRounds; ++round) {
    loop((count + kRun - 1) / kRun, [&](int run) {
      for (int f = run * kRun; f < std::min(count, (run + 1) * kRun); ++f) {
        next.col(f) = smoothed_normal(f);
      }
    });
    facet_normals_.swap(next);
  }
  vertex_normals_.setZero(3, mesh_.vertex_count());
  for (int f = 0; f < mesh_.facet_count(); ++f) {
    const Vec3 share = area_mm2_[static_cast<std::size_t>(f)] * facet_normals_.col(f);
    for (int k = 0; k < 3; ++k) vertex_normals_.col(mesh_.facets(k, f)) += share;
  }
  for (Eigen::Index v = 0; v < vertex_normals_.cols(); ++v) {
    vertex_normals_.col(v) = Vec3(vertex_normals_.col(v)).stableNormalized();
  }
}

Vec3 MeasuredSkin::normal_at(int facet, const Vec3& point_mm) const {
  // A corner whose normal is more than 37° off the facet's own lies on a ridge.
  constexpr double kOnRidge = 0.8;
  const Vec3 a = mesh_.corner(facet, 0);
  const Vec3 one = mesh_.corner(facet, 1) - a;
  const Vec3 other = mesh_.corner(facet, 2) - a;
  const Vec3 area = one.cross(other);
  const double whole = area.squaredNorm();
  const Vec3 own = facet_normals_.col(facet);
  if (!(whole > 0)) return own;
  Vec3 shares;
  shares[1] = (point_mm - a).cross(other).dot(area) / whole;
  shares[2] = one.cross(point_mm - a).dot(area) / whole;
  shares[0] = 1 - shares[1] - shares[2];
  Vec3 sum = Vec3::Zero();
  for (int k = 0; k < 3; ++k) {
    const Vec3 at_corner = vertex_normals_.col(mesh_.facets(k, facet));
    sum += shares[k] * (at_corner.dot(own) > kOnRidge ? at_corner : own);
  }
  return sum.stableNormalized();
}

// The middle of each of `count` equal areas along the path picks the facet; where on it follows
// the R2 sequence (M. Roberts, "The unreasonable effectiveness of quasirandom sequences", 2018).
SkinPoints MeasuredSkin::even(int count) const {
  double whole = 0;
  for (const int f : facets_along_skin_) whole += area_mm2_[static_cast<std::size_t>(f)];
  SkinPoints points;
  points.positions_mm.resize(3, count);
  points.normals.resize(3, count);
  points.weights.assign(static_cast<std::size_t>(count), whole / count);
  constexpr double kPlastic = 1.32471795724474602596;
  double passed = 0;
  std::size_t at = 0;
  for (int i = 0; i < count; ++i) {
    const double wanted = (i + 0.5) * whole / count;
    while (at + 1 < facets_along_skin_.size() &&
           passed + area_mm2_[static_cast<std::size_t>(facets_along_skin_[at])] < wanted) {
      passed += area_mm2_[static_cast<std::size_t>(facets_along_skin_[at])];
      ++at;
    }
    const int f = facets_along_skin_[at];
    double u = std::fmod(0.5 + i / kPlastic, 1.0);
    double v = std::fmod(0.5 + i / (kPlastic * kPlastic), 1.0);
    if (u + v > 1) {
      u = 1 - u;
      v = 1 - v;
    }
    const Vec3 p =
        (1 - u - v) * mesh_.corner(f, 0) + u * mesh_.corner(f, 1) + v * mesh_.corner(f, 2);
    points.positions_mm.col(i) = p;
    points.normals.col(i) = normal_at(f, p);
  }
  return points;
}

SkinPoints MeasuredSkin::vertices() const {
  std::vector<double> weights(static_cast<std::size_t>(mesh_.vertex_count()), 0.0);
  for (const int f : facets_along_skin_) {
    const double third = area_mm2_[static_cast<std::size_t>(f)] / 3;
    for (int k = 0; k < 3; ++k) {
      weights[static_cast<std::size_t>(mesh_.facets(k, f))] += third;
    }
  }
  std::vector<int> columns;
  for (int v = 0; v < mesh_.vertex_count(); ++v) {
    if (weights[static_cast<std::size_t>(v)] > 0) columns.push_back(v);
  }
  const std::vector<int> order = along_path(mesh_.positions_mm, columns);
  SkinPoints points;
  points.positions_mm.resize(3, static_cast<Eigen::Index>(order.size()));
  points.normals.resize(3, static_cast<Eigen::Index>(order.size()));
  points.weights.reserve(order.size());
  for (std::size_t i = 0; i < order.size(); ++i) {
    const int v = order[i];
    points.positions_mm.col(static_cast<Eigen::Index>(i)) = mesh_.positions_mm.col(v);
    points.normals.col(static_cast<Eigen::Index>(i)) = vertex_normals_.col(v);
    points.weights.push_back(weights[static_cast<std::size_t>(v)]);
  }
  return points;
}

// A chord of length L under an arc that turns by θ: the arc stands L·θ/8 above it. The smoothed
// normals turn as the skin does, not as its noise.
double MeasuredSkin::highest_arc_mm(int facet) const {
  constexpr double kMeantBend = 40 * std::numbers::pi / 180;
  const double area = area_mm2_[static_cast<std::size_t>(facet)];
  double highest = 0;
  for (int k = 0; k < 3; ++k) {
    const int other = surface_.across(facet, k);
    if (other < 0) continue;
    const double edge = (mesh_.corner(facet, (k + 1) % 3) - mesh_.corner(facet, k)).norm();
    const Vec3 one = facet_normals_.col(facet);
    const Vec3 next = facet_normals_.col(other);
    const double bend = std::atan2(one.cross(next).norm(), one.dot(next));
    if (!(edge > 0) || bend > kMeantBend) continue;
    const double across = 2 * std::min(area, area_mm2_[static_cast<std::size_t>(other)]) / edge;
    highest = std::max(highest, across * bend / 8);
  }
  return highest;
}

double MeasuredSkin::facetting_mm() const {
  constexpr std::size_t kEnough = 40000;
  const std::size_t step = std::max<std::size_t>(1, facets_along_skin_.size() / kEnough);
  double squares = 0;
  double whole = 0;
  for (std::size_t i = 0; i < facets_along_skin_.size(); i += step) {
    const int f = facets_along_skin_[i];
    const double area = area_mm2_[static_cast<std::size_t>(f)];
    squares += area * std::pow(highest_arc_mm(f), 2);
    whole += area;
  }
  return whole > 0 ? std::sqrt(squares / whole) : 0.0;
}

}  // namespace trueblank::symmetry
