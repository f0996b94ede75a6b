// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Geometry>
#include <array>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "geometry/cut.h"
#include "support/bodies.h"

// Planes to cut bodies with, and a second way to the same answers.
namespace trueblank::geometry {

struct NamedPlane {
  std::string name;
  Plane plane;
};

/// Random planes that meet the body, and the awkward ones: through a vertex, along an edge, in a
/// facet, past the body, and a thousandth of a thousandth of the way from either end.
inline std::vector<NamedPlane> planes_for(const ClosedMesh& body, unsigned seed, int random_ones) {
  std::mt19937 random(seed);
  const auto even = [&random] { return (static_cast<double>(random()) + 0.5) / 4294967296.0; };
  const auto direction = [&]() -> Vec3 {
    return test_bodies::random_turn(static_cast<unsigned>(random())).col(0);
  };
  const auto pick = [&] {
    return static_cast<int>(random() % static_cast<unsigned>(body.facet_count()));
  };
  std::vector<NamedPlane> planes;
  const auto at_share = [&](const char* name, const Vec3& normal, double share) {
    const Eigen::RowVectorXd heights = normal.transpose() * body.positions_mm();
    const double low = heights.minCoeff();
    planes.push_back({name, {normal, low + share * (heights.maxCoeff() - low)}});
  };
  for (int i = 0; i < random_ones; ++i) at_share("random", direction(), even());
  for (int k = 0; k < 3; ++k) {
    at_share("square to an axis", Vec3::Unit(k), even());
    at_share("middle of an axis", -Vec3::Unit(k), 0.5);
    at_share("top of an axis", Vec3::Unit(k), 1);
    at_share("bottom of an axis", Vec3::Unit(k), 0);
  }
  for (int i = 0; i < 6; ++i) {
    at_share("just below the top", direction(), 1 - 1e-6);
    at_share("just above the bottom", direction(), 1e-6);
    at_share("past the body", direction(), i % 2 == 0 ? 1.01 : -0.01);
    at_share("far past the body", direction(), i % 2 == 0 ? 100 : -100);
    const int facet = pick();
    const Vec3 a = body.corner(facet, 0);
    const Vec3 b = body.corner(facet, 1);
    const Vec3 c = body.corner(facet, 2);
    const Vec3 through_vertex = direction();
    planes.push_back({"through a vertex", {through_vertex, through_vertex.dot(a)}});
    const Vec3 along_edge = (b - a).cross(direction()).normalized();
    planes.push_back({"along an edge", {along_edge, along_edge.dot(a)}});
    const Vec3 in_facet = (b - a).cross(c - a).normalized();
    planes.push_back({"in a facet", {in_facet, in_facet.dot(a)}});
    planes.push_back({"in a facet, from inside", {-in_facet, -in_facet.dot(a)}});
  }
  return planes;
}

/// What a body's figures are compared with.
struct Sizes {
  double volume_mm3;
  double area_mm2;
  double length_mm;
  double distance_mm;  ///< of the farthest vertex from the coordinate origin
};

inline Sizes sizes_of(const ClosedMesh& body, double volume_mm3, double area_mm2) {
  const Vec3 low = body.positions_mm().rowwise().minCoeff();
  const Vec3 high = body.positions_mm().rowwise().maxCoeff();
  return {volume_mm3, area_mm2, (high - low).norm(),
          std::sqrt(body.positions_mm().colwise().squaredNorm().maxCoeff())};
}

/// The part below a plane in long double, by the divergence theorem over clipped facets with
/// fields that vanish on the plane: with h the height and q the foot on the plane,
///   V = ∮ h n·dA,  ∫h dV = ∮ h²/2 n·dA,  ∫q dV = ∮ q h n·dA,
///   cut face: area = −∮ n·dA,  ∫q dA = −∮ q n·dA,  ∫q qᵀ dA = −∮ q qᵀ n·dA,
/// each over the facets' parts below; the mean over the middles of a triangle's sides is exact
/// for the quadratics here. None of it is shared with the library's way.
class SlowCut {
 public:
  using Real = long double;
  using RealVec = Eigen::Matrix<Real, 3, 1>;
  using RealMat = Eigen::Matrix<Real, 3, 3>;

  SlowCut(const ClosedMesh& body, const Plane& plane)
      : n_(plane.normal.cast<Real>()), foot_(static_cast<Real>(plane.offset_mm) * n_) {
    // Feet are measured from the body's own neighbourhood.
    const RealVec near = body.corner(0, 0).cast<Real>();
    foot_ += near - n_.dot(near) * n_;
    for (int f = 0; f < body.facet_count(); ++f) add_facet(body, f);
  }

  [[nodiscard]] BelowPlane result() const {
    BelowPlane below;
    below.volume_mm3 = static_cast<double>(volume_);
    below.first_moment_mm4 = (first_ + height_moment_ * n_ + volume_ * foot_).cast<double>();
    below.waterplane_mm2 = static_cast<double>(area_);
    if (area_ <= 0) return below;
    const RealVec mean = area_first_ / area_;
    below.waterplane_centroid_mm = (foot_ + mean).cast<double>();
    below.waterplane_second_mm4 =
        (area_second_ - area_ * (mean * mean.transpose())).eval().cast<double>();
    return below;
  }

 private:
  struct Corner {
    RealVec q;
    Real h;
  };

  void add_facet(const ClosedMesh& body, int f) {
    std::array<Corner, 3> corners;
    for (int k = 0; k < 3; ++k) {
      const RealVec p = body.corner(f, k).cast<Real>() - foot_;
      const Real h = n_.dot(p);
      corners[static_cast<std::size_t>(k)] = {p - h * n_, h};
    }
    std::vector<Corner> polygon;
    for (std::size_t k = 0; k < 3; ++k) {
      const Corner& here = corners[k];
      const Corner& next = corners[(k + 1) % 3];
      if (here.h < 0) polygon.push_back(here);
      if ((here.h < 0) != (next.h < 0)) {
        const Real t = here.h / (here.h - next.h);
        polygon.push_back({here.q + t * (next.q - here.q), 0});
      }
    }
    for (std::size_t k = 2; k < polygon.size(); ++k) {
      add_triangle(polygon[0], polygon[k - 1], polygon[k]);
    }
  }

  void add_triangle(const Corner& a, const Corner& b, const Corner& c) {
    const Real upward = (b.q - a.q).cross(c.q - a.q).dot(n_) / 2;  // n·A
    for (const auto& [p, q] : {std::pair(&a, &b), std::pair(&b, &c), std::pair(&c, &a)}) {
      const RealVec foot = (p->q + q->q) / 2;
      const Real h = (p->h + q->h) / 2;
      const Real weight = upward / 3;
      volume_ += weight * h;
      height_moment_ += weight * h * h / 2;
      first_ += weight * h * foot;
      area_ -= weight;
      area_first_ -= weight * foot;
      area_second_ -= weight * (foot * foot.transpose());
    }
  }

  RealVec n_;
  RealVec foot_;
  Real volume_ = 0;
  Real height_moment_ = 0;
  RealVec first_ = RealVec::Zero();
  Real area_ = 0;
  RealVec area_first_ = RealVec::Zero();
  RealMat area_second_ = RealMat::Zero();
};

/// Fails the running test where two answers differ by more than `tolerance` of the whole body.
inline void expect_same_cut(const BelowPlane& found, const BelowPlane& expected, const Sizes& whole,
                            double tolerance, bool with_face = true) {
  const double reach = whole.length_mm + whole.distance_mm;
  EXPECT_NEAR(found.volume_mm3, expected.volume_mm3, tolerance * whole.volume_mm3);
  EXPECT_LE((found.first_moment_mm4 - expected.first_moment_mm4).norm(),
            tolerance * whole.volume_mm3 * reach);
  if (!with_face) return;
  EXPECT_NEAR(found.waterplane_mm2, expected.waterplane_mm2, tolerance * whole.area_mm2);
  // A centroid counts by its first moment: that of a face of next to no area is open.
  EXPECT_LE((found.waterplane_centroid_mm - expected.waterplane_centroid_mm).norm() *
                std::min(found.waterplane_mm2, expected.waterplane_mm2),
            tolerance * whole.area_mm2 * reach);
  EXPECT_LE((found.waterplane_second_mm4 - expected.waterplane_second_mm4).norm(),
            tolerance * whole.area_mm2 * whole.length_mm * whole.length_mm);
}

}  // namespace trueblank::geometry
