// SPDX-License-Identifier: GPL-3.0-or-later
// Ten thousand lures drawn at random, in forty lots so that ctest can run several at once.
#include <gtest/gtest.h>

#include <cstdint>

#include "water/rig_laws.h"

namespace trueblank::water {
namespace {

constexpr int lots = 40;
constexpr int lures_a_lot = 250;

class TenThousandRigs : public ::testing::TestWithParam<int> {};

TEST_P(TenThousandRigs, KeepTheLawsOfEnergy) {
  expect_laws_of_all(static_cast<std::uint64_t>(GetParam()) * lures_a_lot, lures_a_lot, 100, 500,
                     2000);
}

INSTANTIATE_TEST_SUITE_P(Lots, TenThousandRigs, ::testing::Range(0, lots));

}  // namespace
}  // namespace trueblank::water
