// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <cstdio>

#include "symmetry/coverage.h"

namespace trueblank::symmetry {
namespace {

// The promise itself. Of a hundred scans at least ninety hold the truth within twice each figure.
TEST(PlaneUncertainty, HoldsTheTruthInNinetyOfAHundredSimulatedScans) {
  const Coverage coverage = covered(8000, 1, 100);
  std::printf("%s", coverage.table.c_str());
  ASSERT_GE(coverage.scans, 60) << "scans whose plane is well determined";
  EXPECT_GE(coverage.tilt_held, coverage.scans - coverage.scans / 10);
  EXPECT_GE(coverage.yaw_held, coverage.scans - coverage.scans / 10);
  EXPECT_GE(coverage.offset_held, coverage.scans - coverage.scans / 10);
  EXPECT_GE(coverage.all_held, coverage.scans - coverage.scans / 10);
}

}  // namespace
}  // namespace trueblank::symmetry
