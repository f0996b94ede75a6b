// SPDX-License-Identifier: GPL-3.0-or-later
#include "rig/mass_model.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "geometry/inside.h"

namespace trueblank::rig {

namespace {

constexpr double mm3_per_cm3 = 1000;
// A stretch of wire this short weighs nothing: it is what rounding leaves where a path's point lies
// on the skin.
constexpr double shortest_stretch_mm = 1e-9;
// The vertical over which the volume of a hook with no `hang` is spread: 2 mm below its eye.
constexpr double least_hanging_line_mm = 2;

double mass_g(double density_g_cm3, double volume_mm3) {
  return density_g_cm3 * volume_mm3 / mm3_per_cm3;
}

double volume_mm3(double mass_g, double density_g_cm3) {
  return mass_g / density_g_cm3 * mm3_per_cm3;
}

// Volume and where its middle is, added up.
struct Heap {
  double volume_mm3 = 0;
  Vec3 first_moment_mm4 = Vec3::Zero();

  void add(double volume, const Vec3& at_mm) {
    volume_mm3 += volume;
    first_moment_mm4 += volume * at_mm;
  }

  [[nodiscard]] Vec3 centre_mm(const Vec3& if_empty) const {
    if (volume_mm3 == 0) return if_empty;  // exactly nothing was added, or all was taken away
    return first_moment_mm4 / volume_mm3;
  }
};

// What of 0..1 is left between the parts, which are disjoint and rise.
std::vector<std::pair<double, double>> gaps(const std::vector<std::pair<double, double>>& parts) {
  std::vector<std::pair<double, double>> between;
  double from = 0;
  for (const auto& [begin, end] : parts) {
    if (begin > from) between.emplace_back(from, begin);
    from = std::max(from, end);
  }
  if (from < 1) between.emplace_back(from, 1.0);
  return between;
}

struct WireParts {
  Heap inside;
  Heap whole;
  std::vector<SpreadPart> outside;
};

void add_stretch(const geometry::ClosedMesh& body, const Wire& wire, const Vec3& a_mm,
                 const Vec3& b_mm, WireParts& parts) {
  const double section_mm2 = std::numbers::pi / 4 * wire.diameter_mm * wire.diameter_mm;
  const double length_mm = (b_mm - a_mm).norm();
  const std::vector<std::pair<double, double>> inside = geometry::inside_parts(body, a_mm, b_mm);
  for (const auto& [from, to] : inside) {
    const Vec3 middle = a_mm + (from + to) / 2 * (b_mm - a_mm);
    const double volume = section_mm2 * length_mm * (to - from);
    parts.inside.add(volume, middle);
    parts.whole.add(volume, middle);
  }
  for (const auto& [from, to] : gaps(inside)) {
    const double outside_mm = length_mm * (to - from);
    if (outside_mm < shortest_stretch_mm) continue;
    const Vec3 middle = a_mm + (from + to) / 2 * (b_mm - a_mm);
    const double volume = section_mm2 * outside_mm;
    parts.whole.add(volume, middle);
    parts.outside.push_back({.name = wire.name,
                             .at_mm = middle,
                             .volume_mm3 = volume,
                             .below_mm = outside_mm / 2,
                             .above_mm = outside_mm / 2});
  }
}

WireParts laid_out(const geometry::ClosedMesh& body, const Wire& wire) {
  WireParts parts;
  for (std::size_t i = 1; i < wire.path_mm.size(); ++i) {
    add_stretch(body, wire, wire.path_mm[i - 1], wire.path_mm[i], parts);
  }
  return parts;
}

SpreadPart hanging(const Hook& hook) {
  return {.name = hook.name,
          .at_mm = hook.eye_mm,
          .volume_mm3 = volume_mm3(hook.mass_g, hook.density_g_cm3),
          .below_mm = std::max(2 * hook.hang_mm, least_hanging_line_mm),
          .above_mm = 0};
}

void sum_up(RiggedLure& lure, double hooks_g) {
  Vec3 moment_g_mm = Vec3::Zero();
  for (const MassPart& part : lure.parts) {
    lure.mass_g += part.mass_g;
    moment_g_mm += part.mass_g * part.centre_mm;
  }
  lure.centre_of_mass_mm = moment_g_mm / lure.mass_g;
  for (const SpreadPart& part : lure.outside) lure.outside_volume_mm3 += part.volume_mm3;
  const double added_g = lure.mass_g - lure.parts.front().mass_g;
  lure.ratio_g_per_100g_wood = 100 * added_g / lure.undrilled_wood_g;
  lure.ratio_without_hooks_g_per_100g_wood = 100 * (added_g - hooks_g) / lure.undrilled_wood_g;
}

}  // namespace

RiggedLure rigged(const geometry::ClosedMesh& body, const geometry::Moments& whole,
                  const Rig& rig) {
  RiggedLure lure;
  lure.water_density_g_cm3 = rig.water.density_g_cm3;
  lure.undrilled_wood_g = mass_g(rig.wood_density_g_cm3, whole.volume_mm3);
  lure.parts.push_back({.name = "wood"});  // its figures follow once the holes are known
  Heap wood;
  wood.add(whole.volume_mm3, whole.centroid_mm);

  for (const Wire& wire : rig.wires) {
    WireParts laid = laid_out(body, wire);
    wood.add(-laid.inside.volume_mm3, laid.inside.centre_mm(Vec3::Zero()));
    lure.parts.push_back({.name = wire.name,
                          .mass_g = mass_g(wire.density_g_cm3, laid.whole.volume_mm3),
                          .centre_mm = laid.whole.centre_mm(Vec3::Zero())});
    for (SpreadPart& part : laid.outside) lure.outside.push_back(std::move(part));
  }
  for (const Ballast& ballast : rig.ballasts) {
    wood.add(-volume_mm3(ballast.mass_g, ballast.density_g_cm3), ballast.at_mm);
    lure.parts.push_back(
        {.name = ballast.name, .mass_g = ballast.mass_g, .centre_mm = ballast.at_mm});
  }
  double hooks_g = 0;
  for (const Hook& hook : rig.hooks) {
    hooks_g += hook.mass_g;
    lure.parts.push_back({.name = hook.name, .mass_g = hook.mass_g, .centre_mm = hook.eye_mm});
    lure.outside.push_back(hanging(hook));
  }

  lure.parts.front().mass_g = mass_g(rig.wood_density_g_cm3, wood.volume_mm3);
  lure.parts.front().centre_mm = wood.centre_mm(whole.centroid_mm);
  sum_up(lure, hooks_g);
  return lure;
}

}  // namespace trueblank::rig
