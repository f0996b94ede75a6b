// SPDX-License-Identifier: GPL-3.0-or-later
// How far answers are off, beside what can be known: plane cuts from a plain loop in long double,
// mirror planes from where they were planted. The counters are the result; the times say nothing.
#include <benchmark/benchmark.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <optional>
#include <random>

#include "bench_bodies.h"
#include "geometry/cut_cases.h"
#include "geometry/moment_tree.h"
#include "geometry/moments.h"
#include "support/bodies.h"
#include "symmetry/marred_skins.h"
#include "symmetry/mirror_plane.h"
#include "symmetry/planted_plane.h"

namespace trueblank::bench {
namespace {

using geometry::BelowPlane;
using geometry::TriangleMesh;

constexpr int planes_a_body = 16;
constexpr int facets_of_scan = 40000;
constexpr unsigned seeds = 5;

/// The worst of all figures, each over the whole body's own: volume, area, and these times the
/// body's reach.
double worst_part(const BelowPlane& found, const BelowPlane& right, const geometry::Sizes& whole) {
  const double reach = whole.length_mm + whole.distance_mm;
  const double volume = whole.volume_mm3;
  const double area = whole.area_mm2;
  return std::max({std::abs(found.volume_mm3 - right.volume_mm3) / volume,
                   (found.first_moment_mm4 - right.first_moment_mm4).norm() / (volume * reach),
                   std::abs(found.waterplane_mm2 - right.waterplane_mm2) / area,
                   (found.waterplane_mm2 * found.waterplane_centroid_mm -
                    right.waterplane_mm2 * right.waterplane_centroid_mm)
                           .norm() /
                       (area * reach),
                   (found.waterplane_second_mm4 - right.waterplane_second_mm4).norm() /
                       (area * whole.length_mm * whole.length_mm)});
}

double worst_cut(std::int64_t facets) {
  const geometry::ClosedMesh& body = needle_of(facets);
  const geometry::Moments moments = geometry::moments(body);
  const geometry::Sizes whole = geometry::sizes_of(body, moments.volume_mm3, moments.area_mm2);
  const geometry::MomentTree tree(body);
  std::mt19937 random(11);
  double worst = 0;
  for (int i = 0; i < planes_a_body; ++i) {
    const geometry::Vec3 normal = test_bodies::random_turn(static_cast<unsigned>(random())).col(0);
    const auto [low, high] = tree.extent_mm(normal);
    const double share = (i + 0.5) / planes_a_body;
    const geometry::Plane plane = {normal, low + share * (high - low)};
    worst = std::max(worst,
                     worst_part(tree.below(plane), geometry::SlowCut(body, plane).result(), whole));
  }
  return worst;
}

void cut_error(benchmark::State& state) {
  static std::map<std::int64_t, double> known;
  const auto [found, is_new] = known.try_emplace(state.range(0), 0);
  for ([[maybe_unused]] const auto& turn : state) {
    if (is_new) found->second = worst_cut(state.range(0));
  }
  state.counters["worst_error"] = found->second;
}

struct Off {
  double deg = 0;
  double mm = 0;
};

/// Turned, moved and found again, `seeds` times over. Nothing where no plane was found.
template <class Mar>
std::optional<Off> worst_plane(const TriangleMesh& clean, const Mar& mar) {
  Off worst;
  for (unsigned seed = 1; seed <= seeds; ++seed) {
    const geometry::Mat3 turn = test_bodies::random_turn(seed);
    const symmetry::Planted truth =
        symmetry::planted(mar(clean, seed), turn, geometry::Vec3(5, 6, 7));
    const symmetry::MirrorFit fit = symmetry::fit_mirror(
        test_bodies::closed(truth.body), {}, {.back = turn * geometry::Vec3(0.05, 0.1, 1)});
    if (!fit.plane || !fit.well_determined) return {};
    worst.deg = std::max(worst.deg, symmetry::off_deg(*fit.plane, truth));
    worst.mm = std::max(worst.mm, std::abs(symmetry::off_mm(*fit.plane, truth)));
  }
  return worst;
}

void tell(benchmark::State& state, const std::optional<Off>& off) {
  for ([[maybe_unused]] const auto& turn : state) benchmark::DoNotOptimize(off);
  if (!off) {
    state.SkipWithError("no plane was found");
    return;
  }
  state.counters["off_deg"] = off->deg;
  state.counters["off_mm"] = off->mm;
}

void plane_of_clean_body(benchmark::State& state) {
  static const std::optional<Off> off = [&]() -> std::optional<Off> {
    const auto as_it_is = [](const TriangleMesh& mesh, unsigned) { return mesh; };
    const int facets = static_cast<int>(state.range(0));
    Off worst;
    for (TriangleMesh (*body)(int) :
         {test_bodies::glider, test_bodies::needle, test_bodies::pencil}) {
      const std::optional<Off> one = worst_plane(body(facets), as_it_is);
      if (!one) return {};
      worst = {std::max(worst.deg, one->deg), std::max(worst.mm, one->mm)};
    }
    return worst;
  }();
  tell(state, off);
}

// Noise of its own on every vertex, and a bump over a twentieth of the skin.
void plane_of_marred_body(benchmark::State& state) {
  static const std::optional<Off> off = worst_plane(
      test_bodies::glider(static_cast<int>(state.range(0))),
      [](const TriangleMesh& clean, unsigned seed) {
        const geometry::Vec3 at = test_bodies::on_a_flank(clean, seed);
        return test_bodies::noisy(test_bodies::bumped(clean, 0.8, at, 0.05), 0.06, 0.3, seed);
      });
  tell(state, off);
}

BENCHMARK(cut_error)->Apply(all_sizes)->Iterations(1);
BENCHMARK(plane_of_clean_body)->Arg(facets_of_scan)->Iterations(1);
BENCHMARK(plane_of_marred_body)->Arg(facets_of_scan)->Iterations(1);

}  // namespace
}  // namespace trueblank::bench
