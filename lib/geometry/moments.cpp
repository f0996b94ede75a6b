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
#include <cstring>

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

/// Two vertices at a step: (x, y), (z, x), (y, z) of the numbers as they lie.
Vec3 box_centre(const TriangleMesh& mesh) {
  const double* positions = mesh.positions_mm.data();
  const std::ptrdiff_t vertices = mesh.positions_mm.cols();
  std::array<TwoFacets, 3> low;
  std::memcpy(low.data(), positions, sizeof low);
  std::array<TwoFacets, 3> high = low;
  const auto widen = [&](const double* at) {
    std::array<TwoFacets, 3> here;
    std::memcpy(here.data(), at, sizeof here);
    for (std::size_t k = 0; k < 3; ++k) {
      low[k] = here[k] < low[k] ? here[k] : low[k];
      high[k] = here[k] > high[k] ? here[k] : high[k];
    }
  };
  for (std::ptrdiff_t i = 2; i + 2 <= vertices; i += 2) widen(positions + 3 * i);
  widen(positions + 3 * (vertices - 2));
  const Vec3 least(std::min(low[0][0], low[1][1]), std::min(low[0][1], low[2][0]),
                   std::min(low[1][0], low[2][1]));
  const Vec3 greatest(std::max(high[0][0], high[1][1]), std::max(high[0][1], high[2][0]),
                      std::max(high[1][0], high[2][1]));
  return least + (greatest - least) / 2;
}

}  // namespace

Moments moments(const ClosedMesh& body) {
  const Vec3 apex = box_centre(body.mesh());
  const double* positions = body.positions_mm().data();
  const int* facets = body.facets().data();
  const FacetTerms facet_terms = widest_facet_terms();
  CompensatedSums<moment_terms> totals;
  LaneSums lanes;
  const auto add_block = [&](const int* first) {
    facet_terms(positions, apex.data(), first, lanes);
    Terms<moment_terms> block;
    for (std::size_t k = 0; k < moment_terms; ++k) {
      const std::array<double, facet_lanes>& sum = lanes.terms[k];
      block[k] = (sum[0] + sum[1]) + (sum[2] + sum[3]);
    }
    totals.add(block);
  };
  const int count = body.facet_count();
  const int whole_blocks = count / facets_per_block * facets_per_block;
  for (int begin = 0; begin < whole_blocks; begin += facets_per_block) {
    add_block(facets + std::ptrdiff_t{3} * begin);
  }
  if (whole_blocks < count) {
    // What is left over, made a block by facets with all corners in one vertex, which add nothing.
    std::array<int, 3 * facets_per_block> rest{};
    std::copy(facets + std::ptrdiff_t{3} * whole_blocks, facets + std::ptrdiff_t{3} * count,
              rest.begin());
    add_block(rest.data());
  }
  const Terms<moment_terms> sums = totals.values();
  Moments result;
  result.volume_mm3 = sums[0] / 6;
  result.area_mm2 = sums[1] / 2;
  const Vec3 from_apex = Vec3(sums[2], sums[3], sums[4]) / (4 * sums[0]);
  result.centroid_mm = apex + from_apex;
  Mat3 second;
  second << sums[5], sums[8], sums[9], sums[8], sums[6], sums[10], sums[9], sums[10], sums[7];
  result.spread_mm5 = second / 120 - result.volume_mm3 * (from_apex * from_apex.transpose());
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
