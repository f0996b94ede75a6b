// SPDX-License-Identifier: GPL-3.0-or-later
// Copies of several bodies, larger and smaller, floating and sinking: each is brought back, and
// what brings it back is solved again from elsewhere by a plain loop over the facets.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string>

#include "geometry/coat.h"
#include "geometry/inside.h"
#include "tuning/bench_lure.h"
#include "tuning/restore.h"
#include "water/floating_bodies.h"
#include "water/near_pose.h"

namespace trueblank::tests {
namespace {

using geometry::Mat3;
using geometry::Vec3;
using tuning::Restored;
using tuning::Restoring;

struct Master {
  std::string name;
  geometry::TriangleMesh mesh;
  double reserve_g = 0;     ///< < 0: sinks
  double ballast_at = 0.5;  ///< of the length
};

geometry::TriangleMesh from_nose(geometry::TriangleMesh mesh) {
  mesh.positions_mm.row(0).array() -= mesh.positions_mm.row(0).minCoeff();
  return mesh;
}

std::vector<Master> masters() {
  std::vector<Master> all;
  for (const double reserve_g : {5.0, 0.8, -2.0, -8.0}) {
    for (const double at : {0.42, 0.55}) {
      all.push_back({"pencil", from_nose(test_bodies::pencil(1200)), reserve_g, at});
      all.push_back({"glider", from_nose(test_bodies::glider(1200)), reserve_g, at});
      all.push_back({"needle", from_nose(test_bodies::needle(1200)), reserve_g, at});
    }
  }
  return all;
}

/// Two weights low in the body, the greater one where it is asked for, and two hooks.
rig::Rig rig_of(const Master& master) {
  const geometry::ClosedMesh body = test_bodies::closed(master.mesh);
  const geometry::Moments whole = geometry::moments(body);
  const double length = body.positions_mm().row(0).maxCoeff();
  rig::Rig rig;
  rig.wood_density_g_cm3 = 0.45;
  rig.water.density_g_cm3 = 1;
  const auto at = [&](double share) {
    const auto heights = geometry::skin_heights_mm(body, share * length, 0);
    return Vec3(share * length, 0, heights->first + 0.3 * (heights->second - heights->first));
  };
  for (const double share : {0.35, 0.9}) {
    rig.hooks.push_back({.name = "hook",
                         .eye_mm = at(share) - Vec3(0, 0, 4),
                         .mass_g = 4,
                         .density_g_cm3 = 7.85,
                         .hang_mm = 12});
  }
  const double hooks_g = 8 * (1 - 1 / 7.85);
  const double net = 1 - 0.45 / lead_g_cm3;
  const double lead_g = (whole.volume_mm3 / 1000 * 0.55 - hooks_g - master.reserve_g) / net;
  int number = 0;
  for (const double share : {0.75, 0.25}) {
    const double place = share == 0.75 ? master.ballast_at : 0.7;
    rig.ballasts.push_back({.name = "weight " + std::to_string(++number),
                            .at_mm = at(place),
                            .mass_g = share * lead_g,
                            .density_g_cm3 = lead_g_cm3,
                            .diameter_mm = 9,
                            .axis = rig::HoleAxis::along});
  }
  return rig;
}

/// Names of ways to make a copy.
std::vector<std::pair<std::string, geometry::TriangleMesh>> copies_of(
    const geometry::TriangleMesh& mesh) {
  const geometry::ClosedMesh body = test_bodies::closed(mesh);
  const Vec3 centroid = geometry::moments(body).centroid_mm;
  const auto grown = [&](double factor, const Vec3& about) {
    return test_bodies::moved(mesh, Mat3::Identity(), (1 - factor) * about, factor);
  };
  geometry::TriangleMesh fat_tail = mesh;
  const double length = mesh.positions_mm.row(0).maxCoeff();
  for (int v = 0; v < fat_tail.vertex_count(); ++v) {
    const double t = fat_tail.positions_mm(0, v) / length;
    fat_tail.positions_mm(1, v) *= 1 + 0.03 * t;
  }
  return {{"larger by 1.8 %", grown(1.006, centroid)},
          {"smaller by 1.8 %", grown(1 / 1.006, centroid)},
          {"longer from the nose", grown(1.004, Vec3::Zero())},
          {"a tenth of skin", geometry::coated(body, 0.1)->mesh()},
          {"a fat tail", fat_tail}};
}

/// Its water cut by a plain loop over the facets.
water::Floater floater_of(const BenchLure& lure, const rig::Rig& rig) {
  return water::floater(water::CutBody(&lure.body),
                        rig::add_up(rig::assemble(lure.body, lure.whole, rig, lure.whole)));
}

TEST(RestoreManyBodies, BringsThemBackAndSaysTheTruth) {
  int needed = 0;
  int close = 0;
  for (const Master& master : masters()) {
    const BenchLure lure(master.mesh, rig_of(master));
    const water::Balance as_master = water::balance(water::floater(
        lure.tree, rig::add_up(rig::assemble(lure.body, lure.whole, lure.rig, lure.whole))));
    ASSERT_FALSE(as_master.poses.empty());
    const water::RestPose& pose = as_master.poses.front();
    for (const auto& [how, mesh] : copies_of(master.mesh)) {
      SCOPED_TRACE(master.name + " of " + std::to_string(master.reserve_g) + " g at " +
                   std::to_string(master.ballast_at) + ", " + how);
      const BenchLure copy(mesh, lure.rig);
      const Restored all =
          tuning::restored(copy.workpiece(), water::pose_near(floater_of(copy, copy.rig), pose.up),
                           {.reserve_g = as_master.reserve_g, .pose = pose}, geometry::serial_for);
      if (!all.needed) continue;
      ++needed;
      ASSERT_FALSE(all.ways.empty());
      const Restoring& way = all.ways.front();
      EXPECT_TRUE(way.met) << way.metal << way.ballast << ' ' << way.grams << " g at "
                           << way.at_mm.transpose() << ", left " << way.left.reserve_g << " g, "
                           << way.left.tail_down_deg.value_or(NAN) << " deg";
      rig::Rig rig = copy.rig;
      if (way.kind == Restoring::Kind::added) {
        rig.ballasts.push_back(
            {.at_mm = way.at_mm, .mass_g = way.mass_g, .density_g_cm3 = way.density_g_cm3});
      } else {
        ASSERT_EQ(way.kind, Restoring::Kind::changed);
        for (rig::Ballast& ballast : rig.ballasts) {
          if (ballast.name != way.ballast) continue;
          ballast.at_mm = way.at_mm;
          ballast.mass_g = way.mass_g;
        }
      }
      const water::Floater again = floater_of(copy, rig);
      EXPECT_NEAR(again.displacement_full_g() - again.mass_g, as_master.reserve_g, 0.0101);
      const Vec3 elsewhere = (pose.up + 0.05 * Vec3(1, 0.2, 0)).normalized();  // some 3° off
      const auto then = water::pose_near(again, elsewhere);
      ASSERT_TRUE(then);
      EXPECT_NEAR(then->tail_down_deg, *way.then.tail_down_deg, 1e-3);
      // That it is met is within the tolerances; nearly all come closer.
      const double off_deg = std::abs(then->tail_down_deg - pose.tail_down_deg);
      EXPECT_LE(off_deg, tuning::RestoreTolerances{}.tail_down_deg + 1e-3);
      if (off_deg <= 0.05) ++close;
    }
  }
  EXPECT_EQ(needed, 120);
  EXPECT_GE(close, 115);
}

}  // namespace
}  // namespace trueblank::tests
