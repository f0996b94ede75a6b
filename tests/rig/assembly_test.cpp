// SPDX-License-Identifier: GPL-3.0-or-later
#include "rig/assembly.h"

#include <cmath>
#include <utility>

#include "geometry/moments.h"
#include "rigs.h"
#include "support/bodies.h"

namespace trueblank::rig {
namespace {

// Where full_rig's parts stand among the laid-out ones.
enum Laid : std::size_t { finish, wire, belly, tail, rattle, wet_slot, treble, lip };

Assembly with_part(Assembly assembly, std::size_t which, const LaidPart& part) {
  assembly.parts[which] = part;
  return assembly;
}

TEST(Assembly, HasEveryPartInTheOrderOfTheSheet) {
  const Assembly laid = laid_out(plank(), full_rig());
  std::vector<std::string> names;
  for (const LaidPart& part : laid.parts) names.push_back(part.name);
  EXPECT_EQ(names, (std::vector<std::string>{"finish", "wire", "belly", "tail", "rattle",
                                             "wet slot", "treble", "lip"}));
  EXPECT_EQ(laid.parts[rattle].mass_g, 0);
  EXPECT_GT(laid.parts[rattle].wood_g, 0);
}

// The law of this file: a change to the laid-out rig is the rig changed and laid out anew.
TEST(Heavier, IsTheHeavierPartLaidOutAnew) {
  const Assembly laid = laid_out(plank(), full_rig());
  for (const double grams : {-1.2, -0.01, 1e-6, 0.1, 4.0}) {
    const auto changed = [&](std::size_t which) {
      return add_up(with_part(laid, which, heavier(laid.parts[which], grams)));
    };
    Rig rig = full_rig();
    rig.ballasts[0].mass_g += grams;
    expect_alike(changed(belly), rigged(plank(), rig));
    rig = full_rig();
    rig.hooks[0].mass_g += grams;
    expect_alike(changed(treble), rigged(plank(), rig));
    rig = full_rig();
    rig.outsides[0].mass_g += grams;
    expect_alike(changed(lip), rigged(plank(), rig));
    // A wire weighs as the square of its diameter.
    rig = full_rig();
    rig.wires[0].diameter_mm *= std::sqrt(1 + grams / laid.parts[wire].mass_g);
    expect_alike(changed(wire), rigged(plank(), rig));
  }
}

TEST(Heavier, MakesOfAFinishOrAFillingADenserOne) {
  const Assembly laid = laid_out(plank(), full_rig());
  Rig rig = full_rig();
  const double coat_g = laid.parts[finish].mass_g;
  rig.finish->density_g_cm3 *= (coat_g + 0.2) / coat_g;
  expect_alike(add_up(with_part(laid, finish, heavier(laid.parts[finish], 0.2))),
               rigged(plank(), rig));
  rig = full_rig();
  const double water_g = laid.parts[wet_slot].mass_g;
  rig.pockets[1].filling_density_g_cm3 *= (water_g + 0.05) / water_g;
  expect_alike(add_up(with_part(laid, wet_slot, heavier(laid.parts[wet_slot], 0.05))),
               rigged(plank(), rig));
}

TEST(Heavier, AddsUp) {
  const Assembly laid = laid_out(plank(), full_rig());
  for (const LaidPart& part : laid.parts) {
    const LaidPart once = heavier(part, 0.7);
    const LaidPart twice = heavier(heavier(part, 0.2), 0.5);
    EXPECT_NEAR(once.mass_g, twice.mass_g, 1e-14) << part.name;
    EXPECT_NEAR(once.wood_g, twice.wood_g, 1e-14) << part.name;
  }
}

TEST(Moved, IsThePartLaidOutElsewhere) {
  const Assembly laid = laid_out(plank(), full_rig());
  for (const Vec3& by : {Vec3(1, 0, 0), Vec3(0, -1, 0), Vec3(0, 0, 1), Vec3(-2, 0.5, 1.5)}) {
    const auto changed = [&](std::size_t which) {
      return add_up(with_part(laid, which, moved(laid.parts[which], by)));
    };
    Rig rig = full_rig();
    rig.ballasts[1].at_mm += by;
    expect_alike(changed(tail), rigged(plank(), rig));
    rig = full_rig();
    rig.hooks[0].eye_mm += by;
    expect_alike(changed(treble), rigged(plank(), rig));
    rig = full_rig();
    rig.outsides[0].at_mm += by;
    expect_alike(changed(lip), rigged(plank(), rig));
    rig = full_rig();
    rig.pockets[0].at_mm += by;
    expect_alike(changed(rattle), rigged(plank(), rig));
    rig = full_rig();
    for (Vec3& point : rig.wires[0].path_mm) point += by;
    expect_alike(changed(wire), rigged(plank(), rig));
  }
}

TEST(Without, IsTheRigWithoutThatPart) {
  const Assembly laid = laid_out(plank(), full_rig());
  Rig rig = full_rig();
  rig.finish.reset();
  expect_alike(add_up(without(laid, finish)), rigged(plank(), rig));
  rig = full_rig();
  rig.wires.clear();
  expect_alike(add_up(without(laid, wire)), rigged(plank(), rig));
  rig = full_rig();
  rig.ballasts.erase(rig.ballasts.begin());
  expect_alike(add_up(without(laid, belly)), rigged(plank(), rig));
  rig = full_rig();
  rig.pockets.erase(rig.pockets.begin());
  expect_alike(add_up(without(laid, rattle)), rigged(plank(), rig));
  rig = full_rig();
  rig.hooks.clear();
  expect_alike(add_up(without(laid, treble)), rigged(plank(), rig));
  rig = full_rig();
  rig.outsides.clear();
  expect_alike(add_up(without(laid, lip)), rigged(plank(), rig));
}

TEST(WithWoodTimes, IsTheRigInDenserWood) {
  for (const double factor : {0.9, 1.01, 1.5}) {
    Rig rig = full_rig();
    rig.wood_density_g_cm3 *= factor;
    expect_alike(add_up(with_wood_times(laid_out(plank(), full_rig()), factor)),
                 rigged(plank(), rig));
    Rig halved = full_rig();
    halved.halves = Halves{.left_g = 11, .right_g = 13};
    rig = halved;
    rig.halves = Halves{.left_g = 11 * factor, .right_g = 13 * factor};
    expect_alike(add_up(with_wood_times(laid_out(plank(), halved), factor)), rigged(plank(), rig));
  }
}

// The lure on a body `scale` times as long, in its own lengths: lengths by 1/scale, masses and
// volumes by 1/scale³.
RiggedLure shrunk(RiggedLure lure, double scale) {
  const double cubed = scale * scale * scale;
  for (MassPart& part : lure.parts) {
    part.mass_g /= cubed;
    part.centre_mm /= scale;
  }
  for (SpreadPart& part : lure.outside) {
    part.volume_mm3 /= cubed;
    part.at_mm /= scale;
    part.below_mm /= scale;
    part.above_mm /= scale;
  }
  for (double* mass : {&lure.mass_g, &lure.undrilled_wood_g, &lure.dry_mass_g}) *mass /= cubed;
  lure.outside_volume_mm3 /= cubed;
  lure.centre_of_mass_mm /= scale;
  lure.dry_balance_mm /= scale;
  lure.blank_balance_mm /= scale;
  return lure;
}

constexpr double scales[] = {0.97, 0.995, 1.005, 1.03};

// The nose at the origin, where a body frame has it.
ClosedMesh grown(double scale) {
  return plank()
      .moved(Mat3::Identity(), Vec3(50, 0, 0))
      .moved(Mat3::Identity(), Vec3::Zero(), scale);
}

Rig from_the_nose() {
  Rig rig = full_rig();
  const Vec3 by(50, 0, 0);
  for (Vec3& point : rig.wires[0].path_mm) point += by;
  for (Ballast& part : rig.ballasts) part.at_mm += by;
  for (Pocket& part : rig.pockets) part.at_mm += by;
  rig.hooks[0].eye_mm += by;
  rig.outsides[0].at_mm += by;
  rig.finish.reset();
  return rig;
}

void expect_scales(const Rig& rig, const Rig& on_grown, double scale) {
  expect_alike(add_up(on_scaled_body(laid_out(grown(1), rig), scale)),
               shrunk(rigged(grown(scale), on_grown), scale));
}

TEST(OnScaledBody, IsTheRigOnTheBodyReallyScaled) {
  for (const double scale : scales) {
    const Rig rig = from_the_nose();
    expect_scales(rig, rig, scale);
    Rig balanced = rig;
    balanced.wood_balance_mm = 47;
    expect_scales(balanced, balanced, scale);
  }
}

TEST(OnScaledBody, KeepsTheMassOfWeighedWood) {
  for (const double scale : scales) {
    Rig rig = from_the_nose();
    rig.wood_weighed = true;
    Rig lighter = rig;
    lighter.wood_density_g_cm3 /= scale * scale * scale;
    expect_scales(rig, lighter, scale);
    Rig halved = rig;
    halved.halves = Halves{.left_g = 11, .right_g = 13};
    expect_scales(halved, halved, scale);
  }
}

// A weighed coat weighs what it weighs; one of a given density grows with the skin. What is left
// out is how the corners' share of it changes: the added volume is S·t + O(t²), here with
// t = 0.3 mm on a body of 20 mm, and the O(t²) is off by a factor (scale − 1).
TEST(OnScaledBody, GrowsACoatWithTheSkin) {
  for (const double scale : scales) {
    Rig rig = from_the_nose();
    rig.finish = Finish{.thickness_mm = 0.3, .density_g_cm3 = 1.15};
    const RiggedLure told = add_up(on_scaled_body(laid_out(grown(1), rig), scale));
    const RiggedLure anew = shrunk(rigged(grown(scale), rig), scale);
    const double tolerance = 0.3 / 20 * std::abs(scale - 1);
    EXPECT_NEAR(told.parts[1].mass_g / anew.parts[1].mass_g, 1, tolerance);
    EXPECT_LT((told.parts[1].centre_mm - anew.parts[1].centre_mm).norm(), 1e-9);

    rig.finish = Finish{.thickness_mm = 0.3, .weighed_g = 2.7};
    EXPECT_NEAR(add_up(on_scaled_body(laid_out(grown(1), rig), scale)).parts[1].mass_g,
                2.7 / (scale * scale * scale), 1e-14);
  }
}

// Source: moments are sums over a body's stuff; a coated hollow box is the coated box less its
// cavity, here weighed as one mesh.
TEST(WithCoat, IsTheCoatedSkinLessTheCavity) {
  const auto moments_of = [](geometry::TriangleMesh mesh) {
    return geometry::moments(test_bodies::closed(std::move(mesh)));
  };
  const geometry::TriangleMesh cavity = test_bodies::inside_out(
      test_bodies::moved(test_bodies::box(40, 6, 8), geometry::Mat3::Identity(), {5, 1, -2}, 1));
  const geometry::TriangleMesh outer = test_bodies::box(100, 20, 24);
  const geometry::TriangleMesh coated = test_bodies::box(101, 21, 25);
  const geometry::Moments found = with_coat(moments_of(test_bodies::joined(outer, cavity)),
                                            moments_of(outer), moments_of(coated));
  const geometry::Moments wanted = moments_of(test_bodies::joined(coated, cavity));
  EXPECT_NEAR(found.volume_mm3, wanted.volume_mm3, 1e-8);
  EXPECT_NEAR(found.area_mm2, wanted.area_mm2, 1e-9);
  EXPECT_LT((found.centroid_mm - wanted.centroid_mm).norm(), 1e-12);
  EXPECT_LT((found.spread_mm5 - wanted.spread_mm5).norm(), 1e-12 * wanted.spread_mm5.norm());
  EXPECT_LT((found.inertia_mm5 - wanted.inertia_mm5).norm(), 1e-12 * wanted.inertia_mm5.norm());
}

}  // namespace
}  // namespace trueblank::rig
