// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <cstring>

#include "geometry/compensated_sum.h"
#if defined(__SSE2__)
#include <emmintrin.h>
#endif

// The terms of a body's moments, several facets side by side. Not installed.
//
// Facet i of a block goes to sum i mod 4, whether the machine takes two facets at a step or four:
// both come to the same bytes, so that what a body weighs doesn't depend on the machine.
namespace trueblank::geometry {

/// det; twice the area; first moment × 24; second moments xx yy zz xy xz yz × 120.
inline constexpr std::size_t moment_terms = 11;

inline constexpr int facet_lanes = 4;
static_assert(facets_per_block % facet_lanes == 0);

/// A block's sums, by facet mod 4.
struct LaneSums {
  alignas(32) std::array<std::array<double, facet_lanes>, moment_terms> terms;
  alignas(32) std::array<double, facets_per_block> area_squared;  ///< (2 × area)² of each facet
};

using TwoFacets __attribute__((vector_size(16))) = double;
using FourFacets __attribute__((vector_size(32))) = double;

/// The same corner of two facets, from the apex: `facets` is the corner in the first of them.
[[gnu::always_inline]] inline void gather(const double* positions_mm, const double* apex_mm,
                                          const int* facets, std::array<TwoFacets, 3>& corner) {
  const double* p = positions_mm + std::ptrdiff_t{3} * facets[0];
  const double* q = positions_mm + std::ptrdiff_t{3} * facets[3];
  corner[0] = TwoFacets{p[0], q[0]} - apex_mm[0];
  corner[1] = TwoFacets{p[1], q[1]} - apex_mm[1];
  corner[2] = TwoFacets{p[2], q[2]} - apex_mm[2];
}

[[gnu::always_inline]] inline void gather(const double* positions_mm, const double* apex_mm,
                                          const int* facets, std::array<FourFacets, 3>& corner) {
  std::array<TwoFacets, 3> low;
  std::array<TwoFacets, 3> high;
  gather(positions_mm, apex_mm, facets, low);
  gather(positions_mm, apex_mm, facets + 6, high);
  corner[0] = __builtin_shufflevector(low[0], high[0], 0, 1, 2, 3);
  corner[1] = __builtin_shufflevector(low[1], high[1], 0, 1, 2, 3);
  corner[2] = __builtin_shufflevector(low[2], high[2], 0, 1, 2, 3);
}

/// Sums a block of facets (three indices each), all but the areas' roots. With p = a + b, q = b +
/// c, r = c + a: s = (p + q + r)/2, and Kallay's a aᵀ + b bᵀ + c cᵀ + s sᵀ = p pᵀ + q qᵀ + r rᵀ.
template <class Lanes>
[[gnu::always_inline]] inline void sum_block(const double* positions_mm, const double* apex_mm,
                                             const int* facets, LaneSums& block) {
  constexpr int width = sizeof(Lanes) / sizeof(double);
  for (int lane = 0; lane < facet_lanes; lane += width) {
    Lanes det_sum{}, x{}, y{}, z{}, xx{}, yy{}, zz{}, xy{}, xz{}, yz{};
    for (int i = lane; i < facets_per_block; i += facet_lanes) {
      std::array<Lanes, 3> a;
      std::array<Lanes, 3> b;
      std::array<Lanes, 3> c;
      gather(positions_mm, apex_mm, facets + std::ptrdiff_t{3} * i, a);
      gather(positions_mm, apex_mm, facets + std::ptrdiff_t{3} * i + 1, b);
      gather(positions_mm, apex_mm, facets + std::ptrdiff_t{3} * i + 2, c);
      const Lanes ux = b[0] - a[0];
      const Lanes uy = b[1] - a[1];
      const Lanes uz = b[2] - a[2];
      const Lanes vx = c[0] - a[0];
      const Lanes vy = c[1] - a[1];
      const Lanes vz = c[2] - a[2];
      const Lanes nx = uy * vz - uz * vy;
      const Lanes ny = uz * vx - ux * vz;
      const Lanes nz = ux * vy - uy * vx;
      const Lanes det = nx * a[0] + ny * a[1] + nz * a[2];
      const Lanes squared = nx * nx + ny * ny + nz * nz;
      std::memcpy(&block.area_squared[static_cast<std::size_t>(i)], &squared, sizeof squared);
      const Lanes px = a[0] + b[0];
      const Lanes py = a[1] + b[1];
      const Lanes pz = a[2] + b[2];
      const Lanes qx = b[0] + c[0];
      const Lanes qy = b[1] + c[1];
      const Lanes qz = b[2] + c[2];
      const Lanes rx = c[0] + a[0];
      const Lanes ry = c[1] + a[1];
      const Lanes rz = c[2] + a[2];
      det_sum += det;
      x += det * (px + c[0]);
      y += det * (py + c[1]);
      z += det * (pz + c[2]);
      xx += det * (px * px + qx * qx + rx * rx);
      yy += det * (py * py + qy * qy + ry * ry);
      zz += det * (pz * pz + qz * qz + rz * rz);
      xy += det * (px * py + qx * qy + rx * ry);
      xz += det * (px * pz + qx * qz + rx * rz);
      yz += det * (py * pz + qy * qz + ry * rz);
    }
    const auto put = [&](std::size_t term, const Lanes& sum) {
      std::memcpy(&block.terms[term][static_cast<std::size_t>(lane)], &sum, sizeof sum);
    };
    put(0, det_sum);
    put(2, x);
    put(3, y);
    put(4, z);
    put(5, xx);
    put(6, yy);
    put(7, zz);
    put(8, xy);
    put(9, xz);
    put(10, yz);
  }
}

/// Sums the roots of a block's squared areas.
[[gnu::always_inline]] inline void sum_areas(LaneSums& block) {
  std::array<double, facet_lanes>& area = block.terms[1];
  area = {};
  for (std::size_t i = 0; i < facets_per_block; i += 2) {
    const std::size_t lane = i % facet_lanes;
#if defined(__SSE2__)
    const __m128d root = _mm_sqrt_pd(_mm_load_pd(&block.area_squared[i]));
    _mm_store_pd(&area[lane], _mm_add_pd(_mm_load_pd(&area[lane]), root));
#else
    area[lane] += std::sqrt(block.area_squared[i]);
    area[lane + 1] += std::sqrt(block.area_squared[i + 1]);
#endif
  }
}

/// A block's facets (three indices each) to its sums.
using FacetTerms = void (*)(const double* positions_mm, const double* apex_mm, const int* facets,
                            LaneSums& block);

inline void facet_terms_by_two(const double* positions_mm, const double* apex_mm, const int* facets,
                               LaneSums& block) {
  sum_block<TwoFacets>(positions_mm, apex_mm, facets, block);
  sum_areas(block);
}

#if defined(__x86_64__)
[[gnu::target("avx2")]] inline void facet_terms_by_four(const double* positions_mm,
                                                        const double* apex_mm, const int* facets,
                                                        LaneSums& block) {
  sum_block<FourFacets>(positions_mm, apex_mm, facets, block);
  sum_areas(block);
}
#endif

/// The fastest that this machine can run.
[[nodiscard]] inline FacetTerms widest_facet_terms() {
#if defined(__x86_64__)
  if (__builtin_cpu_supports("avx2") != 0) return facet_terms_by_four;
#endif
  return facet_terms_by_two;
}

}  // namespace trueblank::geometry
