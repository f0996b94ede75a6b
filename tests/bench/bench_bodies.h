// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <benchmark/benchmark.h>

#include <cstdint>

#include "geometry/moment_tree.h"

namespace trueblank::bench {

/// A needle turned at random, of about as many facets as asked for; made once.
[[nodiscard]] const geometry::ClosedMesh& needle_of(std::int64_t facets);

/// A pencil, x from nose to tail, of about as many facets as asked for; made once.
[[nodiscard]] const geometry::ClosedMesh& pencil_of(std::int64_t facets);

/// The same with noise of 0.06 mm that holds together over 1 mm: as a scan, no mirror image of
/// itself in y = 0.
[[nodiscard]] const geometry::ClosedMesh& rough_pencil_of(std::int64_t facets);

/// The sizes that everything is measured at, and those at which it takes minutes left out.
void all_sizes(::benchmark::internal::Benchmark* bench);
void up_to_a_million(::benchmark::internal::Benchmark* bench);
void up_to_100k(::benchmark::internal::Benchmark* bench);

}  // namespace trueblank::bench
