// SPDX-License-Identifier: GPL-3.0-or-later
// What a map of 200 × 200 places of a weight costs. Cells spread over it must come to what the
// plain loop over the facets comes to for each alone before it is timed.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdint>
#include <vector>

#include "bench_bodies.h"
#include "geometry/moment_tree.h"
#include "geometry/moments.h"
#include "measured.h"
#include "water/back_up.h"
#include "water/sweep.h"

namespace trueblank::water {
namespace {

constexpr int steps = 200;
constexpr int cells_by_loop = 16;  // a plain loop over all facets for each of some 15 cuts a cell

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

// One of a few cells spread over the map, by itself: with the plain loop, the usual way to fill it.
BackUp alone(const CutBody& body, const rig::Assembly& assembly, const std::vector<SweepAxis>& axes,
             int i, int j) {
  const BackUpSearch search(floater(body, rig::add_up(assembly)));
  const rig::Assembly changed =
      with_value(with_value(assembly, axes[0], axes[0].value(i)), axes[1], axes[1].value(j));
  return search.let_go(floater(body, rig::add_up(changed)));
}

bool cells_agree(const Sweep& map, const CutBody& loop, const rig::Assembly& assembly) {
  for (int k = 0; k < 3; ++k) {
    const int i = 20 + 77 * k;
    const int j = 10 + 41 * k;
    const SweepCell& cell = map.cells[static_cast<std::size_t>(steps * i + j)];
    const BackUp found = alone(loop, assembly, map.axes, i, j);
    if (!cell.told || !found.pose || cell.stands != found.stands ||
        std::abs(*cell.tail_down_deg - found.pose->tail_down_deg) > 1e-6) {
      return false;
    }
  }
  return true;
}

void sweep_map(benchmark::State& state, const char* name, double right_mm) {
  const geometry::ClosedMesh& mesh = bench::pencil_of(state.range(0));
  const geometry::MomentTree tree(mesh);
  const rig::Assembly assembly = rigged(mesh, right_mm);
  const std::vector<SweepAxis> axes = axes_of(assembly);
  const auto map = [&] { return sweep(&tree, mesh, assembly, axes, bench::on_two_threads); };
  if (!bench::holds(
          state, name, [&] { return cells_agree(map(), CutBody(&mesh), assembly); },
          "a cell differs from the plain loop's")) {
    return;
  }
  bench::time_work(state, name, map);
  state.SetItemsProcessed(state.iterations() * steps * steps);
}

void sweep_cells(benchmark::State& state, const char* name, double right_mm) {
  const geometry::ClosedMesh& mesh = bench::pencil_of(state.range(0));
  const CutBody loop(&mesh);
  const rig::Assembly assembly = rigged(mesh, right_mm);
  const std::vector<SweepAxis> axes = axes_of(assembly);
  bench::time_work(state, name, [&] {
    bench::on_two_threads(cells_by_loop, [&](int k) {
      benchmark::DoNotOptimize(alone(loop, assembly, axes, 6 + 12 * k, 193 - 12 * k));
    });
    return 0;
  });
  state.SetItemsProcessed(state.iterations() * cells_by_loop);  // a second, as above
}

void sweep_true(benchmark::State& state) { sweep_map(state, "sweep_true", 0); }

void sweep_true_loop(benchmark::State& state) { sweep_cells(state, "sweep_true_loop", 0); }

void sweep_off_centre(benchmark::State& state) { sweep_map(state, "sweep_off_centre", 0.2); }

void sweep_off_centre_loop(benchmark::State& state) {
  sweep_cells(state, "sweep_off_centre_loop", 0.2);
}

// A map of 4 million facets would take minutes, and the loop's cells as long.
BENCHMARK(sweep_true)->Apply(bench::up_to_a_million)->UseRealTime()->Iterations(1);
BENCHMARK(sweep_true_loop)->Apply(bench::up_to_a_million)->UseRealTime()->Iterations(1);
BENCHMARK(sweep_off_centre)->Apply(bench::up_to_100k)->UseRealTime()->Iterations(1);
BENCHMARK(sweep_off_centre_loop)->Apply(bench::up_to_100k)->UseRealTime()->Iterations(1);

}  // namespace
}  // namespace trueblank::water
