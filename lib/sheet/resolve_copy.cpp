// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/resolve_copy.h"

#include <algorithm>
#include <utility>

#include "geometry/coat.h"
#include "geometry/cut.h"
#include "geometry/error.h"
#include "geometry/inside.h"
#include "geometry/moments.h"
#include "rig/limits.h"
#include "sheet/messages.h"
#include "sheet/resolve_parts.h"

namespace trueblank::sheet {
namespace {

double left_mm3(const body::FramedBody& body) {
  return geometry::moments_below(*body.body, geometry::Plane{}).volume_mm3;
}

// As dense as the master's, and as uneven.
Wood wood_of_copy(const rig::Rig& masters, const body::FramedBody& master,
                  const body::FramedBody& copy) {
  Wood wood{.density_g_cm3 = masters.wood_density_g_cm3};
  if (masters.halves) {
    const double left_of_master = left_mm3(master);
    const double left_of_copy = left_mm3(copy);
    const double whole_mm3 = copy.whole.volume_mm3;
    const double right_of_master = master.whole.volume_mm3 - left_of_master;
    const double right_of_copy = whole_mm3 - left_of_copy;
    const rig::Halves halves{
        .left_g = masters.halves->left_g * (left_of_copy / left_of_master),
        .right_g = masters.halves->right_g * (right_of_copy / right_of_master)};
    wood.density_g_cm3 = (halves.left_g + halves.right_g) / whole_mm3 * 1000;
    const bool both = std::min(left_of_copy, right_of_copy) > rig::least_side * whole_mm3;
    if (both) wood.halves = halves;
  }
  if (masters.wood_balance_mm) {
    wood.balance_mm =
        *masters.wood_balance_mm + (copy.whole.centroid_mm.x() - master.whole.centroid_mm.x());
  }
  return wood;
}

double coat_mm3(const ResolvedRig& rig, const body::FramedBody& body) {
  return geometry::moments(*rig.coated).volume_mm3 - geometry::moments(body.wet()).volume_mm3;
}

// One that was weighed is as dense as on the master.
void weigh_coat(ResolvedRig& rig, const body::FramedBody& copy, const ResolvedRig& masters,
                const body::FramedBody& master) {
  if (!rig.rig.finish || !masters.rig.finish->weighed_g) return;
  rig.rig.finish->weighed_g =
      *masters.rig.finish->weighed_g * (coat_mm3(rig, copy) / coat_mm3(masters, master));
}

bool goes_through(const geometry::ClosedMesh& body, const rig::Wire& wire) {
  double inside_mm = 0;
  for (std::size_t i = 1; i < wire.path_mm.size(); ++i) {
    const Vec3& a = wire.path_mm[i - 1];
    const Vec3& b = wire.path_mm[i];
    for (const auto& [from, to] : geometry::inside_parts(body, a, b)) {
      inside_mm += (to - from) * (b - a).norm();
    }
  }
  return inside_mm >= rig::same_point_mm;
}

// The master's parts where they are, where the copy has wood for them.
std::optional<ResolvedRig> at_masters_places(const ResolvedRig& masters, const Wood& wood,
                                             const body::FramedBody& copy) {
  const geometry::ClosedMesh& body = *copy.body;
  const auto within = [&](const auto& part) { return geometry::contains(body, part.at_mm); };
  const auto through = [&](const rig::Wire& wire) { return goes_through(body, wire); };
  if (!std::ranges::all_of(masters.rig.ballasts, within) ||
      !std::ranges::all_of(masters.rig.pockets, within) ||
      !std::ranges::all_of(masters.rig.wires, through)) {
    return {};
  }
  ResolvedRig rig = masters;
  rig.warnings.clear();
  rig.wishes = {};
  wood.put_into(rig.rig);
  if (rig.rig.finish) {
    rig.coated = geometry::with_outer_skin_moved(copy.wet(), rig.rig.finish->thickness_mm);
    if (!rig.coated || !(coat_mm3(rig, copy) > 0)) return {};
  }
  return rig;
}

}  // namespace

CopyRig resolve_copy(const Sheet& sheet, const body::FramedBody& master, const ResolvedRig& masters,
                     const body::FramedBody& copy) {
  const Wood wood = wood_of_copy(masters.rig, master, copy);
  CopyRig made{.wood_density_g_cm3 = wood.density_g_cm3};
  try {
    made.rig = resolve_parts(sheet.contents(), copy, &wood);
    for (const std::string& warning : made.rig->warnings) {
      if (std::ranges::find(masters.warnings, warning) != masters.warnings.end()) continue;
      made.warnings.push_back(of_the_copy(warning));
    }
  } catch (const geometry::InputError& why) {
    made.rig = at_masters_places(masters, wood, copy);
    made.places_as_in_master = made.rig.has_value();
    made.warnings.push_back(made.rig ? copy_rigged_as_master(why) : copy_not_rigged(why));
  }
  if (made.rig) {
    made.rig->warnings = made.warnings;
    weigh_coat(*made.rig, copy, masters, master);
  }
  return made;
}

}  // namespace trueblank::sheet
