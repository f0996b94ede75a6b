// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/alignment_rough.h"

#include <Eigen/Cholesky>
#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace trueblank::symmetry {
namespace {

using Eigen::Matrix3f;
using Eigen::Vector3f;
using geometry::Mat3;
using Vec6f = Eigen::Matrix<float, 6, 1>;
using Mat6f = Eigen::Matrix<float, 6, 6>;

constexpr int kPoints = 240;
constexpr int kFirstPoints = 80;  // of each skin, for the many starts
constexpr int kBoxes = 20000;
constexpr int kEvenTurns = 552;
constexpr int kFirstRounds = 6;
constexpr int kLastRounds = 14;
constexpr int kKept = 60;  // of the many starts
// The kernel's width in radii: at the start and at the end.
constexpr float kWide = 0.6F;
constexpr float kNarrow = 0.1F;
constexpr float kNarrowing = 0.75F;
// About the skin there are boxes up to so many radii off.
constexpr double kMargin = 0.7;
constexpr double kAlikeDeg = 15;
constexpr double kAlikeShare = 0.06;  // of the length

// In the two bodies' own axes.
struct Start {
  Matrix3f turn = Matrix3f::Identity();
  Vector3f shift = Vector3f::Zero();
  float cost = 1;
};

class RoughFit {
 public:
  RoughFit(const RoughSkin& body, const RoughSkin& other)
      : body_(body),
        other_(other),
        radius_(static_cast<float>(std::max(body.radius_mm(), other.radius_mm()))),
        length_(static_cast<float>(std::max(body.length_mm(), other.length_mm()))) {}

  // `every`: one point in so many.
  [[nodiscard]] Start run(Start at, int rounds, float width, int every) const;

  [[nodiscard]] float radius() const { return radius_; }

  [[nodiscard]] float length() const { return length_; }

 private:
  struct Sums {
    Mat6f left = Mat6f::Zero();
    Vec6f right = Vec6f::Zero();
    float cost = 0;
  };

  // The other's skin at `at`, off by `off` from a plane of the body with this normal.
  void add(Sums& sums, const Vector3f& at, const Vector3f& off, const Vector3f& normal, float share,
           float width) const;
  [[nodiscard]] Sums sums(const Start& at, float width, int every) const;

  const RoughSkin& body_;
  const RoughSkin& other_;
  float radius_;
  float length_;
};

void RoughFit::add(Sums& sums, const Vector3f& at, const Vector3f& off, const Vector3f& normal,
                   float share, float width) const {
  sums.cost += 1;
  if (!(share > 0)) return;
  const float kept = width * width / (width * width + off.squaredNorm());
  sums.cost -= share * kept;
  const float weight = share * kept * kept;
  const Vector3f arm = at / length_;
  Vec6f row;
  row << arm.cross(normal), normal;
  sums.left.noalias() += weight * row * row.transpose();
  sums.right -= weight * normal.dot(off) * row;
}

RoughFit::Sums RoughFit::sums(const Start& at, float width, int every) const {
  Sums result;
  for (Eigen::Index i = 0; i < other_.points_mm().cols(); i += every) {
    const Vector3f q = at.turn * other_.points_mm().col(i) + at.shift;
    const RoughSkin::Place& place = body_.near(q);
    const float alike = place.normal.dot(at.turn * other_.normals().col(i));
    add(result, q, q - place.at_mm, place.normal, place.met * alike, width);
  }
  for (Eigen::Index i = 0; i < body_.points_mm().cols(); i += every) {
    const Vector3f b = body_.points_mm().col(i);
    const RoughSkin::Place& place = other_.near(at.turn.transpose() * (b - at.shift));
    const Vector3f q = at.turn * place.at_mm + at.shift;
    const Vector3f normal = at.turn * place.normal;
    const float alike = normal.dot(Vector3f(body_.normals().col(i)));
    add(result, q, q - b, normal, place.met * alike, width);
  }
  return result;
}

Start RoughFit::run(Start at, int rounds, float width, int every) const {
  const float narrow = kNarrow * radius_;
  for (int round = 0; round < rounds; ++round) {
    Sums sum = sums(at, width, every);
    width = std::max(narrow, kNarrowing * width);
    const float trace = sum.left.trace();
    if (!(trace > 0)) break;
    sum.left.diagonal().array() += 1e-4F * trace;
    Vec6f way = sum.left.ldlt().solve(sum.right);
    const float longest = 0.3F * length_;
    if (way.norm() > longest) way *= longest / way.norm();
    const Vector3f turn = way.head<3>() / length_;
    const float angle = turn.norm();
    if (angle > 0) {
      const Matrix3f by = Eigen::AngleAxisf(angle, turn / angle).toRotationMatrix();
      at.turn = by * at.turn;
      at.shift = by * at.shift;
    }
    at.shift += way.tail<3>();
  }
  const Sums last = sums(at, narrow, every);
  const Eigen::Index points = (other_.points_mm().cols() + every - 1) / every +
                              (body_.points_mm().cols() + every - 1) / every;
  at.cost = last.cost / static_cast<float>(points);
  return at;
}

std::vector<Matrix3f> even_turns(bool mirrored) {
  std::vector<Matrix3f> turns;
  // The turns that lay principal axes on principal axes.
  const std::array<std::array<int, 3>, 6> orders = {
      {{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}}};
  for (const std::array<int, 3>& order : orders) {
    for (int signs = 0; signs < 8; ++signs) {
      Matrix3f turn = Matrix3f::Zero();
      for (int k = 0; k < 3; ++k) {
        turn(k, order[static_cast<std::size_t>(k)]) = (signs >> k & 1) != 0 ? -1.0F : 1.0F;
      }
      if (turn.determinant() > 0) turns.push_back(turn);
    }
  }
  const double phi = std::numbers::sqrt2;
  constexpr double psi = 1.533751168755204288118041;
  for (int i = 0; i < kEvenTurns; ++i) {
    const double s = i + 0.5;
    const double small = std::sqrt(s / kEvenTurns);
    const double big = std::sqrt(1 - s / kEvenTurns);
    const double alpha = 2 * std::numbers::pi * s / phi;
    const double beta = 2 * std::numbers::pi * s / psi;
    const Eigen::Quaterniond q(big * std::cos(beta), small * std::sin(alpha),
                               small * std::cos(alpha), big * std::sin(beta));
    turns.push_back(q.normalized().toRotationMatrix().cast<float>());
  }
  if (mirrored) {
    for (Matrix3f& turn : turns) turn.col(2) = -turn.col(2);
  }
  return turns;
}

std::vector<Start> starts(const RoughSkin& body, const RoughSkin& other, const RoughSearch& how) {
  constexpr std::array<float, 4> shares = {-0.36F, -0.18F, 0.18F, 0.36F};
  std::vector<Start> list;
  for (const Matrix3f& turn : even_turns(how.mirrored)) {
    list.push_back({turn, Vector3f::Zero()});
    if (!how.along) continue;
    for (const float share : shares) {
      list.push_back({turn, share * static_cast<float>(body.length_mm()) * Vector3f::UnitX()});
      list.push_back({turn, turn * Vector3f(share * static_cast<float>(other.length_mm()), 0, 0)});
    }
  }
  return list;
}

bool alike(const Start& one, const Start& other, float length) {
  const float cosine = 0.5F * ((one.turn * other.turn.transpose()).trace() - 1);
  return cosine > static_cast<float>(std::cos(kAlikeDeg * std::numbers::pi / 180)) &&
         (one.shift - other.shift).norm() < static_cast<float>(kAlikeShare) * length;
}

// The best first, none like a better one; ties as they stand.
std::vector<Start> best_of(std::vector<Start> list, int most, float length) {
  std::stable_sort(list.begin(), list.end(),
                   [](const Start& one, const Start& other) { return one.cost < other.cost; });
  std::vector<Start> kept;
  for (const Start& start : list) {
    if (static_cast<int>(kept.size()) == most) break;
    const bool known = std::any_of(kept.begin(), kept.end(),
                                   [&](const Start& one) { return alike(one, start, length); });
    if (!known) kept.push_back(start);
  }
  return kept;
}

}  // namespace

RoughSkin::RoughSkin(const AlignmentSkin& skin, double grow, const geometry::ParallelFor& loop)
    : axes_(skin.axes()),
      middle_mm_(grow * skin.middle_mm()),
      length_mm_(grow * skin.length_mm()),
      radius_mm_(grow *
                 std::max(std::numbers::sqrt2 * skin.spread_mm()[2], 0.05 * skin.length_mm())) {
  const SkinPoints points = skin.skin().even(kPoints);
  const Eigen::Matrix3Xd own =
      axes_.transpose() * ((grow * points.positions_mm).colwise() - middle_mm_);
  points_mm_ = own.cast<float>();
  normals_ = (axes_.transpose() * points.normals).cast<float>();
  const Vec3 low = own.rowwise().minCoeff() - Vec3::Constant(kMargin * radius_mm_);
  const Vec3 size = own.rowwise().maxCoeff() + Vec3::Constant(kMargin * radius_mm_) - low;
  const double box_mm = std::cbrt(size.prod() / kBoxes);
  box_mm_ = static_cast<float>(box_mm);
  low_mm_ = low.cast<float>();
  boxes_ = (size / box_mm).array().ceil().cast<int>().max(1);
  const int row = boxes_[0];  // along the length, so that neighbours in the list are near
  places_.resize(static_cast<std::size_t>(boxes_.prod()));
  loop(boxes_[1] * boxes_[2], [&](int line) {
    int likely = -1;
    for (int i = 0; i < row; ++i) {
      const Vec3 amid =
          low + box_mm * (Vec3(i, line % boxes_[1], line / boxes_[1]) + Vec3::Constant(0.5));
      const Vec3 in_skin = (axes_ * amid + middle_mm_) / grow;
      const NearestSurface::Hit hit = skin.skin().surface().nearest(in_skin, likely);
      likely = hit.facet;
      Place& place = places_[static_cast<std::size_t>(line * row + i)];
      place.at_mm = (axes_.transpose() * (grow * hit.nearest_mm - middle_mm_)).cast<float>();
      place.normal =
          (axes_.transpose() * skin.skin().normal_at(hit.facet, hit.nearest_mm)).cast<float>();
      place.met = skin.meets(hit.facet, hit.nearest_mm) ? 1.0F : 0.0F;
    }
  });
}

const RoughSkin::Place& RoughSkin::near(const Vector3f& own_mm) const {
  const Vector3f steps = (own_mm - low_mm_) / box_mm_;
  Eigen::Array3i box;
  for (int k = 0; k < 3; ++k) {
    box[k] = static_cast<int>(std::clamp(steps[k], 0.0F, static_cast<float>(boxes_[k]) - 0.5F));
  }
  return places_[static_cast<std::size_t>((box[2] * boxes_[1] + box[1]) * boxes_[0] + box[0])];
}

std::vector<RoughPose> rough_poses(const RoughSkin& body, const RoughSkin& other, double grow,
                                   const RoughSearch& how, const geometry::ParallelFor& loop) {
  const RoughFit fit(body, other);
  const float wide = kWide * fit.radius();
  const auto run_all = [&](std::vector<Start>& list, int rounds, float width, int every) {
    constexpr int kRun = 16;
    const int count = static_cast<int>(list.size());
    loop((count + kRun - 1) / kRun, [&](int run) {
      for (int i = run * kRun; i < std::min(count, (run + 1) * kRun); ++i) {
        Start& start = list[static_cast<std::size_t>(i)];
        start = fit.run(start, rounds, width, every);
      }
    });
  };
  std::vector<Start> list = starts(body, other, how);
  run_all(list, kFirstRounds, wide, kPoints / kFirstPoints);
  list = best_of(std::move(list), kKept, fit.length());
  run_all(list, kLastRounds, wide * kNarrowing * kNarrowing, 1);
  list = best_of(std::move(list), how.most, fit.length());
  std::vector<RoughPose> poses;
  for (const Start& start : list) {
    RoughPose rough;
    Eigen::JacobiSVD<Mat3> straight(start.turn.cast<double>(),
                                    Eigen::ComputeFullU | Eigen::ComputeFullV);
    const Mat3 turn = straight.matrixU() * straight.matrixV().transpose();
    rough.pose.turn = body.axes() * turn * other.axes().transpose();
    rough.pose.factors = Vec3::Constant(grow);
    rough.pose.shift_mm = body.middle_mm() + body.axes() * start.shift.cast<double>() -
                          rough.pose.turn * other.middle_mm();
    rough.cost = static_cast<double>(start.cost);
    poses.push_back(rough);
  }
  return poses;
}

}  // namespace trueblank::symmetry
