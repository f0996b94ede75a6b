// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <cstdio>

#include "symmetry/coverage.h"

namespace trueblank::symmetry {
namespace {

// All hundred scans count: one that is left open (not well determined) holds nothing. Open are
// nearly round bodies whose turn slow noise leaves less sure than 3.3°. The seeds are others than
// those that the factors of gap_field.cpp were set on, 1 to 100 and 301 to 400.
TEST(PlaneUncertainty, HoldsTheTruthInNineOfTenOfAllScans) {
  const Coverage coverage = covered(8000, 501, 100);
  std::printf("%s", coverage.table.c_str());
  ASSERT_EQ(coverage.scans, 100);
  EXPECT_LE(coverage.open, 6);
  EXPECT_GE(coverage.tilt_held, 90);
  EXPECT_GE(coverage.yaw_held, 90);
  EXPECT_GE(coverage.offset_held, 90);
  EXPECT_GE(coverage.all_held, 90) << "all three at once";
}

}  // namespace
}  // namespace trueblank::symmetry
