// SPDX-License-Identifier: GPL-3.0-or-later
// What it costs to lay one scan on another: ours from any pose, whatever the start, and where it
// was found at build time Open3D, a general library for point sets, from 5° and 5 mm off and from
// any pose by its features. All are given the two meshes, make what they need, and run on one
// thread. How far off they end is told beside the times; ours must be right before it is timed.
#include <benchmark/benchmark.h>

#include <Eigen/Geometry>
#include <cmath>
#include <cstdint>
#include <map>
#include <numbers>
#include <string>
#include <utility>

#include "bench_bodies.h"
#include "measured.h"
#include "support/bodies.h"
#include "symmetry/alignment_search.h"
#include "symmetry/marred_skins.h"

#ifdef TRUEBLANK_BENCH_OPEN3D
#include "align_open3d.h"
#include "mirror_open3d.h"
#endif

namespace trueblank::symmetry {
namespace {

constexpr double most_off_deg = 1;

struct PairOfScans {
  const geometry::ClosedMesh* body;
  Eigen::Isometry3d put;  ///< of the second, from where it would lie on the first
  geometry::ClosedMesh other;
};

/// The second has nine tenths of the first's facets, and noise of its own.
PairOfScans pair_of(std::int64_t facets, const Eigen::Isometry3d& put) {
  const geometry::TriangleMesh other =
      test_bodies::noisy(test_bodies::pencil(static_cast<int>(9 * facets / 10)), 0.06, 1, 2);
  return {&bench::rough_pencil_of(facets), put,
          test_bodies::closed(test_bodies::moved(other, put.linear(), put.translation()))};
}

Eigen::Isometry3d near_by() {
  return Eigen::Translation3d(3, 0, 4) *
         Eigen::AngleAxisd(5 * std::numbers::pi / 180, geometry::Vec3(1, 1, 1).normalized());
}

Eigen::Isometry3d anywhere() {
  return Eigen::Translation3d(300, 20, -40) * Eigen::Isometry3d(test_bodies::random_turn(4));
}

double off_deg(const Eigen::Matrix4d& found, const PairOfScans& pair) {
  const geometry::Mat3 turn = found.topLeftCorner<3, 3>() * pair.put.linear();
  return Eigen::AngleAxisd(turn).angle() * 180 / std::numbers::pi;
}

struct Laid {
  PairOfScans pair;
  double off_deg;
};

template <class Lay>
void lay(benchmark::State& state, const std::string& name, const Eigen::Isometry3d& put,
         double most_deg, const Lay& by) {
  static std::map<std::pair<std::string, std::int64_t>, Laid> all;
  const auto key = std::pair(name, state.range(0));
  auto found = all.find(key);
  if (found == all.end()) {
    PairOfScans pair = pair_of(state.range(0), put);
    const double off = off_deg(by(pair), pair);
    found = all.emplace(key, Laid{std::move(pair), off}).first;
  }
  const Laid& laid = found->second;
  if (!(laid.off_deg < most_deg)) {
    state.SkipWithError("wrong pose");
    return;
  }
  bench::time_work(state, name, [&] { return by(laid.pair); });
  state.counters["off_deg"] = laid.off_deg;
}

Eigen::Matrix4d by_ours(const PairOfScans& pair) {
  return fit_alignment(*pair.body, {}, pair.other, {}).matrix();
}

void align_near_ours(benchmark::State& state) {
  lay(state, "align_near_ours", near_by(), most_off_deg, by_ours);
}

void align_anywhere_ours(benchmark::State& state) {
  lay(state, "align_anywhere_ours", anywhere(), most_off_deg, by_ours);
}

BENCHMARK(align_near_ours)->Apply(bench::up_to_a_million);
BENCHMARK(align_anywhere_ours)->Apply(bench::up_to_a_million);

#ifdef TRUEBLANK_BENCH_OPEN3D
// What it reaches is told, right or not.
constexpr double whatever_deg = 181;

void align_near_open3d(benchmark::State& state) {
  lay(state, "align_near_open3d", near_by(), whatever_deg, [](const PairOfScans& pair) {
    return bench::laid_by_open3d(pair.other.positions_mm(), pair.body->mesh());
  });
}

void align_anywhere_open3d(benchmark::State& state) {
  lay(state, "align_anywhere_open3d", anywhere(), whatever_deg, [](const PairOfScans& pair) {
    return bench::found_by_open3d(pair.other.mesh(), pair.body->mesh());
  });
}
#else
void align_near_open3d(benchmark::State& state) {
  state.SkipWithError("left out: no Open3D was found at build time (Debian: libopen3d-dev)");
}

void align_anywhere_open3d(benchmark::State& state) { align_near_open3d(state); }
#endif

BENCHMARK(align_near_open3d)->Apply(bench::up_to_a_million);
BENCHMARK(align_anywhere_open3d)->Apply(bench::up_to_a_million)->Iterations(1);

}  // namespace
}  // namespace trueblank::symmetry
