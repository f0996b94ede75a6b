// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/gap_points.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <utility>

namespace trueblank::symmetry {
namespace {

constexpr int kSpread = 112;     // points of the likelihood, even over the skin
constexpr int kCompanions = 88;  // and as many of them have a neighbour, at many distances
constexpr int kEven = 800;       // points for what a field does to the plane
constexpr double kFlaw = 4;      // standard deviations
// Over how far the two sides' say on a turn is averaged: of the length, and of the distance from
// the long axis (a section's four lobes are a quarter turn wide each).
constexpr double kAgreeAlong = 0.1;
constexpr double kAgreeAcross = 0.35;

// g = m·(R(p) − skin): for n + δ, offset + e: dg = −2(δ·p − e)(n·m) − 2h(δ·m), with m the normal of
// the skin at R(p).
Eigen::RowVector3d row_of(const Vec3& p, const Vec3& m) {
  const double facing = m.z();
  // A turn about x moves the plane's normal z along −y, one about y along x.
  return {2 * (facing * p.y() + p.z() * m.y()), -2 * (facing * p.x() + p.z() * m.x()), 2 * facing};
}

struct OwnAxes {
  geometry::Mat3 turn;  // rows: along, up, off the plane

  explicit OwnAxes(const PlaneAxes& axes) {
    turn.row(0) = axes.long_axis;
    turn.row(2) = axes.plane.normal;
    turn.row(1) = axes.plane.normal.cross(axes.long_axis);
  }
};

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// About `count` of the listed points, each for a like area.
std::vector<int> even_among(const GapSample& sample, const std::vector<int>& listed, int count) {
  if (static_cast<int>(listed.size()) <= count) {
    std::vector<int> all;
    for (int i = 0; i < static_cast<int>(listed.size()); ++i) all.push_back(i);
    return all;
  }
  double whole = 0;
  for (const int i : listed) whole += sample.areas_mm2[static_cast<std::size_t>(i)];
  std::vector<int> places;  // in `listed`
  double passed = 0;
  for (int at = 0; at < static_cast<int>(listed.size()); ++at) {
    passed += sample.areas_mm2[static_cast<std::size_t>(listed[static_cast<std::size_t>(at)])];
    const double wanted = (static_cast<double>(places.size()) + 0.5) * whole / count;
    if (passed > wanted) places.push_back(at);
  }
  return places;
}

}  // namespace

std::vector<int> sound_points(const GapSample& sample) {
  std::vector<double> sizes;
  for (std::size_t i = 0; i < sample.gaps_mm.size(); ++i) {
    if (sample.areas_mm2[i] > 0) sizes.push_back(std::abs(sample.gaps_mm[i]));
  }
  const double most_mm = kFlaw * 1.4826 * median(std::move(sizes));
  std::vector<int> sound;
  for (std::size_t i = 0; i < sample.gaps_mm.size(); ++i) {
    if (sample.areas_mm2[i] > 0 && std::abs(sample.gaps_mm[i]) <= most_mm) {
      sound.push_back(static_cast<int>(i));
    }
  }
  return sound;
}

std::vector<int> likelihood_points(const GapSample& sample, const std::vector<int>& sound) {
  const std::vector<int> even = even_among(sample, sound, kSpread);
  std::vector<int> places = even;
  const int last = static_cast<int>(sound.size()) - 1;
  const double gap = std::max(1.0, static_cast<double>(sound.size()) / (2.0 * kSpread));
  constexpr int kDistances = 8;
  for (int k = 0; k < kCompanions && k < static_cast<int>(even.size()); ++k) {
    const int on = static_cast<int>(std::lround(std::pow(gap, (k % kDistances) / 7.0)));
    places.push_back(std::min(
        last, even[static_cast<std::size_t>(k * kSpread / kCompanions) % even.size()] + on));
  }
  std::sort(places.begin(), places.end());
  places.erase(std::unique(places.begin(), places.end()), places.end());
  std::vector<int> points;
  for (const int place : places) points.push_back(sound[static_cast<std::size_t>(place)]);
  return points;
}

std::vector<int> even_points(const GapSample& sample, const std::vector<int>& sound) {
  std::vector<int> even;
  for (const int place : even_among(sample, sound, kEven)) {
    even.push_back(sound[static_cast<std::size_t>(place)]);
  }
  return even;
}

double area_mm2(const GapSample& sample, const std::vector<int>& points) {
  double sum = 0;
  for (const int point : points) sum += sample.areas_mm2[static_cast<std::size_t>(point)];
  return sum;
}

Folded folded(const GapSample& sample, const std::vector<int>& points, const PlaneAxes& axes) {
  const OwnAxes own(axes);
  const Eigen::Index count = static_cast<Eigen::Index>(points.size());
  Folded result{Eigen::Matrix3Xd(3, count),
                Eigen::VectorXd(count),
                Rows(count, 3),
                Rows(count, 3),
                Rows(count, 3),
                std::vector<std::uint8_t>(points.size(), 0)};
  for (Eigen::Index i = 0; i < count; ++i) {
    const int point = points[static_cast<std::size_t>(i)];
    const Vec3 at = sample.positions_mm.col(point);
    Vec3 p = own.turn * (at - axes.centroid_mm);
    p.z() = axes.plane.height_mm(at);
    const Vec3 normal = own.turn * sample.normals.col(point);
    Vec3 mirrored(normal.x(), normal.y(), -normal.z());
    Vec3 met = own.turn * sample.met_normals.col(point);
    double gap = sample.gaps_mm[static_cast<std::size_t>(point)];
    if (p.z() < 0) {
      p.z() = -p.z();
      mirrored.z() = -mirrored.z();
      met.z() = -met.z();
      gap = -gap;
      result.beyond[static_cast<std::size_t>(i)] = 1;
    }
    result.positions_mm.col(i) = p;
    result.gaps_mm[i] = gap;
    result.own_rows.row(i) = row_of(p, mirrored);
    result.met_rows.row(i) = row_of(p, met);
  }
  result.rows = 0.5 * (result.own_rows + result.met_rows);
  return result;
}

Folded not_folded(const GapSample& sample, const std::vector<int>& points, const Vec3& middle_mm) {
  const Eigen::Index count = static_cast<Eigen::Index>(points.size());
  Folded result{Eigen::Matrix3Xd(3, count),
                Eigen::VectorXd(count),
                Rows(count, 3),
                Rows(count, 3),
                Rows(count, 3),
                std::vector<std::uint8_t>(points.size(), 0),
                false};
  for (Eigen::Index i = 0; i < count; ++i) {
    const int point = points[static_cast<std::size_t>(i)];
    result.positions_mm.col(i) = sample.positions_mm.col(point) - middle_mm;
    result.gaps_mm[i] = sample.gaps_mm[static_cast<std::size_t>(point)];
    result.own_rows.row(i) = sample.normals.col(point).transpose();
    result.met_rows.row(i) = sample.met_normals.col(point).transpose();
  }
  result.rows = 0.5 * (result.own_rows + result.met_rows);
  return result;
}

geometry::Mat3 Folded::shape_squares() const {
  const geometry::Mat3 products = own_rows.transpose() * met_rows;
  return 0.5 * (products + products.transpose());
}

// Points of one side only: a folded neighbour's own normal is the other's met one.
double turn_agreement(const Folded& even) {
  const Eigen::Matrix3Xd& p = even.positions_mm;
  const Eigen::Index count = p.cols();
  if (count == 0) return 0;
  const double along_mm = kAgreeAlong * (p.row(0).maxCoeff() - p.row(0).minCoeff());
  const double across_mm =
      kAgreeAcross * std::sqrt(p.bottomRows<2>().squaredNorm() / static_cast<double>(count));
  const double per_along = -0.5 / std::max(along_mm * along_mm, 1e-300);
  const double per_across = -0.5 / std::max(across_mm * across_mm, 1e-300);
  double products = 0;
  double squares = 0;
  for (Eigen::Index i = 0; i < count; ++i) {
    for (Eigen::Index j = 0; j < count; ++j) {
      if (even.beyond[static_cast<std::size_t>(i)] != even.beyond[static_cast<std::size_t>(j)]) {
        continue;
      }
      const Vec3 off = p.col(i) - p.col(j);
      const double share = std::exp(per_along * off.x() * off.x() +
                                    per_across * (off.y() * off.y() + off.z() * off.z()));
      products += share * even.own_rows(i, 0) * even.met_rows(j, 0);
      squares +=
          0.5 * share *
          (even.own_rows(i, 0) * even.own_rows(j, 0) + even.met_rows(i, 0) * even.met_rows(j, 0));
    }
  }
  return squares > 0 ? products / squares : 0.0;
}

}  // namespace trueblank::symmetry
