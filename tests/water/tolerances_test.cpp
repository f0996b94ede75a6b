// SPDX-License-Identifier: GPL-3.0-or-later
// Builds drawn within a maker's tolerances: held against closed forms of how a figure scatters
// when it follows normal numbers in a straight line (box barge) or by an angle (round log).
#include "water/tolerances.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <tuple>
#include <vector>

#include "water/near_pose.h"
#include "water/random_numbers.h"
#include "water/small_changes.h"

namespace trueblank::water {
namespace {

// Source: the known answers that the paper's authors give out with it (from memory).
TEST(Philox, GivesTheKnownAnswers) {
  EXPECT_EQ(philox({0, 0, 0, 0}, {0, 0}), (Words4{0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}));
  EXPECT_EQ(philox({0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff}, {0xffffffff, 0xffffffff}),
            (Words4{0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}));
  EXPECT_EQ(philox({0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344}, {0xa4093822, 0x299f31d0}),
            (Words4{0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}));
}

// Source: Box & Muller, 1958: √(-2 ln u) at the angle 2πv, u and v here of all the bits that the
// four words have for them, the first word of each pair the higher.
TEST(NormalPairs, AreOfAllFourWords) {
  const auto uniform = [](std::uint32_t high, std::uint32_t low) {
    return std::ldexp(std::ldexp(1.0L * high, 32) + 1.0L * low, -64);
  };
  constexpr std::uint64_t seed = 0xa4093822'85a308d3;
  for (std::uint32_t row = 0; row < 100; ++row) {
    const Words4 words = philox({row, 7, 0, 0}, {0x85a308d3, 0xa4093822});
    const long double radius = std::sqrt(-2 * std::log(uniform(words[0], words[1])));
    const long double angle = 2 * std::numbers::pi_v<long double> * uniform(words[2], words[3]);
    const auto [a, b] = normal_pair(seed, row, 7);
    // Of 52 bits each.
    EXPECT_NEAR(a, static_cast<double>(radius * std::cos(angle)), 2e-14);
    EXPECT_NEAR(b, static_cast<double>(radius * std::sin(angle)), 2e-14);
  }
}

double normal_below(double x) { return std::erfc(-x / std::sqrt(2.0)) / 2; }

// Law: of n normal numbers the mean has the deviation 1/√n, the variance √(2/n), the product of two
// independent ones 1/√n, the part below x √(p(1−p)/n). Within four of them.
TEST(NormalPairs, AreNormalAndIndependent) {
  constexpr int n = 100000;
  const double root = std::sqrt(n);
  double sum = 0;
  double squares = 0;
  double products = 0;
  double with_next_row = 0;
  double with_next_column = 0;
  std::vector<int> below(4, 0);
  const std::vector<double> limits = {-2, -1, 0.5, 2.5};
  double before = 0;
  for (std::uint32_t i = 0; i < n; ++i) {
    const auto [a, b] = normal_pair(11, i, 3);
    sum += a;
    squares += b * b;
    products += a * b;
    with_next_row += a * before;
    with_next_column += a * normal_pair(11, i, 4)[0];
    for (std::size_t k = 0; k < limits.size(); ++k) below[k] += b < limits[k] ? 1 : 0;
    before = a;
  }
  EXPECT_LT(std::abs(sum), 4 * root);
  EXPECT_LT(std::abs(squares - n), 4 * std::sqrt(2) * root);
  EXPECT_LT(std::abs(products), 4 * root);
  EXPECT_LT(std::abs(with_next_row), 4 * root);
  EXPECT_LT(std::abs(with_next_column), 4 * root);
  for (std::size_t k = 0; k < limits.size(); ++k) {
    const double p = normal_below(limits[k]);
    EXPECT_LT(std::abs(below[k] - n * p), 4 * root * std::sqrt(p * (1 - p)));
  }
  EXPECT_NE(normal_pair(11, 0, 0)[0], normal_pair(12, 0, 0)[0]);
  EXPECT_NE(normal_pair(std::uint64_t{1} << 40, 0, 0)[0], normal_pair(0, 0, 0)[0]);
}

// Derivation. Box barge L × B × D about the origin, of wood w and a weight m at (0, 0, z), M = w+m,
// upright at draught T = M/(LB) in water of 1. On a body s times as long wood of a given density is
// w·s³, and m and its place stay. With k = D·s/2 + z:
//   reserve       = LBD·s³ − w·s³ − m
//   stiffness     = LB³·s⁴/12 + M²/(2·LB·s²) − w·D·s⁴/2 − m·k
//   list          = m·dy/(M·GM_roll), tail_down = m·dx/(M·GM_pitch) to first order
// and each figure's deviation is the root of the sum of squares of its slopes times theirs.
struct Barge {
  double L = 160;
  double B = 30;
  double D = 20;
  double w = 30;
  double m = 10;
  double z = -6;
  bool weighed = false;

  [[nodiscard]] RiggedBody made() const {
    RiggedBody barge = rigged_body(test_bodies::closed(test_bodies::box(L, B, D)), {});
    barge.assembly = wood_alone(w);
    barge.assembly.wood_weighed = weighed;
    barge.assembly.parts.push_back(weight_at({0, 0, z}, m));
    return barge;
  }

  [[nodiscard]] double stiffness(double breadth, double wood, double weight, double up,
                                 double s) const {
    const double length = breadth == B ? L : B;
    const double grown = weighed ? wood : wood * s * s * s;
    const double mass = grown + weight;
    return 1e-3 * length * std::pow(breadth, 3) / 12 * std::pow(s, 4) +
           mass * mass / (2e-3 * length * breadth * s * s) - grown * D * s / 2 -
           weight * (D * s / 2 + z + up);
  }
};

struct Deviations {
  double tail_down_deg;
  double list_deg;
  double reserve_g;
  double stiffness_g_mm_per_deg;
};

Deviations expected_deviations(const Barge& barge, const rig::Tolerances& t) {
  const double wood_g = barge.weighed ? t.mass_g : barge.w * t.wood_density_percent / 100;
  const double scale = t.scale_percent / 100;
  const double roll = barge.stiffness(barge.B, barge.w, barge.m, 0, 1);
  const double pitch = barge.stiffness(barge.L, barge.w, barge.m, 0, 1);
  const auto slope = [&](double by_wood, double by_weight, double up, double by_scale) {
    constexpr double e = 1e-5;
    const auto at = [&](double step) {
      return barge.stiffness(barge.B, barge.w + step * by_wood, barge.m + step * by_weight,
                             step * up, 1 + step * by_scale);
    };
    return (at(e) - at(-e)) / (2 * e);
  };
  const double volume_g = 1e-3 * barge.L * barge.B * barge.D;
  const double grows_g = 3 * (volume_g - (barge.weighed ? 0 : barge.w));
  return {.tail_down_deg = barge.m * t.place_mm / pitch / degree,
          .list_deg = barge.m * t.place_mm / roll / degree,
          .reserve_g = std::hypot(wood_g, t.mass_g, grows_g * scale),
          .stiffness_g_mm_per_deg =
              degree *
              std::hypot(slope(1, 0, 0, 0) * wood_g, slope(0, 1, 0, 0) * t.mass_g,
                         std::hypot(slope(0, 0, 1, 0) * t.place_mm, slope(0, 0, 0, 1) * scale))};
}

// A deviation from N draws is itself uncertain by 1/√(2N): four of these, for N = 4000.
void expect_deviations(const Barge& barge, const rig::Tolerances& tolerances) {
  constexpr int builds = 4000;
  const double uncertain = 4 / std::sqrt(2.0 * builds);
  const RiggedBody made = barge.made();
  const ToleranceDraws draws =
      draw_builds(made.body(), made.assembly, tolerances, made.pose(), builds, 1, on_threads(2));
  const Deviations expected = expected_deviations(barge, tolerances);
  const auto expect = [&](const std::optional<Scatter>& scatter, double deviation, double mean) {
    ASSERT_TRUE(scatter);
    EXPECT_EQ(scatter->builds, builds);
    // What no tolerance moves is as good as still.
    EXPECT_NEAR(scatter->standard_deviation, deviation, uncertain * deviation + 1e-8);
    EXPECT_NEAR(scatter->mean, mean, 4 * deviation / std::sqrt(builds) + 0.02 * deviation + 1e-8);
    // Of a normal figure one in twenty is 1.645 deviations off; a quantile is uncertain by
    // √(p(1−p)/N) over the density there, 0.103.
    const double off = 4 * std::sqrt(0.05 * 0.95 / builds) / 0.103 + 0.05;
    EXPECT_NEAR(scatter->p5, mean - 1.645 * deviation, off * deviation + 1e-8);
    EXPECT_NEAR(scatter->p95, mean + 1.645 * deviation, off * deviation + 1e-8);
  };
  expect(draws.tail_down_deg, expected.tail_down_deg, 0);
  expect(draws.list_deg, expected.list_deg, 0);
  expect(draws.reserve_g, expected.reserve_g,
         1e-3 * barge.L * barge.B * barge.D - barge.w - barge.m);
  expect(draws.least_stiffness_g_mm_per_deg, expected.stiffness_g_mm_per_deg,
         barge.stiffness(barge.B, barge.w, barge.m, 0, 1) * degree);
  EXPECT_EQ(draws.not_settled, 0);
  EXPECT_EQ(draws.share_floats, 1);
}

TEST(DrawnBarges, ScatterAsTheirSlopesSay) {
  for (const bool weighed : {false, true}) {
    SCOPED_TRACE(weighed ? "wood weighed" : "wood of a density");
    const Barge barge{.weighed = weighed};
    expect_deviations(barge, {.mass_g = 0.1, .place_mm = 0.4});
    expect_deviations(
        barge, {.mass_g = 0.3, .place_mm = 0, .wood_density_percent = 0, .scale_percent = 0});
    expect_deviations(
        barge, {.mass_g = 0, .place_mm = 0.4, .wood_density_percent = 0, .scale_percent = 0});
    expect_deviations(barge,
                      {.mass_g = 0, .place_mm = 0, .wood_density_percent = 2, .scale_percent = 0});
    expect_deviations(barge,
                      {.mass_g = 0, .place_mm = 0, .wood_density_percent = 0, .scale_percent = 1});
  }
}

RiggedBody needle() {
  return rigged_body(test_bodies::closed(test_bodies::needle(3000)), needle_rig());
}

TEST(Draws, WithoutToleranceAllLieAsTheNominalOne) {
  const RiggedBody made = needle();
  const RestPose nominal = made.pose();
  const ToleranceDraws draws = draw_builds(
      made.body(), made.assembly,
      {.mass_g = 0, .place_mm = 0, .wood_density_percent = 0, .scale_percent = 0}, nominal, 70, 4);
  EXPECT_EQ(draws.share_as_nominal, 1);
  EXPECT_EQ(draws.share_floats, 1);
  EXPECT_EQ(draws.share_rolls, 0);
  EXPECT_EQ(draws.not_settled, 0);
  EXPECT_EQ(draws.list_deg.value().standard_deviation, 0);
  EXPECT_EQ(draws.tail_down_deg.value().standard_deviation, 0);
  EXPECT_EQ(draws.reserve_g.value().standard_deviation, 0);
  EXPECT_EQ(draws.least_stiffness_g_mm_per_deg.value().standard_deviation, 0);
  EXPECT_NEAR(draws.list_deg->mean, nominal.list_deg.value(), 1e-9);
  EXPECT_NEAR(draws.tail_down_deg->mean, nominal.tail_down_deg, 1e-9);
  EXPECT_EQ(draws.tail_down_deg->p5, draws.tail_down_deg->p95);
  // (70 + 1)/(70 + 2) of all.
  EXPECT_NEAR(draws.share_as_nominal_error, std::sqrt(71.0 / 72 / 72 / 70), 1e-15);
}

auto all_of(const ToleranceDraws& draws) {
  std::vector<double> figures = {draws.share_as_nominal, draws.share_as_nominal_error,
                                 draws.share_floats, draws.share_rolls,
                                 static_cast<double>(draws.not_settled)};
  for (const std::optional<Scatter>* scatter :
       {&draws.tail_down_deg, &draws.list_deg, &draws.reserve_g,
        &draws.least_stiffness_g_mm_per_deg}) {
    figures.insert(figures.end(), {(*scatter)->mean, (*scatter)->standard_deviation, (*scatter)->p5,
                                   (*scatter)->p95});
  }
  return figures;
}

// Every third first, from the back.
void by_threes(int count, const std::function<void(int)>& body) {
  for (int rest = 0; rest < 3; ++rest) {
    for (int i = count - 1; i >= 0; --i) {
      if (i % 3 == rest) body(i);
    }
  }
}

TEST(Draws, AreTheSameToTheLastBitWhateverTheThreads) {
  const RiggedBody made = needle();
  const RestPose nominal = made.pose();
  const auto drawn = [&](std::uint64_t seed, const geometry::ParallelFor& loop) {
    return all_of(draw_builds(made.body(), made.assembly, {}, nominal, 333, seed, loop));
  };
  const std::vector<double> one = drawn(8, geometry::serial_for);
  for (const double figure : one) EXPECT_TRUE(std::isfinite(figure));
  EXPECT_EQ(drawn(8, by_threes), one);
  for (const int threads : {1, 2, 7}) EXPECT_EQ(drawn(8, on_threads(threads)), one);
  EXPECT_EQ(drawn(8, geometry::serial_for), one);
  EXPECT_NE(drawn(9, geometry::serial_for), one);
}

// Law: of two builds with reserves r and q the mean is (r+q)/2 and the deviation |r−q|/√2.
TEST(Draws, OfALongerRunBeginWithThoseOfAShorterOne) {
  const RiggedBody made = needle();
  const RestPose nominal = made.pose();
  const auto reserve = [&](int builds) {
    return draw_builds(made.body(), made.assembly, {}, nominal, builds, 5).reserve_g.value();
  };
  const double first_off_g = std::abs(reserve(1).mean - reserve(2).mean);
  EXPECT_GT(first_off_g, 1e-3);
  EXPECT_NEAR(first_off_g, reserve(2).standard_deviation / std::sqrt(2), 1e-12);
}

// Definition: of n rising values one in twenty lies below the place (n − 1)/20, counted from nil,
// on a straight line between the two next to it. The values are told by the means of shorter runs.
TEST(Draws, AQuantileFallsBetweenTheTwoBuildsNextToIt) {
  const RiggedBody made = needle();
  const RestPose nominal = made.pose();
  for (const int builds : {2, 3, 5, 30}) {
    std::vector<double> reserves;
    double sum = 0;
    std::optional<Scatter> told;
    for (int n = 1; n <= builds; ++n) {
      told = draw_builds(made.body(), made.assembly, {}, nominal, n, 6).reserve_g;
      ASSERT_TRUE(told);
      reserves.push_back(n * told->mean - sum);
      sum = n * told->mean;
    }
    std::ranges::sort(reserves);
    const auto between = [&](double share) {
      const double place = share * (builds - 1);
      const auto below = static_cast<std::size_t>(place);
      const double part = place - static_cast<double>(below);
      return reserves[below] * (1 - part) + reserves[below + 1] * part;
    };
    EXPECT_NEAR(told->p5, between(0.05), 1e-10) << builds;
    EXPECT_NEAR(told->p95, between(0.95), 1e-10) << builds;
  }
}

// Law: where the nominal lure has nothing left in reserve, half of its builds float.
TEST(Draws, AtTheBorderOfSinkingHalfFloat) {
  constexpr int builds = 4000;
  RiggedBody made = needle();
  const RestPose afloat = made.pose();
  const double reserve_g = made.lure().displacement_full_g() - made.lure().mass_g;
  const double net_wood_g = rig::add_up(made.assembly).parts.front().mass_g;
  made.assembly = rig::with_wood_times(made.assembly, 1 + reserve_g / net_wood_g);
  ASSERT_NEAR(made.lure().displacement_full_g(), made.lure().mass_g, 1e-12);
  const ToleranceDraws draws =
      draw_builds(made.body(), made.assembly, {}, afloat, builds, 2, on_threads(2));
  EXPECT_NEAR(draws.share_floats, 0.5, 4 * 0.5 / std::sqrt(builds));
  EXPECT_LE(draws.share_as_nominal, draws.share_floats);
}

// Derivation. A round log floats with G straight under its axis: a weight alone off the axis, at
// (y, z), lists it by atan2(y, −z) whatever its trim. With y and z − z0 normal, of deviation d, the
// part of all within an angle a is ∫ φ(u)·(2Φ(−(z0 + d·u)·tan(a)/d) − 1) du over z < 0.
double within_angle(double z0_mm, double deviation_mm, double angle_deg) {
  const double most = -z0_mm / deviation_mm;
  constexpr int steps = 20000;
  double sum = 0;
  for (int i = 0; i < steps; ++i) {
    const double u = -8 + (most + 8) * (i + 0.5) / steps;
    const double reach = (most - u) * std::tan(angle_deg * degree);
    sum += std::exp(-u * u / 2) / std::sqrt(2 * std::numbers::pi) * (2 * normal_below(reach) - 1);
  }
  return sum * (most + 8) / steps;
}

constexpr int log_builds = 4000;

// With its weight 2.5 mm under its axis, that drawn within a millimetre.
ToleranceDraws drawn_log(const FormulaEllipsoid& log) {
  rig::Assembly assembly = wood_alone(12);
  assembly.parts.push_back(weight_at({0, 0, -2.5}, 8));
  const RestPose nominal =
      pose_near(floater(log.cut_body(), rig::add_up(assembly)), Vec3::UnitZ()).value();
  EXPECT_LT(angle_deg(nominal.up, Vec3::UnitZ()), 1e-9);
  return draw_builds(log.cut_body(), assembly,
                     {.mass_g = 0, .place_mm = 1, .wood_density_percent = 0, .scale_percent = 0},
                     nominal, log_builds, 3, on_threads(2));
}

// Four deviations of what so many draws find of a share.
double uncertain(double share) { return 4 * std::sqrt(share * (1 - share) / log_builds); }

TEST(DrawnLogs, LieAsTheirWeightsFall) {
  const ToleranceDraws draws = drawn_log(FormulaEllipsoid(80, 10, 10));
  const double as_nominal = within_angle(-2.5, 1, 10);
  const double rolls = 1 - within_angle(-2.5, 1, 45);
  EXPECT_NEAR(draws.share_as_nominal, as_nominal, uncertain(as_nominal));
  EXPECT_NEAR(draws.share_rolls, rolls, uncertain(rolls));
  EXPECT_NEAR(draws.share_as_nominal_error, uncertain(as_nominal) / 4, 1e-3);
  EXPECT_GT(rolls, 0.03);
}

// The same log across: its weight falls fore and aft of its axis, and it trims either way.
TEST(DrawnLogs, LyingAcrossTrimAsTheirWeightsFall) {
  const ToleranceDraws draws = drawn_log(FormulaEllipsoid(10, 80, 10));
  const double as_nominal = within_angle(-2.5, 1, 10);
  EXPECT_NEAR(draws.share_as_nominal, as_nominal, uncertain(as_nominal));
}

// A log with its weight on its axis turns freely: its list is not asked, and it has none to tell.
TEST(DrawnLogs, AreNotAskedForTheListOfAnIndifferentPose) {
  const FormulaEllipsoid log(80, 10, 10);
  rig::Assembly assembly = wood_alone(12);
  assembly.parts.push_back(weight_at({0, 0, 0}, 8));
  const RestPose nominal =
      pose_near(floater(log.cut_body(), rig::add_up(assembly)), Vec3::UnitZ()).value();
  ASSERT_TRUE(nominal.indifferent);
  const ToleranceDraws draws =
      draw_builds(log.cut_body(), assembly, {.place_mm = 0.5}, nominal, 200, 3);
  EXPECT_EQ(draws.share_as_nominal, 1);
  EXPECT_EQ(draws.share_rolls, 0);
  EXPECT_FALSE(draws.list_deg);
  EXPECT_TRUE(draws.tail_down_deg);
}

// Law: a sinker's builds hang with the centre of buoyancy over the centre of mass.
TEST(Draws, OfASinkerSinkAsItDoes) {
  const FormulaEllipsoid body(80, 10, 12);
  rig::Assembly assembly = wood_alone(30);
  assembly.parts.push_back(weight_at({0, 0, -8}, 20));
  const RestPose nominal =
      pose_near(floater(body.cut_body(), rig::add_up(assembly)), Vec3::UnitZ()).value();
  ASSERT_FALSE(nominal.waterline_offset_mm);
  const ToleranceDraws draws =
      draw_builds(body.cut_body(), assembly, {.place_mm = 0.3}, nominal, 400, 6);
  EXPECT_EQ(draws.share_floats, 0);
  EXPECT_EQ(draws.share_as_nominal, 1);
  // Right of the middle by dy of 8 mm down: atan(dy/8), of a deviation of 0.3/8 rad.
  const double deviation_deg = 0.3 / 8 / degree;
  EXPECT_NEAR(draws.list_deg.value().standard_deviation, deviation_deg,
              deviation_deg * 4 / std::sqrt(800.0));
}

// The least that a part may weigh: three in ten of these would weigh less, and one in twenty has no
// more in reserve than one that weighs a hundredth of what it should.
TEST(Draws, NeverMakeAPartWeighNothing) {
  const FormulaEllipsoid body(80, 10, 12);
  rig::Assembly assembly = wood_alone(30, {0, 0, -3});
  assembly.parts.push_back(weight_at({0, 0, -8}, 0.05));
  const RestPose nominal =
      pose_near(floater(body.cut_body(), rig::add_up(assembly)), Vec3::UnitZ()).value();
  const ToleranceDraws draws =
      draw_builds(body.cut_body(), assembly,
                  {.mass_g = 0.1, .place_mm = 0, .wood_density_percent = 0, .scale_percent = 0},
                  nominal, 200, 6);
  EXPECT_NEAR(draws.reserve_g.value().p95, body.volume_mm3() / 1000 - 30 - 0.0005, 1e-9);
}

}  // namespace
}  // namespace trueblank::water
