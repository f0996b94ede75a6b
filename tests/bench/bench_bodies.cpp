// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench_bodies.h"

#include <map>
#include <utility>

#include "support/bodies.h"
#include "symmetry/marred_skins.h"

namespace trueblank::bench {
namespace {

using geometry::ClosedMesh;

template <class Make>
const ClosedMesh& kept(std::map<std::int64_t, ClosedMesh>& bodies, std::int64_t facets,
                       const Make& make) {
  const auto found = bodies.find(facets);
  if (found != bodies.end()) return found->second;
  return bodies.emplace(facets, *geometry::closed_mesh(make(static_cast<int>(facets))))
      .first->second;
}

}  // namespace

const ClosedMesh& needle_of(std::int64_t facets) {
  static std::map<std::int64_t, ClosedMesh> bodies;
  return kept(bodies, facets, [](int count) {
    return test_bodies::moved(test_bodies::needle(count), test_bodies::random_turn(7),
                              geometry::Vec3(3, 4, 5));
  });
}

const ClosedMesh& pencil_of(std::int64_t facets) {
  static std::map<std::int64_t, ClosedMesh> bodies;
  return kept(bodies, facets, test_bodies::pencil);
}

const ClosedMesh& rough_pencil_of(std::int64_t facets) {
  static std::map<std::int64_t, ClosedMesh> bodies;
  return kept(bodies, facets,
              [](int count) { return test_bodies::noisy(test_bodies::pencil(count), 0.06, 1, 1); });
}

void all_sizes(::benchmark::internal::Benchmark* bench) {
  up_to_a_million(bench);
  bench->Arg(4000000);
}

void up_to_a_million(::benchmark::internal::Benchmark* bench) {
  up_to_100k(bench);
  bench->Arg(1000000);
}

void up_to_100k(::benchmark::internal::Benchmark* bench) {
  bench->Arg(20000)->Arg(100000)->Unit(::benchmark::kMillisecond);
}

}  // namespace trueblank::bench
