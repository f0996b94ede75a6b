// SPDX-License-Identifier: GPL-3.0-or-later
// Two or four facets at a step, as the machine has it: the bytes must not tell which.
#include "geometry/facet_lanes.h"

#include <gtest/gtest.h>

#include <cstddef>
#include <cstring>

#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

using namespace test_bodies;

TEST(FacetLanes, TwoAtAStepAndFourComeToTheSameBytes) {
  const FacetTerms widest = widest_facet_terms();
  if (widest == facet_terms_by_two) GTEST_SKIP() << "this machine takes two at a step";
  int blocks = 0;
  for (const NamedMesh& named : closed_bodies()) {
    SCOPED_TRACE(named.name);
    const TriangleMesh& mesh = named.mesh;
    const Vec3 apex(0.1, -0.2, 0.3);
    for (int begin = 0; begin + facets_per_block <= mesh.facet_count(); begin += facets_per_block) {
      const int* facets = mesh.facets.data() + std::ptrdiff_t{3} * begin;
      LaneSums two;
      LaneSums four;
      facet_terms_by_two(mesh.positions_mm.data(), apex.data(), facets, two);
      widest(mesh.positions_mm.data(), apex.data(), facets, four);
      ASSERT_EQ(std::memcmp(&two.terms, &four.terms, sizeof two.terms), 0) << begin;
      ++blocks;
    }
  }
  EXPECT_GT(blocks, 100);
}

}  // namespace
}  // namespace trueblank::geometry
