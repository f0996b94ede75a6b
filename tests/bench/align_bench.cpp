// SPDX-License-Identifier: GPL-3.0-or-later
// What it costs to lay one scan on another: ours from any pose, whatever the start, and where it
// was found at build time Open3D, a general library for point sets, from 5° and 5 mm off and from
// any pose by its features. All are given the two meshes, make what they need, and run on one
// thread. How far off they end is told beside the times; ours must be right before it is timed.
#include <benchmark/benchmark.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

#include "bench_bodies.h"
#include "support/bodies.h"
#include "symmetry/alignment_search.h"
#include "symmetry/marred_skins.h"

#ifdef TRUEBLANK_BENCH_OPEN3D
#include "align_open3d.h"
#include "mirror_open3d.h"
#endif

namespace trueblank::symmetry {
namespace {

constexpr int facets_of_scan = 100000;
constexpr int facets_of_other = 90000;
constexpr double most_off_deg = 1;

struct PairOfScans {
  Eigen::Isometry3d put;  ///< of the second, from where it would lie on the first
  geometry::ClosedMesh other;
};

const geometry::ClosedMesh& body() { return bench::rough_pencil_of(facets_of_scan); }

PairOfScans put(const Eigen::Isometry3d& by) {
  static const geometry::TriangleMesh other =
      test_bodies::noisy(test_bodies::pencil(facets_of_other), 0.06, 1, 2);
  return {by, test_bodies::closed(test_bodies::moved(other, by.linear(), by.translation()))};
}

const PairOfScans& near_by() {
  static const PairOfScans pair =
      put(Eigen::Translation3d(3, 0, 4) *
          Eigen::AngleAxisd(5 * std::numbers::pi / 180, geometry::Vec3(1, 1, 1).normalized()));
  return pair;
}

const PairOfScans& anywhere() {
  static const PairOfScans pair =
      put(Eigen::Translation3d(300, 20, -40) * Eigen::Isometry3d(test_bodies::random_turn(4)));
  return pair;
}

double off_deg(const Eigen::Matrix4d& found, const PairOfScans& pair) {
  const geometry::Mat3 turn = found.topLeftCorner<3, 3>() * pair.put.linear();
  return Eigen::AngleAxisd(turn).angle() * 180 / std::numbers::pi;
}

template <class Lay>
void lay(benchmark::State& state, const PairOfScans& pair, double most_deg, const Lay& by) {
  const double off = off_deg(by(pair), pair);
  if (!(off < most_deg)) {
    state.SkipWithError("wrong pose");
    return;
  }
  for ([[maybe_unused]] const auto& turn : state) benchmark::DoNotOptimize(by(pair));
  state.counters["off_deg"] = off;
}

Eigen::Matrix4d by_ours(const PairOfScans& pair) {
  return fit_alignment(body(), {}, pair.other, {}).matrix();
}

void align_near_ours(benchmark::State& state) { lay(state, near_by(), most_off_deg, by_ours); }

void align_anywhere_ours(benchmark::State& state) { lay(state, anywhere(), most_off_deg, by_ours); }

BENCHMARK(align_near_ours)->Arg(facets_of_scan)->Unit(benchmark::kMillisecond);
BENCHMARK(align_anywhere_ours)->Arg(facets_of_scan)->Unit(benchmark::kMillisecond);

#ifdef TRUEBLANK_BENCH_OPEN3D
// What it reaches is told, right or not.
constexpr double whatever_deg = 181;

void align_near_open3d(benchmark::State& state) {
  lay(state, near_by(), whatever_deg, [](const PairOfScans& pair) {
    return bench::laid_by_open3d(pair.other.positions_mm(), body().mesh());
  });
}

void align_anywhere_open3d(benchmark::State& state) {
  lay(state, anywhere(), whatever_deg, [](const PairOfScans& pair) {
    return bench::found_by_open3d(pair.other.mesh(), body().mesh());
  });
}
#else
void align_near_open3d(benchmark::State& state) {
  state.SkipWithError("left out: no Open3D was found at build time (Debian: libopen3d-dev)");
}

void align_anywhere_open3d(benchmark::State& state) { align_near_open3d(state); }
#endif

BENCHMARK(align_near_open3d)->Arg(facets_of_scan)->Unit(benchmark::kMillisecond);
BENCHMARK(align_anywhere_open3d)->Arg(facets_of_scan)->Unit(benchmark::kMillisecond)->Iterations(1);

}  // namespace
}  // namespace trueblank::symmetry
