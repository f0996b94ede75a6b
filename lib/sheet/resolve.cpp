// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>
#include <numbers>
#include <utility>

#include "geometry/inside.h"
#include "rig/materials.h"
#include "sheet/build_sheet.h"
#include "sheet/contents.h"
#include "sheet/messages.h"

namespace trueblank::sheet {

namespace {

// Where it says so, these only choose when to speak up.
constexpr double least_wood_g_cm3 = 0.1;
constexpr double most_wood_g_cm3 = 1.2;
constexpr double unlike_species = 0.3;  // three times the usual 10 % spread within a species
constexpr double least_water_g_cm3 = 0.95;
constexpr double most_water_g_cm3 = 1.25;
constexpr double far_eye_mm = 30;
// Points of a path nearer than this are one: a hundredth of the thinnest paint.
constexpr double same_point_mm = 1e-4;

class Resolver {
 public:
  Resolver(const Sheet::Contents& sheet, const body::FramedBody& framed)
      : sheet_(sheet), framed_(framed), skin_(*framed.body) {}

  ResolvedRig resolve() {
    result_.rig.water = sheet_.water;
    if (sheet_.water.density_g_cm3 < least_water_g_cm3 ||
        sheet_.water.density_g_cm3 > most_water_g_cm3) {
      warn(water_unusual(sheet_.water.density_g_cm3));
    }
    wood();
    for (const WrittenWire& wire : sheet_.wires) add(wire);
    for (const WrittenBallast& ballast : sheet_.ballasts) add(ballast);
    for (const WrittenHook& hook : sheet_.hooks) add(hook);
    if (inside_mm3_ > framed_.whole.volume_mm3) {
      warn(parts_exceed_wood(inside_mm3_, framed_.whole.volume_mm3));
    }
    return std::move(result_);
  }

 private:
  void warn(std::string sentence) { result_.warnings.push_back(std::move(sentence)); }

  [[nodiscard]] std::string place_text(const Spot& spot) const { return where(sheet_.file, spot); }

  [[nodiscard]] Vec3 point(const Place& place) const {
    if (place.from == Place::From::axes) return place.axes_mm;
    const double x = place.station_mm;
    if (x < 0 || x > framed_.length_mm) {
      throw station_outside(place_text(place.spot), x, framed_.length_mm);
    }
    const std::optional<std::pair<double, double>> heights =
        geometry::skin_heights_mm(skin_, x, place.right_mm);
    if (!heights) throw line_misses(place_text(place.spot), x, place.right_mm);
    const auto [belly, back] = *heights;
    double z = 0;
    switch (place.from) {
      case Place::From::above_belly:
        z = belly + place.distance_mm;
        break;
      case Place::From::below_belly:
        z = belly - place.distance_mm;
        break;
      case Place::From::below_back:
        z = back - place.distance_mm;
        break;
      case Place::From::above_back:
        z = back + place.distance_mm;
        break;
      case Place::From::axes:
        break;
    }
    return {x, place.right_mm, z};
  }

  void wood() {
    const WrittenWood& wood = sheet_.wood;
    double density = wood.density_g_cm3.value_or(0);
    if (wood.weighed_g) {
      density = *wood.weighed_g / framed_.whole.volume_mm3 * 1000;
      if (wood.density_g_cm3 && std::abs(density / *wood.density_g_cm3 - 1) > unlike_species) {
        warn(blank_unlike_species(density, wood.species, *wood.density_g_cm3));
      }
    }
    if (density < least_wood_g_cm3 || density > most_wood_g_cm3) {
      warn(wood_density_unusual(density));
    }
    result_.rig.wood_density_g_cm3 = density;
  }

  void add(const WrittenWire& written) {
    rig::Wire wire = written.part;
    double inside_mm = 0;
    for (const Place& place : written.path) {
      const Vec3 next = point(place);
      if (!wire.path_mm.empty()) {
        const Vec3& last = wire.path_mm.back();
        const double length_mm = (next - last).norm();
        if (length_mm < same_point_mm) {
          throw path_stands_still(place_text(place.spot), static_cast<int>(wire.path_mm.size()));
        }
        for (const auto& [from, to] : geometry::inside_parts(skin_, last, next)) {
          inside_mm += (to - from) * length_mm;
        }
      }
      wire.path_mm.push_back(next);
    }
    if (inside_mm < same_point_mm) throw wire_misses(place_text(written.path_spot), wire.name);
    inside_mm3_ += inside_mm * std::numbers::pi / 4 * wire.diameter_mm * wire.diameter_mm;
    result_.rig.wires.push_back(std::move(wire));
  }

  // How to bring a point into the body: straight up or down where there is wood above or below,
  // by whole tenths of a millimetre; else past the nearest skin.
  [[nodiscard]] WayIn way_in(const Vec3& at, const Vec3& nearest) const {
    const std::optional<std::pair<double, double>> heights =
        geometry::skin_heights_mm(skin_, at.x(), at.y());
    if (heights && at.z() < heights->first) {
      const double z = std::floor(heights->first * 10 + 1) / 10;
      if (geometry::contains(skin_, {at.x(), at.y(), z})) return {.up_to_z_mm = z};
    }
    if (heights && at.z() > heights->second) {
      const double z = std::ceil(heights->second * 10 - 1) / 10;
      if (geometry::contains(skin_, {at.x(), at.y(), z})) return {.down_to_z_mm = z};
    }
    return {.nearest_mm = nearest};
  }

  void add(const WrittenBallast& written) {
    rig::Ballast ballast = written.part;
    ballast.at_mm = point(written.at);
    const geometry::SkinPoint skin = geometry::nearest_on_skin(skin_, ballast.at_mm);
    if (!geometry::contains(skin_, ballast.at_mm)) {
      throw ballast_outside(place_text(written.at.spot), ballast.name, skin.distance_mm,
                            way_in(ballast.at_mm, skin.nearest_mm));
    }
    const double volume_mm3 = ballast.mass_g / ballast.density_g_cm3 * 1000;
    const double ball_mm = 2 * std::cbrt(volume_mm3 * 3 / (4 * std::numbers::pi));
    if (ball_mm / 2 > skin.distance_mm) {
      warn(ballast_pokes_out(ballast.name, ball_mm, skin.distance_mm));
    }
    inside_mm3_ += volume_mm3;
    result_.rig.ballasts.push_back(std::move(ballast));
  }

  void add(const WrittenHook& written) {
    rig::Hook hook = written.part;
    hook.eye_mm = point(written.eye);
    const geometry::SkinPoint skin = geometry::nearest_on_skin(skin_, hook.eye_mm);
    if (skin.distance_mm > far_eye_mm && !geometry::contains(skin_, hook.eye_mm)) {
      warn(eye_far_away(hook.name, skin.distance_mm));
    }
    result_.rig.hooks.push_back(std::move(hook));
  }

  const Sheet::Contents& sheet_;
  const body::FramedBody& framed_;
  const geometry::ClosedMesh& skin_;
  double inside_mm3_ = 0;
  ResolvedRig result_;
};

}  // namespace

ResolvedRig resolve(const Sheet& sheet, const body::FramedBody& body) {
  return Resolver(sheet.contents(), body).resolve();
}

}  // namespace trueblank::sheet
