// SPDX-License-Identifier: GPL-3.0-or-later
// What the deviation of all vertices costs: the nearest skin point to each vertex's mirror image,
// by our tree, by CGAL's and, where it was found at build time, by Embree's, all built beforehand,
// all in the order of the facets and on one thread. The distances must agree before anything is
// timed.
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/AABB_triangle_primitive.h>
#include <CGAL/Simple_cartesian.h>
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <vector>

#include "bench_bodies.h"
#include "measured.h"
#include "symmetry/nearest_surface.h"

#ifdef TRUEBLANK_BENCH_EMBREE
#include "nearest_embree.h"
#endif

namespace trueblank::symmetry {
namespace {

using Kernel = CGAL::Simple_cartesian<double>;
using Triangles = std::vector<Kernel::Triangle_3>;
using Primitive = CGAL::AABB_triangle_primitive<Kernel, Triangles::const_iterator>;
using Tree = CGAL::AABB_tree<CGAL::AABB_traits<Kernel, Primitive>>;

enum class Start { nowhere, points_of_its_own, last_answer };

Kernel::Point_3 point(const Vec3& p) { return {p.x(), p.y(), p.z()}; }

// Each vertex, where a facet first names it, mirrored in y = 0.
std::vector<Vec3> mirrored_vertices(const geometry::ClosedMesh& body) {
  std::vector<bool> listed(static_cast<std::size_t>(body.vertex_count()), false);
  std::vector<Vec3> mirrored;
  for (const int v : body.facets().reshaped()) {
    if (listed[static_cast<std::size_t>(v)]) continue;
    listed[static_cast<std::size_t>(v)] = true;
    const Vec3 p = body.positions_mm().col(v);
    mirrored.emplace_back(p.x(), -p.y(), p.z());
  }
  return mirrored;
}

std::vector<double> by_ours(const NearestSurface& surface, const std::vector<Vec3>& questions) {
  std::vector<double> distances;
  distances.reserve(questions.size());
  int last = -1;
  for (const Vec3& p : questions) {
    const NearestSurface::Hit hit = surface.nearest(p, last);
    last = hit.facet;
    distances.push_back(hit.signed_distance_mm);
  }
  return distances;
}

// CGAL's, which keeps no sign.
class ByCgal {
 public:
  ByCgal(const geometry::ClosedMesh& body, Start start) : start_(start) {
    for (int f = 0; f < body.facet_count(); ++f) {
      triangles_.emplace_back(point(body.corner(f, 0)), point(body.corner(f, 1)),
                              point(body.corner(f, 2)));
    }
    tree_ = std::make_unique<Tree>(triangles_.cbegin(), triangles_.cend());
    tree_->build();
    if (start == Start::points_of_its_own) {
      tree_->accelerate_distance_queries();
    } else {
      tree_->do_not_accelerate_distance_queries();
    }
  }

  [[nodiscard]] std::vector<double> distances(const std::vector<Vec3>& questions) const {
    std::vector<double> distances;
    distances.reserve(questions.size());
    Tree::Point_and_primitive_id last(triangles_.front().vertex(0), triangles_.cbegin());
    for (const Vec3& p : questions) {
      const Kernel::Point_3 query = point(p);
      const Tree::Point_and_primitive_id hit = start_ == Start::last_answer
                                                   ? tree_->closest_point_and_primitive(query, last)
                                                   : tree_->closest_point_and_primitive(query);
      last = hit;
      distances.push_back(std::sqrt(CGAL::squared_distance(hit.first, query)));
    }
    return distances;
  }

 private:
  Start start_;
  Triangles triangles_;
  std::unique_ptr<Tree> tree_;
};

struct Asked {
  std::vector<Vec3> questions;
  std::vector<double> answers_mm;
};

const Asked& asked_of(std::int64_t facets) {
  static std::map<std::int64_t, Asked> all;
  const auto found = all.find(facets);
  if (found != all.end()) return found->second;
  const geometry::ClosedMesh& body = bench::rough_pencil_of(facets);
  Asked asked{mirrored_vertices(body), {}};
  asked.answers_mm = by_ours(NearestSurface(body.mesh()), asked.questions);
  return all.emplace(facets, std::move(asked)).first->second;
}

// Rounding of coordinates of up to 150 mm, and of CGAL's constructions.
bool agree(const std::vector<double>& signed_mm, const std::vector<double>& distances_mm) {
  if (signed_mm.size() != distances_mm.size()) return false;
  for (std::size_t i = 0; i < signed_mm.size(); ++i) {
    if (!(std::abs(std::abs(signed_mm[i]) - distances_mm[i]) < 1e-9)) return false;
  }
  return !signed_mm.empty();
}

void nearest_ours(benchmark::State& state) {
  const Asked& asked = asked_of(state.range(0));
  const NearestSurface surface(bench::rough_pencil_of(state.range(0)).mesh());
  bench::time_work(state, "nearest_ours", [&] { return by_ours(surface, asked.questions); });
}

void nearest_by_cgal(benchmark::State& state, const char* name, Start start) {
  const Asked& asked = asked_of(state.range(0));
  const ByCgal cgal(bench::rough_pencil_of(state.range(0)), start);
  if (!bench::holds(
          state, name, [&] { return agree(asked.answers_mm, cgal.distances(asked.questions)); },
          "our tree and CGAL's differ")) {
    return;
  }
  bench::time_work(state, name, [&] { return cgal.distances(asked.questions); });
}

void nearest_cgal(benchmark::State& state) {
  nearest_by_cgal(state, "nearest_cgal", Start::nowhere);
}

void nearest_cgal_hinted(benchmark::State& state) {
  nearest_by_cgal(state, "nearest_cgal_hinted", Start::points_of_its_own);
}

void nearest_cgal_last(benchmark::State& state) {
  nearest_by_cgal(state, "nearest_cgal_last", Start::last_answer);
}

void nearest_build(benchmark::State& state) {
  const geometry::ClosedMesh& body = bench::rough_pencil_of(state.range(0));
  bench::time_work(state, "nearest_build",
                   [&] { return NearestSurface(body.mesh()).across(0, 0); });
}

void nearest_build_cgal(benchmark::State& state) {
  const geometry::ClosedMesh& body = bench::rough_pencil_of(state.range(0));
  bench::time_work(state, "nearest_build_cgal", [&] {
    const ByCgal cgal(body, Start::points_of_its_own);
    benchmark::DoNotOptimize(&cgal);
    return 0;
  });
}

#ifdef TRUEBLANK_BENCH_EMBREE
void nearest_embree(benchmark::State& state) {
  const Asked& asked = asked_of(state.range(0));
  const bench::ByEmbree embree(bench::rough_pencil_of(state.range(0)).mesh());
  if (!bench::holds(
          state, "nearest_embree",
          [&] { return agree(asked.answers_mm, embree.distances(asked.questions)); },
          "our tree and Embree's differ")) {
    return;
  }
  bench::time_work(state, "nearest_embree", [&] { return embree.distances(asked.questions); });
}

void nearest_build_embree(benchmark::State& state) {
  const geometry::ClosedMesh& body = bench::rough_pencil_of(state.range(0));
  bench::time_work(state, "nearest_build_embree", [&] {
    const bench::ByEmbree embree(body.mesh());
    benchmark::DoNotOptimize(&embree);
    return 0;
  });
}
#else
void nearest_embree(benchmark::State& state) {
  state.SkipWithError("left out: no Embree was found at build time (Debian: libembree-dev)");
}

void nearest_build_embree(benchmark::State& state) { nearest_embree(state); }
#endif

BENCHMARK(nearest_ours)->Apply(bench::all_sizes);
BENCHMARK(nearest_cgal_hinted)->Apply(bench::all_sizes);
BENCHMARK(nearest_cgal_last)->Apply(bench::all_sizes);
// Without a hint a million facets take minutes.
BENCHMARK(nearest_cgal)->Apply(bench::up_to_100k)->Iterations(1);
BENCHMARK(nearest_embree)->Apply(bench::all_sizes);
BENCHMARK(nearest_build)->Apply(bench::all_sizes);
BENCHMARK(nearest_build_cgal)->Apply(bench::all_sizes);
BENCHMARK(nearest_build_embree)->Apply(bench::all_sizes);

}  // namespace
}  // namespace trueblank::symmetry
