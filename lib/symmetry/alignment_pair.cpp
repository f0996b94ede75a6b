// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/alignment_pair.h"

#include <Eigen/Cholesky>
#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <utility>

namespace trueblank::symmetry {
namespace {

using geometry::Mat3;
using Row = Eigen::Matrix<double, 9, 1>;
using Square = Eigen::Matrix<double, 9, 9>;

constexpr int kRun = 256;
constexpr double kWidthPerNoise = 2;
constexpr double kNoisePerMedian = 1.4826;  // of a normal distribution
constexpr int kFullSteps = 14;

int run_count(std::size_t points) { return (static_cast<int>(points) + kRun - 1) / kRun; }

struct Shared {
  double median_mm = 0;
  double share = 0;  // of the points' area that met skin
};

Shared weighted_median(const std::vector<PairGap>& gaps) {
  std::vector<std::pair<double, double>> sorted;
  double whole = 0;
  double met = 0;
  for (const PairGap& gap : gaps) {
    whole += gap.area_mm2;
    if (!(gap.weight() > 0)) continue;
    met += gap.weight();
    sorted.emplace_back(gap.distance_mm, gap.weight());
  }
  if (sorted.empty()) return {1e300, 0};
  std::sort(sorted.begin(), sorted.end());
  double passed = 0;
  for (const auto& [distance, weight] : sorted) {
    passed += weight;
    if (2 * passed >= met) return {distance, met / whole};
  }
  return {sorted.back().first, met / whole};
}

double kept(const PairGap& gap, double width_mm) {
  const double ratio = gap.distance_mm / width_mm;
  return gap.weight() * std::exp(-0.5 * ratio * ratio);
}

struct Sums {
  Square left = Square::Zero();
  Row right = Row::Zero();
};

void add(Sums& sums, const std::vector<PairGap>& gaps, std::size_t from, std::size_t to,
         const Pose& pose, const PairOptions& options, double width_mm) {
  for (std::size_t i = from; i < to; ++i) {
    const double weight = kept(gaps[i], width_mm);
    if (!(weight > 0)) continue;
    Row row = gap_row(gaps[i].at_mm, gaps[i].normal(), options.about_mm, pose.factors);
    row.head<3>() /= options.size_mm;
    row.tail<3>() /= options.size_mm;
    sums.left.noalias() += weight * row * row.transpose();
    sums.right -= weight * gaps[i].along_mm * row;
  }
}

Sums all_sums(const Pair::Gaps& gaps, const Pose& pose, const PairOptions& options, double width_mm,
              const geometry::ParallelFor& loop) {
  const int others = run_count(gaps.of_other.size());
  const int bodies = run_count(gaps.of_body.size());
  std::vector<Sums> runs(static_cast<std::size_t>(others + bodies));
  loop(others + bodies, [&](int run) {
    const std::vector<PairGap>& list = run < others ? gaps.of_other : gaps.of_body;
    const std::size_t from = static_cast<std::size_t>(run < others ? run : run - others) * kRun;
    add(runs[static_cast<std::size_t>(run)], list, from, std::min(list.size(), from + kRun), pose,
        options, width_mm);
  });
  Sums sum;
  for (const Sums& run : runs) {
    sum.left += run.left;
    sum.right += run.right;
  }
  return sum;
}

// What may move: of the nine.
Eigen::MatrixXd freedom(FreeSize size) {
  Eigen::MatrixXd basis = Eigen::MatrixXd::Zero(9, size == FreeSize::none      ? 6
                                                   : size == FreeSize::uniform ? 7
                                                                               : 9);
  basis.topLeftCorner(6, 6).setIdentity();
  if (size == FreeSize::uniform) basis.col(6).tail<3>().setOnes();
  if (size == FreeSize::along_axes) basis.bottomRightCorner(3, 3).setIdentity();
  return basis;
}

// As a way at half a length; what the shape leaves open gets next to no step.
Row way_of(const Sums& sums, const PairOptions& options) {
  const Eigen::MatrixXd basis = freedom(options.size);
  Eigen::MatrixXd left = basis.transpose() * sums.left * basis;
  const double trace = left.trace();
  if (!(trace > 0)) return Row::Zero();
  left.diagonal().array() += 1e-9 * trace;
  Row way = basis * left.ldlt().solve(basis.transpose() * sums.right);
  const double longest = 0.2 * options.size_mm;
  if (way.norm() > longest) way *= longest / way.norm();
  return way;
}

Pose moved(const Pose& pose, const Row& way, const PairOptions& options) {
  Pose next = pose;
  const Vec3 turn = way.head<3>() / options.size_mm;
  const double angle = turn.norm();
  const Vec3 amid = pose.back(options.about_mm);
  if (angle > 0) {
    const Mat3 by = Eigen::AngleAxisd(angle, turn / angle).toRotationMatrix();
    const bool mirrors = pose.turn.determinant() < 0;
    Mat3 turned = by * pose.turn;
    if (mirrors) turned.col(1) = -turned.col(1);
    next.turn = Eigen::Quaterniond(turned).normalized().toRotationMatrix();
    if (mirrors) next.turn.col(1) = -next.turn.col(1);
  }
  next.factors =
      pose.factors.cwiseProduct((way.tail<3>() / options.size_mm).array().exp().matrix());
  next.shift_mm += options.about_mm + way.segment<3>(3) - next(amid);
  return next;
}

}  // namespace

// d(K·turn·p + shift) = K·(ω × u) + shift + growing∘K·u, K·u the place about the point.
Eigen::Matrix<double, 9, 1> gap_row(const Vec3& at_mm, const Vec3& normal, const Vec3& about_mm,
                                    const Vec3& factors) {
  const Vec3 arm = at_mm - about_mm;
  Row row;
  row << arm.cwiseQuotient(factors).cross(factors.cwiseProduct(normal)), normal,
      arm.cwiseProduct(normal);
  return row;
}

void Pair::measure(const Pose& pose, Gaps& gaps) const {
  gaps.of_other.resize(on_other_.weights.size());
  gaps.of_body.resize(on_body_.weights.size());
  const double grown = std::pow(pose.factors.prod(), 2.0 / 3);
  const int others = run_count(gaps.of_other.size());
  loop_(others + run_count(gaps.of_body.size()), [&](int run) {
    const bool of_other = run < others;
    const SkinPoints& points = of_other ? on_other_ : on_body_;
    const AlignmentSkin& skin = of_other ? body_ : other_;
    std::vector<PairGap>& list = of_other ? gaps.of_other : gaps.of_body;
    const int from = (of_other ? run : run - others) * kRun;
    int last = -1;
    for (int i = from; i < std::min(points.count(), from + kRun); ++i) {
      PairGap& gap = list[static_cast<std::size_t>(i)];
      const Vec3 p = points.positions_mm.col(i);
      const Vec3 asked = of_other ? pose(p) : pose.back(p);
      const NearestSurface::Hit hit =
          skin.skin().surface().nearest(asked, gap.facet >= 0 ? gap.facet : last);
      last = hit.facet;
      gap.facet = hit.facet;
      gap.met = skin.meets(hit.facet, hit.nearest_mm);
      const Vec3 met_normal = skin.skin().normal_at(hit.facet, hit.nearest_mm);
      const Vec3 own_normal = points.normals.col(i);
      gap.body_normal = of_other ? met_normal : own_normal;
      gap.other_normal = pose.normal(of_other ? own_normal : met_normal);
      gap.at_mm = of_other ? asked : pose(hit.nearest_mm);
      const Vec3 off = gap.at_mm - (of_other ? hit.nearest_mm : p);
      gap.distance_mm = off.norm();
      gap.along_mm = gap.normal().dot(off);
      gap.alike = gap.body_normal.dot(gap.other_normal);
      gap.area_mm2 = points.weights[static_cast<std::size_t>(i)] * (of_other ? grown : 1.0);
    }
  });
}

double Pair::noise_mm(const Gaps& gaps) {
  constexpr double kEnough = 0.5;  // of the better covered skin's share
  const Shared other = weighted_median(gaps.of_other);
  const Shared body = weighted_median(gaps.of_body);
  const double enough = kEnough * std::max(other.share, body.share);
  double median_mm = 1e300;
  if (other.share >= enough) median_mm = std::min(median_mm, other.median_mm);
  if (body.share >= enough) median_mm = std::min(median_mm, body.median_mm);
  return kNoisePerMedian * median_mm;
}

Pose Pair::refined(Pose pose, const PairOptions& options) const {
  Gaps gaps;
  double width_mm = 0;
  for (int round = 0; round < options.most_rounds; ++round) {
    measure(pose, gaps);
    const double noise = noise_mm(gaps);
    const double aim_mm =
        std::max(kWidthPerNoise * std::min(noise, options.size_mm), 1e-11 * options.size_mm);
    width_mm = width_mm > 0 ? std::max(aim_mm, 0.5 * width_mm) : aim_mm;
    const Sums sums = all_sums(gaps, pose, options, width_mm, loop_);
    Row way = way_of(sums, options);
    // Points that keep changing facets would keep the pose trembling: steps get shorter by and by.
    if (round >= kFullSteps) way /= 1 + 0.25 * (round - kFullSteps + 1);
    pose = moved(pose, way, options);
    const double enough_mm = std::max(1e-10 * options.size_mm, options.step_per_noise * noise);
    if (way.norm() < enough_mm && width_mm <= 1.01 * aim_mm) break;
  }
  return pose;
}

}  // namespace trueblank::symmetry
