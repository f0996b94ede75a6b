// SPDX-License-Identifier: GPL-3.0-or-later
// Maps over one or two quantities: the border held against the closed form of the ellipsoid
// (ellipsoid_test.cpp), the cells against the whole search on rigs laid out anew.
#include "water/sweep.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <vector>

#include "water/back_up.h"
#include "water/ellipsoid_table.h"
#include "water/small_changes.h"
#include "water/sweep_border.h"

namespace trueblank::water {
namespace {

using Eigen::Vector2d;

constexpr double a = ellipsoid_a_mm;
constexpr double b = ellipsoid_b_mm;
constexpr double c = ellipsoid_c_mm;

// An ellipsoid of even wood, cut by formula, and one weight in it that displaces nothing.
struct Weighted {
  FormulaEllipsoid smooth{a, b, c};
  geometry::ClosedMesh mesh = ellipsoid_mesh(20);
  double wood_g = 14;
  rig::Assembly assembly = wood_alone(wood_g);

  explicit Weighted(const Vec3& at_mm) { assembly.parts.push_back(weight_at(at_mm, 8)); }

  [[nodiscard]] SweepAxis axis(Swept what, double from, double to, int count) const {
    const rig::LaidPart& part = assembly.parts[0];
    const int k = what == Swept::x ? 0 : what == Swept::y ? 1 : 2;
    return {.what = what,
            .part = 0,
            .place_mm = part.centre_mm,
            .inside = true,
            .nominal = what == Swept::mass ? part.mass_g : part.centre_mm(k),
            .from = from,
            .to = to,
            .count = count};
  }

  [[nodiscard]] Sweep swept(const std::vector<SweepAxis>& axes,
                            const geometry::ParallelFor& loop = geometry::serial_for) const {
    return sweep(smooth.cut_body(), mesh, assembly, axes, loop);
  }

  [[nodiscard]] double part_of_volume(double weight_g) const {
    return (wood_g + weight_g) / (smooth.volume_mm3() * 1e-3);
  }
};

// GM for roll in closed form where the lure is held at list 0, the trim following: with
// R = |A·up|, β·b²/R − up·G − β·R; and the trim nils dE/dt = G·up' + β·(A²up·up')/R.
double held_gm_mm(double beta, const Vec3& G) {
  const auto up_at = [](double t) { return Vec3(-std::sin(t), 0, std::cos(t)); };
  const auto reach = [](const Vec3& up) { return Vec3(a * up.x(), b * up.y(), c * up.z()).norm(); };
  const auto slope = [&](double t) {
    const Vec3 up = up_at(t);
    const Vec3 ahead(-std::cos(t), 0, -std::sin(t));
    const Vec3 pull(a * a * up.x(), b * b * up.y(), c * c * up.z());
    return G.dot(ahead) + beta * pull.dot(ahead) / reach(up);
  };
  double low = -1.5;
  double high = 1.5;
  for (int i = 0; i < 200; ++i) {
    const double middle = (low + high) / 2;
    (slope(middle) < 0 ? low : high) = middle;
  }
  const Vec3 up = up_at(low);
  return beta * b * b / reach(up) - up.dot(G) - beta * reach(up);
}

// Source: closed form. GM = β·(b² − c²)/c − G.z for roll, level; G.z = m·z/(w + m). Tolerance: the
// border is sought to 1e-6 of a step of 0.4 mm.
TEST(Sweep, DrawsTheBorderOfAnEllipsoidWhereItsMetacentricHeightIsNil) {
  const Weighted made({0, 0, -5});
  const Sweep map =
      made.swept({made.axis(Swept::mass, 2, 20, 31), made.axis(Swept::z, -11, 1, 31)});
  ASSERT_EQ(map.border.size(), 1U);
  ASSERT_GT(map.border[0].size(), 31U);
  for (const Vector2d& point : map.border[0]) {
    const double m = point.x();
    const double beta = ellipsoid_beta(made.part_of_volume(m));
    const double border_z = beta * (b * b - c * c) / c * (made.wood_g + m) / m;
    EXPECT_NEAR(point.y(), border_z, 1e-6) << m;
  }
  for (int i = 0; i < 31; ++i) {
    for (int j = 0; j < 31; ++j) {
      const double m = map.axes[0].value(i);
      const double G = m * map.axes[1].value(j) / (made.wood_g + m);
      const double beta = ellipsoid_beta(made.part_of_volume(m));
      const SweepCell& cell = map.cells[static_cast<std::size_t>(31 * i + j)];
      ASSERT_TRUE(cell.told);
      EXPECT_EQ(cell.stands, beta * (b * b - c * c) / c > G);
      EXPECT_NEAR(cell.reserve_g, made.smooth.volume_mm3() * 1e-3 - 14 - m, 1e-9);
      if (!cell.stands) continue;
      EXPECT_NEAR(cell.tail_down_deg.value(), 0, 1e-9);
      EXPECT_NEAR(cell.list_deg.value(), 0, 1e-9);
      const double gm = beta * (b * b - c * c) / c - G;
      EXPECT_NEAR(cell.least_stiffness_g_mm_per_deg.value(), gm * (14 + m) * degree, 1e-9);
    }
  }
}

// Source: the same closed form, trimmed. The weight moves fore and aft and up and down.
TEST(Sweep, DrawsTheBorderOfATrimmedEllipsoidToo) {
  const Weighted made({0, 0, -5});
  const Sweep map = made.swept({made.axis(Swept::x, -30, 40, 37), made.axis(Swept::z, -9, 3, 25)});
  ASSERT_EQ(map.border.size(), 1U);
  const double beta = ellipsoid_beta(made.part_of_volume(8));
  double sharpest_mm = 0;
  for (const Vector2d& point : map.border[0]) {
    const Vec3 G = 8 * Vec3(point.x(), 0, point.y()) / (made.wood_g + 8);
    EXPECT_NEAR(held_gm_mm(beta, G), 0, 2e-6) << point.transpose();
    sharpest_mm = std::max(sharpest_mm, std::abs(point.x()));
  }
  EXPECT_EQ(sharpest_mm, 40) << "the border is not followed to the end";
}

// Law: the map's own way from one cell to the next comes to what each lure comes to by itself.
TEST(Sweep, ComesToWhatEachLureComesToByItself) {
  for (const double y : {0.0, 0.4}) {
    const Weighted made({10, y, -5});
    const Sweep map =
        made.swept({made.axis(Swept::x, -60, 60, 41), made.axis(Swept::z, -8, 2, 45)});
    const BackUpSearch search(floater(made.smooth.cut_body(), rig::add_up(made.assembly)));
    for (int i = 0; i < 41; ++i) {
      for (int j = 0; j < 45; ++j) {
        const SweepCell& cell = map.cells[static_cast<std::size_t>(45 * i + j)];
        if (!cell.told) continue;
        const rig::Assembly changed =
            with_value(with_value(made.assembly, map.axes[0], map.axes[0].value(i)), map.axes[1],
                       map.axes[1].value(j));
        const BackUp alone = search.let_go(floater(made.smooth.cut_body(), rig::add_up(changed)));
        ASSERT_EQ(cell.stands, alone.stands) << i << ' ' << j << " y " << y;
        ASSERT_EQ(cell.tail_down_deg.has_value(), alone.pose.has_value()) << i << ' ' << j;
        if (!alone.pose) continue;
        ASSERT_NEAR(*cell.tail_down_deg, alone.pose->tail_down_deg, 1e-7) << i << ' ' << j;
        ASSERT_EQ(cell.list_deg.has_value(), alone.pose->list_deg.has_value());
        if (cell.list_deg) {
          ASSERT_NEAR(*cell.list_deg, *alone.pose->list_deg, 1e-6) << i << ' ' << j;
        }
        ASSERT_NEAR(*cell.least_stiffness_g_mm_per_deg, alone.pose->least_stiffness_g_mm_per_deg,
                    1e-7);
      }
    }
  }
}

// Law: a weight a little to the right lists the lure by as little to the right, and where it is
// stiff enough it stands all the same.
TEST(Sweep, OfALureThatListsALittleStillStands) {
  const Weighted made({0, 0.2, -7});
  const Sweep map = made.swept({made.axis(Swept::y, -0.4, 0.4, 17)});
  for (int i = 0; i < 17; ++i) {
    const SweepCell& cell = map.cells[static_cast<std::size_t>(i)];
    EXPECT_TRUE(cell.stands);
    EXPECT_EQ(*cell.list_deg > 1e-6, i > 8);
    EXPECT_EQ(*cell.list_deg < -1e-6, i < 8);
    EXPECT_NEAR(*cell.list_deg, -*map.cells[static_cast<std::size_t>(16 - i)].list_deg, 1e-7);
  }
  ASSERT_EQ(map.stands_between.size(), 1U);
  ASSERT_EQ(map.stands_between[0].size(), 1U);
  EXPECT_EQ(map.stands_between[0][0], std::pair(-0.4, 0.4));
}

// Source: closed form, with the weight's height at which GM is nil; and of two axes the line at the
// other's own value. Counted down as well as up.
TEST(Sweep, TellsBetweenWhichValuesItStands) {
  const Weighted made({0, 0, -5});
  const double beta = ellipsoid_beta(made.part_of_volume(8));
  const double border_z = beta * (b * b - c * c) / c * 22 / 8;
  for (const bool down : {false, true}) {
    const SweepAxis height =
        down ? made.axis(Swept::z, 1, -10, 23) : made.axis(Swept::z, -10, 1, 23);
    const Sweep line = made.swept({height});
    ASSERT_EQ(line.border.size(), 1U);
    ASSERT_EQ(line.border[0].size(), 1U);
    EXPECT_NEAR(line.border[0][0].x(), border_z, 1e-6);
    ASSERT_EQ(line.stands_between[0].size(), 1U);
    EXPECT_EQ(line.stands_between[0][0].first, -10);
    EXPECT_EQ(line.stands_between[0][0].second, line.border[0][0].x());
    const Sweep map = made.swept({made.axis(Swept::x, -20, 20, 3), height});
    ASSERT_EQ(map.stands_between.size(), 2U);
    ASSERT_EQ(map.stands_between[1].size(), 1U);
    EXPECT_NEAR(map.stands_between[1][0].second, border_z, 1e-6);
    ASSERT_EQ(map.stands_between[0].size(), 1U);  // at z −5, over all x
    EXPECT_EQ(map.stands_between[0][0], std::pair(-20.0, 20.0));
  }
}

// Law: x²/80² + z²/12² ≤ 1, of facets: 20 rings of them fall short by a good 1 %.
TEST(Sweep, TellsNothingOfAWeightOutsideTheBody) {
  const Weighted made({0, 0, -5});
  const Sweep map =
      made.swept({made.axis(Swept::x, -90, 90, 31), made.axis(Swept::z, -15, 15, 31)});
  int untold = 0;
  for (int i = 0; i < 31; ++i) {
    for (int j = 0; j < 31; ++j) {
      const SweepCell& cell = map.cells[static_cast<std::size_t>(31 * i + j)];
      const double from_middle = std::hypot(map.axes[0].value(i) / a, map.axes[1].value(j) / c);
      if (from_middle < 0.97) {
        EXPECT_TRUE(cell.told) << i << ' ' << j;
      }
      if (from_middle > 1.03) {
        EXPECT_FALSE(cell.told) << i << ' ' << j;
      }
      if (!cell.told) {
        EXPECT_FALSE(cell.stands || cell.tail_down_deg || cell.list_deg);
        ++untold;
      }
    }
  }
  EXPECT_EQ(map.untold(), untold);
  SweepAxis hanging = made.axis(Swept::x, -90, 90, 31);
  hanging.inside = false;
  EXPECT_EQ(made.swept({hanging}).untold(), 0);
}

// Derivation: under water B lies at the ellipsoid's middle and up = −G/|G|; it hangs back up just
// where G is below the middle.
TEST(Sweep, GoesOnWhereTheLureSinks) {
  const Weighted made({0, 0, -5});
  const Sweep map =
      made.swept({made.axis(Swept::mass, 20, 40, 21), made.axis(Swept::z, -9.5, 9.5, 20)});
  const double full_g = made.smooth.volume_mm3() * 1e-3;
  bool sunk = false;
  for (int i = 0; i < 21; ++i) {
    for (int j = 0; j < 20; ++j) {
      const SweepCell& cell = map.cells[static_cast<std::size_t>(20 * i + j)];
      const double m = map.axes[0].value(i);
      EXPECT_EQ(cell.state, state_of(14 + m, full_g - 14 - m));
      if (14 + m < full_g) continue;
      sunk = true;
      const double lever = -m * map.axes[1].value(j) / (14 + m);
      EXPECT_EQ(cell.stands, lever > 0);
      EXPECT_NEAR(cell.least_stiffness_g_mm_per_deg.value(), full_g * std::abs(lever) * degree,
                  1e-9);
    }
  }
  EXPECT_TRUE(sunk);
}

// What a maker's lure becomes when a quantity of its sheet is another: the rig changed, laid out
// anew, and all its poses sought.
struct Changed {
  const char* what;
  SweepAxis axis;
  void (*set)(rig::Rig& rig, double value);
};

rig::Rig rich_rig() {
  rig::Rig rig = needle_rig();
  rig.pockets.push_back({.name = "slot",
                         .at_mm = {rig.ballasts[0].at_mm.x() + 25, 0, 0},
                         .diameter_mm = 3,
                         .depth_mm = 6,
                         .axis = rig::HoleAxis::along,
                         .filling_density_g_cm3 = rig.water.density_g_cm3,
                         .filled_with_water = true});
  return rig;
}

std::vector<Changed> changes(const rig::Rig& rig, const rig::Assembly& assembly) {
  const std::size_t lead = part_named(assembly, rig.ballasts[0].name);
  const std::size_t hook = part_named(assembly, rig.hooks[0].name);
  const Vec3 at = rig.ballasts[0].at_mm;
  const Vec3 eye = rig.hooks[0].eye_mm;
  const double m = rig.ballasts[0].mass_g;
  return {
      {"mass of lead",
       {.what = Swept::mass, .part = lead, .nominal = m, .from = m - 3, .to = m + 1, .count = 2},
       [](rig::Rig& r, double v) { r.ballasts[0].mass_g = v; }},
      {"x of lead",
       {.what = Swept::x,
        .part = lead,
        .place_mm = at,
        .inside = true,
        .nominal = at.x(),
        .from = at.x() - 20,
        .to = at.x() + 15,
        .count = 2},
       [](rig::Rig& r, double v) { r.ballasts[0].at_mm.x() = v; }},
      {"z of lead",
       {.what = Swept::z,
        .part = lead,
        .place_mm = at,
        .inside = true,
        .nominal = at.z(),
        .from = at.z() - 1,
        .to = at.z() + 2,
        .count = 2},
       [](rig::Rig& r, double v) { r.ballasts[0].at_mm.z() = v; }},
      {"mass of hook",
       {.what = Swept::mass,
        .part = hook,
        .nominal = rig.hooks[0].mass_g,
        .from = 3,
        .to = 7,
        .count = 2},
       [](rig::Rig& r, double v) { r.hooks[0].mass_g = v; }},
      {"x of eye",
       {.what = Swept::x,
        .part = hook,
        .place_mm = eye,
        .nominal = eye.x(),
        .from = eye.x() - 10,
        .to = eye.x() + 20,
        .count = 2},
       [](rig::Rig& r, double v) { r.hooks[0].eye_mm.x() = v; }},
      {"wood",
       {.what = Swept::wood_density,
        .nominal = rig.wood_density_g_cm3,
        .from = 0.25,
        .to = 0.45,
        .count = 2},
       [](rig::Rig& r, double v) { r.wood_density_g_cm3 = v; }},
      {"water",
       {.what = Swept::water_density,
        .nominal = rig.water.density_g_cm3,
        .from = 0.99,
        .to = 1.03,
        .count = 2},
       [](rig::Rig& r, double v) {
         r.water.density_g_cm3 = v;
         r.pockets[0].filling_density_g_cm3 = v;
       }},
  };
}

// Tolerance: two ways to a pose agree to 1e-9 rad; a facetted body's stiffness to 1e-7 then.
TEST(Sweep, TellsOfEachCellWhatTheWholeSearchTellsOfTheChangedRig) {
  const rig::Rig rig = rich_rig();
  const RiggedBody made = rigged_body(test_bodies::closed(test_bodies::needle(2000)), rig);
  for (const Changed& change : changes(rig, made.assembly)) {
    const Sweep map = sweep(made.body(), *made.mesh, made.assembly, {change.axis});
    for (int i = 0; i < 2; ++i) {
      rig::Rig other = rig;
      change.set(other, change.axis.value(i));
      const Balance found = balance(rigged_body(*made.mesh, other).lure());
      const SweepCell& cell = map.cells[static_cast<std::size_t>(i)];
      ASSERT_TRUE(cell.told) << change.what;
      EXPECT_NEAR(cell.reserve_g, found.reserve_g, 1e-9) << change.what;
      EXPECT_EQ(cell.state, found.state);
      const auto same = std::ranges::find_if(found.poses, [&](const RestPose& pose) {
        return std::abs(pose.tail_down_deg - *cell.tail_down_deg) < 1e-7 &&
               std::abs(pose.list_deg.value_or(0) - cell.list_deg.value_or(0)) < 1e-6;
      });
      ASSERT_NE(same, found.poses.end()) << change.what << ' ' << i << described(found);
      EXPECT_NEAR(*cell.least_stiffness_g_mm_per_deg, same->least_stiffness_g_mm_per_deg, 1e-6);
    }
  }
}

TEST(Sweep, IsTheSameToTheLastBitWhateverTheThreads) {
  const Weighted made({10, 0.3, -5});
  const std::vector<SweepAxis> axes = {made.axis(Swept::x, -70, 70, 40),
                                       made.axis(Swept::z, -11, 3, 37)};
  const Sweep one = made.swept(axes);
  for (const int threads : {2, 7}) {
    const Sweep other = made.swept(axes, on_threads(threads));
    ASSERT_EQ(one.cells.size(), other.cells.size());
    for (std::size_t k = 0; k < one.cells.size(); ++k) {
      EXPECT_EQ(one.cells[k].stands, other.cells[k].stands);
      EXPECT_EQ(one.cells[k].tail_down_deg, other.cells[k].tail_down_deg);
      EXPECT_EQ(one.cells[k].list_deg, other.cells[k].list_deg);
      EXPECT_EQ(one.cells[k].least_stiffness_g_mm_per_deg,
                other.cells[k].least_stiffness_g_mm_per_deg);
    }
    EXPECT_EQ(one.border, other.border);
    EXPECT_EQ(one.stands_between, other.stands_between);
  }
}

std::vector<Node> nodes_of(int rows, int columns, const FootingAt& footing) {
  std::vector<Node> nodes;
  for (int i = 0; i < rows; ++i) {
    for (int j = 0; j < columns; ++j) {
      nodes.push_back(footing(Vector2d(i, j), 0).stands ? Node::stands : Node::falls);
    }
  }
  return nodes;
}

// Source: a circle; its points lie a radius from its middle.
TEST(BorderLines, GoRoundACircle) {
  const Vector2d middle(9.3, 10.6);
  const FootingAt disc = [&](const Vector2d& at, double) -> Footing {
    const double inward = 6.2 - (at - middle).norm();
    return {inward > 0, inward * (1 + at.x())};
  };
  const auto lines = border_lines(nodes_of(20, 22, disc), 20, 22, disc, geometry::serial_for);
  ASSERT_EQ(lines.size(), 1U);
  EXPECT_EQ(lines[0].front(), lines[0].back());
  EXPECT_GT(lines[0].size(), 40U);
  for (const Vector2d& point : lines[0]) EXPECT_NEAR((point - middle).norm(), 6.2, 1e-6);
  for (std::size_t k = 1; k < lines[0].size(); ++k) {
    EXPECT_LT((lines[0][k] - lines[0][k - 1]).norm(), 1.5);
  }
}

// A border that no stiffness tells of is found by halves, to 1e-3 of a step.
TEST(BorderLines, AreFoundWhereNothingPassesThroughNil) {
  const FootingAt jump = [](const Vector2d& at, double) -> Footing {
    const bool stands = at.x() + 0.3 * at.y() < 4.321;
    return {stands, stands ? 5.0 : 3.0};
  };
  const auto lines = border_lines(nodes_of(8, 9, jump), 8, 9, jump, geometry::serial_for);
  ASSERT_EQ(lines.size(), 1U);
  for (const Vector2d& point : lines[0]) EXPECT_NEAR(point.x() + 0.3 * point.y(), 4.321, 1e-3);
}

// Two stripes that touch at a corner of the grid: the middle of the square tells them apart.
TEST(BorderLines, KeepApartWhatTheMiddleOfASquareKeepsApart) {
  for (const double across : {-1.0, 1.0}) {
    const FootingAt saddle = [=](const Vector2d& at, double) -> Footing {
      const double f = (at.x() - 0.5) * (at.y() - 0.5) * 4 + 0.3 * across;
      return {f > 0, f};
    };
    const auto lines = border_lines(nodes_of(2, 2, saddle), 2, 2, saddle, geometry::serial_for);
    ASSERT_EQ(lines.size(), 2U);
    for (const auto& line : lines) {
      ASSERT_EQ(line.size(), 2U);
      const Vector2d middle = (line[0] + line[1]) / 2 - Vector2d(0.5, 0.5);
      // Standing in the middle: the line cuts off a corner that falls, where x and y pull apart.
      EXPECT_GT(-across * middle.x() * middle.y(), 0);
    }
  }
}

TEST(BorderLines, EndWhereNothingIsTold) {
  const FootingAt half = [](const Vector2d& at, double) -> Footing {
    return {at.x() < 2.5, 2.5 - at.x()};
  };
  std::vector<Node> nodes = nodes_of(6, 7, half);
  nodes[2 * 7 + 3] = Node::untold;
  const auto lines = border_lines(nodes, 6, 7, half, geometry::serial_for);
  ASSERT_EQ(lines.size(), 2U);
  EXPECT_EQ(lines[0].size() + lines[1].size(), 6U);
}

// Between builds next to each other the way that the lure lies runs as smoothly as a parabola, so
// that each needs hardly more than the cut that proves it.
TEST(Sweep, OfSmallStepsTakesFewCutsABuild) {
  const Weighted made({0, 0, -5});
  const CountedCuts counter{made.smooth.cut_body()};
  Floater lure;
  lure.body = counter.body;
  constexpr int count = 61;
  const CutBody body = counted(lure, counter).body;
  const Sweep map = sweep(body, made.mesh, made.assembly, {made.axis(Swept::x, 0, 12, count)},
                          geometry::serial_for);
  for (const SweepCell& cell : map.cells) ASSERT_TRUE(cell.stands);
  EXPECT_LT(counter.cuts, 3 * count);
}

}  // namespace
}  // namespace trueblank::water
