// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/quantity.h"

#include <gtest/gtest.h>

#include "sheet/nearest_word.h"

namespace trueblank::sheet {
namespace {

using Fault = ReadQuantity::Fault;

struct Written {
  const char* text;
  Quantity wanted;
  double value;
};

// Source: 1 in = 25.4 mm, 1 ft = 12 in, 1 lb = 453.59237 g, 1 oz = 28.349523125 g, exactly
// (international yard and pound agreement, 1959; from memory, it is the law of many countries).
TEST(Quantities, AreReadInTheUnitsOfTheBench) {
  for (const Written& row : {
           Written{"14 g", Quantity::mass, 14},
           Written{"14g", Quantity::mass, 14},
           Written{"1.5 kg", Quantity::mass, 1500},
           Written{"1 oz", Quantity::mass, 28.349523125},
           Written{"1/2 oz", Quantity::mass, 14.1747615625},
           Written{"1 1/2 oz", Quantity::mass, 42.5242846875},
           Written{"1-1/2 oz", Quantity::mass, 42.5242846875},
           Written{"3/8oz", Quantity::mass, 10.631071171875},
           Written{"2 lb", Quantity::mass, 907.18474},
           Written{"7 OZ", Quantity::mass, 198.446661875},
           Written{"20 mm", Quantity::length, 20},
           Written{"2.4 m", Quantity::length, 2400},
           Written{"0.5 in", Quantity::length, 12.7},
           Written{".5 in", Quantity::length, 12.7},
           Written{"6 1/2 in", Quantity::length, 165.1},
           Written{"1 ft", Quantity::length, 304.8},
           Written{"1.2 cm", Quantity::length, 12},
           Written{"-8 mm", Quantity::length, -8},
           Written{"- 1/4 in", Quantity::length, -6.35},
           Written{"+3 mm", Quantity::length, 3},
           Written{"  3   mm ", Quantity::length, 3},
           Written{"1e2 mm", Quantity::length, 100},
           Written{"0.37 g/cm3", Quantity::density, 0.37},
           Written{"370 kg/m3", Quantity::density, 0.37},
           Written{"370 kg/m³", Quantity::density, 0.37},
           Written{"15 °C", Quantity::temperature, 15},
           Written{"3 %", Quantity::percent, 3},
           Written{"0.5%", Quantity::percent, 0.5},
           Written{"35", Quantity::salinity, 35},
           Written{"12 deg", Quantity::angle, 12},
           Written{"-12.5°", Quantity::angle, -12.5},
           Written{"0.3 m/s", Quantity::speed, 0.3},
           Written{"30 cm/s", Quantity::speed, 0.3},
           Written{"1/2 ft/s", Quantity::speed, 0.1524},
           Written{"2.5", Quantity::stiffness, 2.5},
       }) {
    const ReadQuantity read = read_quantity(row.text, row.wanted);
    EXPECT_EQ(read.fault, Fault::none) << row.text;
    EXPECT_DOUBLE_EQ(read.value, row.value) << row.text;
  }
}

struct Refused {
  const char* text;
  Quantity wanted;
  Fault fault;
};

TEST(Quantities, AreRefusedForWhatIsWrongWithThem) {
  for (const Refused& row : {
           Refused{"", Quantity::mass, Fault::not_a_number},
           Refused{"heavy", Quantity::mass, Fault::not_a_number},
           Refused{"-", Quantity::mass, Fault::not_a_number},
           Refused{"--3 g", Quantity::mass, Fault::not_a_number},
           Refused{".", Quantity::mass, Fault::not_a_number},
           Refused{"inf g", Quantity::mass, Fault::not_a_number},
           Refused{"nan g", Quantity::mass, Fault::not_a_number},
           Refused{"1e999 g", Quantity::mass, Fault::not_a_number},
           Refused{"1/ g", Quantity::mass, Fault::not_a_number},
           Refused{"1/0 oz", Quantity::mass, Fault::zero_denominator},
           Refused{"1 1/0 oz", Quantity::mass, Fault::zero_denominator},
           Refused{"0,5 oz", Quantity::mass, Fault::decimal_comma},
           Refused{"14", Quantity::mass, Fault::no_unit},
           Refused{"14 grains", Quantity::mass, Fault::unknown_unit},
           Refused{"14 g g", Quantity::mass, Fault::unknown_unit},
           Refused{"1 2 g", Quantity::mass, Fault::unknown_unit},
           Refused{"14 g", Quantity::length, Fault::other_quantity},
           Refused{"14 mm", Quantity::mass, Fault::other_quantity},
           Refused{"35 g", Quantity::salinity, Fault::other_quantity},
           Refused{"3", Quantity::percent, Fault::no_unit},
           Refused{"3 mm", Quantity::percent, Fault::other_quantity},
           Refused{"3 %", Quantity::mass, Fault::other_quantity},
           Refused{"12", Quantity::angle, Fault::no_unit},
           Refused{"12 °C", Quantity::angle, Fault::other_quantity},
           Refused{"0.3 m", Quantity::speed, Fault::other_quantity},
           Refused{"2.5 g", Quantity::stiffness, Fault::other_quantity},
       }) {
    EXPECT_EQ(read_quantity(row.text, row.wanted).fault, row.fault) << row.text;
  }
}

TEST(NearestWord, ForgivesSwappedMissingAndAddedLetters) {
  constexpr std::string_view known[] = {"name", "eye", "mass", "metal", "density", "hang"};
  EXPECT_EQ(nearest_word("hnag", known), "hang");
  EXPECT_EQ(nearest_word("masse", known), "mass");
  EXPECT_EQ(nearest_word("Density", known), "density");
  EXPECT_EQ(nearest_word("denisty", known), "density");
  EXPECT_EQ(nearest_word("colour", known), "");
  EXPECT_EQ(nearest_word("", known), "");
  EXPECT_EQ(nearest_word(std::string(100, 'a'), known), "");
}

}  // namespace
}  // namespace trueblank::sheet
