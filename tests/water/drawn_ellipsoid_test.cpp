// SPDX-License-Identifier: GPL-3.0-or-later
// A body told by a few sections, floated. The closed form is that of ellipsoid_test.cpp.
#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "body/sections.h"
#include "water/ellipsoid_table.h"
#include "water/floating_bodies.h"

namespace trueblank::water {
namespace {

// Five sections, measured along an ellipsoid; the line is its long axis.
geometry::ClosedMesh drawn_ellipsoid() {
  std::vector<body::DrawnSection> sections;
  for (const double x : {-80.0, -48.0, 0.0, 20.0, 80.0}) {
    const double share = std::sqrt(1 - std::pow(x / ellipsoid_a_mm, 2));
    sections.push_back({.station_mm = x,
                        .width_mm = 2 * ellipsoid_b_mm * share,
                        .above_mm = ellipsoid_c_mm * share,
                        .below_mm = ellipsoid_c_mm * share});
  }
  return grown_to(test_bodies::closed(body::body_of_sections(sections)),
                  FormulaEllipsoid(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm).volume_mm3());
}

// Tolerance: as for facets on the formula's ellipsoid, made equal in volume; 128 by 160 of them
// fall short of it by some 2e-4 of its second moments.
// All rows take half a dozen seconds; here the one that lists.
TEST(EllipsoidOfSections, LiesAsTheTableSays) {
  const geometry::ClosedMesh body = drawn_ellipsoid();
  const EllipsoidRow row = ellipsoid_rows()[2];
  expect_row(row, balance(floating(body, row.mass_g, row.G).lure), 0.004, 0.003, 1e-3);
}

}  // namespace
}  // namespace trueblank::water
