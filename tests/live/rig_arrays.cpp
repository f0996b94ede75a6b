// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/rig_arrays.h"

#include <gtest/gtest.h>

#include <bit>
#include <cmath>
#include <limits>

namespace trueblank::live {
namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

}  // namespace

Opened opened(const geometry::TriangleMesh& mesh, bool air) {
  return Opened(trueblank_live_open(mesh.positions_mm.data(), mesh.vertex_count(),
                                    mesh.facets.data(), mesh.facet_count(), air ? 1 : 0));
}

std::vector<double> array_of(const rig::Rig& rig, double wood_g) {
  std::vector<double> out;
  const auto put = [&](auto... numbers) { (out.push_back(static_cast<double>(numbers)), ...); };
  const auto put_point = [&](const Vec3& p) { put(p.x(), p.y(), p.z()); };
  if (rig.halves) {
    put(2, rig.halves->left_g, rig.halves->right_g);
  } else if (rig.wood_weighed) {
    put(1, wood_g, nan);
  } else {
    put(0, rig.wood_density_g_cm3, nan);
  }
  put(rig.wood_balance_mm.value_or(nan));
  if (rig.finish) {
    put(rig.finish->thickness_mm, rig.finish->weighed_g ? nan : rig.finish->density_g_cm3,
        rig.finish->weighed_g.value_or(nan));
  } else {
    put(nan, nan, nan);
  }
  put(rig.water.salinity, rig.water.temperature_c,
      rig.water.density_given ? rig.water.density_g_cm3 : nan);
  put(nan, nan, nan, nan, nan, nan);
  put(rig.wires.size(), rig.ballasts.size(), rig.pockets.size(), rig.hooks.size(),
      rig.outsides.size());
  for (const rig::Wire& wire : rig.wires) {
    put(wire.density_g_cm3, wire.diameter_mm, wire.weighed_g.value_or(nan), wire.path_mm.size());
    for (const Vec3& point : wire.path_mm) put_point(point);
  }
  for (const rig::Ballast& ballast : rig.ballasts) {
    put_point(ballast.at_mm);
    put(ballast.mass_g, ballast.density_g_cm3);
  }
  for (const rig::Pocket& pocket : rig.pockets) {
    put_point(pocket.at_mm);
    put(pocket.diameter_mm, pocket.depth_mm, static_cast<int>(pocket.axis),
        pocket.filled_with_water ? nan : pocket.filling_density_g_cm3,
        pocket.filled_with_water ? 1 : 0);
  }
  for (const rig::Hook& hook : rig.hooks) {
    put_point(hook.eye_mm);
    put(hook.mass_g, hook.density_g_cm3, hook.hang_mm, hook.size_up_g.value_or(nan));
  }
  for (const rig::Outside& outside : rig.outsides) {
    put_point(outside.at_mm);
    put(outside.mass_g, outside.density_g_cm3);
  }
  return out;
}

std::vector<double> with_baseline(std::vector<double> array, const Vec3& nose_mm,
                                  const Vec3& tail_mm) {
  for (int k = 0; k < 3; ++k) {
    array[static_cast<std::size_t>(10 + k)] = nose_mm(k);
    array[static_cast<std::size_t>(13 + k)] = tail_mm(k);
  }
  return array;
}

std::vector<double> copied(const double* answer) {
  EXPECT_GE(answer[0], 1);
  return {answer + 1, answer + 1 + static_cast<std::ptrdiff_t>(answer[0])};
}

std::vector<double> laid(const Opened& lure, const std::vector<double>& rig) {
  return copied(trueblank_live_lay(lure.get(), rig.data(), static_cast<int>(rig.size())));
}

std::vector<double> all_answers(const Opened& lure) {
  std::vector<double> all;
  const auto add = [&](const double* answer) {
    const std::vector<double> numbers = copied(answer);
    all.insert(all.end(), numbers.begin(), numbers.end());
  };
  const double up[] = {0.1, -0.3, 1};
  const double wish[] = {3, 0, 0, 40, 100, 5, 2, 12, 5};
  add(trueblank_live_pose(lure.get(), nullptr));
  add(trueblank_live_pose(lure.get(), up));
  add(trueblank_live_balance(lure.get()));
  add(trueblank_live_slopes(lure.get()));
  add(trueblank_live_map(lure.get(), wish));
  add(trueblank_live_heights(lure.get(), 60, 1));
  return all;
}

std::vector<std::uint64_t> bits(const std::vector<double>& numbers) {
  std::vector<std::uint64_t> out;
  out.reserve(numbers.size());
  for (const double number : numbers) {
    out.push_back(std::isnan(number) ? ~std::uint64_t{0} : std::bit_cast<std::uint64_t>(number));
  }
  return out;
}

rig::Rig every_kind() {
  rig::Rig rig;
  rig.wood_density_g_cm3 = 0.3;
  rig.finish = rig::Finish{.thickness_mm = 0.2, .density_g_cm3 = 1.1};
  rig.wires = {
      {.density_g_cm3 = 7.9, .diameter_mm = 1.2, .path_mm = {{-6, 0, 0}, {70, 0, 1}, {150, 0, 0}}}};
  rig.ballasts = {{.at_mm = {50, 0.5, -5}, .mass_g = 4, .density_g_cm3 = 11.34},
                  {.at_mm = {95, -0.5, -4}, .mass_g = 2, .density_g_cm3 = 11.34}};
  rig.pockets = {{.at_mm = {75, 0, 3}, .diameter_mm = 6, .depth_mm = 8},
                 {.at_mm = {30, 0, 0},
                  .diameter_mm = 3,
                  .depth_mm = 60,
                  .axis = rig::HoleAxis::across,
                  .filled_with_water = true}};
  rig.hooks = {
      {.eye_mm = {60, 0, -11}, .mass_g = 3, .density_g_cm3 = 7.8, .hang_mm = 14},
      {.eye_mm = {138, 0, 0}, .mass_g = 2, .density_g_cm3 = 7.8, .hang_mm = 12, .size_up_g = 2.8}};
  rig.outsides = {{.at_mm = {4, 0, -4}, .mass_g = 1.5, .density_g_cm3 = 1.2}};
  rig.water = rig::water_at(0, 15);
  rig.pockets[1].filling_density_g_cm3 = rig.water.density_g_cm3;
  return rig;
}

}  // namespace trueblank::live
