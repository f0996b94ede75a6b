// SPDX-License-Identifier: GPL-3.0-or-later
// What builds drawn within tolerances cost, by the tree over the facets and by the plain loop, and
// what slopes near a pose cost. Both ways must come to the same scatter before either is timed.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdint>
#include <vector>

#include "bench_bodies.h"
#include "geometry/moment_tree.h"
#include "geometry/moments.h"
#include "measured.h"
#include "rig/assembly.h"
#include "water/near_pose.h"
#include "water/sensitivity.h"
#include "water/tolerances.h"

namespace trueblank::water {
namespace {

constexpr int builds = 10000;
constexpr int builds_by_loop = 20;  // a plain loop over all facets for each of 7 cuts a build

// A wire, a weight a little to the right, a hook under the belly and one astern.
rig::Assembly rigged(const geometry::ClosedMesh& mesh) {
  rig::Rig rig;
  rig.wood_density_g_cm3 = 0.37;
  rig.water.density_g_cm3 = 1;
  rig.wires.push_back(
      {.density_g_cm3 = 7.9, .diameter_mm = 1.2, .path_mm = {{-6, 0, -1}, {146, 0, 1}}});
  rig.ballasts.push_back({.at_mm = {58, 0.2, -5}, .mass_g = 4.5, .density_g_cm3 = 11.34});
  rig.hooks.push_back(
      {.eye_mm = {55, 0, -10}, .mass_g = 2.5, .density_g_cm3 = 7.85, .hang_mm = 15});
  rig.hooks.push_back({.eye_mm = {146, 0, 1}, .mass_g = 1.5, .density_g_cm3 = 7.85, .hang_mm = 12});
  const geometry::Moments whole = geometry::moments(mesh);
  return rig::assemble(mesh, whole, rig, whole);
}

RestPose nominal_pose(const CutBody& body, const rig::Assembly& assembly) {
  return pose_near(floater(body, rig::add_up(assembly)), Vec3::UnitZ()).value_or(RestPose());
}

ToleranceDraws drawn(const CutBody& body, const rig::Assembly& assembly, const RestPose& nominal,
                     int count, std::uint64_t seed) {
  return draw_builds(body, assembly, {}, nominal, count, seed, bench::on_two_threads);
}

bool draws_agree(const CutBody& tree, const CutBody& loop, const rig::Assembly& assembly,
                 const RestPose& nominal) {
  const ToleranceDraws a = drawn(tree, assembly, nominal, 8, 1);
  const ToleranceDraws b = drawn(loop, assembly, nominal, 8, 1);
  return a.not_settled == 0 && b.not_settled == 0 && a.share_floats == 1 &&
         std::abs(a.list_deg->mean - b.list_deg->mean) < 1e-6 &&
         std::abs(a.tail_down_deg->mean - b.tail_down_deg->mean) < 1e-6;
}

void draw(benchmark::State& state, const char* name, bool by_tree) {
  const geometry::ClosedMesh& mesh = bench::pencil_of(state.range(0));
  const geometry::MomentTree tree(mesh);
  const CutBody by_loop(&mesh);
  const rig::Assembly assembly = rigged(mesh);
  const RestPose nominal = nominal_pose(&tree, assembly);
  if (!bench::holds(
          state, "draws", [&] { return draws_agree(&tree, by_loop, assembly, nominal); },
          "the tree and the plain loop differ")) {
    return;
  }
  const int count = by_tree ? builds : builds_by_loop;
  const CutBody body = by_tree ? CutBody(&tree) : by_loop;
  std::uint64_t seed = 0;
  bench::time_work(state, name, [&] {
    ++seed;
    return drawn(body, assembly, nominal, count, seed);
  });
  state.SetItemsProcessed(state.iterations() * count);  // a second: the two ways' own measure
}

void draws_tree(benchmark::State& state) { draw(state, "draws_tree", true); }

void draws_loop(benchmark::State& state) { draw(state, "draws_loop", false); }

void slopes(benchmark::State& state, const char* name, bool by_tree) {
  const geometry::ClosedMesh& mesh = bench::pencil_of(state.range(0));
  const geometry::MomentTree tree(mesh);
  const CutBody body = by_tree ? CutBody(&tree) : CutBody(&mesh);
  const rig::Assembly assembly = rigged(mesh);
  const RestPose nominal = nominal_pose(&tree, assembly);
  const std::vector<HookSize> hooks = {{2, {}}, {3, {}}};
  const auto has_slope = [&] {
    return sensitivity(body, assembly, nominal, hooks).wood_per_percent.tail_down_deg.has_value();
  };
  if (!bench::holds(state, name, has_slope, "no slope")) return;
  bench::time_work(state, name, [&] { return sensitivity(body, assembly, nominal, hooks); });
}

void slopes_tree(benchmark::State& state) { slopes(state, "slopes_tree", true); }

void slopes_loop(benchmark::State& state) { slopes(state, "slopes_loop", false); }

void sizes(benchmark::internal::Benchmark* bench) {
  bench::all_sizes(bench);
  bench->Unit(benchmark::kMillisecond);
}

// 10 000 builds, and 20: once is enough.
BENCHMARK(draws_tree)->Apply(sizes)->UseRealTime()->Iterations(1);
BENCHMARK(draws_loop)->Apply(sizes)->UseRealTime()->Iterations(1);
BENCHMARK(slopes_tree)->Apply(sizes);
BENCHMARK(slopes_loop)->Apply(sizes);

}  // namespace
}  // namespace trueblank::water
