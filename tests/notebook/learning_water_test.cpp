// SPDX-License-Identifier: GPL-3.0-or-later
// Predictions from rigs, against lures that are truly otherwise: body, rig and water made anew.
#include "notebook/learning_water.h"

#include <gmock/gmock.h>

#include <array>
#include <memory>

#include "geometry/moment_tree.h"
#include "geometry/moments.h"
#include "notebook/invented_book.h"
#include "support/bodies.h"
#include "water/near_pose.h"
#include "water/tolerances.h"

namespace trueblank::tests {
namespace {

using geometry::Vec3;
using notebook::Cause;
using notebook::CauseKind;
using notebook::Figure;
using notebook::FigureSet;

/// An ellipsoid with its nose at x = 0, rigged. Kept in one place: the cut body refers to it.
struct Lure {
  geometry::ClosedMesh body;
  geometry::Moments whole;
  geometry::MomentTree tree;
  rig::Rig rig;

  Lure(geometry::TriangleMesh mesh, rig::Rig with)
      : body(test_bodies::closed(std::move(mesh))),
        whole(geometry::moments(body)),
        tree(body),
        rig(std::move(with)) {}

  [[nodiscard]] rig::Assembly laid() const { return rig::assemble(body, whole, rig, whole); }

  [[nodiscard]] water::RestPose pose() const {
    const auto found = water::pose_near(water::floater(tree, rig::add_up(laid())), Vec3::UnitZ());
    EXPECT_TRUE(found);
    return found.value_or(water::RestPose{});
  }

  [[nodiscard]] double reserve_g() const {
    const water::Floater floater = water::floater(tree, rig::add_up(laid()));
    return floater.displacement_full_g() - floater.mass_g;
  }

  [[nodiscard]] double mass_g() const { return rig::add_up(laid()).dry_mass_g; }
};

struct Shape {
  double half_length_mm = 70;
  double half_width_mm = 11;
  double half_height_mm = 15;
  double wood_g_cm3 = 0.35;
  double weight_g = 14;
};

rig::Rig rig_of(const Shape& shape) {
  rig::Rig rig;
  rig.wood_density_g_cm3 = shape.wood_g_cm3;
  rig.water = plain_water();
  const double a = shape.half_length_mm;
  rig.ballasts.push_back({.name = "belly",
                          .at_mm = {1.05 * a, 0.3, -0.5 * shape.half_height_mm},
                          .mass_g = shape.weight_g,
                          .density_g_cm3 = lead_g_cm3});
  rig.hooks.push_back({.name = "belly treble",
                       .eye_mm = {0.8 * a, 0, -1.05 * shape.half_height_mm},
                       .mass_g = 4,
                       .density_g_cm3 = 7.85,
                       .hang_mm = 15});
  rig.hooks.push_back({.name = "tail treble",
                       .eye_mm = {2.02 * a, 0, 0},
                       .mass_g = 3,
                       .density_g_cm3 = 7.85,
                       .hang_mm = 15});
  return rig;
}

/// The body `scale` times as long; the places of its rig stay where they are in mm.
std::unique_ptr<Lure> lure_of(const Shape& shape, rig::Rig rig, double scale = 1) {
  geometry::TriangleMesh mesh = test_bodies::ellipsoid(shape.half_length_mm, shape.half_width_mm,
                                                       shape.half_height_mm, 24, 24);
  mesh.positions_mm.row(0).array() += shape.half_length_mm;
  mesh.positions_mm *= scale;
  return std::make_unique<Lure>(std::move(mesh), std::move(rig));
}

/// What is truly off in all lures.
struct Truth {
  double scale_percent = 0;
  double wood_percent = 0;
  double hook_g = 0;
};

std::unique_ptr<Lure> truly(const Shape& shape, const Truth& truth) {
  rig::Rig rig = rig_of(shape);
  rig.wood_density_g_cm3 *= 1 + truth.wood_percent / 100;
  for (rig::Hook& hook : rig.hooks) hook.mass_g += truth.hook_g;
  return lure_of(shape, std::move(rig), 1 + truth.scale_percent / 100);
}

notebook::RebuiltLure rebuilt(const Lure& lure) {
  return {.body = &lure.tree, .laid = lure.laid(), .wood = "balsa", .up = lure.pose().up};
}

double value(const FigureSet& figures, Figure figure) {
  return figures[static_cast<std::size_t>(figure)].value();
}

// Source: the same rig on a body that was scaled, with wood and hooks that were made heavier.
TEST(ForetellingOfRigs, IsThatOfLuresTrulyMadeSo) {
  const Shape shape;
  const std::unique_ptr<Lure> by_sheet = lure_of(shape, rig_of(shape));
  const std::array<notebook::RebuiltLure, 1> lures = {rebuilt(*by_sheet)};
  const std::vector<Cause> causes = four_causes();
  const notebook::Foretelling foretelling = notebook::foretelling_of(lures, causes, {});
  for (const Truth& truth : {Truth{}, Truth{.scale_percent = 1.5}, Truth{.wood_percent = -7},
                             Truth{.hook_g = 0.6}, Truth{-1, 5, 0.3}}) {
    const std::array<double, 4> amounts = {truth.scale_percent, truth.wood_percent, 0,
                                           truth.hook_g};
    const FigureSet found = foretelling.figures(0, plain_water(), amounts);
    const std::unique_ptr<Lure> made = truly(shape, truth);
    const water::RestPose pose = made->pose();
    EXPECT_NEAR(value(found, Figure::reserve_g), made->reserve_g(), 1e-9);
    EXPECT_NEAR(value(found, Figure::mass_g), made->mass_g(), 1e-9);
    EXPECT_NEAR(value(found, Figure::tail_down_deg), pose.tail_down_deg, 1e-6);
    EXPECT_NEAR(value(found, Figure::list_deg), *pose.list_deg, 1e-6);
    EXPECT_EQ(value(found, Figure::soak_gain_g), 0);
  }
}

// Source: wood that is heavier by what it took up, where a lure without weights has no wood taken
// out, so that heavier wood is just that.
TEST(ForetellingOfRigs, TakesWaterInTheWoodForHeavierWood) {
  const Shape shape;
  rig::Rig hooks_only = rig_of(shape);
  hooks_only.ballasts.clear();
  hooks_only.outsides.push_back(
      {.name = "lead strip", .at_mm = {75, 0, -16}, .mass_g = 14, .density_g_cm3 = lead_g_cm3});
  const std::unique_ptr<Lure> by_sheet = lure_of(shape, hooks_only);
  const std::array<notebook::RebuiltLure, 1> lures = {rebuilt(*by_sheet)};
  const std::vector<Cause> causes = four_causes();
  const notebook::LearningOptions options{.soaked_share = 0.5};
  const auto foretelling = notebook::foretelling_of(lures, causes, {}, options);
  const std::array<double, 4> wet = {0, 0, 6, 0};
  const std::array<double, 4> dense = {0, 3, 0, 0};
  const FigureSet found = foretelling.figures(0, plain_water(), wet);
  const FigureSet heavier = foretelling.figures(0, plain_water(), dense);
  EXPECT_NEAR(value(found, Figure::reserve_g), value(heavier, Figure::reserve_g), 1e-9);
  EXPECT_NEAR(value(found, Figure::tail_down_deg), value(heavier, Figure::tail_down_deg), 1e-6);
  const double wood_g = by_sheet->whole.volume_mm3 * 1e-3 * shape.wood_g_cm3;
  EXPECT_NEAR(value(found, Figure::soak_gain_g), 0.06 * wood_g, 1e-9);
  EXPECT_NEAR(value(found, Figure::mass_g), by_sheet->mass_g(), 1e-9);  // dry
}

TEST(ForetellingOfRigs, LeavesAWeighedBlankAndOtherWoodsAlone) {
  const Shape shape;
  rig::Rig weighed = rig_of(shape);
  weighed.wood_weighed = true;
  const std::unique_ptr<Lure> blank = lure_of(shape, weighed);
  const std::unique_ptr<Lure> table = lure_of(shape, rig_of(shape));
  const std::array<notebook::RebuiltLure, 2> lures = {rebuilt(*blank), rebuilt(*table)};
  const std::vector<Cause> causes = {
      {.kind = CauseKind::wood_density_percent, .wood = "balsa", .prior_sd = 3},
      {.kind = CauseKind::wood_density_percent, .wood = "basswood", .prior_sd = 3}};
  const notebook::Foretelling foretelling = notebook::foretelling_of(lures, causes, {});
  const auto mass = [&](std::size_t build, double balsa, double basswood) {
    return value(foretelling.figures(build, plain_water(), std::array<double, 2>{balsa, basswood}),
                 Figure::mass_g);
  };
  EXPECT_EQ(mass(0, 5, 0), mass(0, 0, 0));
  EXPECT_EQ(mass(1, 0, 5), mass(1, 0, 0));
  EXPECT_GT(mass(1, 5, 0), mass(1, 0, 0) + 0.5);
}

// Source: the rig of the parts as they were weighed, assembled anew.
TEST(AsBuiltRig, IsTheRigOfWhatWasWeighedAndMeasured) {
  const Shape shape;
  const std::unique_ptr<Lure> sheet = lure_of(shape, rig_of(shape));
  const double blank_g = 1.04 * sheet->laid().undrilled_wood_g;
  const notebook::AsBuilt built{.blank_g = blank_g,
                                .parts = {{.name = "belly", .mass_g = 15.2, .at_mm = {70, -7}},
                                          {.name = "tail treble", .mass_g = 3.4},
                                          {.name = "belly treble", .at_mm = {55, 0.5, -16}},
                                          {.name = "spoon", .mass_g = 2}}};
  rig::Rig rig = rig_of(shape);
  rig.wood_density_g_cm3 *= 1.04;
  rig.wood_weighed = true;
  rig.ballasts[0].mass_g = 15.2;
  rig.ballasts[0].at_mm = {70, 0, -7};
  rig.hooks[0].eye_mm = {55, 0.5, -16};
  rig.hooks[1].mass_g = 3.4;
  const std::unique_ptr<Lure> made = lure_of(shape, rig);
  const notebook::AsBuiltRig found = notebook::as_built_rig(sheet->laid(), built);
  EXPECT_THAT(found.unknown, testing::ElementsAre("spoon"));
  EXPECT_TRUE(found.laid.wood_weighed);
  const rig::RiggedLure lure = rig::add_up(found.laid);
  const rig::RiggedLure known = rig::add_up(made->laid());
  EXPECT_NEAR(lure.mass_g, known.mass_g, 1e-12);
  EXPECT_NEAR(lure.outside_volume_mm3, known.outside_volume_mm3, 1e-9);
  EXPECT_NEAR((lure.centre_of_mass_mm - known.centre_of_mass_mm).norm(), 0, 1e-10);
  EXPECT_TRUE(notebook::as_built_rig(sheet->laid(), {}).unknown.empty());
}

// Source: the rig assembled anew in that water, its pocket filled with it.
TEST(InWater, IsTheRigInThatWater) {
  const Shape shape;
  rig::Rig rig = rig_of(shape);
  rig.pockets.push_back({.name = "slot",
                         .at_mm = {40, 0, 0},
                         .diameter_mm = 6,
                         .depth_mm = 12,
                         .filling_density_g_cm3 = 1,
                         .filled_with_water = true});
  const std::unique_ptr<Lure> fresh = lure_of(shape, rig);
  rig.water = rig::water_at(35, 10);
  rig.pockets[0].filling_density_g_cm3 = rig.water.density_g_cm3;
  const std::unique_ptr<Lure> sea = lure_of(shape, rig);
  const rig::RiggedLure found =
      rig::add_up(notebook::in_water(fresh->laid(), rig.water.density_g_cm3));
  const rig::RiggedLure known = rig::add_up(sea->laid());
  EXPECT_EQ(found.water_density_g_cm3, known.water_density_g_cm3);
  EXPECT_NEAR(found.mass_g, known.mass_g, 1e-12);
  EXPECT_NEAR(found.dry_mass_g, known.dry_mass_g, 1e-12);
  EXPECT_NEAR((found.centre_of_mass_mm - known.centre_of_mass_mm).norm(), 0, 1e-10);
}

// Source: builds drawn one by one (draw_builds), whose deviations are known to 1/√(2·2000) = 1.6 %;
// with small tolerances, for which all is linear.
TEST(ScatterOfRigs, IsThatOfDrawnBuilds) {
  const Shape shape;
  const std::unique_ptr<Lure> lure = lure_of(shape, rig_of(shape));
  const std::array<notebook::RebuiltLure, 1> lures = {rebuilt(*lure)};
  const rig::Tolerances tolerances{
      .mass_g = 0.05, .place_mm = 0.2, .wood_density_percent = 1, .scale_percent = 0.2};
  // Without the water that a build's own wood takes up.
  const notebook::FigureScatter found =
      notebook::foretelling_of(lures, {}, tolerances, {.soaked_share = 0}).scatter(0);
  const water::ToleranceDraws drawn = water::draw_builds(
      &lure->tree, notebook::in_water(lure->laid(), rig::water_at(0, 20).density_g_cm3), tolerances,
      lure->pose(), 2000, 1);
  EXPECT_NEAR(std::sqrt(found(0, 0)), drawn.reserve_g->standard_deviation,
              0.05 * drawn.reserve_g->standard_deviation);
  EXPECT_NEAR(std::sqrt(found(1, 1)), drawn.tail_down_deg->standard_deviation,
              0.05 * drawn.tail_down_deg->standard_deviation);
  EXPECT_NEAR(std::sqrt(found(2, 2)), drawn.list_deg->standard_deviation,
              0.05 * drawn.list_deg->standard_deviation);
}

/// Six lures by their sheets, and what a tub shows of them as they truly are.
struct Tried {
  std::vector<std::unique_ptr<Lure>> kept;
  std::vector<notebook::RebuiltLure> lures;
  std::vector<notebook::ListedBuild> builds;
};

Tried six_tried(const Truth& truth, Normal& normal) {
  Tried tried;
  for (const Shape& shape :
       {Shape{}, Shape{60, 12, 14, 0.3, 12}, Shape{80, 10, 16, 0.45, 12}, Shape{55, 9, 13, 0.25, 9},
        Shape{75, 13, 17, 0.4, 20}, Shape{90, 11, 15, 0.5, 10}}) {
    tried.kept.push_back(lure_of(shape, rig_of(shape)));
    tried.lures.push_back(rebuilt(*tried.kept.back()));
    const std::unique_ptr<Lure> made = truly(shape, truth);
    const water::RestPose pose = made->pose();
    notebook::ListedBuild build;
    build.facts.figures.wood = "balsa";
    build.tank.push_back({.number = 1,
                          .tail_down_deg = pose.tail_down_deg + normal(0.5),
                          .tail_down_sd_deg = 0.5,
                          .list_deg = *pose.list_deg + normal(1),
                          .list_sd_deg = 1,
                          .sank_with_g = made->reserve_g() / (1 - 1 / lead_g_cm3) + normal(0.2),
                          .sank_sd_g = 0.2,
                          .water = plain_water(),
                          .mass_before_g = made->mass_g() + normal(0.1)});
    tried.builds.push_back(std::move(build));
  }
  return tried;
}

// Source: the same lure, made anew in either water: what each shows is just what is foretold of it.
TEST(LearningFromRigs, ComparesEachTrialInItsOwnWater) {
  const Shape shape;
  const std::unique_ptr<Lure> sheet = lure_of(shape, rig_of(shape));
  const std::array<notebook::RebuiltLure, 1> lures = {rebuilt(*sheet)};
  std::vector<notebook::ListedBuild> builds(1);
  for (const rig::Water& water : {rig::water_at(0, 20), rig::water_at(35, 5)}) {
    rig::Rig rig = rig_of(shape);
    rig.water = water;
    const std::unique_ptr<Lure> made = lure_of(shape, rig);
    builds[0].tank.push_back(
        {.number = 1,
         .state = water::State::floats,
         .tail_down_deg = made->pose().tail_down_deg,
         .sank_with_g = made->reserve_g() / (1 - water.density_g_cm3 / lead_g_cm3),
         .water = water});
  }
  // 2.9 % of some 48 cm³ apart.
  EXPECT_GT(*builds[0].tank[1].sank_with_g - *builds[0].tank[0].sank_with_g, 1);
  const notebook::Comparison found =
      notebook::compare(builds, notebook::foretelling_of(lures, {}, {}), {});
  ASSERT_EQ(found.readings.size(), 4U);
  for (const notebook::Reading& reading : found.readings) EXPECT_NEAR(reading.off(), 0, 1e-6);
  EXPECT_EQ(found.states, 2);
  EXPECT_TRUE(found.wrong_states.empty());
}

TEST(LearningFromRigs, FindsWhatIsTrulyOffWithinItsDoubt) {
  // As exact as the maker's hand can be, so that what is off in all of them stands out.
  const rig::Tolerances hand{
      .mass_g = 0.02, .place_mm = 0.1, .wood_density_percent = 0.3, .scale_percent = 0.05};
  const rig::Tolerances book{
      .mass_g = 0.3, .place_mm = 1, .wood_density_percent = 5, .scale_percent = 1};
  int named = 0;
  int held = 0;
  for (std::uint64_t seed = 0; seed < 6; ++seed) {
    Normal normal(seed);
    const Truth truth = seed % 2 == 0 ? Truth{.scale_percent = 1.2} : Truth{.wood_percent = 6};
    const Tried tried = six_tried(truth, normal);
    const std::vector<Cause> causes = notebook::causes_of(tried.builds, book);
    ASSERT_EQ(causes.size(), 4U);
    const notebook::Foretelling foretelling = notebook::foretelling_of(tried.lures, causes, hand);
    const notebook::Learned learned = notebook::learn(tried.builds, causes, foretelling);
    const std::array<double, 4> off = {truth.scale_percent, truth.wood_percent, 0, truth.hook_g};
    for (const notebook::Estimate& one : learned.all) {
      if (std::abs(one.value - off[one.cause]) <= 2 * one.sd) ++held;
    }
    ASSERT_FALSE(learned.named.empty()) << seed;
    if (learned.named[0].found.cause == seed % 2) ++named;
  }
  EXPECT_GE(named, 5);
  EXPECT_GE(held, 22);  // nine in ten of 24
}

}  // namespace
}  // namespace trueblank::tests
