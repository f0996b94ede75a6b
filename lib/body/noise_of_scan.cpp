// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/noise_of_scan.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "symmetry/nearest_surface.h"

namespace trueblank::body {
namespace {

using geometry::ClosedMesh;
using geometry::TriangleMesh;
using geometry::Vec3;
using symmetry::NearestSurface;

constexpr int points_wanted = 1000;
constexpr int rounds = 8;
constexpr double most_correlation_share = 1.0 / 12;  // of the length, as mirror tells noise by
constexpr double most_sigma_mm = 0.5;
// Tukey's width, in standard deviations: 95 % of what least squares would get from normal noise.
constexpr double tukey = 4.685;
constexpr double per_middle = 1.482602218505602;  // normal: one deviation in middle sizes
constexpr double cut_at = 3;
// Correlations that are tried, each 1/√2 of the one before.
constexpr int correlations = 9;
constexpr double about_as_well = 0.9;
constexpr int motions = 3;

struct Point {
  Vec3 at;
  int facet;
};

// Of measured facets, each for the same area.
std::vector<Point> even_points(const TriangleMesh& mesh, std::span<const std::uint8_t> measured) {
  const auto area = [&](int f) {
    return (mesh.corner(f, 1) - mesh.corner(f, 0))
               .cross(mesh.corner(f, 2) - mesh.corner(f, 0))
               .norm() /
           2;
  };
  const auto counts = [&](int f) {
    return measured.empty() || measured[static_cast<std::size_t>(f)] != 0;
  };
  double whole = 0;
  for (int f = 0; f < mesh.facet_count(); ++f) whole += counts(f) ? area(f) : 0;
  std::vector<Point> points;
  double passed = 0;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    if (!counts(f)) continue;
    passed += area(f);
    const auto due = static_cast<int>(points_wanted * (passed / whole));
    if (due <= static_cast<int>(points.size())) continue;
    const Vec3 middle = (mesh.corner(f, 0) + mesh.corner(f, 1) + mesh.corner(f, 2)) / 3;
    while (static_cast<int>(points.size()) < due) points.push_back({middle, f});
  }
  return points;
}

struct Gap {
  Vec3 at = Vec3::Zero();
  Vec3 image = Vec3::Zero();
  double mm = 0;           // > 0: this side is proud
  Vec3 by = Vec3::Zero();  // what the plane's three motions do to it
  bool counts = false;
};

double middle_of(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

double spread(const std::vector<Gap>& gaps) {
  std::vector<double> sizes;
  for (const Gap& gap : gaps) {
    if (gap.counts) sizes.push_back(std::abs(gap.mm));
  }
  return per_middle * middle_of(std::move(sizes));
}

// A plane near a principal one, moved so that the body meets its mirror image best.
class Fit {
 public:
  Fit(const TriangleMesh& mesh, std::span<const std::uint8_t> measured, const Vec3& centroid,
      const NearestSurface& surface, const std::vector<Point>& points,
      const geometry::ParallelFor& loop)
      : mesh_(mesh),
        measured_(measured),
        centroid_(centroid),
        surface_(surface),
        points_(points),
        loop_(loop) {}

  // Both of unit length; the normal turns as it fits.
  [[nodiscard]] std::vector<Gap> gaps_about(Vec3 normal, const Vec3& long_axis) const {
    double offset = 0;  // of the plane from the centroid
    std::vector<Gap> gaps;
    for (int round = 0; round <= rounds; ++round) {
      const Vec3 along = (long_axis - normal.dot(long_axis) * normal).normalized();
      const Vec3 up = normal.cross(along);
      gaps = gaps_at(normal, offset, along, up);
      if (round == rounds) break;
      const Vec3 step = best_step(gaps);
      offset += step.x();
      normal = (normal + step.y() * along + step.z() * up).normalized();
    }
    return gaps;
  }

 private:
  [[nodiscard]] std::vector<Gap> gaps_at(const Vec3& normal, double offset, const Vec3& along,
                                         const Vec3& up) const {
    std::vector<Gap> gaps(points_.size());
    loop_(static_cast<int>(points_.size()), [&](int i) {
      const auto k = static_cast<std::size_t>(i);
      const Vec3 p = points_[k].at - centroid_;
      const double height = normal.dot(p) - offset;
      const Vec3 image = p - 2 * height * normal;
      const NearestSurface::Hit hit = surface_.nearest(image + centroid_);
      Gap& gap = gaps[k];
      gap.at = p;
      gap.image = image;
      gap.mm = hit.signed_distance_mm;
      gap.counts = hit.facet >= 0 && height > 0 &&
                   (measured_.empty() || measured_[static_cast<std::size_t>(hit.facet)] != 0);
      if (!gap.counts) return;
      const Vec3 n = (mesh_.corner(hit.facet, 1) - mesh_.corner(hit.facet, 0))
                         .cross(mesh_.corner(hit.facet, 2) - mesh_.corner(hit.facet, 0))
                         .normalized();
      // The image goes by 2·normal for the offset, by −2·((d·p) normal + height·d) for a turn d.
      const auto by_turn = [&](const Vec3& d) {
        return -2 * (d.dot(p) * n.dot(normal) + height * n.dot(d));
      };
      gap.by = Vec3(2 * n.dot(normal), by_turn(along), by_turn(up));
    });
    return gaps;
  }

  [[nodiscard]] static Vec3 best_step(const std::vector<Gap>& gaps) {
    const double width = tukey * std::max(spread(gaps), 1e-9);
    geometry::Mat3 squares = geometry::Mat3::Zero();
    Vec3 pull = Vec3::Zero();
    for (const Gap& gap : gaps) {
      const double part = gap.mm / width;
      if (!gap.counts || std::abs(part) >= 1) continue;
      const double weight = (1 - part * part) * (1 - part * part);
      squares += weight * gap.by * gap.by.transpose();
      pull -= weight * gap.mm * gap.by;
    }
    // A turn that the shape leaves open, as of a round body, stays where it is.
    const geometry::Mat3 held = squares + 1e-6 * squares.trace() * geometry::Mat3::Identity();
    const Vec3 step = held.ldlt().solve(pull);
    return step.allFinite() ? step : Vec3(Vec3::Zero());
  }

  const TriangleMesh& mesh_;
  std::span<const std::uint8_t> measured_;
  Vec3 centroid_;
  const NearestSurface& surface_;
  const std::vector<Point>& points_;
  const geometry::ParallelFor& loop_;
};

// The noise that makes the gaps as alike as they are: of a list of correlations the likeliest by
// least squares, over all pairs of gaps. A gap is one skin's noise less that of the other at the
// mirrored place, which near the plane is the same place; and what the plane's motions can take up
// is gone from it.
class Likeness {
 public:
  explicit Likeness(const std::vector<Gap>& gaps) {
    const double cut_mm = cut_at * spread(gaps);
    for (const Gap& gap : gaps) {
      if (gap.counts) used_.push_back(&gap);
    }
    const auto n = static_cast<Eigen::Index>(used_.size());
    gaps_mm_.resize(n);
    Eigen::MatrixXd by(n, motions);
    for (Eigen::Index i = 0; i < n; ++i) {
      const Gap& gap = *used_[static_cast<std::size_t>(i)];
      gaps_mm_(i) = std::clamp(gap.mm, -cut_mm, cut_mm);
      by.row(i) = gap.by;
    }
    motions_ = by.colPivHouseholderQr().householderQ() * Eigen::MatrixXd::Identity(n, motions);
    gaps_mm_ -= motions_ * (motions_.transpose() * gaps_mm_);
  }

  [[nodiscard]] bool enough() const { return used_.size() > 4 * motions; }

  struct Fitted {
    double sigma2_mm2 = 0;
    double explained = 0;  // of the sum of the squares of all products
  };

  [[nodiscard]] Fitted fitted(double correlation_mm) const {
    const auto n = static_cast<Eigen::Index>(used_.size());
    const double per = -0.5 / (correlation_mm * correlation_mm);
    Eigen::MatrixXd alike(n, n);
    for (Eigen::Index i = 0; i < n; ++i) {
      const Gap& one = *used_[static_cast<std::size_t>(i)];
      for (Eigen::Index j = 0; j <= i; ++j) {
        const Gap& other = *used_[static_cast<std::size_t>(j)];
        alike(i, j) = 2 * (std::exp(per * (one.at - other.at).squaredNorm()) -
                           std::exp(per * (one.at - other.image).squaredNorm()));
        alike(j, i) = alike(i, j);
      }
    }
    const Eigen::MatrixXd moved = motions_.transpose() * alike;
    const Eigen::MatrixXd within = moved * motions_;
    alike -= motions_ * moved + (motions_ * moved).transpose();
    alike += motions_ * within * motions_.transpose();
    // Without the diagonal: what is each point's own is no noise of the volume.
    const double met =
        gaps_mm_.dot(alike * gaps_mm_) - alike.diagonal().dot(gaps_mm_.cwiseProduct(gaps_mm_));
    const double size = alike.squaredNorm() - alike.diagonal().squaredNorm();
    if (!(met > 0) || !(size > 0)) return {};
    return {met / size, met * met / size};
  }

 private:
  std::vector<const Gap*> used_;
  Eigen::VectorXd gaps_mm_;
  Eigen::MatrixXd motions_;
};

double length_along(const ClosedMesh& body, const Vec3& axis) {
  const Eigen::RowVectorXd along = axis.transpose() * body.positions_mm();
  return along.maxCoeff() - along.minCoeff();
}

}  // namespace

NoiseOfScan noise_of_scan(const ClosedMesh& body, const geometry::Moments& whole,
                          std::span<const std::uint8_t> facet_measured,
                          const geometry::ParallelFor& loop) {
  const TriangleMesh& mesh = body.mesh();
  const std::vector<Point> points = even_points(mesh, facet_measured);
  const NearestSurface surface(mesh, loop);
  const geometry::Principal axes = geometry::principal(whole.spread_mm5);
  const Vec3 long_axis = axes.axes.col(2);
  const Fit fit(mesh, facet_measured, whole.centroid_mm, surface, points, loop);
  // A mirror plane's normal is a principal axis: of the two across, the one about which it is true.
  std::vector<Gap> gaps = fit.gaps_about(axes.axes.col(0), long_axis);
  std::vector<Gap> others = fit.gaps_about(axes.axes.col(1), long_axis);
  if (spread(others) < spread(gaps)) gaps.swap(others);
  const Likeness likeness(gaps);
  NoiseOfScan noise;
  if (!likeness.enough()) return noise;
  const double widest_mm = most_correlation_share * length_along(body, long_axis);
  std::array<Likeness::Fitted, correlations> tried;
  double best = 0;
  for (int k = 0; k < correlations; ++k) {
    Likeness::Fitted& one = tried[static_cast<std::size_t>(k)];
    one = likeness.fitted(widest_mm * std::pow(2.0, -0.5 * k));
    best = std::max(best, one.explained);
  }
  // Of those that do about as well the widest, which is worth the most.
  for (int k = 0; k < correlations && best > 0; ++k) {
    const Likeness::Fitted& one = tried[static_cast<std::size_t>(k)];
    if (one.explained < about_as_well * best) continue;
    noise.sigma_mm = std::min(std::sqrt(one.sigma2_mm2), most_sigma_mm);
    noise.correlation_mm = widest_mm * std::pow(2.0, -0.5 * k);
    break;
  }
  noise.volume_mm3 = noise.sigma_mm * noise.correlation_mm *
                     std::sqrt(2 * std::numbers::pi * geometry::area_mm2(mesh));
  return noise;
}

}  // namespace trueblank::body
