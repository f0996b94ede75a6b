// SPDX-License-Identifier: GPL-3.0-or-later
// M. Kallay, "Computing the moment of inertia of a solid defined by a triangle mesh", J. Graphics
// Tools 11(2), 51-57, 2006: a signed tetrahedron with one corner at the origin and the others at
// a, b, c has volume v = det(a, b, c)/6, first moment v·s/4 and second moments
// v·(a aᵀ + b bᵀ + c cᵀ + s sᵀ)/20, with s = a + b + c.
#include "geometry/moments.h"

#include <Eigen/Eigenvalues>
#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "geometry/compensated_sum.h"
#include "geometry/facet_lanes.h"

namespace trueblank::geometry {
namespace {

template <std::size_t N>
using Terms = std::array<double, N>;

/// Adds up N sums over the facets, `add_facet(a, b, c, terms)` with corners from `apex`.
template <std::size_t N, class AddFacet>
Terms<N> sum_over_facets(const TriangleMesh& mesh, const Vec3& apex, const AddFacet& add_facet) {
  CompensatedSums<N> sums;
  const Eigen::Index facets = mesh.facets.cols();
  for (Eigen::Index begin = 0; begin < facets; begin += facets_per_block) {
    const Eigen::Index end = std::min<Eigen::Index>(begin + facets_per_block, facets);
    Terms<N> terms{};
    for (Eigen::Index f = begin; f < end; ++f) {
      const Vec3 a = mesh.positions_mm.col(mesh.facets(0, f)) - apex;
      const Vec3 b = mesh.positions_mm.col(mesh.facets(1, f)) - apex;
      const Vec3 c = mesh.positions_mm.col(mesh.facets(2, f)) - apex;
      add_facet(a, b, c, terms);
    }
    sums.add(terms);
  }
  return sums.values();
}

/// The middle of some of the vertices, from all along the list.
Vec3 point_amid(const TriangleMesh& mesh) {
  constexpr Eigen::Index some = 64;
  const Eigen::Index vertices = mesh.positions_mm.cols();
  const Eigen::Index asked = std::min(some, vertices);
  Vec3 sum = Vec3::Zero();
  for (Eigen::Index i = 0; i < asked; ++i) sum += mesh.positions_mm.col(i * vertices / asked);
  return sum / static_cast<double>(asked);
}

}  // namespace

Moments moments(const ClosedMesh& body) {
  const Vec3 apex = point_amid(body.mesh());
  const double* positions = body.positions_mm().data();
  const int* facets = body.facets().data();
  const FacetTerms facet_terms = widest_facet_terms();
  CompensatedSums<moment_terms> totals;
  const int count = body.facet_count();
  const int blocks = count / facets_in_lanes;
  facet_terms(positions, apex.data(), facets, blocks, totals);
  if (const int done = facets_in_lanes * blocks; done < count) {
    // What is left over, made a block by facets with all corners in one vertex, which add nothing.
    std::array<int, 3 * facets_in_lanes> rest{};
    std::copy(facets + std::ptrdiff_t{3} * done, facets + std::ptrdiff_t{3} * count, rest.begin());
    facet_terms(positions, apex.data(), rest.data(), 1, totals);
  }
  const Terms<moment_terms> sums = totals.values();
  Moments result;
  result.volume_mm3 = sums[0] / 6;
  result.area_mm2 = sums[1] / 2;
  const Vec3 from_apex = Vec3(sums[2], sums[3], sums[4]) / (4 * sums[0]);
  result.centroid_mm = apex + from_apex;
  Mat3 second;
  second << sums[5], sums[8], sums[9], sums[8], sums[6], sums[10], sums[9], sums[10], sums[7];
  result.spread_mm5 = second / 90 - result.volume_mm3 * (from_apex * from_apex.transpose());
  result.inertia_mm5 = result.spread_mm5.trace() * Mat3::Identity() - result.spread_mm5;
  return result;
}

double signed_volume_mm3(const TriangleMesh& mesh, const Vec3& apex_mm) {
  return sum_over_facets<1>(mesh, apex_mm,
                            [](const Vec3& a, const Vec3& b, const Vec3& c, Terms<1>& t) {
                              t[0] += (b - a).cross(c - a).dot(a);
                            })[0] /
         6;
}

double area_mm2(const TriangleMesh& mesh) {
  return sum_over_facets<1>(mesh, Vec3::Zero(),
                            [](const Vec3& a, const Vec3& b, const Vec3& c, Terms<1>& t) {
                              t[0] += (b - a).cross(c - a).norm();
                            })[0] /
         2;
}

Principal principal(const Mat3& symmetric) {
  const Eigen::SelfAdjointEigenSolver<Mat3> solver(symmetric);
  Principal result{solver.eigenvalues(), solver.eigenvectors()};
  for (int i = 0; i < 3; ++i) {
    Eigen::Index largest = 0;
    result.axes.col(i).cwiseAbs().maxCoeff(&largest);
    if (result.axes(largest, i) < 0) result.axes.col(i) *= -1;
  }
  if (result.axes.determinant() < 0) result.axes.col(2) *= -1;
  return result;
}

}  // namespace trueblank::geometry
