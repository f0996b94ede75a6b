// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/kind_of_body.h"

#include <gtest/gtest.h>

namespace trueblank::notebook {
namespace {

// By the definition: √(20 · 20) = 20, so that 8 and 5 of them are 160 and 100 mm.
TEST(KindOfBody, IsToldByLengthOverTheMeanOfWidthAndHeight) {
  EXPECT_EQ(kind_of_body(160, 20, 20), "slim");
  EXPECT_EQ(kind_of_body(159.9, 20, 20), "medium");
  EXPECT_EQ(kind_of_body(100, 20, 20), "medium");
  EXPECT_EQ(kind_of_body(99.9, 20, 20), "stout");
}

TEST(KindOfBody, CountsWidthAndHeightAlike) {
  EXPECT_EQ(kind_of_body(160, 10, 40), kind_of_body(160, 40, 10));
  EXPECT_EQ(kind_of_body(160, 10, 40), "slim");
}

}  // namespace
}  // namespace trueblank::notebook
