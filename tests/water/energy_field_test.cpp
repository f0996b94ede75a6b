// SPDX-License-Identifier: GPL-3.0-or-later
// The table of the energy over directions, between its nodes.
#include "water/energy_field.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <utility>

#include "water/floating_bodies.h"

namespace trueblank::water {
namespace {

struct Errors {
  double gradient_g_mm = 0;
  double hessian_g_mm = 0;
};

// Root mean squares over many directions, along all turns.
Errors errors_of(const EnergyField& field, const Floater& lure) {
  Errors squares;
  const SphereGrid other(3);
  const geometry::Mat3 turn = test_bodies::random_turn(5);
  int face = 0;
  for (int i = 0; i < other.node_count(); ++i) {
    const Vec3 up = turn * other.node(i);
    const EnergyField::Value told = field.at(up, face);
    face = told.face;
    const Waterline exact = waterline_at(lure, up);
    const Vec3 slope = exact.gradient_g_mm - up.dot(exact.gradient_g_mm) * up;
    EXPECT_NEAR(up.dot(told.gradient_g_mm), 0, 1e-10);
    squares.gradient_g_mm += (told.gradient_g_mm - slope).squaredNorm();
    const TangentPair t = tangents(up);
    for (const auto& [a, b] : {std::pair{t.first, t.first}, std::pair{t.first, t.second},
                               std::pair{t.second, t.second}}) {
      squares.hessian_g_mm += std::pow(a.dot((told.hessian_g_mm - exact.hessian_g_mm) * b), 2);
    }
  }
  return {std::sqrt(squares.gradient_g_mm / other.node_count()),
          std::sqrt(squares.hessian_g_mm / other.node_count())};
}

// Law: a gradient that is put together of nodes' gradients and half of what their second
// derivatives foresee is off by the third power of the nodes' distance, second derivatives by the
// second: on a table twice as fine an eighth and a fourth of it.
TEST(EnergyField, BetweenNodesIsOffByTheThirdPowerOfTheirDistance) {
  const FormulaEllipsoid body(40, 25, 30);
  Floater lure;
  lure.body = body.cut_body();
  lure.mass_g = 0.6e-3 * body.volume_mm3();
  lure.centre_of_mass_mm = {5, 1, -3};
  const auto at_level = [&](int level) {
    const SphereGrid grid(level);
    return errors_of(EnergyField(lure, grid, geometry::serial_for), lure);
  };
  const Errors coarse = at_level(4);
  const Errors fine = at_level(5);
  EXPECT_NEAR(coarse.gradient_g_mm / fine.gradient_g_mm, 8, 1.6);
  EXPECT_NEAR(coarse.hessian_g_mm / fine.hessian_g_mm, 4, 0.8);
}

}  // namespace
}  // namespace trueblank::water
