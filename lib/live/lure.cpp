// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/lure.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "geometry/coat.h"
#include "geometry/inside.h"
#include "live/live.h"
#include "rig/blank.h"
#include "rig/limits.h"

namespace trueblank::live {
namespace {

using geometry::Vec3;
using rig::PartKind;

constexpr double most_cells = 1e6;

Fault fault(int status, PartKind kind, std::size_t index = 0) {
  return {status, static_cast<double>(kind), static_cast<double>(index)};
}

// What of a wire's path is inside the body: all but the rigid parts that stand for the rest.
double inside_mm(const rig::Wire& wire, const rig::LaidPart& part) {
  double length_mm = 0;
  for (std::size_t i = 1; i < wire.path_mm.size(); ++i) {
    length_mm += (wire.path_mm[i] - wire.path_mm[i - 1]).norm();
  }
  for (const rig::SpreadPart& outside : part.outside) {
    length_mm -= outside.below_mm + outside.above_mm;
  }
  return length_mm;
}

Fault first_that_misses(const rig::Rig& rig, const rig::Assembly& assembly) {
  std::size_t wire = 0;
  for (const rig::LaidPart& part : assembly.parts) {
    if (part.kind != PartKind::wire) continue;
    if (inside_mm(rig.wires[wire], part) < rig::same_point_mm) {
      return fault(trueblank_live_wire_misses, PartKind::wire, wire);
    }
    ++wire;
  }
  return {};
}

bool was_there(const Vec3& at_mm, const auto& before) {
  return std::any_of(before.begin(), before.end(),
                     [&](const auto& part) { return part.at_mm == at_mm; });
}

// The part's place in the assembly.
std::optional<std::size_t> place_of(const rig::Assembly& assembly, PartKind kind,
                                    std::size_t index) {
  for (std::size_t i = 0; i < assembly.parts.size(); ++i) {
    if (assembly.parts[i].kind != kind) continue;
    if (index == 0) return i;
    --index;
  }
  return {};
}

}  // namespace

Lure::Lure(geometry::ClosedMesh bare, std::optional<geometry::ClosedMesh> outer)
    : bare_(std::move(bare)),
      outer_(std::move(outer)),
      whole_(geometry::moments(bare_)),
      layout_(bare_, whole_) {
  if (outer_) outer_whole_ = geometry::moments(*outer_);
}

std::unique_ptr<Lure::Skin> Lure::skin_under(double thickness_mm) const {
  const geometry::Moments& within = outer_whole_ ? *outer_whole_ : whole_;
  std::optional<geometry::ClosedMesh> moved;
  geometry::Moments whole = within;
  if (thickness_mm > 0) {
    moved = geometry::with_outer_skin_moved(wet(), thickness_mm);
    if (!moved) return {};
    whole = geometry::moments(*moved);
    if (whole.volume_mm3 <= within.volume_mm3) return {};
  }
  const geometry::Moments coated =
      outer_whole_ ? rig::with_coat(whole_, *outer_whole_, whole) : whole;
  return std::make_unique<Skin>(
      Skin{thickness_mm, whole, coated, geometry::MomentTree(moved ? *moved : wet())});
}

bool Lure::half_missing() {
  const double left_mm3 = layout_.left().volume_mm3;
  const double least_mm3 = rig::least_side * whole_.volume_mm3;
  return left_mm3 < least_mm3 || whole_.volume_mm3 - left_mm3 < least_mm3;
}

bool Lure::balances_off_the_body(const rig::Rig& rig) const {
  if (!rig.wood_balance_mm) return false;
  const auto stations = bare_.positions_mm().row(0);
  return !(*rig.wood_balance_mm >= std::min(0.0, stations.minCoeff()) &&
           *rig.wood_balance_mm <= stations.maxCoeff());
}

// Those that lie where one lay before are inside.
Fault Lure::first_outside(const rig::Rig& rig) const {
  static const rig::Rig none;
  const rig::Rig& before = laid_ ? laid_->rig : none;
  for (std::size_t i = 0; i < rig.ballasts.size(); ++i) {
    const Vec3& at_mm = rig.ballasts[i].at_mm;
    if (!was_there(at_mm, before.ballasts) && !geometry::contains(bare_, at_mm)) {
      return fault(trueblank_live_ballast_outside, PartKind::ballast, i);
    }
  }
  for (std::size_t i = 0; i < rig.pockets.size(); ++i) {
    const Vec3& at_mm = rig.pockets[i].at_mm;
    if (!was_there(at_mm, before.pockets) && !geometry::contains(bare_, at_mm)) {
      return fault(trueblank_live_pocket_outside, PartKind::pocket, i);
    }
  }
  return {};
}

Fault Lure::lay(WrittenRig written) {
  if (written.fault.status != trueblank_live_good) return written.fault;
  rig::Rig& rig = written.rig;
  if (rig.halves && half_missing()) return fault(trueblank_live_half_missing, PartKind::wood);
  if (balances_off_the_body(rig)) {
    return fault(trueblank_live_number_out_of_range, PartKind::wood);
  }
  if (written.wood_g) {
    rig.wood_density_g_cm3 = rig::blank_of_mass(whole_, *written.wood_g).density_g_cm3;
  }
  if (const Fault outside = first_outside(rig); outside.status != trueblank_live_good) {
    return outside;
  }
  const double thickness_mm = rig.finish ? rig.finish->thickness_mm : 0;
  std::unique_ptr<Skin> other;
  if (!skin_ || skin_->thickness_mm != thickness_mm) {
    other = skin_under(thickness_mm);
    if (!other) return fault(trueblank_live_coat_folds, PartKind::finish);
  }
  const Skin& skin = other ? *other : *skin_;
  rig::Assembly assembly = layout_.lay(rig, skin.coated);
  if (const Fault misses = first_that_misses(rig, assembly); misses.status != trueblank_live_good) {
    return misses;
  }
  rig::RiggedLure rigged = rig::add_up(assembly);
  // Holes for more than all the wood.
  if (!(rigged.mass_g > 0)) return fault(trueblank_live_number_out_of_range, PartKind::wood);
  water::Floater floater = water::floater(skin.tree, rigged);
  laid_ = std::make_unique<Laid>(Laid{std::move(rig), std::move(assembly), std::move(rigged),
                                      std::move(floater), written.baseline});
  if (other) skin_ = std::move(other);
  return {};
}

const water::Balance& Lure::balance() {
  if (!laid_->balance) laid_->balance = water::balance(laid_->floater);
  return *laid_->balance;
}

std::optional<water::Sensitivity> Lure::sensitivity() const {
  if (!laid_ || !laid_->balance || laid_->balance->poses.empty()) return {};
  return water::sensitivity(&skin_->tree, laid_->assembly, laid_->balance->poses.front(),
                            water::hook_sizes(laid_->assembly, laid_->rig.hooks));
}

std::optional<water::Sweep> Lure::map(const MapWish& wish) const {
  const bool has_both = wish.kind != PartKind::finish && wish.kind != PartKind::pocket;
  const std::optional<std::size_t> part = place_of(laid_->assembly, wish.kind, wish.index);
  const bool finite = std::isfinite(wish.place_from_mm) && std::isfinite(wish.place_to_mm) &&
                      std::isfinite(wish.mass_from_g) && std::isfinite(wish.mass_to_g);
  const bool over_nil = wish.mass_from_g > 0 && wish.mass_to_g > 0;
  const bool apart = wish.place_from_mm != wish.place_to_mm && wish.mass_from_g != wish.mass_to_g;
  if (!part || !has_both || !finite || !over_nil || !apart || wish.places < 2 || wish.masses < 2 ||
      static_cast<double>(wish.places) * wish.masses > most_cells) {
    return {};
  }
  static constexpr std::array places = {water::Swept::x, water::Swept::y, water::Swept::z};
  const rig::LaidPart& laid = laid_->assembly.parts[*part];
  const water::SweepAxis place{.what = places[static_cast<std::size_t>(wish.axis)],
                               .part = *part,
                               .place_mm = laid.centre_mm,
                               .inside = laid.kind == PartKind::ballast,
                               .nominal = laid.centre_mm(wish.axis),
                               .from = wish.place_from_mm,
                               .to = wish.place_to_mm,
                               .count = wish.places};
  water::SweepAxis mass = place;
  mass.what = water::Swept::mass;
  mass.nominal = laid.mass_g;
  mass.from = wish.mass_from_g;
  mass.to = wish.mass_to_g;
  mass.count = wish.masses;
  return water::sweep(&skin_->tree, bare_, laid_->assembly, {place, mass});
}

}  // namespace trueblank::live
