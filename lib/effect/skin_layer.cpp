// SPDX-License-Identifier: GPL-3.0-or-later
#include "effect/skin_layer.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "geometry/compensated_sum.h"

namespace trueblank::effect {
namespace {

using geometry::Mat3;

constexpr double cm3_per_mm3 = 1e-3;

/// volume, wet volume, wood, its moment, the wet moment
using Terms = std::array<double, 9>;

class LayerSum {
 public:
  void add(const Terms& terms) { sums_.add(terms); }

  [[nodiscard]] SkinLayer value() const {
    const Terms t = sums_.values();
    return {.volume_mm3 = t[0],
            .wet_mm3 = t[1],
            .wood_g = t[2],
            .wood_moment_g_mm = {t[3], t[4], t[5]},
            .wet_moment_mm4 = {t[6], t[7], t[8]}};
  }

 private:
  geometry::CompensatedSums<9> sums_;
};

std::vector<SkinLayer> values(const std::vector<LayerSum>& sums) {
  std::vector<SkinLayer> layers;
  layers.reserve(sums.size());
  for (const LayerSum& sum : sums) layers.push_back(sum.value());
  return layers;
}

/// A convex piece of a facet, by its corners' shares of the facet's three corners. A triangle cut
/// by the water, the mirror plane and two edges has at most seven corners.
class Piece {
 public:
  void add(const Vec3& shares) { corners_[static_cast<std::size_t>(count_++)] = shares; }

  [[nodiscard]] int count() const { return count_; }

  [[nodiscard]] const Vec3& operator[](int i) const {
    return corners_[static_cast<std::size_t>(i)];
  }

 private:
  std::array<Vec3, 8> corners_;
  int count_ = 0;
};

Piece whole_facet() {
  Piece piece;
  for (int k = 0; k < 3; ++k) piece.add(Vec3::Unit(k));
  return piece;
}

/// What of a piece lies where the linear function with these values at the facet's corners is
/// negative, or, with sign −1, positive.
/// source  I. Sutherland, G. Hodgman, Comm. ACM 17(1), 32-42, 1974
Piece part_below(const Piece& piece, const Vec3& at_corners, double sign) {
  Piece below;
  for (int i = 0; i < piece.count(); ++i) {
    const Vec3& p = piece[i];
    const Vec3& q = piece[(i + 1) % piece.count()];
    const double at_p = sign * at_corners.dot(p);
    const double at_q = sign * at_corners.dot(q);
    if (at_p < 0) below.add(p);
    if ((at_p < 0) != (at_q < 0)) below.add(p + at_p / (at_p - at_q) * (q - p));
  }
  return below;
}

class LayerSums {
 public:
  explicit LayerSums(const LayerQuestion& question)
      : question_(&question),
        patches_(static_cast<std::size_t>(question.patches)),
        slices_(question.slice_edges_mm.size() < 2 ? 0 : question.slice_edges_mm.size() - 1) {}

  void add_facet(const geometry::ClosedMesh& body, int facet, const Eigen::Matrix3Xd& sanded_mm) {
    Mat3 start;
    Mat3 way;
    for (int k = 0; k < 3; ++k) {
      const int vertex = body.facets()(k, facet);
      start.col(k) = body.positions_mm().col(vertex);
      way.col(k) = sanded_mm.col(vertex) - start.col(k);
      patch_[static_cast<std::size_t>(k)] =
          question_->patch_of_vertex.empty()
              ? -1
              : question_->patch_of_vertex[static_cast<std::size_t>(vertex)];
    }
    if (way.isZero(0)) return;
    // Gauss' two points on 0..1, each of weight ½.
    const double apart = 1 / (2 * std::sqrt(3.0));
    for (const double s : {0.5 - apart, 0.5 + apart}) {
      corners_ = start + s * way;
      const Vec3 a = corners_.col(1) - corners_.col(0);
      const Vec3 b = corners_.col(2) - corners_.col(0);
      const Vec3 doubled(a.y() * b.z() - a.z() * b.y(), a.z() * b.x() - a.x() * b.z(),
                         a.x() * b.y() - a.y() * b.x());
      taken_ = -0.5 * (way.transpose() * doubled);
      corners_.colwise() -= question_->pivot_mm;
      add_pieces(question_->pivot_mm.y() + corners_.row(1).transpose().array());
    }
  }

  [[nodiscard]] SkinLayers values() const {
    return {.whole = whole_.value(),
            .patches = effect::values(patches_),
            .elsewhere = elsewhere_.value(),
            .slices = effect::values(slices_)};
  }

 private:
  /// y_mm  of the three corners
  void add_pieces(const Vec3& y_mm) {
    const WoodDensity& wood = question_->wood;
    if (wood.left_g_cm3 == wood.right_g_cm3) {
      add_wet_and_dry(whole_facet(), wood.left_g_cm3);
    } else {
      add_wet_and_dry(part_below(whole_facet(), y_mm, 1), wood.left_g_cm3);
      add_wet_and_dry(part_below(whole_facet(), y_mm, -1), wood.right_g_cm3);
    }
  }

  void add_wet_and_dry(const Piece& piece, double density_g_cm3) {
    if (!question_->surface) {
      add_slices(piece, density_g_cm3, true);
      return;
    }
    const geometry::Plane& surface = *question_->surface;
    const double pivot_height = surface.height_mm(question_->pivot_mm);
    const Vec3 heights = (corners_.transpose() * surface.normal).array() + pivot_height;
    add_slices(part_below(piece, heights, 1), density_g_cm3, true);
    add_slices(part_below(piece, heights, -1), density_g_cm3, false);
  }

  void add_slices(const Piece& piece, double density_g_cm3, bool wet) {
    if (piece.count() < 3) return;
    add_to_patches(piece, density_g_cm3, wet);
    const std::span<const double> edges = question_->slice_edges_mm;
    if (slices_.empty()) return;
    const Vec3 x = question_->pivot_mm.x() + corners_.row(0).transpose().array();
    const auto beyond = std::upper_bound(edges.begin(), edges.end(), x.minCoeff());
    auto slice = static_cast<std::size_t>(std::max<std::ptrdiff_t>(beyond - edges.begin() - 1, 0));
    for (; slice < slices_.size() && edges[slice] < x.maxCoeff(); ++slice) {
      const Piece aft = part_below(piece, x.array() - edges[slice], -1);
      const Piece within = part_below(aft, x.array() - edges[slice + 1], 1);
      add_to(within, density_g_cm3, wet, [&](int, const Terms& t) { slices_[slice].add(t); });
    }
  }

  void add_to_patches(const Piece& piece, double density_g_cm3, bool wet) {
    add_to(piece, density_g_cm3, wet, [&](int corner, const Terms& t) {
      whole_.add(t);
      const int patch = patch_[static_cast<std::size_t>(corner)];
      (patch < 0 ? elsewhere_ : patches_[static_cast<std::size_t>(patch)]).add(t);
    });
  }

  /// Calls add(corner, terms) with what each of the facet's corners takes off the piece.
  template <class Add>
  void add_to(const Piece& piece, double density_g_cm3, bool wet, const Add& add) const {
    for (int i = 1; i + 1 < piece.count(); ++i) {
      const Vec3 p = piece[i] - piece[0];
      const Vec3 q = piece[i + 1] - piece[0];
      // Of the facet's area; the shares add up to one, so that two of them are coordinates.
      const double part = p[1] * q[2] - p[2] * q[1];
      const Vec3 middles[] = {piece[0] + p / 2, piece[0] + q / 2, piece[0] + (p + q) / 2};
      for (int corner = 0; corner < 3; ++corner) {
        Terms terms{};
        for (const Vec3& shares : middles) {
          // Half of it: Gauss' weight.
          const double mm3 = part / 3 * shares[corner] * taken_[corner] / 2;
          add_point(mm3, corners_ * shares, density_g_cm3, wet, terms);
        }
        if (taken_[corner] != 0) add(corner, terms);
      }
    }
  }

  static void add_point(double mm3, const Vec3& from_pivot_mm, double density_g_cm3, bool wet,
                        Terms& terms) {
    const double wood_g = density_g_cm3 * cm3_per_mm3 * mm3;
    terms[0] += mm3;
    if (wet) terms[1] += mm3;
    terms[2] += wood_g;
    for (std::size_t k = 0; k < 3; ++k) {
      const double lever_mm = from_pivot_mm[static_cast<Eigen::Index>(k)];
      terms[3 + k] += wood_g * lever_mm;
      if (wet) terms[6 + k] += mm3 * lever_mm;
    }
  }

  const LayerQuestion* question_;
  LayerSum whole_;
  LayerSum elsewhere_;
  std::vector<LayerSum> patches_;
  std::vector<LayerSum> slices_;
  // Of the facet at hand, part of the way on:
  std::array<int, 3> patch_{};
  Mat3 corners_;  // from the pivot
  Vec3 taken_;    // volume off the whole facet for the whole way at the speed of each corner
};

}  // namespace

SkinLayers skin_layers(const geometry::ClosedMesh& body, const Eigen::Matrix3Xd& sanded_mm,
                       const LayerQuestion& question) {
  LayerSums sums(question);
  for (int f = 0; f < body.facet_count(); ++f) sums.add_facet(body, f, sanded_mm);
  return sums.values();
}

}  // namespace trueblank::effect
