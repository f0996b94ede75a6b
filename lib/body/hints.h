// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <string_view>
#include <utility>

#include "geometry/frame.h"
#include "intake/mend.h"
#include "symmetry/mirror_plane.h"

// What is known of a body beside its file.
namespace trueblank::body {

using geometry::Vec3;

enum class Unit { mm, cm, m, in };
[[nodiscard]] double mm_per(Unit unit);
[[nodiscard]] std::string_view unit_name(Unit unit);  ///< "mm"
[[nodiscard]] std::optional<Unit> unit_named(std::string_view name);

/// A direction in file axes: "+x" … "-z" (a bare "x" is "+x") or a vector "0.3,-0.9,0.1"; of unit
/// length in return. Nothing where the text is neither.
[[nodiscard]] std::optional<Vec3> direction_named(std::string_view text);

/// A dunk test: the bare blank, sealed, held just under. What it displaces is its volume.
struct Dunk {
  double displaced_g = 0;          ///< > 0, of water
  double water_density_g_cm3 = 0;  ///< > 0, of the bucket's water
  bool from_push = false;          ///< the push and the blank's weight were given, not their sum

  [[nodiscard]] double volume_mm3() const { return displaced_g / water_density_g_cm3 * 1000; }
};

/// What is in a hollow body's cavity: air, closed in, so that the outer skin displaces; or the
/// water around, so that only the stuff of the body does.
enum class Cavity { air, flooded };

/// Command line over sheet over file over guess.
struct BodyHints {
  std::optional<Unit> units = {};
  std::optional<double> length_mm = {};
  std::optional<double> width_mm = {};   ///< along y of the body frame, by calliper: a check
  std::optional<double> height_mm = {};  ///< along z, likewise
  std::optional<Dunk> dunk = {};
  std::optional<Vec3> nose = {};        ///< direction, file axes
  std::optional<Vec3> nose_point = {};  ///< file axes, mm after scaling
  std::optional<Vec3> back = {};
  std::optional<intake::Mend> mend = {};  ///< where nothing is said: holes
  intake::Table table = intake::Table::unsaid;
  symmetry::Kernel kernel = symmetry::Kernel::robust;
  std::optional<geometry::Plane> plane = {};           ///< file axes, mm
  std::optional<std::array<Vec3, 3>> split_line = {};  ///< file axes, mm
  /// Where the wire comes out at nose and tail, file axes, mm: the plane holds both, and the back,
  /// which must be known.
  std::optional<std::pair<Vec3, Vec3>> eyes = {};
  bool best_sand = false;  ///< on from the plane that was found to that of the least wood lost
  std::optional<double> coat_mm = {};    ///< the scan is of the finished lure; this comes off
  std::optional<Cavity> cavity = {};     ///< where nothing is said: air
  std::optional<double> smooth_mm = {};  ///< ripples shorter than this are taken off
  std::optional<int> thin_facets = {};   ///< draws the body with no more facets
};

}  // namespace trueblank::body
