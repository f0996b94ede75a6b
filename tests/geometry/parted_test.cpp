// SPDX-License-Identifier: GPL-3.0-or-later
// How a tree's facets are parted, and a leaf that is a point.
#include "geometry/parted.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <set>
#include <vector>

#include "cut_cases.h"
#include "geometry/moment_tree.h"
#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

using namespace test_bodies;

/// Facets in many a place, or many in few: what comes first, last and in the middle.
std::vector<PlacedFacet> placed(int count, int places, unsigned seed) {
  std::mt19937 random(seed);
  std::vector<PlacedFacet> all(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) {
    PlacedFacet& each = all[static_cast<std::size_t>(i)];
    for (float& x : each.at) {
      x = 0.37F * static_cast<float>(static_cast<int>(random() % static_cast<unsigned>(places)) -
                                     places / 2);
    }
    each.facet = i;
  }
  return all;
}

bool comes_first(const PlacedFacet& a, const PlacedFacet& b, std::size_t axis) {
  return a.at[axis] != b.at[axis] ? a.at[axis] < b.at[axis] : a.facet < b.facet;
}

void expect_parted_as_sorted(int by_samples) {
  for (const int count : {1, 2, 12, 13, 64, 999, 1001, 20000}) {
    for (const int places : {1, 3, 1000, 100000}) {
      for (const bool rising : {false, true}) {
        const auto axis = static_cast<std::size_t>(count % 3);
        const auto before = [axis](const PlacedFacet& a, const PlacedFacet& b) {
          return comes_first(a, b, axis);
        };
        std::vector<PlacedFacet> facets = placed(count, places, static_cast<unsigned>(count));
        std::vector<PlacedFacet> sorted = facets;
        std::sort(sorted.begin(), sorted.end(), before);
        if (rising) facets = sorted;
        for (const int middle : {0, count / 3, count / 2, count - 1}) {
          SCOPED_TRACE(testing::Message() << middle << " of " << count << " in " << places);
          part(facets.data(), facets.data() + middle, facets.data() + count, axis, by_samples);
          std::set<int> found;
          std::set<int> expected;
          for (int i = 0; i < middle; ++i) {
            found.insert(facets[static_cast<std::size_t>(i)].facet);
            expected.insert(sorted[static_cast<std::size_t>(i)].facet);
          }
          EXPECT_EQ(found, expected);
          EXPECT_EQ(facets[static_cast<std::size_t>(middle)].facet,
                    sorted[static_cast<std::size_t>(middle)].facet);
        }
      }
    }
  }
}

TEST(Parted, HasThoseBeforeThatASortPutsThere) { expect_parted_as_sorted(64); }

TEST(Parted, HalvesTheRangeWhereSamplesDoNotDo) {
  for (const int by_samples : {0, 1, 3}) expect_parted_as_sorted(by_samples);
}

// Seventeen facets are two leaves of eight and one of one, and that one is a point: its corners'
// sum is as high as any, and of those the last.
TEST(MomentTree, TakesALeafThatIsAPoint) {
  TriangleMesh mesh = box(10, 20, 30);
  mesh.facets.conservativeResize(3, 17);
  for (int f = 12; f < 17; ++f) mesh.facets.col(f).setConstant(7);
  const ClosedMesh body = closed(mesh);
  const MomentTree tree(body);
  const Sizes sizes = sizes_of(body, 6000, 2200);
  for (const NamedPlane& cut : planes_for(body, 82, 20)) {
    SCOPED_TRACE(cut.name);
    if (cut.plane.normal.norm() < 0.5) continue;  // in a facet that is a point
    expect_same_cut(tree.below(cut.plane), moments_below(body, cut.plane), sizes, 1e-12);
  }
  EXPECT_EQ(tree.extent_mm(Vec3::UnitZ()), std::pair(-15.0, 15.0));
}

}  // namespace
}  // namespace trueblank::geometry
