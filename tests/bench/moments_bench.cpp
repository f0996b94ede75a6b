// SPDX-License-Identifier: GPL-3.0-or-later
// What moments and plane cuts cost. Each body's answers are checked before anything is timed, and a
// benchmark whose answers are wrong reports an error instead of a time.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdint>
#include <map>
#include <random>
#include <vector>

#include "bench_bodies.h"
#include "geometry/cut.h"
#include "geometry/moment_tree.h"
#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

const ClosedMesh& body_of(std::int64_t facets) { return bench::needle_of(facets); }

const MomentTree& tree_of(std::int64_t facets) {
  static std::map<std::int64_t, MomentTree> trees;
  const auto found = trees.find(facets);
  if (found != trees.end()) return found->second;
  return trees.emplace(facets, body_of(facets)).first->second;
}

/// Many planes in all directions, so that the same parts of the tree are not met twice running.
const std::vector<Plane>& planes_of(std::int64_t facets) {
  static std::map<std::int64_t, std::vector<Plane>> all;
  std::vector<Plane>& planes = all[facets];
  std::mt19937 random(5);
  while (planes.size() < 512) {
    const Vec3 normal = test_bodies::random_turn(static_cast<unsigned>(random())).col(0);
    const auto [low, high] = tree_of(facets).extent_mm(normal);
    const double share = (static_cast<double>(random()) + 0.5) / 4294967296.0;
    planes.push_back({normal, low + share * (high - low)});
  }
  return planes;
}

/// The tree against the plain loop, to 1e-11 of the whole body's value.
bool cuts_agree(std::int64_t facets) {
  const ClosedMesh& body = body_of(facets);
  const Moments whole = moments(body);
  for (std::size_t i = 0; i < 8; ++i) {
    const Plane& plane = planes_of(facets)[i];
    const BelowPlane a = moments_below(body, plane);
    const BelowPlane b = tree_of(facets).below(plane);
    if (!(a.volume_mm3 > 0) || !(a.waterplane_mm2 > 0)) return false;
    if (std::abs(a.volume_mm3 - b.volume_mm3) > 1e-11 * whole.volume_mm3) return false;
    if (std::abs(a.waterplane_mm2 - b.waterplane_mm2) > 1e-11 * whole.area_mm2) return false;
  }
  return true;
}

void report(benchmark::State& state, std::int64_t facets) {
  state.counters["facets/s"] =
      benchmark::Counter(static_cast<double>(body_of(facets).facet_count()),
                         benchmark::Counter::kIsIterationInvariantRate);
  state.SetComplexityN(facets);
}

/// The floor under `whole_moments`: every index and every corner's coordinates read once.
void read_arrays(benchmark::State& state) {
  const ClosedMesh& body = body_of(state.range(0));
  for ([[maybe_unused]] const auto& turn : state) {
    const Eigen::Matrix3Xi& facets = body.facets();
    const double* positions = body.positions_mm().data();
    double x = 0;
    double y = 0;
    double z = 0;
    for (Eigen::Index f = 0; f < facets.cols(); ++f) {
      for (int k = 0; k < 3; ++k) {
        const double* corner = positions + 3 * std::ptrdiff_t{facets(k, f)};
        x += corner[0];
        y += corner[1];
        z += corner[2];
      }
    }
    benchmark::DoNotOptimize(x + y + z);
  }
  report(state, state.range(0));
}

void whole_moments(benchmark::State& state) {
  const ClosedMesh& body = body_of(state.range(0));
  // The needle's volume and area at a million facets are those at 20 000 to the facets' own depth.
  const double volume = moments(body_of(20000)).volume_mm3;
  if (std::abs(moments(body).volume_mm3 - volume) > 5e-3 * volume) {
    state.SkipWithError("wrong volume");
    return;
  }
  for ([[maybe_unused]] const auto& turn : state) benchmark::DoNotOptimize(moments(body));
  report(state, state.range(0));
}

void check_closed(benchmark::State& state) {
  const TriangleMesh& mesh = body_of(state.range(0)).mesh();
  for ([[maybe_unused]] const auto& turn : state) benchmark::DoNotOptimize(closed_mesh(mesh));
  report(state, state.range(0));
}

void build_tree(benchmark::State& state) {
  const ClosedMesh& body = body_of(state.range(0));
  for ([[maybe_unused]] const auto& turn : state) {
    const MomentTree tree(body);
    benchmark::DoNotOptimize(tree.volume_mm3());
  }
  report(state, state.range(0));
}

template <class Cut>
void time_cuts(benchmark::State& state, const Cut& cut) {
  const std::int64_t facets = state.range(0);
  if (!cuts_agree(facets)) {
    state.SkipWithError("the tree and the plain loop differ");
    return;
  }
  const std::vector<Plane>& planes = planes_of(facets);
  std::size_t next = 0;
  for ([[maybe_unused]] const auto& turn : state) {
    benchmark::DoNotOptimize(cut(planes[next]));
    next = (next + 1) % planes.size();
  }
  report(state, facets);
}

void cut_plain_loop(benchmark::State& state) {
  const ClosedMesh& body = body_of(state.range(0));
  time_cuts(state, [&](const Plane& plane) { return moments_below(body, plane); });
}

void cut_tree(benchmark::State& state) {
  const MomentTree& tree = tree_of(state.range(0));
  time_cuts(state, [&](const Plane& plane) { return tree.below(plane); });
}

void extent_tree(benchmark::State& state) {
  const MomentTree& tree = tree_of(state.range(0));
  time_cuts(state, [&](const Plane& plane) { return tree.extent_mm(plane.normal); });
}

void sizes(benchmark::internal::Benchmark* bench) {
  bench::all_sizes(bench);
  bench->Unit(benchmark::kMicrosecond);
}

BENCHMARK(read_arrays)->Apply(sizes);
BENCHMARK(whole_moments)->Apply(sizes)->Complexity(benchmark::oN);
BENCHMARK(check_closed)->Apply(sizes)->Complexity(benchmark::oN);
BENCHMARK(build_tree)->Apply(sizes)->Complexity(benchmark::oNLogN);
BENCHMARK(cut_plain_loop)->Apply(sizes)->Complexity(benchmark::oN);
BENCHMARK(cut_tree)->Apply(sizes)->Complexity([](benchmark::IterationCount n) {
  return std::sqrt(static_cast<double>(n));
});
BENCHMARK(extent_tree)->Apply(sizes);

}  // namespace
}  // namespace trueblank::geometry
