// SPDX-License-Identifier: GPL-3.0-or-later
// A copy against its master in the water: Archimedes for what both carry; under water a lure hangs
// with B over G, so that its angles are a closed form; afloat both act in one line.
#include "effect/copy_effect.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <memory>
#include <numbers>
#include <utility>

#include "geometry/coat.h"
#include "geometry/moment_tree.h"
#include "geometry/moments.h"
#include "support/bodies.h"
#include "water/floating_bodies.h"

namespace trueblank::effect {
namespace {

using geometry::Mat3;
using geometry::Vec3;

constexpr double degree = std::numbers::pi / 180;
constexpr double lead_g_cm3 = 11.34;
constexpr double half_length_mm = 70;

/// A bare body with its rig.
class Rigged {
 public:
  Rigged(geometry::TriangleMesh mesh, rig::Rig with)
      : body_(test_bodies::closed(std::move(mesh))),
        whole_(geometry::moments(body_)),
        tree_(body_),
        rig_(std::move(with)) {}

  Rigged(const Rigged&) = delete;
  Rigged& operator=(const Rigged&) = delete;

  [[nodiscard]] RiggedBody as_rigged() const {
    return {
        .bare = body_, .whole = whole_, .wet = body_, .coated = whole_, .cut = &tree_, .rig = rig_};
  }

  [[nodiscard]] const geometry::ClosedMesh& body() const { return body_; }

  [[nodiscard]] double volume_mm3() const { return whole_.volume_mm3; }

 private:
  geometry::ClosedMesh body_;
  geometry::Moments whole_;
  geometry::MomentTree tree_;
  rig::Rig rig_;
};

/// Nose at x = 0.
geometry::TriangleMesh ellipsoid(double b_mm = 11, double c_mm = 15) {
  return test_bodies::moved(test_bodies::ellipsoid(half_length_mm, b_mm, c_mm, 24, 24),
                            Mat3::Identity(), Vec3(half_length_mm, 0, 0));
}

rig::Rig rig_with(double wood_g_cm3, double lead_g, const Vec3& at_mm) {
  rig::Rig rig;
  rig.wood_density_g_cm3 = wood_g_cm3;
  rig.water.density_g_cm3 = 1;
  rig.ballasts.push_back(
      {.name = "belly", .at_mm = at_mm, .mass_g = lead_g, .density_g_cm3 = lead_g_cm3});
  return rig;
}

const rig::Rig& floating_rig() {
  static const rig::Rig rig = rig_with(0.4, 20, {78, 0, -8});
  return rig;
}

/// The same ellipsoid, `factor` times as large about a point.
geometry::TriangleMesh grown(double factor, const Vec3& about_mm) {
  return test_bodies::moved(ellipsoid(), Mat3::Identity(), (1 - factor) * about_mm, factor);
}

const Vec3 middle(half_length_mm, 0, 0);

void expect_nil(const LiesAs& change) {
  EXPECT_EQ(change.volume_mm3, 0);
  EXPECT_EQ(change.mass_g, 0);
  EXPECT_EQ(change.displacement_full_g, 0);
  EXPECT_EQ(change.reserve_g, 0);
  for (const std::optional<double>& figure :
       {change.tail_down_deg, change.list_deg, change.roll_stiffness_g_mm_per_deg,
        change.pitch_stiffness_g_mm_per_deg, change.least_stiffness_g_mm_per_deg, change.gm_roll_mm,
        change.gm_pitch_mm}) {
    ASSERT_TRUE(figure);
    EXPECT_EQ(*figure, 0);
  }
}

TEST(CopyEffect, ABodyLikeItsMasterChangesNothing) {
  const Rigged master(ellipsoid(), floating_rig());
  const Rigged copy(ellipsoid(), floating_rig());
  const CopyEffect effect = copy_effect(master.as_rigged(), copy.as_rigged());
  ASSERT_EQ(effect.master_pose, 0);
  ASSERT_EQ(effect.copy_pose, 0);
  EXPECT_FALSE(effect.state_changed);
  EXPECT_EQ(effect.larger_percent, 0);
  expect_nil(effect.change);
  expect_nil(effect.by_size);
  expect_nil(effect.by_shape);
}

// 0.6 % longer each way is 1.006³ − 1 = 1.8108 % of volume; what it carries more is what that
// volume displaces less what it weighs as wood, for its weights are the same (Archimedes).
TEST(CopyEffect, AnEvenlyLargerCopyCarriesMore) {
  const Rigged master(ellipsoid(), floating_rig());
  const Rigged copy(grown(1.006, middle), floating_rig());
  const CopyEffect effect = copy_effect(master.as_rigged(), copy.as_rigged());
  const double added_cm3 = master.volume_mm3() / 1000 * (1.006 * 1.006 * 1.006 - 1);
  EXPECT_NEAR(effect.larger_percent, 1.8108216, 1e-7);
  EXPECT_NEAR(effect.change.displacement_full_g, added_cm3, 1e-9);
  EXPECT_NEAR(effect.change.mass_g, 0.4 * added_cm3, 1e-9);
  EXPECT_NEAR(effect.change.reserve_g, 0.6 * added_cm3, 1e-9);
  // It grew about its centroid, so that all of it comes of size.
  ASSERT_TRUE(effect.change.tail_down_deg && effect.by_size.tail_down_deg);
  EXPECT_GT(std::abs(*effect.change.tail_down_deg), 0.01);
  EXPECT_NEAR(*effect.by_size.tail_down_deg, *effect.change.tail_down_deg, 1e-6);
  EXPECT_NEAR(*effect.by_shape.tail_down_deg, 0, 1e-6);
  EXPECT_NEAR(effect.by_shape.reserve_g, 0, 1e-9);
}

// Skin all over: the reserve rises by what the skin displaces less what it weighs. That 0.1 mm of
// it is about 2 % of the volume is common practice, no published source.
TEST(CopyEffect, ATenthOfSkinIsAboutTwoPercent) {
  rig::Rig rig = floating_rig();
  rig.water.density_g_cm3 = 1.026;  // of the sea
  const Rigged master(ellipsoid(), rig);
  const auto swollen = geometry::coated(master.body(), 0.1);
  ASSERT_TRUE(swollen);
  const Rigged copy(swollen->mesh(), rig);
  const CopyEffect effect = copy_effect(master.as_rigged(), copy.as_rigged());
  const double skin_cm3 = (copy.volume_mm3() - master.volume_mm3()) / 1000;
  EXPECT_NEAR(effect.change.displacement_full_g, skin_cm3 * 1.026, 1e-10);
  EXPECT_NEAR(effect.change.reserve_g, skin_cm3 * (1.026 - 0.4), 1e-10);
  EXPECT_GT(effect.larger_percent, 1.5);
  EXPECT_LT(effect.larger_percent, 2.5);
}

// Under water B hangs over G. Even wood is balanced about its own centroid c, so that only the
// weight turns the lure: tan(tail_down) = (x − c_x) / (c_z − z). A copy that grew about its nose
// has its centroid further aft.
TEST(CopyEffect, ASinkersTailIsAClosedForm) {
  const double factor = 1.006;
  const Vec3 lead(75, 0, -6);
  const rig::Rig rig = rig_with(0.7, 40, lead);
  const Rigged master(ellipsoid(), rig);
  const Rigged copy(grown(factor, Vec3::Zero()), rig);
  const CopyEffect effect = copy_effect(master.as_rigged(), copy.as_rigged());
  ASSERT_EQ(effect.master.state, water::State::sinks);
  ASSERT_FALSE(effect.lost());
  const auto tail_deg = [&](double centroid_x) {
    return std::atan2(lead.x() - centroid_x, -lead.z()) / degree;
  };
  const double before = tail_deg(half_length_mm);
  const double after = tail_deg(factor * half_length_mm);
  EXPECT_NEAR(*effect.master_lies.tail_down_deg, before, 1e-8);
  EXPECT_NEAR(*effect.copy_lies.tail_down_deg, after, 1e-8);
  EXPECT_NEAR(*effect.change.tail_down_deg, after - before, 1e-8);
  // Grown about its middle it would lie as before: it is where the volume lies that turns it.
  EXPECT_NEAR(*effect.by_size.tail_down_deg, 0, 1e-8);
  EXPECT_NEAR(*effect.by_shape.tail_down_deg, after - before, 1e-8);
}

// Afloat weight and buoyancy act in one line: masses added up by hand, the water cut by a plain
// loop over the facets.
TEST(CopyEffect, TheFollowedPoseIsAtRest) {
  const Rigged master(ellipsoid(), floating_rig());
  const Rigged copy(grown(1.006, Vec3(40, 0, 2)), floating_rig());
  const CopyEffect effect = copy_effect(master.as_rigged(), copy.as_rigged());
  ASSERT_GE(effect.copy_pose, 0);
  const water::RestPose& pose = effect.copy.poses[static_cast<std::size_t>(effect.copy_pose)];
  const geometry::Moments whole = geometry::moments(copy.body());
  const rig::Ballast& lead = floating_rig().ballasts[0];
  const double wood_g = 0.4 * whole.volume_mm3 / 1000;
  const double net_g = lead.mass_g * (1 - 0.4 / lead_g_cm3);
  const double mass_g = wood_g + net_g;
  const Vec3 G = (wood_g * whole.centroid_mm + net_g * lead.at_mm) / mass_g;
  const geometry::BelowPlane under =
      geometry::moments_below(copy.body(), {pose.up, *pose.waterline_offset_mm});
  EXPECT_NEAR(under.volume_mm3 / 1000, mass_g, 1e-8);
  const Vec3 B = under.first_moment_mm4 / under.volume_mm3;
  EXPECT_NEAR((G - B).cross(pose.up).norm(), 0, 1e-6);
  EXPECT_NEAR(*effect.change.tail_down_deg,
              std::asin(-pose.up.x()) / degree - std::asin(-effect.master.poses[0].up.x()) / degree,
              1e-9);
}

// A wide flat body lies on its flat, one as high as that is wide on its side: nothing of the
// master's pose is left. Its reserve is told all the same.
TEST(CopyEffect, APoseThatIsLostIsSaid) {
  const rig::Rig rig = rig_with(0.4, 2, {half_length_mm, 0, -1});
  const Rigged master(ellipsoid(17, 10), rig);
  const Rigged copy(ellipsoid(10, 17), rig);
  const CopyEffect effect = copy_effect(master.as_rigged(), copy.as_rigged());
  ASSERT_NEAR(*effect.master_lies.list_deg, 0, 1);
  EXPECT_TRUE(effect.lost());
  ASSERT_TRUE(effect.turned_deg);
  EXPECT_GT(*effect.turned_deg, lost_beyond_deg);
  EXPECT_FALSE(effect.copy_lies.tail_down_deg);
  EXPECT_FALSE(effect.change.list_deg);
  EXPECT_NEAR(effect.change.reserve_g, 0, 1e-9);  // the same volume
}

TEST(CopyEffect, SaysWhereTheCopySinks) {
  const Rigged master(ellipsoid(), rig_with(0.4, 26, {half_length_mm, 0, -6}));
  const Rigged copy(grown(0.94, middle), rig_with(0.4, 26, {half_length_mm, 0, -6}));
  const CopyEffect effect = copy_effect(master.as_rigged(), copy.as_rigged());
  ASSERT_EQ(effect.master.state, water::State::floats);
  EXPECT_LT(effect.copy.reserve_g, 0);
  EXPECT_EQ(effect.copy.state, water::State::sinks);
  EXPECT_TRUE(effect.state_changed);
  EXPECT_FALSE(effect.lost());  // it still hangs back up
}

// A copy mirrored left to right lists as much the other way.
TEST(CopyEffect, ListsDifferTheShortWayRound) {
  const rig::Rig rig = rig_with(0.4, 20, {72, 0, -8});
  const geometry::TriangleMesh lopsided = test_bodies::moved(
      test_bodies::two_halves(half_length_mm, 11, 12, 15, 24, 24), Mat3::Identity(), middle);
  const Rigged master(lopsided, rig);
  const Rigged copy(test_bodies::mirrored_y(lopsided), rig);
  const CopyEffect effect = copy_effect(master.as_rigged(), copy.as_rigged());
  ASSERT_FALSE(effect.lost());
  EXPECT_GT(std::abs(*effect.master_lies.list_deg), 1);
  EXPECT_NEAR(*effect.change.list_deg, -2 * *effect.master_lies.list_deg, 1e-6);
  EXPECT_NEAR(*effect.change.tail_down_deg, 0, 1e-6);
}

TEST(CopyEffect, IsTheSameWithAnyNumberOfThreads) {
  const Rigged master(ellipsoid(), floating_rig());
  const Rigged copy(grown(1.006, Vec3::Zero()), floating_rig());
  const CopyEffect one = copy_effect(master.as_rigged(), copy.as_rigged());
  for (const int threads : {2, 7}) {
    const CopyEffect other =
        copy_effect(master.as_rigged(), copy.as_rigged(), water::on_threads(threads));
    EXPECT_EQ(other.copy_pose, one.copy_pose);
    EXPECT_EQ(other.change.reserve_g, one.change.reserve_g);
    EXPECT_EQ(other.change.tail_down_deg, one.change.tail_down_deg);
    EXPECT_EQ(other.change.least_stiffness_g_mm_per_deg, one.change.least_stiffness_g_mm_per_deg);
    EXPECT_EQ(other.by_size.tail_down_deg, one.by_size.tail_down_deg);
  }
}

}  // namespace
}  // namespace trueblank::effect
