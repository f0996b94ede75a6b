// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/best_sand.h"

#include <Eigen/Cholesky>
#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/moments.h"
#include "symmetry/measured_skin.h"
#include "symmetry/mirror_plane.h"
#include "symmetry/plane_refinement.h"

namespace trueblank::symmetry {
namespace {

constexpr int kMostPoints = 12000;
constexpr int kWeightRounds = 12;
constexpr int kSimplexRounds = 60;

// Three numbers move the plane: two turns about the body's middle, as the way of a point half a
// length away in mm, and the offset there in mm.
class Ways {
 public:
  Ways(const geometry::ClosedMesh& body, const Plane& start)
      : start_(start), middle_mm_(geometry::moments(body).centroid_mm) {
    const Vec3 low = body.positions_mm().rowwise().minCoeff();
    const Vec3 high = body.positions_mm().rowwise().maxCoeff();
    arm_mm_ = (high - low).maxCoeff() / 2;
    one_ = long_axis_within(geometry::moments(body), start);
    other_ = start.normal.cross(one_);
  }

  [[nodiscard]] Plane plane(const Vec3& way) const {
    const Vec3 normal = (start_.normal + (way[0] * one_ + way[1] * other_) / arm_mm_).normalized();
    const Vec3 on_it = middle_mm_ - (start_.height_mm(middle_mm_) - way[2]) * start_.normal;
    return {normal, normal.dot(on_it)};
  }

  // By how much a gap grows with each way, at a point p with outward normal `outward`.
  [[nodiscard]] Vec3 row(const Vec3& p, const Vec3& outward, const Vec3& way) const {
    const Plane at = plane(way);
    const Vec3 mirrored = outward - 2 * at.normal.dot(outward) * at.normal;
    const double facing = at.normal.dot(mirrored);
    const double height = at.height_mm(p);
    const Vec3 off = p - middle_mm_;
    return {-2 * (facing * one_.dot(off) + height * mirrored.dot(one_)) / arm_mm_,
            -2 * (facing * other_.dot(off) + height * mirrored.dot(other_)) / arm_mm_, 2 * facing};
  }

  [[nodiscard]] double arm_mm() const { return arm_mm_; }

 private:
  Plane start_;
  Vec3 middle_mm_;
  Vec3 one_;
  Vec3 other_;
  double arm_mm_ = 0;
};

class Loss {
 public:
  Loss(const MeasuredSkin& skin, const SkinPoints& points, const Ways& ways,
       const geometry::ParallelFor& loop)
      : skin_(skin), points_(points), ways_(ways), loop_(loop) {}

  [[nodiscard]] double mm3(const Vec3& way) const {
    const Gaps off = gaps(skin_, points_, ways_.plane(way), loop_);
    double sum = 0;
    for (std::size_t i = 0; i < off.signed_mm.size(); ++i) {
      if (off.counted[i] != 0) sum += points_.weights[i] * std::abs(off.signed_mm[i]);
    }
    return 0.5 * sum;
  }

  // One step of least squares with the weights that make it least absolute deviations.
  [[nodiscard]] Vec3 weighted_step(const Vec3& way) const {
    const Gaps off = gaps(skin_, points_, ways_.plane(way), loop_);
    const double least_mm = 1e-5 * ways_.arm_mm();
    geometry::Mat3 left = geometry::Mat3::Zero();
    Vec3 right = Vec3::Zero();
    for (std::size_t i = 0; i < off.signed_mm.size(); ++i) {
      if (off.counted[i] == 0) continue;
      const Eigen::Index column = static_cast<Eigen::Index>(i);
      const Vec3 row =
          ways_.row(points_.positions_mm.col(column), points_.normals.col(column), way);
      const double weight = points_.weights[i] / std::max(std::abs(off.signed_mm[i]), least_mm);
      left += weight * row * row.transpose();
      right -= weight * off.signed_mm[i] * row;
    }
    // A round body leaves a turn open: hold it where it is.
    left.diagonal().array() += 1e-6 * left.trace();
    return left.ldlt().solve(right);
  }

 private:
  const MeasuredSkin& skin_;
  const SkinPoints& points_;
  const Ways& ways_;
  const geometry::ParallelFor& loop_;
};

struct Corner {
  Vec3 way = Vec3::Zero();
  double mm3 = 0;
};

Corner by_weights(const Loss& loss, const Corner& start, double longest_mm) {
  Corner best = start;
  Vec3 way = start.way;
  for (int round = 0; round < kWeightRounds; ++round) {
    Vec3 step = loss.weighted_step(way);
    if (step.norm() > longest_mm) step *= longest_mm / step.norm();
    way += step;
    const double mm3 = loss.mm3(way);
    if (mm3 < best.mm3) best = {way, mm3};
    if (step.norm() < 1e-6 * longest_mm) break;
  }
  return best;
}

void order(std::array<Corner, 4>& simplex) {
  std::stable_sort(simplex.begin(), simplex.end(),
                   [](const Corner& a, const Corner& b) { return a.mm3 < b.mm3; });
}

Corner by_simplex(const Loss& loss, const Corner& start, double size_mm) {
  std::array<Corner, 4> simplex;
  simplex.fill(start);
  for (int k = 0; k < 3; ++k) {
    Corner& corner = simplex[static_cast<std::size_t>(k) + 1];
    corner.way[k] += size_mm;
    corner.mm3 = loss.mm3(corner.way);
  }
  for (int round = 0; round < kSimplexRounds; ++round) {
    order(simplex);
    if ((simplex[3].way - simplex[0].way).norm() < 1e-3 * size_mm) break;
    const Vec3 middle = (simplex[0].way + simplex[1].way + simplex[2].way) / 3;
    const auto beyond = [&](double share) {
      const Vec3 way = middle + share * (middle - simplex[3].way);
      return Corner{way, loss.mm3(way)};
    };
    const Corner mirrored = beyond(1);
    if (mirrored.mm3 < simplex[0].mm3) {
      const Corner far = beyond(2);
      simplex[3] = far.mm3 < mirrored.mm3 ? far : mirrored;
    } else if (mirrored.mm3 < simplex[2].mm3) {
      simplex[3] = mirrored;
    } else {
      const Corner near = mirrored.mm3 < simplex[3].mm3 ? beyond(0.5) : beyond(-0.5);
      if (near.mm3 < std::min(mirrored.mm3, simplex[3].mm3)) {
        simplex[3] = near;
      } else {
        for (std::size_t k = 1; k < 4; ++k) {
          simplex[k].way = (simplex[0].way + simplex[k].way) / 2;
          simplex[k].mm3 = loss.mm3(simplex[k].way);
        }
      }
    }
  }
  order(simplex);
  return simplex[0];
}

}  // namespace

BestSand best_sand_plane(const geometry::ClosedMesh& body, const Plane& start,
                         std::span<const std::uint8_t> facet_measured,
                         const geometry::ParallelFor& loop) {
  const MeasuredSkin skin(body.mesh(), facet_measured, loop);
  const SkinPoints points =
      body.vertex_count() <= kMostPoints ? skin.vertices() : skin.even(kMostPoints);
  const Ways ways(body, start);
  const Loss loss(skin, points, ways, loop);
  const Corner at_start{Vec3::Zero(), loss.mm3(Vec3::Zero())};
  // A tenth of half the length is 6°: no sanding plane lies so far from the fitted one.
  const Corner near = by_weights(loss, at_start, 0.1 * ways.arm_mm());
  const Corner best = by_simplex(loss, near, std::max(1e-4 * ways.arm_mm(), 0.1 * near.way.norm()));
  return {ways.plane(best.way), best.mm3, at_start.mm3};
}

}  // namespace trueblank::symmetry
