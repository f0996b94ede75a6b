// SPDX-License-Identifier: GPL-3.0-or-later
// What finding rest poses costs, by the tree over the facets and by the plain loop. Both must come
// to the same pose before either is timed.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdint>
#include <vector>

#include "bench_bodies.h"
#include "geometry/moment_tree.h"
#include "measured.h"
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
  const geometry::MomentTree tree = geometry::MomentTree::with_rough(mesh);
  const Stationary a = settle_from_afar(rigged(CutBody(&tree)), start(0));
  const Stationary b = settle(rigged(CutBody(&mesh)), start(0));
  return a.converged && b.converged && (a.up - b.up).norm() < 1e-9;
}

void solve(benchmark::State& state, const char* name, const CutBody& body) {
  const std::int64_t facets = state.range(0);
  if (!bench::holds(
          state, "solves", [&] { return solves_agree(facets); },
          "the tree and the plain loop differ")) {
    return;
  }
  const Floater lure = rigged(body);
  std::int64_t next = 0;
  bench::time_work(state, name, [&] {
    ++next;
    return settle_from_afar(lure, start(next));
  });
}

void one_pose_tree(benchmark::State& state) {
  const geometry::MomentTree tree =
      geometry::MomentTree::with_rough(bench::pencil_of(state.range(0)));
  solve(state, "one_pose_tree", CutBody(&tree));
}

void one_pose_loop(benchmark::State& state) {
  solve(state, "one_pose_loop", CutBody(&bench::pencil_of(state.range(0))));
}

constexpr int starts = 42;  // the nodes of an even grid: near enough to the usual 40

int settled(const Floater& lure) {
  int count = 0;
  for (int i = 0; i < starts; ++i) {
    const Stationary pose = settle_from_afar(lure, start(i));
    benchmark::DoNotOptimize(pose);
    if (pose.converged) ++count;
  }
  return count;
}

void all_poses_tree_and_build(benchmark::State& state) {
  const geometry::ClosedMesh& mesh = bench::pencil_of(state.range(0));
  bench::time_work(state, "all_poses_tree_and_build", [&] {
    const geometry::MomentTree tree = geometry::MomentTree::with_rough(mesh);
    return settled(rigged(CutBody(&tree)));
  });
}

void all_poses_loop(benchmark::State& state) {
  const Floater lure = rigged(CutBody(&bench::pencil_of(state.range(0))));
  bench::time_work(state, "all_poses_loop", [&] { return settled(lure); });
}

void time_balance(benchmark::State& state, const char* name, const CutBody& body) {
  const Floater lure = rigged(body);
  if (!bench::holds(
          state, name, [&] { return !balance(lure).poses.empty(); }, "no pose")) {
    return;
  }
  bench::time_work(state, name, [&] { return balance(lure); });
}

void whole_balance(benchmark::State& state) {
  const geometry::MomentTree tree =
      geometry::MomentTree::with_rough(bench::pencil_of(state.range(0)));
  time_balance(state, "whole_balance", CutBody(&tree));
}

void whole_balance_loop(benchmark::State& state) {
  time_balance(state, "whole_balance_loop", CutBody(&bench::pencil_of(state.range(0))));
}

void sizes(benchmark::internal::Benchmark* bench) {
  bench::all_sizes(bench);
  bench->Unit(benchmark::kMillisecond);
}

BENCHMARK(one_pose_loop)->Apply(sizes);
BENCHMARK(one_pose_tree)->Apply(sizes);
// A plain loop over all facets for each of some 600 cuts: once is enough.
BENCHMARK(all_poses_loop)->Apply(sizes)->Iterations(1);
BENCHMARK(all_poses_tree_and_build)->Apply(sizes);
BENCHMARK(whole_balance)->Apply(sizes)->Iterations(1);
BENCHMARK(whole_balance_loop)->Apply(bench::up_to_100k)->Iterations(1);

}  // namespace
}  // namespace trueblank::water
