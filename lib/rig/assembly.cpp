// SPDX-License-Identifier: GPL-3.0-or-later
#include "rig/assembly.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "geometry/cut.h"
#include "geometry/inside.h"
#include "rig/wood_taken.h"

namespace trueblank::rig {

namespace {

constexpr double mm3_per_cm3 = 1000;
// A stretch of wire this short weighs nothing: it is what rounding leaves where a path's point lies
// on the skin.
constexpr double shortest_stretch_mm = 1e-9;
// The vertical over which the volume of a hook with no `hang` is spread: 2 mm below its eye.
constexpr double least_hanging_line_mm = 2;
// The volume of a rigid part at a point is spread over 2 mm.
constexpr double half_a_points_line_mm = 1;

double volume_mm3(double mass_g, double density_g_cm3) {
  return mass_g / density_g_cm3 * mm3_per_cm3;
}

double section_mm2(double diameter_mm) { return std::numbers::pi / 4 * diameter_mm * diameter_mm; }

using Stretches = std::vector<std::pair<double, double>>;

// What of 0..1 is left between the parts, which are disjoint and rise.
Stretches gaps(const Stretches& parts) {
  Stretches between;
  double from = 0;
  for (const auto& [begin, end] : parts) {
    if (begin > from) between.emplace_back(from, begin);
    from = std::max(from, end);
  }
  if (from < 1) between.emplace_back(from, 1.0);
  return between;
}

void take_wood(LaidPart& part, const Heap& taken) {
  part.wood_g = taken.mass_g;
  part.wood_centre_mm = taken.centre_mm(part.centre_mm);
}

LaidPart laid(const Finish& finish, const geometry::Moments& bare,
              const geometry::Moments& coated) {
  const double added_mm3 = coated.volume_mm3 - bare.volume_mm3;
  const Vec3 moment_mm4 =
      coated.volume_mm3 * coated.centroid_mm - bare.volume_mm3 * bare.centroid_mm;
  const bool adds = added_mm3 > 0;  // always, but on a skin that is folded in on itself
  return {.name = "finish",
          .kind = PartKind::finish,
          .mass_g = finish.weighed_g.value_or(finish.density_g_cm3 * added_mm3 / mm3_per_cm3),
          .centre_mm = adds ? Vec3(moment_mm4 / added_mm3) : bare.centroid_mm};
}

// Adds one straight piece of a wire; `whole` and `wood` gather what it weighs and takes away.
void add_piece(const geometry::ClosedMesh& bare, const WoodDensity& density, const Wire& wire,
               std::size_t piece, LaidPart& part, Heap& whole, Heap& wood) {
  const Vec3& a = wire.path_mm[piece];
  const Vec3 along = wire.path_mm[piece + 1] - a;
  const double section = section_mm2(wire.diameter_mm);
  const double g_per_mm = wire.density_g_cm3 / mm3_per_cm3 * section;
  const Stretches inside = geometry::inside_parts(bare, a, a + along);
  for (const auto& [from, to] : inside) {
    wood.add(density.in_rod(a + from * along, a + to * along, wire.diameter_mm));
    whole.add(g_per_mm * along.norm() * (to - from), a + (from + to) / 2 * along);
  }
  for (const auto& [from, to] : gaps(inside)) {
    const double length_mm = along.norm() * (to - from);
    if (length_mm < shortest_stretch_mm) continue;
    const Vec3 middle = a + (from + to) / 2 * along;
    whole.add(g_per_mm * length_mm, middle);
    part.outside.push_back({.name = wire.name,
                            .at_mm = middle,
                            .volume_mm3 = section * length_mm,
                            .below_mm = length_mm / 2,
                            .above_mm = length_mm / 2});
  }
}

LaidPart laid(const Wire& wire, const geometry::ClosedMesh& bare, const WoodDensity& density) {
  LaidPart part{.name = wire.name, .kind = PartKind::wire};
  Heap whole;
  Heap wood;
  for (std::size_t piece = 0; piece + 1 < wire.path_mm.size(); ++piece) {
    add_piece(bare, density, wire, piece, part, whole, wood);
  }
  part.mass_g = wire.weighed_g.value_or(whole.mass_g);
  part.centre_mm = whole.centre_mm(Vec3::Zero());
  take_wood(part, wood);
  return part;
}

LaidPart laid(const Ballast& ballast, const WoodDensity& density) {
  LaidPart part{.name = ballast.name,
                .kind = PartKind::ballast,
                .mass_g = ballast.mass_g,
                .centre_mm = ballast.at_mm};
  const double volume = volume_mm3(ballast.mass_g, ballast.density_g_cm3);
  take_wood(part, density.in_ball(ballast.at_mm, volume));
  return part;
}

LaidPart laid(const Pocket& pocket, const geometry::ClosedMesh& bare, const WoodDensity& density) {
  const Vec3 along = pocket.depth_mm * direction(pocket.axis);
  const Vec3 a = pocket.at_mm - along / 2;
  const double g_per_mm =
      pocket.filling_density_g_cm3 / mm3_per_cm3 * section_mm2(pocket.diameter_mm);
  Heap wood;
  Heap filling;
  for (const auto& [from, to] : geometry::inside_parts(bare, a, a + along)) {
    wood.add(density.in_rod(a + from * along, a + to * along, pocket.diameter_mm));
    filling.add(g_per_mm * pocket.depth_mm * (to - from), a + (from + to) / 2 * along);
  }
  LaidPart part{.name = pocket.name,
                .kind = PartKind::pocket,
                .mass_g = filling.mass_g,
                .centre_mm = filling.centre_mm(pocket.at_mm),
                .water_g = pocket.filled_with_water ? filling.mass_g : 0};
  take_wood(part, wood);
  return part;
}

bool same(const Wire& one, const Wire& other) {
  return one.name == other.name && one.density_g_cm3 == other.density_g_cm3 &&
         one.diameter_mm == other.diameter_mm && one.path_mm == other.path_mm &&
         one.weighed_g == other.weighed_g;
}

bool same(const Pocket& one, const Pocket& other) {
  return one.name == other.name && one.at_mm == other.at_mm &&
         one.diameter_mm == other.diameter_mm && one.depth_mm == other.depth_mm &&
         one.axis == other.axis && one.filling_density_g_cm3 == other.filling_density_g_cm3 &&
         one.filled_with_water == other.filled_with_water;
}

// The parts laid, as before where there was the same one.
template <class Part, class Cut>
std::vector<std::pair<Part, LaidPart>> laid_again(
    const std::vector<Part>& parts, const std::vector<std::pair<Part, LaidPart>>& before,
    const Cut& cut) {
  std::vector<std::pair<Part, LaidPart>> laid;
  for (const Part& part : parts) {
    const auto known = std::find_if(before.begin(), before.end(),
                                    [&](const auto& old) { return same(old.first, part); });
    laid.emplace_back(part, known != before.end() ? known->second : cut(part));
  }
  return laid;
}

LaidPart laid(const Hook& hook) {
  return {.name = hook.name,
          .kind = PartKind::hook,
          .mass_g = hook.mass_g,
          .centre_mm = hook.eye_mm,
          .outside = {hanging_line(hook)}};
}

LaidPart laid(const Outside& outside) {
  const SpreadPart rigid{.name = outside.name,
                         .at_mm = outside.at_mm,
                         .volume_mm3 = volume_mm3(outside.mass_g, outside.density_g_cm3),
                         .below_mm = half_a_points_line_mm,
                         .above_mm = half_a_points_line_mm};
  return {.name = outside.name,
          .kind = PartKind::outside,
          .mass_g = outside.mass_g,
          .centre_mm = outside.at_mm,
          .outside = {rigid}};
}

void find_totals(RiggedLure& lure, double water_g, double water_moment_g_mm) {
  Heap all;
  double added_g = 0;
  double hooks_g = 0;
  for (const MassPart& part : lure.parts) {
    all.add(part.mass_g, part.centre_mm);
    if (part.kind != PartKind::wood && part.kind != PartKind::finish) added_g += part.mass_g;
    if (part.kind == PartKind::hook) hooks_g += part.mass_g;
  }
  lure.mass_g = all.mass_g;
  lure.centre_of_mass_mm = all.moment_g_mm / all.mass_g;
  lure.ratio_g_per_100g_wood = 100 * added_g / lure.undrilled_wood_g;
  lure.ratio_without_hooks_g_per_100g_wood = 100 * (added_g - hooks_g) / lure.undrilled_wood_g;
  lure.dry_mass_g = all.mass_g - water_g;
  lure.dry_balance_mm = (all.moment_g_mm.x() - water_moment_g_mm) / lure.dry_mass_g;
}

}  // namespace

SpreadPart hanging_line(const Hook& hook) {
  return {.name = hook.name,
          .at_mm = hook.eye_mm,
          .volume_mm3 = volume_mm3(hook.mass_g, hook.density_g_cm3),
          .below_mm = std::max(2 * hook.hang_mm, least_hanging_line_mm),
          .above_mm = 0};
}

geometry::Moments with_coat(const geometry::Moments& bare, const geometry::Moments& outer,
                            const geometry::Moments& coated) {
  geometry::Moments sum;
  Vec3 first = Vec3::Zero();
  geometry::Mat3 second = geometry::Mat3::Zero();
  const auto add = [&](const geometry::Moments& part, double sign) {
    const double volume_mm3 = sign * part.volume_mm3;
    sum.volume_mm3 += volume_mm3;
    first += volume_mm3 * part.centroid_mm;
    second += volume_mm3 * part.centroid_mm * part.centroid_mm.transpose() + sign * part.spread_mm5;
  };
  add(bare, 1);
  add(coated, 1);
  add(outer, -1);
  sum.area_mm2 = bare.area_mm2 + coated.area_mm2 - outer.area_mm2;
  sum.centroid_mm = first / sum.volume_mm3;
  sum.spread_mm5 = second - sum.volume_mm3 * sum.centroid_mm * sum.centroid_mm.transpose();
  sum.inertia_mm5 = sum.spread_mm5.trace() * geometry::Mat3::Identity() - sum.spread_mm5;
  return sum;
}

struct Layout::Undrilled {
  WoodDensity density;
  Heap whole;
};

const geometry::BelowPlane& Layout::left() {
  if (!left_) left_ = geometry::moments_below(bare_, geometry::Plane{});
  return *left_;
}

Layout::Undrilled Layout::undrilled(const Rig& rig) {
  Undrilled wood;
  if (!rig.halves) {
    const double density = rig.wood_density_g_cm3 / mm3_per_cm3;
    wood.density = {density, density};
    wood.whole.add(density * whole_.volume_mm3, whole_.centroid_mm);
    return wood;
  }
  const geometry::BelowPlane& left_part = left();
  const double right_mm3 = whole_.volume_mm3 - left_part.volume_mm3;
  wood.density = {rig.halves->left_g / left_part.volume_mm3, rig.halves->right_g / right_mm3};
  wood.whole.add(rig.halves->left_g, left_part.first_moment_mm4 / left_part.volume_mm3);
  const Vec3 right_moment = whole_.volume_mm3 * whole_.centroid_mm - left_part.first_moment_mm4;
  wood.whole.add(rig.halves->right_g, right_moment / right_mm3);
  return wood;
}

Assembly Layout::lay(const Rig& rig, const geometry::Moments& coated) {
  const Undrilled wood = undrilled(rig);
  Assembly assembly{.undrilled_wood_g = wood.whole.mass_g,
                    .undrilled_wood_centre_mm = wood.whole.centre_mm(whole_.centroid_mm),
                    .wood_weighed = rig.wood_weighed || rig.halves.has_value(),
                    .wood_balanced = rig.wood_balance_mm.has_value(),
                    .finish_weighed = rig.finish && rig.finish->weighed_g,
                    .water_density_g_cm3 = rig.water.density_g_cm3,
                    .parts = {}};
  if (rig.wood_balance_mm) assembly.undrilled_wood_centre_mm.x() = *rig.wood_balance_mm;
  if (wood.density.left_g_mm3 != left_g_mm3_ || wood.density.right_g_mm3 != right_g_mm3_) {
    wires_.clear();
    pockets_.clear();
    left_g_mm3_ = wood.density.left_g_mm3;
    right_g_mm3_ = wood.density.right_g_mm3;
  }
  const auto cut = [&](const auto& part) { return laid(part, bare_, wood.density); };
  wires_ = laid_again(rig.wires, wires_, cut);
  pockets_ = laid_again(rig.pockets, pockets_, cut);
  std::vector<LaidPart>& parts = assembly.parts;
  if (rig.finish) parts.push_back(laid(*rig.finish, whole_, coated));
  for (const auto& [wire, part] : wires_) parts.push_back(part);
  for (const Ballast& ballast : rig.ballasts) parts.push_back(laid(ballast, wood.density));
  for (const auto& [pocket, part] : pockets_) parts.push_back(part);
  for (const Hook& hook : rig.hooks) parts.push_back(laid(hook));
  for (const Outside& outside : rig.outsides) parts.push_back(laid(outside));
  return assembly;
}

Assembly assemble(const geometry::ClosedMesh& bare, const geometry::Moments& whole, const Rig& rig,
                  const geometry::Moments& coated) {
  return Layout(bare, whole).lay(rig, coated);
}

RiggedLure add_up(const Assembly& assembly) {
  RiggedLure lure;
  lure.water_density_g_cm3 = assembly.water_density_g_cm3;
  lure.undrilled_wood_g = assembly.undrilled_wood_g;
  lure.blank_balance_mm = assembly.undrilled_wood_centre_mm.x();
  lure.parts.push_back({.name = "wood"});  // its figures follow once the holes are known
  Heap wood;
  wood.add(assembly.undrilled_wood_g, assembly.undrilled_wood_centre_mm);
  double water_g = 0;
  double water_moment_g_mm = 0;
  for (const LaidPart& part : assembly.parts) {
    wood.add(-part.wood_g, part.wood_centre_mm);
    water_g += part.water_g;
    water_moment_g_mm += part.water_g * part.centre_mm.x();
    for (const SpreadPart& outside : part.outside) {
      lure.outside.push_back(outside);
      lure.outside_volume_mm3 += outside.volume_mm3;
    }
    if (part.kind == PartKind::pocket && part.mass_g == 0) continue;  // nothing fills it
    lure.parts.push_back({part.name, part.mass_g, part.centre_mm, part.kind});
  }
  lure.parts.front().mass_g = wood.mass_g;
  lure.parts.front().centre_mm = wood.centre_mm(assembly.undrilled_wood_centre_mm);
  find_totals(lure, water_g, water_moment_g_mm);
  return lure;
}

LaidPart heavier(const LaidPart& part, double grams) {
  LaidPart changed = part;
  changed.mass_g += grams;
  if (part.mass_g == 0) return changed;
  const double factor = changed.mass_g / part.mass_g;
  changed.water_g *= factor;
  if (part.kind == PartKind::finish || part.kind == PartKind::pocket) return changed;
  changed.wood_g *= factor;
  for (SpreadPart& outside : changed.outside) outside.volume_mm3 *= factor;
  return changed;
}

LaidPart moved(const LaidPart& part, const Vec3& by_mm) {
  LaidPart changed = part;
  changed.centre_mm += by_mm;
  changed.wood_centre_mm += by_mm;
  for (SpreadPart& outside : changed.outside) outside.at_mm += by_mm;
  return changed;
}

Assembly with_wood_times(const Assembly& assembly, double factor) {
  Assembly changed = assembly;
  changed.undrilled_wood_g *= factor;
  for (LaidPart& part : changed.parts) part.wood_g *= factor;
  return changed;
}

Assembly without(const Assembly& assembly, std::size_t part) {
  Assembly changed = assembly;
  changed.parts.erase(changed.parts.begin() + static_cast<std::ptrdiff_t>(part));
  return changed;
}

Assembly on_scaled_body(const Assembly& assembly, double scale) {
  const double cubed = scale * scale * scale;
  Assembly changed = assembly;
  // Weighed wood in a body of scale³ the volume is that much lighter, and so is what a part of its
  // own volume takes of it.
  const double lighter = assembly.wood_weighed ? 1 / cubed : 1;
  changed.undrilled_wood_g *= lighter;
  if (assembly.wood_balanced) changed.undrilled_wood_centre_mm.x() /= scale;
  for (LaidPart& part : changed.parts) {
    if (part.kind == PartKind::finish) {  // as thick as ever over scale² the skin
      part.mass_g /= assembly.finish_weighed ? cubed : scale;
      continue;
    }
    part.mass_g /= cubed;
    part.water_g /= cubed;
    part.wood_g *= lighter / cubed;
    part.centre_mm /= scale;
    part.wood_centre_mm /= scale;
    for (SpreadPart& outside : part.outside) {
      outside.at_mm /= scale;
      outside.volume_mm3 /= cubed;
      outside.below_mm /= scale;
      outside.above_mm /= scale;
    }
  }
  return changed;
}

}  // namespace trueblank::rig
