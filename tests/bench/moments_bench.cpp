// SPDX-License-Identifier: GPL-3.0-or-later
// What moments and plane cuts cost. Each body's answers are checked before anything is timed, and a
// benchmark whose answers are wrong reports an error instead of a time.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <map>
#include <random>
#include <utility>
#include <vector>

#include "bench_bodies.h"
#include "geometry/cut.h"
#include "geometry/moment_tree.h"
#include "geometry/moments.h"
#include "measured.h"
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
}

/// The floor under `whole_moments`: every index and every corner's coordinates read once.
double sum_of_corners(const ClosedMesh& body) {
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
  return x + y + z;
}

void read_arrays(benchmark::State& state) {
  const ClosedMesh& body = body_of(state.range(0));
  bench::time_work(state, "read_arrays", [&] { return sum_of_corners(body); });
  report(state, state.range(0));
}

/// The needle's volume at a million facets is that at 20 000 to the facets' own depth.
bool volume_is_right(const ClosedMesh& body) {
  const double volume = moments(body_of(20000)).volume_mm3;
  return std::abs(moments(body).volume_mm3 - volume) < 5e-3 * volume;
}

void whole_moments(benchmark::State& state) {
  const ClosedMesh& body = body_of(state.range(0));
  if (!bench::holds(
          state, "whole_moments", [&] { return volume_is_right(body); }, "wrong volume")) {
    return;
  }
  bench::time_work(state, "whole_moments", [&] { return moments(body); });
  report(state, state.range(0));
}

void check_closed(benchmark::State& state) {
  const TriangleMesh& mesh = body_of(state.range(0)).mesh();
  bench::time_work(state, "check_closed", [&] { return closed_mesh(mesh).has_value(); });
  report(state, state.range(0));
}

void build_tree(benchmark::State& state) {
  const ClosedMesh& body = body_of(state.range(0));
  bench::time_work(state, "build_tree", [&] { return MomentTree(body).volume_mm3(); });
  report(state, state.range(0));
}

/// One plane after the other; `agree` (named `what`) tells whether the tree and the plain loop do.
template <class Work>
void time_by_planes(benchmark::State& state, const char* name, const char* what,
                    bool (*agree)(std::int64_t facets), const Work& work) {
  const std::int64_t facets = state.range(0);
  if (!bench::holds(
          state, what, [&] { return agree(facets); }, "the tree and the plain loop differ")) {
    return;
  }
  const std::vector<Plane>& planes = planes_of(facets);
  std::size_t next = 0;
  bench::time_work(state, name, [&] {
    next = (next + 1) % planes.size();
    return work(planes[next]);
  });
  report(state, facets);
}

void cut_plain_loop(benchmark::State& state) {
  const ClosedMesh& body = body_of(state.range(0));
  time_by_planes(state, "cut_plain_loop", "cuts", cuts_agree,
                 [&](const Plane& plane) { return moments_below(body, plane); });
}

void cut_tree(benchmark::State& state) {
  const MomentTree& tree = tree_of(state.range(0));
  time_by_planes(state, "cut_tree", "cuts", cuts_agree,
                 [&](const Plane& plane) { return tree.below(plane); });
}

std::pair<double, double> extent_by_plain_loop(const ClosedMesh& body, const Vec3& direction) {
  const Eigen::Matrix3Xd& positions = body.positions_mm();
  double low = direction.dot(positions.col(0));
  double high = low;
  for (Eigen::Index v = 1; v < positions.cols(); ++v) {
    const double height = direction.dot(positions.col(v));
    low = std::min(low, height);
    high = std::max(high, height);
  }
  return {low, high};
}

/// To 1e-12 of the length.
bool extents_agree(std::int64_t facets) {
  for (std::size_t i = 0; i < 8; ++i) {
    const Vec3& direction = planes_of(facets)[i].normal;
    const auto [low, high] = extent_by_plain_loop(body_of(facets), direction);
    const auto [tree_low, tree_high] = tree_of(facets).extent_mm(direction);
    const double most_off = 1e-12 * (high - low);
    if (!(std::abs(tree_low - low) <= most_off && std::abs(tree_high - high) <= most_off)) {
      return false;
    }
  }
  return true;
}

void extent_tree(benchmark::State& state) {
  const MomentTree& tree = tree_of(state.range(0));
  time_by_planes(state, "extent_tree", "extents", extents_agree,
                 [&](const Plane& plane) { return tree.extent_mm(plane.normal); });
}

void extent_plain_loop(benchmark::State& state) {
  const ClosedMesh& body = body_of(state.range(0));
  time_by_planes(state, "extent_plain_loop", "extents", extents_agree,
                 [&](const Plane& plane) { return extent_by_plain_loop(body, plane.normal); });
}

void sizes(benchmark::internal::Benchmark* bench) {
  bench::all_sizes(bench);
  bench->Unit(benchmark::kMicrosecond);
}

BENCHMARK(read_arrays)->Apply(sizes);
BENCHMARK(whole_moments)->Apply(sizes);
BENCHMARK(check_closed)->Apply(sizes);
BENCHMARK(build_tree)->Apply(sizes);
BENCHMARK(cut_plain_loop)->Apply(sizes);
BENCHMARK(cut_tree)->Apply(sizes);
BENCHMARK(extent_plain_loop)->Apply(sizes);
BENCHMARK(extent_tree)->Apply(sizes);

}  // namespace
}  // namespace trueblank::geometry
