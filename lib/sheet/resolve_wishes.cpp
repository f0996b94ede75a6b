// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/resolve_wishes.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "geometry/inside.h"
#include "sheet/messages.h"

namespace trueblank::sheet {

namespace {

using geometry::ClosedMesh;
using rig::HeightFrom;
using rig::HoleAxis;
using rig::Range;
using rig::WeightPlace;

// Points along each range of a place in which it is looked for in the body. A body that is missed
// by all of them is sought further from the nearest.
constexpr int points_along = 9;
constexpr int steps_nearer = 30;
// Past the skin by so much, where a point was led to it from outside.
constexpr double past_skin_mm = 0.02;

double middle(const Range& range) { return (range.low + range.high) / 2; }

std::vector<double> points_of(const Range& range) {
  if (range.fixed()) return {range.low};
  std::vector<double> points;
  for (int i = 0; i < points_along; ++i) {
    const double part = static_cast<double>(i) / (points_along - 1);
    points.push_back(range.low + part * (range.high - range.low));
  }
  return points;
}

// Looks for a point of a place's ranges that is in the body.
class PlaceSearch {
 public:
  PlaceSearch(const ClosedMesh& skin, const WeightPlace& place) : skin_(skin), place_(place) {}

  // Whether there is one. Else `nearest()` is as near as it comes.
  [[nodiscard]] bool is_in_body() {
    if (any_inside(middle(place_.x_mm), middle(place_.y_mm))) return true;
    for (const double x : points_of(place_.x_mm)) {
      for (const double y : points_of(place_.y_mm)) {
        if (any_inside(x, y)) return true;
      }
    }
    return leads_inside(nearest_at_);
  }

  [[nodiscard]] const geometry::SkinPoint& nearest() const { return nearest_; }

 private:
  // Of the heights that the place has at (x, y).
  bool any_inside(double x, double y) {
    const std::optional<std::pair<double, double>> skin = geometry::skin_heights_mm(skin_, x, y);
    // Where the line goes through the body, one of all heights is in it.
    if (!place_.height_mm && skin && skin->first < skin->second) return true;
    if (!place_.height_mm || (place_.height_from != HeightFrom::axis && !skin)) {
      return inside({x, y, 0});
    }
    const Range z = z_of(*place_.height_mm, skin);
    if (skin && z.low < skin->second && z.high > skin->first) {
      const Range within{.low = std::max(z.low, skin->first),
                         .high = std::min(z.high, skin->second)};
      if (inside({x, y, middle(within)})) return true;
    }
    return std::ranges::any_of(points_of(z), [&](double at) { return inside({x, y, at}); });
  }

  // A range of heights along z.
  [[nodiscard]] Range z_of(const Range& height,
                           const std::optional<std::pair<double, double>>& skin) const {
    switch (place_.height_from) {
      case HeightFrom::above_belly:
        return {.low = skin->first + height.low, .high = skin->first + height.high};
      case HeightFrom::below_back:
        return {.low = skin->second - height.high, .high = skin->second - height.low};
      case HeightFrom::axis:
        break;
    }
    return height;
  }

  bool inside(const Vec3& at) {
    if (geometry::contains(skin_, at)) return true;
    const geometry::SkinPoint skin = geometry::nearest_on_skin(skin_, at);
    if (skin.distance_mm < nearest_.distance_mm) {
      nearest_ = skin;
      nearest_at_ = at;
    }
    return false;
  }

  // From the nearest point found on to the skin and back into the ranges, time and again: what is
  // in the body may lie between the points of the grid.
  bool leads_inside(Vec3 at) {
    if (place_.height_mm && place_.height_from != HeightFrom::axis) return false;
    for (int i = 0; i < steps_nearer; ++i) {
      const geometry::SkinPoint skin = geometry::nearest_on_skin(skin_, at);
      if (skin.distance_mm == 0) return false;
      const Vec3 inward = (skin.nearest_mm - at) / skin.distance_mm;
      const Vec3 next = within_ranges(skin.nearest_mm + past_skin_mm * inward);
      if (inside(next)) return true;
      if ((next - at).norm() < past_skin_mm / 100) return false;
      at = next;
    }
    return false;
  }

  [[nodiscard]] Vec3 within_ranges(const Vec3& at) const {
    return {place_.x_mm.clamped(at.x()), place_.y_mm.clamped(at.y()),
            place_.height_mm ? place_.height_mm->clamped(at.z()) : at.z()};
  }

  const ClosedMesh& skin_;
  const WeightPlace& place_;
  geometry::SkinPoint nearest_{.distance_mm = std::numeric_limits<double>::infinity()};
  Vec3 nearest_at_ = Vec3::Zero();
};

// How wide and how high the body is between two stations: no section between them is more.
struct Extent {
  double wide_mm = 0;
  double high_mm = 0;
};

Extent extent_between(const ClosedMesh& body, const Range& x) {
  constexpr double infinite = std::numeric_limits<double>::infinity();
  Vec3 least = Vec3::Constant(infinite);
  Vec3 most = Vec3::Constant(-infinite);
  for (int facet = 0; facet < body.facet_count(); ++facet) {
    for (int corner = 0; corner < 3; ++corner) {
      const Vec3 a = body.corner(facet, corner);
      const Vec3 b = body.corner(facet, (corner + 1) % 3);
      if (std::max(a.x(), b.x()) < x.low || std::min(a.x(), b.x()) > x.high) continue;
      for (const double station : {x.clamped(a.x()), x.clamped(b.x())}) {
        const double part = a.x() == b.x() ? 0 : (station - a.x()) / (b.x() - a.x());
        const Vec3 at = a + part * (b - a);
        least = least.cwiseMin(at);
        most = most.cwiseMax(at);
      }
      if (a.x() == b.x()) {
        least = least.cwiseMin(b);
        most = most.cwiseMax(b);
      }
    }
  }
  return {.wide_mm = std::max(0.0, most.y() - least.y()),
          .high_mm = std::max(0.0, most.z() - least.z())};
}

void check_hole(const WrittenWeightPlace& written, const ClosedMesh& body,
                const std::string& file) {
  const WeightPlace& place = written.part;
  if (place.diameters_mm.empty()) return;
  const double least_mm = place.diameters_mm.front();
  const Extent extent = extent_between(body, place.x_mm);
  const auto refuse = [&](double body_mm, std::string_view across) {
    throw hole_too_wide(where(file, written.diameter_spot), place.name, least_mm, body_mm, across);
  };
  if (place.axis != HoleAxis::across && least_mm > extent.wide_mm) refuse(extent.wide_mm, "wide");
  if (place.axis != HoleAxis::upright && least_mm > extent.high_mm) refuse(extent.high_mm, "high");
}

rig::HookChoice choice_of(const WrittenHook& hook, std::size_t index, const Vec3& eye_mm) {
  rig::HookChoice choice{.hook = index,
                         .masses_g = hook.sizes_g,
                         .eye_x_mm = hook.eye_x_mm,
                         .eye_from = HeightFrom::axis,
                         .eye_height_mm = eye_mm.z()};
  const double distance_mm = hook.eye.distance_mm;
  switch (hook.eye.from) {
    case Place::From::above_belly:
    case Place::From::below_belly:
      choice.eye_from = HeightFrom::above_belly;
      choice.eye_height_mm = hook.eye.from == Place::From::above_belly ? distance_mm : -distance_mm;
      break;
    case Place::From::below_back:
    case Place::From::above_back:
      choice.eye_from = HeightFrom::below_back;
      choice.eye_height_mm = hook.eye.from == Place::From::below_back ? distance_mm : -distance_mm;
      break;
    case Place::From::axes:
      break;
  }
  return choice;
}

// The eye's hanger is on the body, wherever it goes; a height from the skin needs skin there.
void check_eye_x(const WrittenHook& hook, const Vec3& eye_mm, const body::FramedBody& framed,
                 const std::string& file) {
  if (!hook.eye_x_mm) return;
  const std::string place = where(file, hook.eye_x_spot);
  for (const double x : {hook.eye_x_mm->low, hook.eye_x_mm->high}) {
    if (x < 0 || x > framed.length_mm) throw eye_beyond_body(place, x, framed.length_mm);
  }
  if (hook.eye.from == Place::From::axes) return;
  for (const double x : points_of(*hook.eye_x_mm)) {
    if (!geometry::skin_heights_mm(*framed.body, x, eye_mm.y())) {
      throw line_misses(place, x, eye_mm.y());
    }
  }
}

}  // namespace

rig::Wishes resolve_wishes(const Sheet::Contents& sheet, const body::FramedBody& body,
                           const rig::Rig& rig) {
  rig::Wishes wishes;
  if (sheet.target) wishes.target = sheet.target->part;
  for (const WrittenWeightPlace& written : sheet.places) {
    PlaceSearch search(*body.body, written.part);
    if (!search.is_in_body()) {
      throw place_outside(where(sheet.file, written.spot), written.part.name,
                          search.nearest().distance_mm, search.nearest().nearest_mm);
    }
    check_hole(written, *body.body, sheet.file);
    wishes.places.push_back(written.part);
  }
  for (std::size_t i = 0; i < sheet.hooks.size(); ++i) {
    const WrittenHook& hook = sheet.hooks[i];
    if (!hook.has_choice()) continue;
    check_eye_x(hook, rig.hooks[i].eye_mm, body, sheet.file);
    wishes.hooks.push_back(choice_of(hook, i, rig.hooks[i].eye_mm));
  }
  return wishes;
}

}  // namespace trueblank::sheet
