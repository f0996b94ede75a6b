// SPDX-License-Identifier: GPL-3.0-or-later
// What finding rest poses costs, by the tree over the facets and by the plain loop. Both must come
// to the same pose before either is timed.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdint>
#include <vector>

#include "bench_bodies.h"
#include "geometry/moment_tree.h"
#include "water/rest_poses.h"
#include "water/sphere_grid.h"
#include "water/stationary.h"

namespace trueblank::water {
namespace {

// A pencil that floats four fifths under, its weight aft, low and a little to one side.
Floater rigged(const CutBody& body) {
  Floater lure;
  lure.body = body;
  lure.water_density_g_cm3 = 1;
  lure.mass_g = 0.8 * body.volume_mm3() / 1000;
  lure.centre_of_mass_mm = body.first_moment_mm4() / body.volume_mm3() + Vec3(3, 0.1, -2);
  return lure;
}

// One in a row of starts, so that no two timed solves are the same.
Vec3 start(std::int64_t number) {
  const SphereGrid grid(1);
  return grid.node(static_cast<int>(number % grid.node_count()));
}

bool solves_agree(std::int64_t facets) {
  const geometry::ClosedMesh& mesh = bench::pencil_of(facets);
  const geometry::MomentTree tree(mesh);
  const Stationary a = settle(rigged(CutBody(&tree)), start(0));
  const Stationary b = settle(rigged(CutBody(&mesh)), start(0));
  return a.converged && b.converged && (a.up - b.up).norm() < 1e-9;
}

void solve(benchmark::State& state, const CutBody& body) {
  if (!solves_agree(state.range(0))) {
    state.SkipWithError("the tree and the plain loop differ");
    return;
  }
  const Floater lure = rigged(body);
  std::int64_t next = 0;
  for ([[maybe_unused]] const auto& turn : state) {
    benchmark::DoNotOptimize(settle(lure, start(next)));
    ++next;
  }
}

void one_pose_tree(benchmark::State& state) {
  const geometry::MomentTree tree(bench::pencil_of(state.range(0)));
  solve(state, CutBody(&tree));
}

void one_pose_loop(benchmark::State& state) {
  solve(state, CutBody(&bench::pencil_of(state.range(0))));
}

constexpr int starts = 42;  // the nodes of an even grid: near enough to the usual 40

void settle_all(const Floater& lure) {
  for (int i = 0; i < starts; ++i) benchmark::DoNotOptimize(settle(lure, start(i)));
}

void all_poses_tree_and_build(benchmark::State& state) {
  const geometry::ClosedMesh& mesh = bench::pencil_of(state.range(0));
  for ([[maybe_unused]] const auto& turn : state) {
    const geometry::MomentTree tree(mesh);
    settle_all(rigged(CutBody(&tree)));
  }
}

void all_poses_loop(benchmark::State& state) {
  const Floater lure = rigged(CutBody(&bench::pencil_of(state.range(0))));
  for ([[maybe_unused]] const auto& turn : state) settle_all(lure);
}

void whole_balance(benchmark::State& state) {
  const geometry::MomentTree tree(bench::pencil_of(state.range(0)));
  const Floater lure = rigged(CutBody(&tree));
  if (balance(lure).poses.empty()) {
    state.SkipWithError("no pose");
    return;
  }
  for ([[maybe_unused]] const auto& turn : state) benchmark::DoNotOptimize(balance(lure));
}

void up_to_a_million(benchmark::internal::Benchmark* bench) {
  for (const std::int64_t facets : {20000, 100000, 1000000}) bench->Arg(facets);
  bench->Unit(benchmark::kMillisecond);
}

BENCHMARK(one_pose_loop)->Apply(up_to_a_million);
BENCHMARK(one_pose_tree)->Apply(up_to_a_million);
// A plain loop over a million facets for each of some 600 cuts: once is enough.
BENCHMARK(all_poses_loop)->Apply(up_to_a_million)->Iterations(1);
BENCHMARK(all_poses_tree_and_build)->Apply(up_to_a_million);
BENCHMARK(whole_balance)->Apply(up_to_a_million)->Iterations(1);

}  // namespace
}  // namespace trueblank::water
