// SPDX-License-Identifier: GPL-3.0-or-later
// A box of wood in fresh water, by the installed libraries and by hand; exit code 1 where they
// differ.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <optional>

#include "geometry/mesh.h"
#include "geometry/moment_tree.h"
#include "geometry/moments.h"
#include "rig/mass_model.h"
#include "water/rest_poses.h"
#include "water/waterline.h"

namespace {

namespace geometry = trueblank::geometry;
namespace rig = trueblank::rig;
namespace water = trueblank::water;

constexpr double length_mm = 120;
constexpr double width_mm = 30;
constexpr double height_mm = 16;
constexpr double wood_g_cm3 = 0.45;

// Its middle in the origin, facets counter-clockwise from outside. A corner's number has a bit an
// axis: x, y, z.
std::optional<geometry::ClosedMesh> box() {
  geometry::TriangleMesh mesh;
  mesh.positions_mm.resize(3, 8);
  for (int corner = 0; corner < 8; ++corner) {
    const auto side = [corner](int axis) { return (corner >> axis & 1) - 0.5; };
    mesh.positions_mm.col(corner) << side(0) * length_mm, side(1) * width_mm, side(2) * height_mm;
  }
  mesh.facets.resize(3, 12);
  mesh.facets << 0, 0, 4, 4, 0, 0, 2, 2, 0, 0, 1, 1,  //
      2, 3, 5, 7, 1, 5, 6, 7, 4, 6, 3, 7,             //
      3, 1, 7, 6, 5, 4, 7, 3, 6, 2, 7, 5;
  return geometry::closed_mesh(std::move(mesh));
}

bool agree(const char* what, double found, double by_hand, double tolerance) {
  const bool same = std::abs(found - by_hand) <= tolerance;
  std::printf("%-22s %.9f, by hand %.9f%s\n", what, found, by_hand, same ? "" : ": NO");
  return same;
}

}  // namespace

int main() {
  const std::optional<geometry::ClosedMesh> body = box();
  if (!body) {
    std::puts("the box is not closed");
    return 1;
  }
  rig::Rig only_wood;
  only_wood.wood_density_g_cm3 = wood_g_cm3;
  only_wood.water = rig::water_at(0, 20);
  const rig::RiggedLure lure = rig::rigged(*body, geometry::moments(*body), only_wood);
  const geometry::MomentTree tree(*body);
  const water::Balance balance = water::balance(water::floater(tree, lure));

  // Fresh water at 20 degC: 998.206 kg/m3 by EOS-80 (Unesco 44, 1983).
  bool right = agree("water, g/cm3", only_wood.water.density_g_cm3, 0.998206, 1e-6);
  right &=
      agree("mass, g", balance.mass_g, length_mm * width_mm * height_mm * wood_g_cm3 / 1000, 1e-9);
  // Archimedes: lying flat it draws its height times the ratio of the densities. The middle is the
  // origin, so the water's surface is at that height less half the box's.
  const double draught_mm = height_mm * wood_g_cm3 / only_wood.water.density_g_cm3;
  const auto flat =
      std::ranges::find_if(balance.poses, [](const auto& pose) { return pose.up.z() > 1 - 1e-9; });
  if (flat == balance.poses.end() || !flat->waterline_offset_mm) {
    std::puts("it does not lie flat on its belly");
    return 1;
  }
  right &= agree("draught, mm", *flat->waterline_offset_mm + height_mm / 2, draught_mm, 1e-8);
  // Bouguer: GM = I/V + KB - KG, over the waterplane length x width.
  const double gm_mm = width_mm * width_mm / (12 * draught_mm) - (height_mm - draught_mm) / 2;
  right &= agree("roll GM, mm", flat->gm_roll_mm.value_or(0), gm_mm, 1e-6);
  return right ? 0 : 1;
}
