// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/alignment.h"

#include <Eigen/Cholesky>
#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>
#include <vector>

#include "geometry/moments.h"
#include "symmetry/measured_skin.h"

namespace trueblank::symmetry {
namespace {

using geometry::Mat3;

constexpr int kRun = 256;
constexpr int kRoughPoints = 800;
constexpr int kFinePoints = 30000;
constexpr int kRoughRounds = 25;
constexpr int kFineRounds = 30;
constexpr double kWidthPerNoise = 2;  // as in the search for the mirror plane
constexpr double kNoisePerMedian = 1.4826;
constexpr double kAsWideAsHigh = 0.8;  // of the spreads

using Vec7 = Eigen::Matrix<double, 7, 1>;
using Mat7 = Eigen::Matrix<double, 7, 7>;

struct Gap {
  double along_mm = 0;  // > 0 outside
  double distance_mm = 0;
  double weight = 0;
  int facet = -1;
  Vec3 at = Vec3::Zero();
  Vec3 normal = Vec3::Zero();
};

class Fitting {
 public:
  Fitting(const MeasuredSkin& skin, const SkinPoints& points, double size_mm, bool fit_scale,
          const geometry::ParallelFor& loop)
      : skin_(skin),
        points_(points),
        size_mm_(size_mm),
        fit_scale_(fit_scale),
        loop_(loop),
        gaps_(static_cast<std::size_t>(points.count())) {}

  [[nodiscard]] Motion run(Motion motion, int rounds) {
    for (int round = 0; round < rounds; ++round) {
      measure(motion);
      narrow();
      const double step_mm = step(motion);
      if (step_mm < 1e-10 * size_mm_ && settled_) break;
    }
    return motion;
  }

  [[nodiscard]] double rms_mm(const Motion& motion) {
    measure(motion);
    double squares = 0;
    double area = 0;
    for (std::size_t i = 0; i < gaps_.size(); ++i) {
      if (!(gaps_[i].weight > 0)) continue;
      squares += points_.weights[i] * gaps_[i].distance_mm * gaps_[i].distance_mm;
      area += points_.weights[i];
    }
    return area > 0 ? std::sqrt(squares / area) : std::numeric_limits<double>::max();
  }

  // Mean |gap| at the last motion measured: a flaw has little say in it, and the flat flanks that
  // fit either way up don't decide alone.
  [[nodiscard]] double mean_size_mm() const {
    double sum = 0;
    double area = 0;
    for (std::size_t i = 0; i < gaps_.size(); ++i) {
      if (!(gaps_[i].weight > 0)) continue;
      sum += points_.weights[i] * gaps_[i].distance_mm;
      area += points_.weights[i];
    }
    return area > 0 ? sum / area : std::numeric_limits<double>::max();
  }

 private:
  [[nodiscard]] double median_mm() const {
    std::vector<double> sizes;
    for (const Gap& gap : gaps_) {
      if (gap.weight > 0) sizes.push_back(gap.distance_mm);
    }
    if (sizes.empty()) return size_mm_;
    const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
    std::nth_element(sizes.begin(), middle, sizes.end());
    return *middle;
  }

  void measure(const Motion& motion);
  void narrow();
  double step(Motion& motion) const;

  const MeasuredSkin& skin_;
  const SkinPoints& points_;
  double size_mm_ = 0;
  bool fit_scale_ = false;
  const geometry::ParallelFor& loop_;
  std::vector<Gap> gaps_;
  double width_mm_ = 0;
  bool settled_ = false;
};

void Fitting::measure(const Motion& motion) {
  const int count = points_.count();
  loop_((count + kRun - 1) / kRun, [&](int run) {
    int last = -1;
    for (int i = run * kRun; i < std::min(count, (run + 1) * kRun); ++i) {
      Gap& gap = gaps_[static_cast<std::size_t>(i)];
      gap.at = motion(points_.positions_mm.col(i));
      const NearestSurface::Hit hit =
          skin_.surface().nearest(gap.at, gap.facet >= 0 ? gap.facet : last);
      last = hit.facet;
      gap.facet = hit.facet;
      const Vec3 own = motion.turn * points_.normals.col(i);
      const Vec3 met = skin_.normal_at(hit.facet, hit.nearest_mm);
      gap.normal = (own + met).stableNormalized();
      gap.along_mm = gap.normal.dot(gap.at - hit.nearest_mm);
      gap.distance_mm = std::abs(hit.signed_distance_mm);
      const double alike = std::max(0.0, own.dot(met));
      gap.weight =
          skin_.measured(hit.facet) ? alike * points_.weights[static_cast<std::size_t>(i)] : 0.0;
    }
  });
}

void Fitting::narrow() {
  const double aim_mm = std::max(kWidthPerNoise * kNoisePerMedian * median_mm(), 1e-11 * size_mm_);
  width_mm_ = width_mm_ > 0 ? std::max(aim_mm, 0.5 * width_mm_) : aim_mm;
  settled_ = width_mm_ <= 1.01 * aim_mm;
}

// Gauss-Newton about the body's middle: turn (as a way at half a length), shift, scale likewise.
double Fitting::step(Motion& motion) const {
  Vec3 middle = Vec3::Zero();
  for (const Gap& gap : gaps_) middle += gap.at;
  middle /= static_cast<double>(gaps_.size());
  Mat7 left = Mat7::Zero();
  Vec7 right = Vec7::Zero();
  for (const Gap& gap : gaps_) {
    const double ratio = gap.distance_mm / width_mm_;
    const double weight = gap.weight * std::exp(-0.5 * ratio * ratio);
    if (!(weight > 0)) continue;
    const Vec3 arm = (gap.at - middle) / size_mm_;
    Vec7 row;
    row << arm.cross(gap.normal), gap.normal, fit_scale_ ? arm.dot(gap.normal) : 0.0;
    left += weight * row * row.transpose();
    right -= weight * gap.along_mm * row;
  }
  if (!(left.trace() > 0)) return 0;
  // What the shape leaves open (a turn of a round body) gets next to no step.
  left.diagonal().array() += 1e-9 * left.trace();
  Vec7 way = left.ldlt().solve(right);
  const double longest = 0.2 * size_mm_;
  if (way.norm() > longest) way *= longest / way.norm();
  const Vec3 turn = way.head<3>() / size_mm_;
  const double angle = turn.norm();
  const Mat3 by = angle > 0 ? Eigen::AngleAxisd(angle, turn / angle).toRotationMatrix()
                            : Mat3(Mat3::Identity());
  const double grow = fit_scale_ ? 1 + way[6] / size_mm_ : 1;
  motion.turn = Eigen::Quaterniond(by * motion.turn).normalized().toRotationMatrix();
  motion.shift_mm = grow * (by * (motion.shift_mm - middle)) + middle + way.segment<3>(3);
  motion.scale *= grow;
  return way.norm();
}

// Turns of the other's principal axes onto the body's: about any of them by 180°, and where width
// and height are alike, by 90° about the long one first.
std::vector<Motion> starts(const geometry::Moments& body, const geometry::Moments& other) {
  const geometry::Principal to = geometry::principal(body.spread_mm5);
  const geometry::Principal from = geometry::principal(other.spread_mm5);
  const std::array<Vec3, 4> signs = {Vec3(1, 1, 1), Vec3(1, -1, -1), Vec3(-1, 1, -1),
                                     Vec3(-1, -1, 1)};
  Mat3 swap;
  swap << 0, -1, 0, 1, 0, 0, 0, 0, 1;
  const bool as_wide_as_high = to.values[0] > kAsWideAsHigh * to.values[1];
  std::vector<Motion> list;
  for (int quarter = 0; quarter < (as_wide_as_high ? 2 : 1); ++quarter) {
    for (const Vec3& sign : signs) {
      Motion motion;
      const Mat3 between = quarter == 1 ? swap : Mat3(Mat3::Identity());
      motion.turn = to.axes * sign.asDiagonal() * between * from.axes.transpose();
      if (motion.turn.determinant() < 0) {
        motion.turn = to.axes * Mat3(-Mat3(sign.asDiagonal())) * between * from.axes.transpose();
      }
      motion.shift_mm = body.centroid_mm - motion.turn * other.centroid_mm;
      list.push_back(motion);
    }
  }
  return list;
}

double between_deg(const Mat3& one, const Mat3& other) {
  return Eigen::AngleAxisd(one * other.transpose()).angle() * 180 / std::numbers::pi;
}

}  // namespace

Alignment aligned(const geometry::ClosedMesh& body, std::span<const std::uint8_t> body_measured,
                  const geometry::ClosedMesh& other, std::span<const std::uint8_t> other_measured,
                  const AlignOptions& options, const geometry::ParallelFor& loop) {
  const MeasuredSkin skin(body.mesh(), body_measured, loop);
  const MeasuredSkin other_skin(other.mesh(), other_measured, loop);
  const geometry::Moments whole = geometry::moments(body);
  const double size_mm = std::cbrt(whole.volume_mm3) * 2;
  std::vector<Motion> tries = starts(whole, geometry::moments(other));
  std::vector<double> sizes_mm(tries.size());
  const SkinPoints rough = other_skin.even(kRoughPoints);
  const geometry::ParallelFor alone = geometry::serial_for;
  loop(static_cast<int>(tries.size()), [&](int i) {
    const std::size_t at = static_cast<std::size_t>(i);
    Fitting fitting(skin, rough, size_mm, options.fit_scale, alone);
    tries[at] = fitting.run(tries[at], kRoughRounds);
    static_cast<void>(fitting.rms_mm(tries[at]));
    sizes_mm[at] = fitting.mean_size_mm();
  });
  const std::size_t best = static_cast<std::size_t>(
      std::min_element(sizes_mm.begin(), sizes_mm.end()) - sizes_mm.begin());
  const SkinPoints fine =
      other.vertex_count() <= kFinePoints ? other_skin.vertices() : other_skin.even(kFinePoints);
  Fitting fitting(skin, fine, size_mm, options.fit_scale, loop);
  Alignment result;
  result.motion = fitting.run(tries[best], kFineRounds);
  result.rms_mm = fitting.rms_mm(result.motion);
  result.runner_up_rms_mm = std::numeric_limits<double>::max();
  Fitting again(skin, rough, size_mm, options.fit_scale, loop);
  constexpr double kElsewhereDeg = 20;
  for (const Motion& one : tries) {
    if (between_deg(one.turn, result.motion.turn) < kElsewhereDeg) continue;
    result.runner_up_rms_mm = std::min(result.runner_up_rms_mm, again.rms_mm(one));
  }
  return result;
}

}  // namespace trueblank::symmetry
