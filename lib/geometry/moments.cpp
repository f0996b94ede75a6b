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

/// One number of each facet of a block, side by side, so that the compiler can take several facets
/// at a step.
using Lane = std::array<double, facets_per_block>;

/// x, y, z of the corners a, b, c, from the apex.
struct Corners {
  std::array<Lane, 3> a;
  std::array<Lane, 3> b;
  std::array<Lane, 3> c;
};

/// det; twice the area; first moment × 24; second moments xx yy zz xy xz yz × 120.
constexpr std::size_t term_count = 11;
using BlockTerms = std::array<Lane, term_count>;

/// The corners of up to a block of facets; what is left of the last block has all its corners in
/// the apex, and adds nothing.
void gather(const TriangleMesh& mesh, const Vec3& apex, int begin, Corners& corners) {
  const int count = std::min(facets_per_block, mesh.facet_count() - begin);
  if (count < facets_per_block) corners = {};
  const double* positions = mesh.positions_mm.data();
  const int* facets = mesh.facets.data() + std::ptrdiff_t{3} * begin;
  for (int i = 0; i < count; ++i) {
    const auto slot = static_cast<std::size_t>(i);
    const double* a = positions + std::ptrdiff_t{3} * facets[3 * i];
    const double* b = positions + std::ptrdiff_t{3} * facets[3 * i + 1];
    const double* c = positions + std::ptrdiff_t{3} * facets[3 * i + 2];
    for (std::size_t k = 0; k < 3; ++k) {
      const double origin = apex[static_cast<Eigen::Index>(k)];
      corners.a[k][slot] = a[k] - origin;
      corners.b[k][slot] = b[k] - origin;
      corners.c[k][slot] = c[k] - origin;
    }
  }
}

/// With p = a + b, q = b + c, r = c + a: s = (p + q + r)/2, and Kallay's
/// a aᵀ + b bᵀ + c cᵀ + s sᵀ = p pᵀ + q qᵀ + r rᵀ.
void facet_terms(const Corners& corners, BlockTerms& terms) {
  const auto& [a, b, c] = corners;
  for (std::size_t i = 0; i < facets_per_block; ++i) {
    const double ux = b[0][i] - a[0][i];
    const double uy = b[1][i] - a[1][i];
    const double uz = b[2][i] - a[2][i];
    const double vx = c[0][i] - a[0][i];
    const double vy = c[1][i] - a[1][i];
    const double vz = c[2][i] - a[2][i];
    const double nx = uy * vz - uz * vy;
    const double ny = uz * vx - ux * vz;
    const double nz = ux * vy - uy * vx;
    const double det = nx * a[0][i] + ny * a[1][i] + nz * a[2][i];
    const double px = a[0][i] + b[0][i];
    const double py = a[1][i] + b[1][i];
    const double pz = a[2][i] + b[2][i];
    const double qx = b[0][i] + c[0][i];
    const double qy = b[1][i] + c[1][i];
    const double qz = b[2][i] + c[2][i];
    const double rx = c[0][i] + a[0][i];
    const double ry = c[1][i] + a[1][i];
    const double rz = c[2][i] + a[2][i];
    terms[0][i] = det;
    terms[1][i] = nx * nx + ny * ny + nz * nz;
    terms[2][i] = det * (px + c[0][i]);
    terms[3][i] = det * (py + c[1][i]);
    terms[4][i] = det * (pz + c[2][i]);
    terms[5][i] = det * (px * px + qx * qx + rx * rx);
    terms[6][i] = det * (py * py + qy * qy + ry * ry);
    terms[7][i] = det * (pz * pz + qz * qz + rz * rz);
    terms[8][i] = det * (px * py + qx * qy + rx * ry);
    terms[9][i] = det * (px * pz + qx * qz + rx * rz);
    terms[10][i] = det * (py * pz + qy * qz + ry * rz);
  }
  // std::sqrt, which may set errno, would keep the loop above from being taken by several facets.
  Eigen::Map<Eigen::Array<double, facets_per_block, 1>> areas(terms[1].data());
  areas = areas.sqrt();
}

/// In an order of its own that is the same on every machine: four sums, then theirs.
double sum_of(const Lane& lane) {
  static_assert(facets_per_block % 4 == 0);
  using Four = Eigen::Array4d;
  Four sums = Eigen::Map<const Four>(lane.data());
  for (std::size_t i = 4; i < facets_per_block; i += 4) {
    sums += Eigen::Map<const Four>(lane.data() + i);
  }
  return (sums[0] + sums[1]) + (sums[2] + sums[3]);
}

Vec3 box_centre(const TriangleMesh& mesh) {
  Vec3 low = mesh.positions_mm.col(0);
  Vec3 high = low;
  for (Eigen::Index i = 1; i < mesh.positions_mm.cols(); ++i) {
    const Vec3 p = mesh.positions_mm.col(i);
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  return low + (high - low) / 2;
}

}  // namespace

Moments moments(const ClosedMesh& body) {
  const Vec3 apex = box_centre(body.mesh());
  CompensatedSums<term_count> totals;
  Corners corners;
  BlockTerms terms;
  const int facets = body.facet_count();
  for (int begin = 0; begin < facets; begin += facets_per_block) {
    gather(body.mesh(), apex, begin, corners);
    facet_terms(corners, terms);
    Terms<term_count> block;
    for (std::size_t k = 0; k < term_count; ++k) block[k] = sum_of(terms[k]);
    totals.add(block);
  }
  const Terms<term_count> sums = totals.values();
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
