// SPDX-License-Identifier: GPL-3.0-or-later
// What a map of 200 × 200 places of a weight costs. Cells spread over it must come to what the
// plain loop over the facets comes to for each alone before it is timed.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdint>
#include <thread>
#include <vector>

#include "bench_bodies.h"
#include "geometry/moment_tree.h"
#include "geometry/moments.h"
#include "water/back_up.h"
#include "water/sweep.h"

namespace trueblank::water {
namespace {

constexpr int steps = 200;
constexpr int threads = 2;

void on_two_threads(int count, const std::function<void(int)>& body) {
  std::vector<std::thread> workers;
  for (int worker = 0; worker < threads; ++worker) {
    workers.emplace_back([=, &body] {
      for (int i = worker; i < count; i += threads) body(i);
    });
  }
  for (std::thread& worker : workers) worker.join();
}

// A wire, a weight, a hook under the belly and one astern.
rig::Assembly rigged(const geometry::ClosedMesh& mesh, double right_mm) {
  rig::Rig rig;
  rig.wood_density_g_cm3 = 0.37;
  rig.water.density_g_cm3 = 1;
  rig.wires.push_back(
      {.density_g_cm3 = 7.9, .diameter_mm = 1.2, .path_mm = {{-6, 0, -1}, {146, 0, 1}}});
  rig.ballasts.push_back({.at_mm = {58, right_mm, -5}, .mass_g = 4.5, .density_g_cm3 = 11.34});
  rig.hooks.push_back(
      {.eye_mm = {55, 0, -10}, .mass_g = 2.5, .density_g_cm3 = 7.85, .hang_mm = 15});
  rig.hooks.push_back({.eye_mm = {146, 0, 1}, .mass_g = 1.5, .density_g_cm3 = 7.85, .hang_mm = 12});
  const geometry::Moments whole = geometry::moments(mesh);
  return rig::assemble(mesh, whole, rig, whole);
}

std::vector<SweepAxis> axes_of(const rig::Assembly& assembly) {
  const rig::LaidPart& weight = assembly.parts[1];
  const auto axis = [&](Swept what, double nominal, double from, double to) -> SweepAxis {
    return {.what = what,
            .part = 1,
            .place_mm = weight.centre_mm,
            .inside = true,
            .nominal = nominal,
            .from = from,
            .to = to,
            .count = steps};
  };
  return {axis(Swept::x, weight.centre_mm.x(), 30, 100),
          axis(Swept::z, weight.centre_mm.z(), -8, 6)};
}

bool cells_agree(const Sweep& map, const CutBody& loop, const rig::Assembly& assembly) {
  const BackUpSearch search(floater(loop, rig::add_up(assembly)));
  for (int k = 0; k < 3; ++k) {
    const int i = 20 + 77 * k;
    const int j = 10 + 41 * k;
    const SweepCell& cell = map.cells[static_cast<std::size_t>(steps * i + j)];
    const rig::Assembly changed = with_value(
        with_value(assembly, map.axes[0], map.axes[0].value(i)), map.axes[1], map.axes[1].value(j));
    const BackUp alone = search.let_go(floater(loop, rig::add_up(changed)));
    if (!cell.told || !alone.pose || cell.stands != alone.stands ||
        std::abs(*cell.tail_down_deg - alone.pose->tail_down_deg) > 1e-6) {
      return false;
    }
  }
  return true;
}

void sweep_map(benchmark::State& state, double right_mm) {
  const geometry::ClosedMesh& mesh = bench::pencil_of(state.range(0));
  const geometry::MomentTree tree(mesh);
  const rig::Assembly assembly = rigged(mesh, right_mm);
  const std::vector<SweepAxis> axes = axes_of(assembly);
  if (!cells_agree(sweep(&tree, mesh, assembly, axes, on_two_threads), CutBody(&mesh), assembly)) {
    state.SkipWithError("a cell differs from the plain loop's");
    return;
  }
  for ([[maybe_unused]] const auto& turn : state) {
    benchmark::DoNotOptimize(sweep(&tree, mesh, assembly, axes, on_two_threads));
  }
}

void sweep_true(benchmark::State& state) { sweep_map(state, 0); }

void sweep_off_centre(benchmark::State& state) { sweep_map(state, 0.2); }

void sizes(benchmark::internal::Benchmark* bench) {
  for (const std::int64_t facets : {20000, 100000, 1000000}) bench->Arg(facets);
  bench->Unit(benchmark::kMillisecond)->UseRealTime()->Iterations(1);
}

BENCHMARK(sweep_true)->Apply(sizes);
BENCHMARK(sweep_off_centre)->Apply(sizes);

}  // namespace
}  // namespace trueblank::water
