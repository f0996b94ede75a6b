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

// Of functions that are always made part of others; templates among them are made at a file's end.
#pragma GCC diagnostic ignored "-Wpsabi"

// The terms of a body's moments, several facets side by side. Not installed.
//
// Facet i of a block goes to sum i mod 8, whether the machine takes two facets at a step, four or
// eight: all come to the same bytes, so that what a body weighs doesn't depend on the machine.
namespace trueblank::geometry {

/// det; twice the area; first moment × 24; second moments xx yy zz xy xz yz × 90.
inline constexpr std::size_t moment_terms = 11;

inline constexpr int facet_lanes = 8;

/// As many facets to a sum as other passes have to a block.
inline constexpr int facets_in_lanes = facet_lanes * facets_per_block;

using TwoFacets __attribute__((vector_size(16))) = double;
using FourFacets __attribute__((vector_size(32))) = double;
using EightFacets __attribute__((vector_size(64))) = double;

/// Two numbers as they lie.
[[gnu::always_inline]] inline TwoFacets two_of(const double* from) {
  TwoFacets two;
  std::memcpy(&two, from, sizeof two);
  return two;
}

[[gnu::always_inline]] inline FourFacets joined(const TwoFacets& low, const TwoFacets& high) {
  return __builtin_shufflevector(low, high, 0, 1, 2, 3);
}

[[gnu::always_inline]] inline EightFacets joined(const FourFacets& low, const FourFacets& high) {
  return __builtin_shufflevector(low, high, 0, 1, 2, 3, 4, 5, 6, 7);
}

/// Two numbers from each of four places.
[[gnu::always_inline]] inline EightFacets eight_of(const double* first, const double* second,
                                                   const double* third, const double* fourth) {
#if defined(__x86_64__) && !defined(__clang__)
  // The compiler would take twice as many steps, at the ports that the sums need.
  using Two __attribute__((vector_size(16), aligned(8), may_alias)) = double;
  const auto at = [](const double* place) __attribute__((always_inline)) {
    return reinterpret_cast<const Two*>(place);
  };
  EightFacets eight;
  asm("vmovupd %1, %x0\n\t"
      "vinsertf64x2 $1, %2, %t0, %t0\n\t"
      "vinsertf64x2 $2, %3, %0, %0\n\t"
      "vinsertf64x2 $3, %4, %0, %0"
      : "=v"(eight)
      : "m"(*at(first)), "m"(*at(second)), "m"(*at(third)), "m"(*at(fourth)));
  return eight;
#else
  return joined(joined(two_of(first), two_of(second)), joined(two_of(third), two_of(fourth)));
#endif
}

/// The same corner of several facets.
template <class Lanes>
struct CornerLanes {
  Lanes x;
  Lanes y;
  Lanes z;
};

/// `facets` is the corner in the first of the facets. Loads of two numbers, (x, y) and (y, z), none
/// past a vertex's own.
template <class Lanes>
[[gnu::always_inline]] inline CornerLanes<Lanes> corner_of(const double* positions_mm,
                                                           const int* facets) {
  const auto place = [&](int facet, int from) __attribute__((always_inline)) {
    return positions_mm + std::ptrdiff_t{3} * facets[3 * facet] + from;
  };
  const auto two = [&](int facet, int from) __attribute__((always_inline)) {
    return two_of(place(facet, from));
  };
  const auto four = [&](int facet, int from) __attribute__((always_inline)) {
    return joined(two(facet, from), two(facet + 2, from));
  };
  const auto eight = [&](int facet, int from) __attribute__((always_inline)) {
    return eight_of(place(facet, from), place(facet + 2, from), place(facet + 4, from),
                    place(facet + 6, from));
  };
  if constexpr (sizeof(Lanes) == sizeof(TwoFacets)) {
    return {__builtin_shufflevector(two(0, 0), two(1, 0), 0, 2),
            __builtin_shufflevector(two(0, 0), two(1, 0), 1, 3),
            __builtin_shufflevector(two(0, 1), two(1, 1), 1, 3)};
  } else if constexpr (sizeof(Lanes) == sizeof(FourFacets)) {
    return {__builtin_shufflevector(four(0, 0), four(1, 0), 0, 4, 2, 6),
            __builtin_shufflevector(four(0, 0), four(1, 0), 1, 5, 3, 7),
            __builtin_shufflevector(four(0, 1), four(1, 1), 1, 5, 3, 7)};
  } else {
    return {__builtin_shufflevector(eight(0, 0), eight(1, 0), 0, 8, 2, 10, 4, 12, 6, 14),
            __builtin_shufflevector(eight(0, 0), eight(1, 0), 1, 9, 3, 11, 5, 13, 7, 15),
            __builtin_shufflevector(eight(0, 1), eight(1, 1), 1, 9, 3, 11, 5, 13, 7, 15)};
  }
}

[[gnu::always_inline]] inline TwoFacets roots(const TwoFacets& of) {
#if defined(__SSE2__)
  return _mm_sqrt_pd(of);
#else
  return TwoFacets{std::sqrt(of[0]), std::sqrt(of[1])};
#endif
}

[[gnu::always_inline]] inline FourFacets roots(const FourFacets& of) {
#if defined(__x86_64__) && !defined(__clang__)
  // The compiler has a word for it only where it is told of AVX, as it is where this is made part
  // of: facet_terms_by_four.
  FourFacets root;
  asm("vsqrtpd %1, %0" : "=x"(root) : "x"(of));
  return root;
#else
  return joined(roots(__builtin_shufflevector(of, of, 0, 1)),
                roots(__builtin_shufflevector(of, of, 2, 3)));
#endif
}

[[gnu::always_inline]] inline EightFacets roots(const EightFacets& of) {
#if defined(__x86_64__) && !defined(__clang__)
  EightFacets root;
  asm("vsqrtpd %1, %0" : "=v"(root) : "v"(of));
  return root;
#else
  return joined(roots(__builtin_shufflevector(of, of, 0, 1, 2, 3)),
                roots(__builtin_shufflevector(of, of, 4, 5, 6, 7)));
#endif
}

/// A block's sums over its facets `lane`, `lane` + 8, ... and as many beside as Lanes holds; a
/// facet is three indices. With u = b − a, v = c − b, e = u + v, w = v − u: s = 3 b + w, and
/// Kallay's a aᵀ + b bᵀ + c cᵀ + s sᵀ = 4/3 (s sᵀ + 3/8 e eᵀ + 1/8 w wᵀ).
template <class Lanes>
[[gnu::always_inline]] inline std::array<Lanes, moment_terms> sums_of_block(
    const double* positions_mm, const double* apex_mm, const int* facets, int lane) {
  const Lanes apex_x = Lanes{} + apex_mm[0];
  const Lanes apex_y = Lanes{} + apex_mm[1];
  const Lanes apex_z = Lanes{} + apex_mm[2];
  Lanes det_sum{}, area{}, x{}, y{}, z{}, xx{}, yy{}, zz{}, xy{}, xz{}, yz{};
  for (int i = lane; i < facets_in_lanes; i += facet_lanes) {
    const int* corners = facets + std::ptrdiff_t{3} * i;
    const CornerLanes<Lanes> a = corner_of<Lanes>(positions_mm, corners);
    const CornerLanes<Lanes> b = corner_of<Lanes>(positions_mm, corners + 1);
    const CornerLanes<Lanes> c = corner_of<Lanes>(positions_mm, corners + 2);
    const Lanes ux = b.x - a.x;
    const Lanes uy = b.y - a.y;
    const Lanes uz = b.z - a.z;
    const Lanes vx = c.x - b.x;
    const Lanes vy = c.y - b.y;
    const Lanes vz = c.z - b.z;
    const Lanes nx = uy * vz - uz * vy;
    const Lanes ny = uz * vx - ux * vz;
    const Lanes nz = ux * vy - uy * vx;
    area += roots(nx * nx + ny * ny + nz * nz);
    const Lanes bx = b.x - apex_x;
    const Lanes by = b.y - apex_y;
    const Lanes bz = b.z - apex_z;
    const Lanes det = nx * bx + ny * by + nz * bz;
    const Lanes ex = ux + vx;
    const Lanes ey = uy + vy;
    const Lanes ez = uz + vz;
    const Lanes wx = vx - ux;
    const Lanes wy = vy - uy;
    const Lanes wz = vz - uz;
    const Lanes sx = 3 * bx + wx;
    const Lanes sy = 3 * by + wy;
    const Lanes sz = 3 * bz + wz;
    const Lanes det_s_x = det * sx;
    const Lanes det_s_y = det * sy;
    const Lanes det_s_z = det * sz;
    const Lanes det_e = 0.375 * det;
    const Lanes det_e_x = det_e * ex;
    const Lanes det_e_y = det_e * ey;
    const Lanes det_e_z = det_e * ez;
    const Lanes det_w = 0.125 * det;
    const Lanes det_w_x = det_w * wx;
    const Lanes det_w_y = det_w * wy;
    const Lanes det_w_z = det_w * wz;
    det_sum += det;
    x += det_s_x;
    y += det_s_y;
    z += det_s_z;
    xx += det_s_x * sx + det_e_x * ex + det_w_x * wx;
    yy += det_s_y * sy + det_e_y * ey + det_w_y * wy;
    zz += det_s_z * sz + det_e_z * ez + det_w_z * wz;
    xy += det_s_x * sy + det_e_x * ey + det_w_x * wy;
    xz += det_s_x * sz + det_e_x * ez + det_w_x * wz;
    yz += det_s_y * sz + det_e_y * ez + det_w_y * wz;
  }
  return {det_sum, area, x, y, z, xx, yy, zz, xy, xz, yz};
}

/// Adds the sums of so many blocks of facets (three indices each) to the totals.
using FacetTerms = void (*)(const double* positions_mm, const double* apex_mm, const int* facets,
                            int blocks, CompensatedSums<moment_terms>& totals);

template <class Lanes>
[[gnu::always_inline]] inline void add_blocks(const double* positions_mm, const double* apex_mm,
                                              const int* facets, int blocks,
                                              CompensatedSums<moment_terms>& totals) {
  constexpr int width = sizeof(Lanes) / sizeof(double);
  for (int i = 0; i < blocks; ++i) {
    std::array<std::array<double, facet_lanes>, moment_terms> sums;
    for (int lane = 0; lane < facet_lanes; lane += width) {
      const std::array<Lanes, moment_terms> some = sums_of_block<Lanes>(
          positions_mm, apex_mm, facets + std::ptrdiff_t{3} * facets_in_lanes * i, lane);
      for (std::size_t k = 0; k < moment_terms; ++k) {
        std::memcpy(sums[k].data() + lane, &some[k], sizeof some[k]);
      }
    }
    std::array<double, moment_terms> block;
    for (std::size_t k = 0; k < moment_terms; ++k) {
      const std::array<double, facet_lanes>& of = sums[k];
      block[k] = ((of[0] + of[4]) + (of[2] + of[6])) + ((of[1] + of[5]) + (of[3] + of[7]));
    }
    totals.add(block);
  }
}

inline void facet_terms_by_two(const double* positions_mm, const double* apex_mm, const int* facets,
                               int blocks, CompensatedSums<moment_terms>& totals) {
  add_blocks<TwoFacets>(positions_mm, apex_mm, facets, blocks, totals);
}

#if defined(__x86_64__)
[[gnu::target("avx2")]] inline void facet_terms_by_four(const double* positions_mm,
                                                        const double* apex_mm, const int* facets,
                                                        int blocks,
                                                        CompensatedSums<moment_terms>& totals) {
  add_blocks<FourFacets>(positions_mm, apex_mm, facets, blocks, totals);
}

[[gnu::target("avx512f,avx512dq,avx512vl")]] inline void facet_terms_by_eight(
    const double* positions_mm, const double* apex_mm, const int* facets, int blocks,
    CompensatedSums<moment_terms>& totals) {
  add_blocks<EightFacets>(positions_mm, apex_mm, facets, blocks, totals);
}

[[nodiscard]] inline bool has_eight_lanes() {
  return __builtin_cpu_supports("avx512f") != 0 && __builtin_cpu_supports("avx512dq") != 0 &&
         __builtin_cpu_supports("avx512vl") != 0;
}
#endif

/// The fastest that this machine can run.
[[nodiscard]] inline FacetTerms widest_facet_terms() {
#if defined(__x86_64__)
  if (has_eight_lanes()) return facet_terms_by_eight;
  if (__builtin_cpu_supports("avx2") != 0) return facet_terms_by_four;
#endif
  return facet_terms_by_two;
}

}  // namespace trueblank::geometry
