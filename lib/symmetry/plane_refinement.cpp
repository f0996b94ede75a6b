// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/plane_refinement.h"

#include <Eigen/Eigenvalues>
#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

namespace trueblank::symmetry {
namespace {

// Points are worked through in runs of this many, each with its own sums, which are then added in
// order: the same bits whatever the number of threads.
constexpr int kRun = 256;

constexpr double kNoisePerMedian = 1.4826;  // of a normal distribution
// Narrower lets the kernel forget good points, wider lets the flanks of a flaw in.
constexpr double kWidthPerNoise = 2;

constexpr int kFullSteps = 14;
// A step of less than this part of the gaps' noise ends the rounds: points that change facets keep
// the plane trembling by about as much, and no plane is known that well.
constexpr double kStepPerNoise = 3e-3;

constexpr double kSmallStepPerNoise = 3;

// Of many points a few bring the plane as near as they know; the rest then need few rounds.
constexpr int kFewPoints = 2000;
constexpr int kManyPerFew = 4;
constexpr double kFewStepPerNoise = 2e-2;

int run_count(int points) { return (points + kRun - 1) / kRun; }

struct Gap {
  double distance_mm = 0;
  Vec3 to_skin_mm = Vec3::Zero();  // from the nearest skin point to the mirrored point
  Vec3 along = Vec3::Zero();       // unit direction in which the gap is measured
  double weight = 0;
  int facet = -1;
};

// The least distance at or below which half of the weight lies: always the half in which it lies is
// parted further. The pairs come in another order.
double weighted_median(std::vector<std::pair<double, double>>& distance_weight) {
  if (distance_weight.empty()) return 0;
  double whole = 0;
  for (const auto& [distance, weight] : distance_weight) whole += weight;
  double passed = 0;
  auto from = distance_weight.begin();
  auto to = distance_weight.end();
  while (to - from > 1) {
    const auto middle = from + (to - from) / 2;
    std::nth_element(from, middle, to);
    double under = passed;
    for (auto at = from; at != middle; ++at) under += at->second;
    if (2 * under >= whole) {
      to = middle;
    } else {
      passed = under;
      from = middle;
    }
  }
  return from->first;
}

struct NormalEquations {
  geometry::Mat3 left = geometry::Mat3::Zero();
  Vec3 right = Vec3::Zero();
};

// The unit directions in which the normal may move: by a turn about the long axis, and by yaw.
struct Directions {
  Vec3 turn;
  Vec3 yaw;
};

Directions directions(const Vec3& normal, const Vec3& long_axis) {
  Vec3 turn = long_axis.cross(normal);
  if (turn.norm() < 1e-3) turn = normal.unitOrthogonal();
  turn.normalize();
  return {turn, normal.cross(turn)};
}

class Refinement {
 public:
  Refinement(const MeasuredSkin& skin, const SkinPoints& points, const RefineOptions& options,
             const geometry::ParallelFor& loop)
      : skin_(skin),
        points_(points),
        options_(options),
        loop_(loop),
        gaps_(static_cast<std::size_t>(points.count())) {}

  enum class Look { everywhere, from_where_it_was };
  void measure(const Plane& plane, Look look);
  void narrow();
  [[nodiscard]] Plane stepped(const Plane& plane, double share, double& step_mm) const;

  [[nodiscard]] double noise_mm() const { return noise_mm_; }

  [[nodiscard]] bool at_its_narrowest() const { return settled_; }

 private:
  [[nodiscard]] NormalEquations equations(const Plane& plane) const;
  [[nodiscard]] double median_gap_mm();
  void judge_patches();
  [[nodiscard]] int patch_points() const;

  const MeasuredSkin& skin_;
  const SkinPoints& points_;
  const RefineOptions& options_;
  const geometry::ParallelFor& loop_;
  std::vector<Gap> gaps_;
  std::vector<std::pair<double, double>> sorted_;
  std::vector<double> patch_share_;  // what the kernel leaves of each patch; empty: all of all
  double noise_mm_ = 0;
  double width_mm_ = 0;
  double patch_width_mm_ = 0;
  bool settled_ = false;
};

void Refinement::measure(const Plane& plane, Look look) {
  const double least_mm = 1e-9 * options_.size_mm;
  loop_(run_count(points_.count()), [&](int run) {
    const int end = std::min(points_.count(), (run + 1) * kRun);
    int last = -1;
    for (int i = run * kRun; i < end; ++i) {
      Gap& gap = gaps_[static_cast<std::size_t>(i)];
      const Vec3 mirrored = plane.reflected(points_.positions_mm.col(i));
      if (look == Look::everywhere) {
        const NearestSurface::Hit hit =
            skin_.surface().nearest(mirrored, gap.facet >= 0 ? gap.facet : last);
        last = hit.facet;
        gap.facet = hit.facet;
        gap.to_skin_mm = mirrored - hit.nearest_mm;
        gap.distance_mm = std::abs(hit.signed_distance_mm);
      } else {
        const NearestSurface::Reached reached = skin_.surface().reached_from(gap.facet, mirrored);
        gap.facet = reached.facet;
        gap.to_skin_mm = mirrored - reached.nearest_mm;
        gap.distance_mm = reached.distance_mm;
      }
      const Vec3 own = points_.normals.col(i);
      const Vec3 turned = own - 2 * plane.normal.dot(own) * plane.normal;
      const Vec3 met = skin_.normal_at(gap.facet, mirrored - gap.to_skin_mm);
      const double alike = met.dot(turned);
      gap.weight = skin_.measured(gap.facet) ? points_.weights[static_cast<std::size_t>(i)] : 0.0;
      if (options_.robust) {
        gap.weight *= std::max(0.0, alike);
        gap.along = (met + turned).normalized();
      } else if (gap.distance_mm > least_mm) {
        gap.along = gap.to_skin_mm / gap.distance_mm;
      } else {
        gap.along = met;
      }
    }
  });
}

double Refinement::median_gap_mm() {
  sorted_.clear();
  for (const Gap& gap : gaps_) {
    if (gap.weight > 0) sorted_.emplace_back(gap.distance_mm, gap.weight);
  }
  return weighted_median(sorted_);
}

void Refinement::narrow() {
  const double rounding_mm = 1e-11 * options_.size_mm;
  noise_mm_ = kNoisePerMedian * median_gap_mm();
  const double aim_mm = std::max(kWidthPerNoise * noise_mm_, rounding_mm);
  width_mm_ = width_mm_ > 0 ? std::max(aim_mm, 0.5 * width_mm_) : aim_mm;
  settled_ = width_mm_ <= 1.01 * aim_mm;
  if (options_.by_patches && options_.robust) judge_patches();
}

// Some eight hundred patches, a power of two so that runs hold whole ones.
int Refinement::patch_points() const {
  int points = 8;
  while (points < 64 && points * 1200 < points_.count()) points *= 2;
  return points;
}

void Refinement::judge_patches() {
  const double rounding_mm = 1e-11 * options_.size_mm;
  const int size = patch_points();
  const int patches = (points_.count() + size - 1) / size;
  std::vector<double> means(static_cast<std::size_t>(patches), 0.0);
  sorted_.clear();
  for (int patch = 0; patch < patches; ++patch) {
    double weight = 0;
    double sum = 0;
    for (int i = patch * size; i < std::min(points_.count(), (patch + 1) * size); ++i) {
      const Gap& gap = gaps_[static_cast<std::size_t>(i)];
      weight += gap.weight;
      sum += gap.weight * gap.along.dot(gap.to_skin_mm);
    }
    if (!(weight > 0)) continue;
    means[static_cast<std::size_t>(patch)] = sum / weight;
    sorted_.emplace_back(std::abs(sum / weight), weight);
  }
  const double aim_mm =
      std::max(kWidthPerNoise * kNoisePerMedian * weighted_median(sorted_), rounding_mm);
  patch_width_mm_ = patch_width_mm_ > 0 ? std::max(aim_mm, 0.5 * patch_width_mm_) : aim_mm;
  settled_ = settled_ && patch_width_mm_ <= 1.01 * aim_mm;
  patch_share_.resize(means.size());
  for (std::size_t patch = 0; patch < means.size(); ++patch) {
    const double ratio = means[patch] / patch_width_mm_;
    patch_share_[patch] = std::exp(-0.5 * ratio * ratio);
  }
}

NormalEquations Refinement::equations(const Plane& plane) const {
  const Directions move = directions(plane.normal, options_.long_axis);
  const int patch = patch_points();
  std::vector<NormalEquations> runs(static_cast<std::size_t>(run_count(points_.count())));
  loop_(run_count(points_.count()), [&](int run) {
    NormalEquations& sum = runs[static_cast<std::size_t>(run)];
    const int end = std::min(points_.count(), (run + 1) * kRun);
    for (int i = run * kRun; i < end; ++i) {
      const Gap& gap = gaps_[static_cast<std::size_t>(i)];
      double weight = gap.weight;
      if (options_.robust) {
        const double ratio = gap.distance_mm / width_mm_;
        weight *= std::exp(-0.5 * ratio * ratio);
        if (!patch_share_.empty()) weight *= patch_share_[static_cast<std::size_t>(i / patch)];
      }
      if (!(weight > 0)) continue;
      // q = p − 2(n·p − d)n; for n + δ, d + e: dq = −2(δ·p − e)n − 2(n·p − d)δ.
      const Vec3 p = points_.positions_mm.col(i);
      const double height = plane.height_mm(p);
      const double facing = gap.along.dot(plane.normal);
      const double size = options_.size_mm;
      const Vec3 row(-2 * (facing * move.turn.dot(p) + height * gap.along.dot(move.turn)) / size,
                     -2 * (facing * move.yaw.dot(p) + height * gap.along.dot(move.yaw)) / size,
                     2 * facing);
      const double rest = gap.along.dot(gap.to_skin_mm);
      sum.left += weight * row * row.transpose();
      sum.right -= weight * rest * row;
    }
  });
  NormalEquations sum;
  for (const NormalEquations& run : runs) {
    sum.left += run.left;
    sum.right += run.right;
  }
  return sum;
}

Plane Refinement::stepped(const Plane& plane, double share, double& step_mm) const {
  NormalEquations sum = equations(plane);
  const std::array<bool, 3> free = {options_.free.turn, options_.free.yaw, options_.free.offset};
  for (int k = 0; k < 3; ++k) {
    if (free[static_cast<std::size_t>(k)]) continue;
    sum.left.row(k).setZero();
    sum.left.col(k).setZero();
    sum.right[k] = 0;
  }
  step_mm = 0;
  const double trace = sum.left.trace();
  if (!(trace > 0)) return plane;
  // Directions that the skin leaves open get no step: a round body is not spun by its noise.
  const Eigen::SelfAdjointEigenSolver<geometry::Mat3> solver(sum.left);
  Vec3 step = Vec3::Zero();
  for (int k = 0; k < 3; ++k) {
    const double value = solver.eigenvalues()[k];
    if (value < 1e-9 * trace) continue;
    const Vec3 direction = solver.eigenvectors().col(k);
    step += direction * (direction.dot(sum.right) / value);
  }
  // A fifth of the size is about 12°: far steps are not to be trusted.
  const double longest = 0.2 * options_.size_mm;
  if (step.norm() > longest) step *= longest / step.norm();
  step_mm = step.norm();
  step *= share;
  const Directions move = directions(plane.normal, options_.long_axis);
  Vec3 normal = plane.normal + (step[0] * move.turn + step[1] * move.yaw) / options_.size_mm;
  const double length = normal.norm();
  // The offset grows with the normal's length in the linear step: n·p = d for both.
  return {normal / length, (plane.offset_mm + step[2]) / length};
}

// Weights that follow the gaps make the steps shrink by a steady factor: their sum is taken at once
// (Aitken's Δ²; B. Irons, R. Tuck, Int. J. Numer. Meth. Eng. 1(3), 1969).
double sum_of_all_steps(const Plane& before, const Plane& last, const Plane& now, double size_mm) {
  const auto step = [size_mm](const Plane& from, const Plane& to) {
    const Vec3 turn = size_mm * (to.normal - from.normal);
    return Eigen::Vector4d(turn.x(), turn.y(), turn.z(), to.offset_mm - from.offset_mm);
  };
  const Eigen::Vector4d one = step(before, last);
  const Eigen::Vector4d next = step(last, now);
  if (!(one.squaredNorm() > 0)) return 1;
  constexpr double kMostKept = 0.6;
  return 1 / (1 - std::clamp(one.dot(next) / one.squaredNorm(), 0.0, kMostKept));
}

Refined settled(const MeasuredSkin& skin, const SkinPoints& points, const Plane& start,
                const RefineOptions& options, double step_per_noise,
                const geometry::ParallelFor& loop) {
  Refinement work(skin, points, options, loop);
  Refined result{start, 0};
  std::optional<Plane> before;
  Refinement::Look look = Refinement::Look::everywhere;
  for (int round = 0; round < options.most_rounds; ++round) {
    work.measure(result.plane, look);
    work.narrow();
    double step_mm = 0;
    // Points that keep changing facets would keep the plane trembling: steps get shorter by and by.
    const double share = round < kFullSteps ? 1 : 1 / (1 + 0.25 * (round - kFullSteps + 1));
    const Plane last = result.plane;
    result.plane = work.stepped(last, share, step_mm);
    const double enough_mm =
        std::max(options.last_step * options.size_mm, step_per_noise * work.noise_mm());
    const bool done = step_mm < enough_mm && work.at_its_narrowest();
    if (done && look == Refinement::Look::everywhere) break;
    // Between small steps the nearest skin is where it was. What ends the rounds has looked about.
    look = !done && work.at_its_narrowest() && step_mm < kSmallStepPerNoise * work.noise_mm() &&
                   round + 2 < options.most_rounds
               ? Refinement::Look::from_where_it_was
               : Refinement::Look::everywhere;
    const bool steady = before && work.at_its_narrowest() && round < kFullSteps;
    const double sum = steady ? sum_of_all_steps(*before, last, result.plane, options.size_mm) : 1;
    if (sum > 1) result.plane = work.stepped(last, sum, step_mm);
    // A step that was lengthened says nothing of the next.
    before = work.at_its_narrowest() && sum == 1 ? std::optional(last) : std::nullopt;
  }
  result.noise_mm = work.noise_mm();
  return result;
}

// Every so many of the points, still in their order along the skin.
SkinPoints some_of(const SkinPoints& points, int every) {
  SkinPoints some;
  const int count = (points.count() + every - 1) / every;
  some.positions_mm.resize(3, count);
  some.normals.resize(3, count);
  for (int i = 0; i < count; ++i) {
    some.positions_mm.col(i) = points.positions_mm.col(i * every);
    some.normals.col(i) = points.normals.col(i * every);
    some.weights.push_back(points.weights[static_cast<std::size_t>(i * every)]);
  }
  return some;
}

}  // namespace

Refined refine(const MeasuredSkin& skin, const SkinPoints& points, const Plane& start,
               const RefineOptions& options, const geometry::ParallelFor& loop) {
  const int every = points.count() / kFewPoints;
  if (every < kManyPerFew) return settled(skin, points, start, options, kStepPerNoise, loop);
  RefineOptions first = options;
  first.by_patches = false;
  const Refined near = settled(skin, some_of(points, every), start, first, kFewStepPerNoise, loop);
  return settled(skin, points, near.plane, options, kStepPerNoise, loop);
}

Gaps gaps(const MeasuredSkin& skin, const SkinPoints& points, const Plane& plane,
          const geometry::ParallelFor& loop) {
  const std::size_t count = static_cast<std::size_t>(points.count());
  Gaps result{std::vector<double>(count, 0.0), std::vector<std::uint8_t>(count, 0)};
  loop(run_count(points.count()), [&](int run) {
    const int end = std::min(points.count(), (run + 1) * kRun);
    int last = -1;
    for (int i = run * kRun; i < end; ++i) {
      const NearestSurface::Hit hit =
          skin.surface().nearest(plane.reflected(points.positions_mm.col(i)), last);
      last = hit.facet;
      result.signed_mm[static_cast<std::size_t>(i)] = hit.signed_distance_mm;
      result.counted[static_cast<std::size_t>(i)] = skin.measured(hit.facet) ? 1 : 0;
    }
  });
  return result;
}

}  // namespace trueblank::symmetry
