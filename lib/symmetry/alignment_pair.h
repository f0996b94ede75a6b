// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "geometry/parallel.h"
#include "symmetry/alignment_skin.h"

// Inside the room: from a rough pose to the local best, on the skins themselves.
namespace trueblank::symmetry {

enum class FreeSize { none, uniform, along_axes };

struct PairOptions {
  FreeSize size = FreeSize::none;
  Vec3 about_mm = Vec3::Zero();  ///< what turns and grows are about, amid the body
  double size_mm = 100;          ///< of the body, for what counts as a small step
  int most_rounds = 30;
  /// Done when the pose moves less than this part of the noise.
  double step_per_noise = 3e-3;
};

/// A place of one skin and the nearest one of the other, in the body's axes.
struct PairGap {
  Vec3 at_mm = Vec3::Zero();         ///< on the other's skin
  Vec3 body_normal = Vec3::UnitX();  ///< smoothed, outward
  Vec3 other_normal = Vec3::UnitX();
  double distance_mm = 0;
  double along_mm = 0;  ///< > 0: the other stands outside the body; along the mean normal
  double alike = 0;     ///< cosine of the angle between the normals
  double area_mm2 = 0;  ///< what the point stands for
  bool met = false;     ///< on measured skin, not beyond its rim
  int facet = -1;       ///< of the skin that was met

  [[nodiscard]] double weight() const { return met && alike > 0 ? area_mm2 * alike : 0.0; }

  [[nodiscard]] Vec3 normal() const { return (body_normal + other_normal).stableNormalized(); }
};

/// Two skins and points on both.
class Pair {
 public:
  /// All kept by reference.
  Pair(const AlignmentSkin& body, const SkinPoints& on_body, const AlignmentSkin& other,
       const SkinPoints& on_other, const geometry::ParallelFor& loop)
      : body_(body), on_body_(on_body), other_(other), on_other_(on_other), loop_(loop) {}

  struct Gaps {
    std::vector<PairGap> of_other;  ///< for each point on the other
    std::vector<PairGap> of_body;
  };

  /// hints  the gaps of a pose near by, or none; saves time
  void measure(const Pose& pose, Gaps& gaps) const;

  /// Reweighted Gauss-Newton on both skins' gaps. The kernel exp(−gap²/2·width²) starts as wide as
  /// the gaps are and is narrowed at every round, down to twice the noise that the middle half of
  /// the gaps shows; of the two skins that one tells the noise that is the better covered, so that
  /// a whole body on a part of it is fitted to that part.
  ///
  /// source  both sides' normals: S. Rusinkiewicz, "A symmetric objective function for ICP", ACM
  ///         TOG 38(4), 2019
  [[nodiscard]] Pose refined(Pose pose, const PairOptions& options) const;

  /// 1.4826 times the area-weighted median of the distances of the better covered skin.
  [[nodiscard]] static double noise_mm(const Gaps& gaps);

 private:
  const AlignmentSkin& body_;
  const SkinPoints& on_body_;
  const AlignmentSkin& other_;
  const SkinPoints& on_other_;
  const geometry::ParallelFor& loop_;
};

/// By how much a gap grows with a turn about x, y, z (rad), a shift along them (mm), and growing
/// along them (shares), about a point; as a unit normal there tells it.
[[nodiscard]] Eigen::Matrix<double, 9, 1> gap_row(const Vec3& at_mm, const Vec3& normal,
                                                  const Vec3& about_mm, const Vec3& factors);

}  // namespace trueblank::symmetry
