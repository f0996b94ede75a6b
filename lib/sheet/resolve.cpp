// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>
#include <numbers>
#include <utility>

#include "geometry/coat.h"
#include "geometry/cut.h"
#include "geometry/inside.h"
#include "rig/limits.h"
#include "rig/materials.h"
#include "sheet/build_sheet.h"
#include "sheet/contents.h"
#include "sheet/messages.h"
#include "sheet/read_sections.h"
#include "sheet/resolve_parts.h"
#include "sheet/resolve_wishes.h"

namespace trueblank::sheet {

namespace {

// Where it says so, these only choose when to speak up.
constexpr double least_wood_g_cm3 = 0.1;
constexpr double most_wood_g_cm3 = 1.2;
constexpr double unlike_species = 0.3;  // three times the usual 10 % spread within a species
constexpr double least_water_g_cm3 = 0.95;
constexpr double most_water_g_cm3 = 1.25;
constexpr double far_eye_mm = 30;
constexpr double unlike_halves = 0.1;
constexpr double unlike_wire = 0.1;  // a gauge up or down is some 20 % of the mass
// As deep as the middle of a set-in eye may lie.
constexpr double deep_outside_mm = 5;

class Resolver {
 public:
  Resolver(const Sheet::Contents& sheet, const body::FramedBody& framed, const Wood* wood)
      : sheet_(sheet), framed_(framed), skin_(*framed.body), given_wood_(wood) {}

  ResolvedRig resolve() {
    // A copy lies in its master's frame, wherever its own file has it.
    if (!is_copy()) {
      if (std::optional<std::string> line = line_elsewhere(sheet_, framed_)) warn(*std::move(line));
    }
    rig().water = sheet_.water;
    result_.tank = sheet_.tank;
    result_.tolerances = sheet_.tolerances;
    check_water("The water", sheet_.water);
    check_water("The tank's water", sheet_.tank);
    wood();
    if (framed_.outer && !sheet_.hints.cavity) {
      warn(cavity_taken_as_air(framed_.sound.mended.cavity_mm3));
    }
    if (sheet_.finish) finish(*sheet_.finish);
    for (const WrittenWire& wire : sheet_.wires) add(wire);
    for (const WrittenBallast& ballast : sheet_.ballasts) add(ballast);
    for (const WrittenPocket& pocket : sheet_.pockets) add(pocket);
    for (const WrittenHook& hook : sheet_.hooks) add(hook);
    for (const WrittenOutside& outside : sheet_.outsides) add(outside);
    if (inside_mm3_ > framed_.whole.volume_mm3) {
      warn(parts_exceed_wood(inside_mm3_, framed_.whole.volume_mm3));
    }
    if (sheet_.baseline) baseline(*sheet_.baseline);
    result_.line_eye = line_eye();
    return std::move(result_);
  }

 private:
  rig::Rig& rig() { return result_.rig; }

  [[nodiscard]] bool is_copy() const { return given_wood_ != nullptr; }

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

  void check_water(std::string_view which, const rig::Water& water) {
    if (water.density_g_cm3 < least_water_g_cm3 || water.density_g_cm3 > most_water_g_cm3) {
      warn(water_unusual(which, water.density_g_cm3));
    }
  }

  void wood() {
    if (is_copy()) return given_wood_->put_into(rig());
    const WrittenWood& wood = sheet_.wood;
    double density = wood.density_g_cm3.value_or(0);
    if (wood.halves) halves(*wood.halves);
    if (wood.weighed_g || wood.halves) {
      rig().wood_weighed = true;
      const double blank_g =
          wood.halves ? wood.halves->left_g + wood.halves->right_g : *wood.weighed_g;
      density = blank_g / framed_.whole.volume_mm3 * 1000;
      if (wood.density_g_cm3 && std::abs(density / *wood.density_g_cm3 - 1) > unlike_species) {
        warn(blank_unlike_species(density, wood.species, *wood.density_g_cm3));
      }
    }
    if (density < least_wood_g_cm3 || density > most_wood_g_cm3) {
      warn(wood_density_unusual(density));
    }
    rig().wood_density_g_cm3 = density;
    if (wood.balance_mm && (*wood.balance_mm < 0 || *wood.balance_mm > framed_.length_mm)) {
      throw balance_outside(place_text(wood.balance_spot), *wood.balance_mm, framed_.length_mm);
    }
    rig().wood_balance_mm = wood.balance_mm;
  }

  void halves(const rig::Halves& halves) {
    const double whole_mm3 = framed_.whole.volume_mm3;
    const double left_mm3 = geometry::moments_below(skin_, geometry::Plane{}).volume_mm3;
    const std::string place = place_text(sheet_.wood.halves_spot);
    if (left_mm3 < rig::least_side * whole_mm3) throw half_missing(place, "left");
    if (whole_mm3 - left_mm3 < rig::least_side * whole_mm3) throw half_missing(place, "right");
    const double apart_g = std::abs(halves.left_g - halves.right_g);
    if (apart_g > unlike_halves * (halves.left_g + halves.right_g) / 2) {
      warn(halves_differ(halves.left_g, halves.right_g));
    }
    rig().halves = halves;
  }

  void finish(const WrittenFinish& finish) {
    const double thickness_mm = finish.part.thickness_mm;
    // A coat lies on the outer skin alone, whatever a cavity holds.
    result_.coated = geometry::with_outer_skin_moved(framed_.wet(), thickness_mm);
    if (!result_.coated || geometry::moments(*result_.coated).volume_mm3 <=
                               geometry::moments(framed_.wet()).volume_mm3) {
      throw coat_folds(place_text(finish.thickness_spot), thickness_mm);
    }
    rig().finish = finish.part;
  }

  // The points of a path; all in a row apart.
  [[nodiscard]] std::vector<Vec3> path_of(const WrittenWire& written) const {
    std::vector<Vec3> path;
    for (const Place& place : written.path) {
      const Vec3 next = point(place);
      if (!path.empty() && (next - path.back()).norm() < rig::same_point_mm) {
        throw path_stands_still(place_text(place.spot), static_cast<int>(path.size()));
      }
      path.push_back(next);
    }
    return path;
  }

  void add(const WrittenWire& written) {
    rig::Wire wire = written.part;
    wire.path_mm = path_of(written);
    double length_mm = 0;
    double inside_mm = 0;
    for (std::size_t i = 1; i < wire.path_mm.size(); ++i) {
      const Vec3& a = wire.path_mm[i - 1];
      const Vec3& b = wire.path_mm[i];
      length_mm += (b - a).norm();
      for (const auto& [from, to] : geometry::inside_parts(skin_, a, b)) {
        inside_mm += (to - from) * (b - a).norm();
      }
    }
    if (inside_mm < rig::same_point_mm) throw wire_misses(place_text(written.path_spot), wire.name);
    const double quarter_circle = std::numbers::pi / 4;
    if (wire.weighed_g && wire.diameter_mm == 0) {
      const double volume_mm3 = *wire.weighed_g / wire.density_g_cm3 * 1000;
      wire.diameter_mm = std::sqrt(volume_mm3 / (quarter_circle * length_mm));
    }
    const double section_mm2 = quarter_circle * wire.diameter_mm * wire.diameter_mm;
    const double by_diameter_g = section_mm2 * length_mm * wire.density_g_cm3 / 1000;
    if (wire.weighed_g && std::abs(*wire.weighed_g / by_diameter_g - 1) > unlike_wire) {
      warn(wire_unlike_weight(wire.name, *wire.weighed_g, by_diameter_g));
    }
    inside_mm3_ += inside_mm * section_mm2;
    rig().wires.push_back(std::move(wire));
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

  // Refuses a part whose centre is outside the body; returns its depth under the skin.
  [[nodiscard]] double depth_inside_mm(std::string_view kind, const std::string& name,
                                       const Vec3& at, const Spot& spot) const {
    const geometry::SkinPoint skin = geometry::nearest_on_skin(skin_, at);
    if (!geometry::contains(skin_, at)) {
      throw part_outside(place_text(spot), kind, name, skin.distance_mm,
                         way_in(at, skin.nearest_mm));
    }
    return skin.distance_mm;
  }

  void add(const WrittenBallast& written) {
    rig::Ballast ballast = written.part;
    ballast.at_mm = point(written.at);
    const double depth_mm =
        depth_inside_mm("ballast", ballast.name, ballast.at_mm, written.at.spot);
    const double volume_mm3 = ballast.mass_g / ballast.density_g_cm3 * 1000;
    const double ball_mm = 2 * std::cbrt(volume_mm3 * 3 / (4 * std::numbers::pi));
    if (ball_mm / 2 > depth_mm) warn(ballast_pokes_out(ballast.name, ball_mm, depth_mm));
    inside_mm3_ += volume_mm3;
    rig().ballasts.push_back(std::move(ballast));
  }

  void add(const WrittenPocket& written) {
    rig::Pocket pocket = written.part;
    pocket.at_mm = point(written.at);
    const double depth_mm = depth_inside_mm("pocket", pocket.name, pocket.at_mm, written.at.spot);
    if (pocket.filled_with_water) pocket.filling_density_g_cm3 = sheet_.water.density_g_cm3;
    const Vec3 along = pocket.depth_mm / 2 * rig::direction(pocket.axis);
    double inside = 0;
    for (const auto& [from, to] :
         geometry::inside_parts(skin_, pocket.at_mm - along, pocket.at_mm + along)) {
      inside += to - from;
    }
    const double corner_mm = std::hypot(pocket.depth_mm, pocket.diameter_mm) / 2;
    if (depth_mm < corner_mm && reaches_out(pocket, along)) warn(pocket_reaches_out(pocket.name));
    const double section_mm2 = std::numbers::pi / 4 * pocket.diameter_mm * pocket.diameter_mm;
    inside_mm3_ += inside * pocket.depth_mm * section_mm2;
    rig().pockets.push_back(std::move(pocket));
  }

  // Whether the hole's flat ends leave the body at their middles or at four points of their rims.
  [[nodiscard]] bool reaches_out(const rig::Pocket& pocket, const Vec3& along) const {
    const Vec3 sides[] = {Vec3::UnitX(), Vec3::UnitY(), Vec3::UnitZ()};
    for (const Vec3& end : {Vec3(pocket.at_mm - along), Vec3(pocket.at_mm + along)}) {
      if (!geometry::contains(skin_, end)) return true;
      for (const Vec3& side : sides) {
        if (side == rig::direction(pocket.axis)) continue;
        const Vec3 rim = pocket.diameter_mm / 2 * side;
        if (!geometry::contains(skin_, end + rim) || !geometry::contains(skin_, end - rim)) {
          return true;
        }
      }
    }
    return false;
  }

  void check_eye(const std::string& name, const Vec3& eye_mm) {
    const geometry::SkinPoint skin = geometry::nearest_on_skin(skin_, eye_mm);
    if (skin.distance_mm > far_eye_mm && !geometry::contains(skin_, eye_mm)) {
      warn(eye_far_away(name, skin.distance_mm));
    }
  }

  void add(const WrittenHook& written) {
    rig::Hook hook = written.part;
    hook.eye_mm = point(written.eye);
    check_eye(hook.name, hook.eye_mm);
    rig().hooks.push_back(std::move(hook));
  }

  void add(const WrittenOutside& written) {
    rig::Outside outside = written.part;
    outside.at_mm = point(written.at);
    const double depth_mm = geometry::nearest_on_skin(skin_, outside.at_mm).distance_mm;
    if (depth_mm > deep_outside_mm && geometry::contains(skin_, outside.at_mm)) {
      warn(outside_is_inside(outside.name, depth_mm));
    }
    rig().outsides.push_back(std::move(outside));
  }

  void baseline(const WrittenBaseline& written) {
    const rig::Baseline line{.nose_mm = point(written.nose), .tail_mm = point(written.tail)};
    if ((line.tail_mm - line.nose_mm).norm() < rig::same_point_mm) {
      throw baseline_too_short(place_text(written.spot));
    }
    if (line.nose_mm.x() > line.tail_mm.x()) warn(baseline_backwards());
    result_.baseline = line;
  }

  [[nodiscard]] std::optional<LineEye> line_eye() {
    if (sheet_.line_eye.at) {
      const LineEye eye{.name = "line eye", .at_mm = point(*sheet_.line_eye.at)};
      check_eye(eye.name, eye.at_mm);
      return eye;
    }
    for (const rig::Hook& hook : rig().hooks) {
      if (hook.name == sheet_.line_eye.hook)
        return LineEye{.name = hook.name, .at_mm = hook.eye_mm};
    }
    std::optional<LineEye> foremost;
    for (const rig::Wire& wire : rig().wires) {
      for (const Vec3& end : {wire.path_mm.front(), wire.path_mm.back()}) {
        if (foremost && foremost->at_mm.x() <= end.x()) continue;
        foremost = LineEye{.name = "nose eye", .at_mm = end};
      }
    }
    return foremost;
  }

  const Sheet::Contents& sheet_;
  const body::FramedBody& framed_;
  const geometry::ClosedMesh& skin_;
  const Wood* given_wood_;  // of a copy: its master's, instead of the sheet's
  double inside_mm3_ = 0;
  ResolvedRig result_;
};

}  // namespace

ResolvedRig resolve_parts(const Sheet::Contents& sheet, const body::FramedBody& body,
                          const Wood* wood) {
  return Resolver(sheet, body, wood).resolve();
}

ResolvedRig resolve(const Sheet& sheet, const body::FramedBody& body, Places places) {
  const Sheet::Contents& contents = sheet.contents();
  ResolvedRig resolved = resolve_parts(contents, body);
  resolved.wishes = resolve_wishes(contents, body, resolved.rig);
  if (places == Places::left_empty && sheet.has_places()) {
    resolved.warnings.push_back(places_left_empty(contents.places.size()));
  }
  return resolved;
}

}  // namespace trueblank::sheet
