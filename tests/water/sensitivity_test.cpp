// SPDX-License-Identifier: GPL-3.0-or-later
// What a gram, a millimetre, a percent changes: held against closed forms (box barge, ellipsoid)
// and against the implicit function's derivative, −H⁻¹ ∂g, on a facetted lure.
#include "water/sensitivity.h"

#include <gtest/gtest.h>

#include <Eigen/LU>
#include <cmath>
#include <functional>

#include "water/ellipsoid_table.h"
#include "water/near_pose.h"
#include "water/small_changes.h"

namespace trueblank::water {
namespace {

// Derivation. A box of length L, breadth B, depth D about the origin, mass M in water of density 1,
// floats upright at draught T = M/(LB), GM = T/2 + BM − KG with BM = B²/(12T) (roll), L²/(12T)
// (pitch), as long as neither lid nor floor meets the water. A weight m that is moved by dy turns
// it by m·dy/(M·GM) to first order. M·GM = LB·B²/12 + M·T/2 − Σ m·k, k heights over the keel, so
// that a gram more at height k changes it by T − k: it stiffens where it lies below the waterline.
struct Barge {
  double L = 160;
  double B = 30;
  double D = 20;
  double wood_g = 30;
  double weight_g = 10;
  Vec3 at_mm = {0, 0, -6};

  [[nodiscard]] RiggedBody made() const {
    RiggedBody barge = rigged_body(test_bodies::closed(test_bodies::box(L, B, D)), {});
    barge.assembly = wood_alone(wood_g);
    barge.assembly.parts.push_back(weight_at(at_mm, weight_g));
    return barge;
  }

  [[nodiscard]] double mass_g() const { return wood_g + weight_g; }

  [[nodiscard]] double draught_mm() const { return mass_g() / (L * B * 1e-3); }

  [[nodiscard]] double height_g() const {  // KG
    return (wood_g * D / 2 + weight_g * (D / 2 + at_mm.z())) / mass_g();
  }

  [[nodiscard]] double gm_mm(double extent) const {
    return draught_mm() / 2 + extent * extent / (12 * draught_mm()) - height_g();
  }
};

TEST(BoxBargeSlopes, AreThoseOfTheClosedForm) {
  const Barge barge;
  const RiggedBody made = barge.made();
  const RestPose pose = made.pose();
  ASSERT_NEAR(pose.gm_roll_mm.value(), barge.gm_mm(barge.B), 1e-9);
  const Sensitivity found = sensitivity(made.body(), made.assembly, pose, {});
  ASSERT_EQ(found.parts.size(), 1U);
  const PartSlopes& weight = found.parts.front();
  ASSERT_TRUE(weight.per_mm && weight.per_g);
  const auto& [aft, right, up] = *weight.per_mm;
  const double per_mm_roll = barge.weight_g / (barge.mass_g() * barge.gm_mm(barge.B)) / degree;
  const double per_mm_pitch = barge.weight_g / (barge.mass_g() * barge.gm_mm(barge.L)) / degree;
  // The third order of the step: (0.1 mm·10/(40·4))² of the slope.
  EXPECT_NEAR(right.list_deg.value(), per_mm_roll, 1e-4 * per_mm_roll);
  EXPECT_NEAR(right.tail_down_deg.value(), 0, 1e-9);
  EXPECT_NEAR(aft.tail_down_deg.value(), per_mm_pitch, 1e-6 * per_mm_pitch);
  EXPECT_NEAR(aft.list_deg.value(), 0, 1e-9);
  // M·GM less m for each millimetre up.
  EXPECT_NEAR(up.least_stiffness_g_mm_per_deg.value(), -barge.weight_g * degree, 1e-8);
  EXPECT_NEAR(up.reserve_g, 0, 1e-10);
  const double k = barge.D / 2 + barge.at_mm.z();
  EXPECT_NEAR(weight.per_g->least_stiffness_g_mm_per_deg.value(), (barge.draught_mm() - k) * degree,
              1e-8);
  EXPECT_NEAR(weight.per_g->reserve_g, -1, 1e-10);
  EXPECT_FALSE(right.at_border);
}

// Derivation as above, for the wood, whose middle is D/2 over the keel: M·GM changes by T − D/2 a
// gram; 1 % of the wood is wood_g/100.
TEST(BoxBargeSlopes, OfTheWoodAreThoseOfTheClosedForm) {
  const Barge barge;
  const RiggedBody made = barge.made();
  const Sensitivity found = sensitivity(made.body(), made.assembly, made.pose(), {});
  const double per_g = (barge.draught_mm() - barge.D / 2) * degree;
  EXPECT_NEAR(found.wood_per_g.least_stiffness_g_mm_per_deg.value(), per_g, 1e-8);
  EXPECT_NEAR(found.wood_per_percent.least_stiffness_g_mm_per_deg.value(),
              per_g * barge.wood_g / 100, 1e-8);
  EXPECT_NEAR(found.wood_per_g.reserve_g, -1, 1e-10);
  EXPECT_NEAR(found.wood_per_percent.reserve_g, -barge.wood_g / 100, 1e-10);
}

// The ellipsoid's rest pose by its closed form alone: E(up) = M·(G·up + β|A up|), β of the mass
// (ellipsoid_table.h). Newton's method on its slope over tail_down and list, from a pose nearby.
struct EllipsoidPose {
  double tail_down_deg;
  double list_deg;
  double least_stiffness_g_mm_per_deg;
};

EllipsoidPose closed_form_pose(double mass_g, const Vec3& G, double tail_deg, double list_deg) {
  const Mat3 squares =
      Vec3(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm).cwiseAbs2().asDiagonal();
  const double s = mass_g / (2 * ellipsoid_half_g);
  double eta = 1;  // s = η²(3−η)/4
  for (int i = 0; i < 100; ++i)
    eta -= (eta * eta * (3 - eta) / 4 - s) / (1.5 * eta - 0.75 * eta * eta);
  const double beta = 3 * (2 - eta) * (2 - eta) / (4 * (3 - eta));
  double t = tail_deg * degree;
  double l = list_deg * degree;
  Eigen::Matrix<double, 3, 2> d;  // of up over tail and list
  Mat3 bend;
  for (int i = 0; i < 50; ++i) {
    const Vec3 up(-std::sin(t), -std::cos(t) * std::sin(l), std::cos(t) * std::cos(l));
    d.col(0) = Vec3(-std::cos(t), std::sin(t) * std::sin(l), -std::sin(t) * std::cos(l));
    d.col(1) = Vec3(0, -std::cos(l), -std::sin(l));  // of unit length
    const double r = std::sqrt(up.dot(squares * up));
    const Vec3 slope = G + beta * squares * up / r;
    bend = beta * (squares / r - squares * up * up.transpose() * squares / (r * r * r)) -
           up.dot(slope) * Mat3::Identity();
    const Eigen::Vector2d step = (d.transpose() * bend * d).inverse() * (d.transpose() * slope);
    t -= step(0);
    l -= step(1) / std::cos(t);
  }
  const Eigen::Matrix2d K = mass_g * (d.transpose() * bend * d);
  const double least = K.trace() / 2 - std::hypot((K(0, 0) - K(1, 1)) / 2, K(0, 1));
  return {t / degree, l / degree, least * degree};
}

// A wood of 22 g with 9 g in it that take half a gram of wood away: told by sums, as the closed
// form wants it.
struct EllipsoidRig {
  double wood_g = 22;
  double weight_g = 9;
  double taken_g = 0.5;
  Vec3 at_mm = {6, 0.4, -8};

  [[nodiscard]] rig::Assembly assembly() const {
    rig::Assembly made = wood_alone(wood_g);
    made.parts.push_back(weight_at(at_mm, weight_g, taken_g));
    return made;
  }

  [[nodiscard]] EllipsoidPose pose() const {
    const double mass_g = wood_g + weight_g - taken_g;
    return closed_form_pose(mass_g, (weight_g - taken_g) / mass_g * at_mm, 3, 5);
  }
};

using Changed = std::function<EllipsoidRig(double)>;

void expect_slope(const Slope& slope, const Changed& changed, double step, double relative) {
  const EllipsoidPose less = changed(-step).pose();
  const EllipsoidPose more = changed(step).pose();
  const auto expect = [&](double found, double a, double b) {
    const double expected = (b - a) / (2 * step);
    EXPECT_NEAR(found, expected, relative * std::max(std::abs(expected), 0.01));
  };
  expect(slope.tail_down_deg.value(), less.tail_down_deg, more.tail_down_deg);
  expect(slope.list_deg.value(), less.list_deg, more.list_deg);
  expect(slope.least_stiffness_g_mm_per_deg.value(), less.least_stiffness_g_mm_per_deg,
         more.least_stiffness_g_mm_per_deg);
}

// Over the step of 0.1 the closed form changes by the same, to rounding; its derivative differs by
// the square of the step: 0.1 g of 9 g, 0.1 mm of 6 mm, a few ten-thousandths at most.
void expect_slope(const Slope& slope, const Changed& changed) {
  expect_slope(slope, changed, 0.1, 1e-7);
  expect_slope(slope, changed, 1e-4, 5e-4);
}

// Source: the closed form of the pose, differentiated.
TEST(EllipsoidSlopes, AreThoseOfTheClosedForm) {
  const FormulaEllipsoid body(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm);
  const EllipsoidRig nominal;
  const rig::Assembly assembly = nominal.assembly();
  const RestPose pose =
      pose_near(floater(body.cut_body(), rig::add_up(assembly)), Vec3::UnitZ()).value();
  EXPECT_NEAR(pose.tail_down_deg, nominal.pose().tail_down_deg, 1e-9);
  EXPECT_NEAR(pose.list_deg.value(), nominal.pose().list_deg, 1e-8);
  EXPECT_NEAR(pose.least_stiffness_g_mm_per_deg, nominal.pose().least_stiffness_g_mm_per_deg, 1e-9);
  const Sensitivity found = sensitivity(body.cut_body(), assembly, pose, {});
  const PartSlopes& weight = found.parts.front();
  expect_slope(*weight.per_g, [](double grams) {
    EllipsoidRig rig;
    rig.taken_g *= (rig.weight_g + grams) / rig.weight_g;
    rig.weight_g += grams;
    return rig;
  });
  for (int axis = 0; axis < 3; ++axis) {
    expect_slope((*weight.per_mm)[static_cast<std::size_t>(axis)], [&](double by_mm) {
      EllipsoidRig rig;
      rig.at_mm(axis) += by_mm;
      return rig;
    });
  }
  expect_slope(found.wood_per_percent, [](double percent) {
    EllipsoidRig rig;
    rig.wood_g *= 1 + percent / 100;
    rig.taken_g *= 1 + percent / 100;
    return rig;
  });
  EXPECT_NEAR(weight.per_g->reserve_g, -(1 - nominal.taken_g / nominal.weight_g), 1e-9);
}

// A second way: what a change does to the slope of the energy at the pose held still, divided by
// the second derivatives there: d up = −H⁻¹ ∂g.
Vec3 turn_for(const RestPose& pose, const Floater& less, const Floater& more, double width) {
  const auto slope = [&](const Floater& lure) {
    const Vec3 g = waterline_at(lure, pose.up, pose.waterline_offset_mm).gradient_g_mm;
    return Vec3(g - pose.up.dot(g) * pose.up);
  };
  // On the plane square to up alone; along it there is nothing to solve.
  const Mat3 bend = pose.hessian_g_mm + pose.up * pose.up.transpose();
  return -bend.inverse() * (slope(more) - slope(less)) / width;
}

double tail_down_of_turn_deg(const RestPose& pose, const Vec3& turn) {
  return -turn.x() / std::sqrt(1 - pose.up.x() * pose.up.x()) / degree;
}

double list_of_turn_deg(const RestPose& pose, const Vec3& turn) {
  const double across = pose.up.y() * pose.up.y() + pose.up.z() * pose.up.z();
  return (pose.up.y() * turn.z() - pose.up.z() * turn.y()) / across / degree;
}

TEST(FacettedSlopes, AgreeWithTheImplicitFunction) {
  const RiggedBody made =
      rigged_body(test_bodies::closed(test_bodies::needle(40000)), needle_rig());
  const RestPose pose = made.pose();
  ASSERT_GT(std::abs(pose.list_deg.value()), 0.1);
  const Sensitivity found = sensitivity(made.body(), made.assembly, pose, {});
  // The derivative differs from the change over 0.1 g of a hook of 3 g, say, by about the square of
  // the step.
  constexpr double relative = 3e-4;
  const auto expect = [&](const Slope& slope, const std::function<rig::Assembly(double)>& change) {
    constexpr double step = 1e-4;
    const Vec3 turn = turn_for(pose, floater(made.body(), rig::add_up(change(-step))),
                               floater(made.body(), rig::add_up(change(step))), 2 * step);
    const double tail_deg = tail_down_of_turn_deg(pose, turn);
    const double list_deg = list_of_turn_deg(pose, turn);
    EXPECT_NEAR(slope.tail_down_deg.value(), tail_deg,
                relative * std::max(std::abs(tail_deg), 0.05));
    EXPECT_NEAR(slope.list_deg.value(), list_deg, relative * std::max(std::abs(list_deg), 0.05));
  };
  for (std::size_t i = 0; i < made.assembly.parts.size(); ++i) {
    SCOPED_TRACE(made.assembly.parts[i].name);
    const auto with = [&](rig::LaidPart part) {
      rig::Assembly changed = made.assembly;
      changed.parts[i] = std::move(part);
      return changed;
    };
    expect(*found.parts[i].per_g,
           [&](double grams) { return with(rig::heavier(made.assembly.parts[i], grams)); });
    for (int axis = 0; axis < 3; ++axis) {
      SCOPED_TRACE(axis);
      expect((*found.parts[i].per_mm)[static_cast<std::size_t>(axis)], [&](double by_mm) {
        return with(rig::moved(made.assembly.parts[i], by_mm * Vec3::Unit(axis)));
      });
    }
  }
  expect(found.wood_per_percent,
         [&](double percent) { return rig::with_wood_times(made.assembly, 1 + percent / 100); });
}

// Law: where it hangs under water, up = (B−G)/|B−G| and the stiffness is the displaced mass × BG:
// more of the same weight where it is draws G to it.
TEST(SinkersSlopes, AreThoseOfTheClosedForm) {
  const FormulaEllipsoid body(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm);
  const Vec3 at(3, 0.2, -4);
  rig::Assembly assembly = wood_alone(20);
  assembly.parts.push_back(weight_at(at, 25));
  const RestPose pose =
      pose_near(floater(body.cut_body(), rig::add_up(assembly)), Vec3::UnitZ()).value();
  ASSERT_FALSE(pose.waterline_offset_mm);
  const Sensitivity found = sensitivity(body.cut_body(), assembly, pose, {});
  const PartSlopes& weight = found.parts.front();
  // G = 25/45 of `at`; it turns no way, and BG grows by |at|·20/45² a gram.
  EXPECT_NEAR(weight.per_g->tail_down_deg.value(), 0, 1e-9);
  EXPECT_NEAR(weight.per_g->list_deg.value(), 0, 1e-9);
  const double displaced_g = body.volume_mm3() / 1000;
  EXPECT_NEAR(weight.per_g->least_stiffness_g_mm_per_deg.value(),
              displaced_g * at.norm() * 20 / (45.0 * 45) * degree, 1e-6);
  EXPECT_NEAR(weight.per_g->reserve_g, -1, 1e-9);
}

TEST(Slopes, AreNothingAtABorderAndSaySo) {
  const FormulaEllipsoid body(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm);
  const auto of = [&](const rig::Assembly& assembly) {
    const RestPose pose =
        pose_near(floater(body.cut_body(), rig::add_up(assembly)), Vec3::UnitZ()).value();
    return sensitivity(body.cut_body(), assembly, pose, {});
  };
  // Half immersed, GM_roll = e − 1.375 mm for G e mm low (closed form): 10 of 20.1 g at z = -2.77
  // put G at 1.378, and 0.1 mm up at 1.328.
  rig::Assembly loll = wood_alone(ellipsoid_half_g - 10);
  loll.parts.push_back(weight_at({0, 0, -2.77}, 10));
  const PartSlopes at_loll = of(loll).parts.front();
  EXPECT_TRUE((*at_loll.per_mm)[2].at_border);
  EXPECT_FALSE((*at_loll.per_mm)[2].tail_down_deg);
  EXPECT_FALSE((*at_loll.per_mm)[2].least_stiffness_g_mm_per_deg);
  EXPECT_NEAR((*at_loll.per_mm)[2].reserve_g, 0, 1e-9);
  EXPECT_FALSE((*at_loll.per_mm)[0].at_border);
  // 0.05 g in reserve: 0.1 g more draws it under.
  rig::Assembly full = wood_alone(20);
  full.parts.push_back(weight_at({0, 0, -5}, body.volume_mm3() / 1000 - 20 - 0.05));
  const PartSlopes drawn_under = of(full).parts.front();
  EXPECT_TRUE(drawn_under.per_g->at_border);
  EXPECT_FALSE(drawn_under.per_g->tail_down_deg);
  EXPECT_NEAR(drawn_under.per_g->reserve_g, -1, 1e-9);
  EXPECT_FALSE((*drawn_under.per_mm)[0].at_border);
}

TEST(Slopes, LeaveOutWhatMeansNothing) {
  RiggedBody made = rigged_body(test_bodies::closed(test_bodies::needle(2000)), needle_rig());
  made.assembly.parts.push_back({.name = "hollow", .kind = rig::PartKind::pocket, .wood_g = 0.2});
  made.assembly.parts.push_back({.name = "finish", .kind = rig::PartKind::finish, .mass_g = 1});
  const Sensitivity found = sensitivity(made.body(), made.assembly, made.pose(), {});
  ASSERT_EQ(found.parts.size(), made.assembly.parts.size());
  const PartSlopes& hollow = found.parts[found.parts.size() - 2];
  EXPECT_FALSE(hollow.per_g);
  EXPECT_TRUE(hollow.per_mm);
  EXPECT_TRUE(found.parts.back().per_g);
  EXPECT_FALSE(found.parts.back().per_mm);
}

// A needle that stands by its belly hook alone, a weight of 2 g a little aside.
RiggedBody standing_by_its_hook(double aside_mm) {
  rig::Rig rig = needle_rig();
  rig.ballasts.front().mass_g = 2;
  rig.ballasts.front().at_mm = {68, aside_mm, 2};
  rig.hooks.front().mass_g = 12;
  return rigged_body(test_bodies::closed(test_bodies::needle(4000)), rig);
}

// Law of the mirror: a weight as far to the left rolls it as far to the left.
TEST(HookChanges, RollToEitherSide) {
  std::vector<double> lists_deg;
  for (const double aside_mm : {0.3, -0.3}) {
    const RiggedBody made = standing_by_its_hook(aside_mm);
    const Sensitivity found = sensitivity(made.body(), made.assembly, made.pose(), made.hooks());
    ASSERT_TRUE(found.changes[0].pose);
    EXPECT_TRUE(found.changes[0].rolls) << aside_mm;
    lists_deg.push_back(found.changes[0].pose->list_deg.value());
  }
  EXPECT_NEAR(lists_deg[0], -lists_deg[1], 1e-6);
}

// Without its hook it rolls over, and falls no other way than the whole search says; a bigger hook
// takes it down by what it weighs in water.
TEST(HookChanges, TellWhereTheLureGoes) {
  const RiggedBody made = standing_by_its_hook(0.3);
  const RestPose nominal = made.pose();
  ASSERT_LT(std::abs(nominal.list_deg.value()), 10);
  std::vector<HookSize> hooks = made.hooks();
  ASSERT_EQ(hooks.size(), 2U);
  hooks[1].size_up_g = 4.5;
  const Sensitivity found = sensitivity(made.body(), made.assembly, nominal, hooks);
  ASSERT_EQ(found.changes.size(), 4U);
  const HookChange& lost = found.changes[0];
  EXPECT_EQ(lost.name, "belly hook");
  EXPECT_EQ(lost.change, Hooked::lost);
  EXPECT_EQ(lost.mass_g, 0);
  EXPECT_FALSE(lost.assumed);
  ASSERT_TRUE(lost.pose);
  EXPECT_TRUE(lost.rolls);
  EXPECT_GT(lost.turns_deg.value(), 45);
  EXPECT_NEAR(lost.turns_deg.value(), angle_deg(nominal.up, lost.pose->up), 1e-9);
  const double in_water_g = 12 - 12 / 7.85;
  const double reserve_g = made.lure().displacement_full_g() - made.lure().mass_g;
  EXPECT_NEAR(lost.reserve_g, reserve_g + in_water_g, 1e-9);

  const HookChange& bigger = found.changes[1];
  EXPECT_EQ(bigger.change, Hooked::size_up);
  EXPECT_TRUE(bigger.assumed);
  EXPECT_NEAR(bigger.mass_g, 15, 1e-12);
  EXPECT_NEAR(bigger.reserve_g, reserve_g - in_water_g / 4, 1e-9);
  EXPECT_FALSE(bigger.rolls);
  EXPECT_EQ(bigger.state, State::floats);

  const HookChange& tail = found.changes[3];
  EXPECT_EQ(tail.name, "tail hook");
  EXPECT_FALSE(tail.assumed);
  EXPECT_NEAR(tail.mass_g, 4.5, 1e-12);
  EXPECT_GT(tail.pose->tail_down_deg, nominal.tail_down_deg);
}

TEST(HookChanges, TellOfAFloaterThatIsDrawnUnder) {
  const FormulaEllipsoid body(ellipsoid_a_mm, ellipsoid_b_mm, ellipsoid_c_mm);
  rig::Assembly assembly = wood_alone(body.volume_mm3() / 1000 - 8.3, {0, 0, -2});
  assembly.parts.push_back(weight_at({0, 0, -5}, 8));
  assembly.parts.front().kind = rig::PartKind::hook;
  const RestPose pose =
      pose_near(floater(body.cut_body(), rig::add_up(assembly)), Vec3::UnitZ()).value();
  const std::vector<HookSize> hooks = {{0, 8.4}};
  const Sensitivity found = sensitivity(body.cut_body(), assembly, pose, hooks);
  EXPECT_EQ(found.changes[0].state, State::floats);
  EXPECT_NEAR(found.changes[1].reserve_g, -0.1, 1e-9);
  EXPECT_EQ(found.changes[1].state, State::suspends);
  ASSERT_TRUE(found.changes[1].pose);
  EXPECT_FALSE(found.changes[1].pose->waterline_offset_mm);
  EXPECT_FALSE(found.changes[1].rolls);
}

}  // namespace
}  // namespace trueblank::water
