// SPDX-License-Identifier: GPL-3.0-or-later
// Two, four or eight facets at a step, as the machine has it: the bytes must not tell which.
#include "geometry/facet_lanes.h"

#include <gtest/gtest.h>

#include <cstddef>
#include <vector>

#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

using namespace test_bodies;

std::vector<FacetTerms> faster_than_by_two() {
  std::vector<FacetTerms> faster;
#if defined(__x86_64__)
  if (__builtin_cpu_supports("avx2") != 0) faster.push_back(facet_terms_by_four);
  if (has_eight_lanes()) faster.push_back(facet_terms_by_eight);
#endif
  return faster;
}

TEST(FacetLanes, TwoFourAndEightAtAStepComeToTheSameBytes) {
  const std::vector<FacetTerms> faster = faster_than_by_two();
  if (faster.empty()) GTEST_SKIP() << "this machine takes two at a step";
  EXPECT_EQ(widest_facet_terms(), faster.back());
  int blocks = 0;
  for (const NamedMesh& named : closed_bodies()) {
    SCOPED_TRACE(named.name);
    const TriangleMesh& mesh = named.mesh;
    const Vec3 apex(0.1, -0.2, 0.3);
    for (int begin = 0; begin + facets_in_lanes <= mesh.facet_count(); begin += facets_in_lanes) {
      const int* facets = mesh.facets.data() + std::ptrdiff_t{3} * begin;
      CompensatedSums<moment_terms> by_two;
      facet_terms_by_two(mesh.positions_mm.data(), apex.data(), facets, 1, by_two);
      for (const FacetTerms facet_terms : faster) {
        CompensatedSums<moment_terms> by_more;
        facet_terms(mesh.positions_mm.data(), apex.data(), facets, 1, by_more);
        ASSERT_EQ(by_two.values(), by_more.values()) << begin;
      }
      ++blocks;
    }
  }
  EXPECT_GT(blocks * facets_in_lanes, 6000);
}

}  // namespace
}  // namespace trueblank::geometry
