// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/carried_colours.h"

#include <gtest/gtest.h>

namespace trueblank::body {
namespace {

constexpr Colour red = {255, 0, 0};
constexpr Colour green = {0, 255, 0};
constexpr Colour wood = {200, 180, 150};

TEST(CarriedColours, GoWithThePlaceWhateverTheOrder) {
  Eigen::Matrix3Xd file(3, 3);
  file << 1, 0, 0.1, 2, 0, 0.2, 3, -0.0, 0.3;
  const std::vector<Colour> colours = {red, green, {0, 0, 255}};
  Eigen::Matrix3Xd mended(3, 4);
  mended << 0, 0.1, 1, 9, 0, 0.2, 2, 9, 0, 0.3, 3, 9;
  EXPECT_EQ(carried_colours(file, colours, mended, wood),
            (std::vector<Colour>{green, {0, 0, 255}, red, wood}));
}

TEST(CarriedColours, AreNoneWhereTheFileHasNone) {
  const Eigen::Matrix3Xd one = Eigen::Matrix3Xd::Zero(3, 1);
  EXPECT_TRUE(carried_colours(one, {}, one, wood).empty());
}

}  // namespace
}  // namespace trueblank::body
