// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/photograph.h"

#include <cmath>
#include <numbers>

#include "notebook/messages.h"

namespace trueblank::notebook {

namespace {

constexpr double steepest_waterline_deg = 60;
constexpr double deg_per_rad = 180 / std::numbers::pi;

struct Step {
  double x = 0;
  double y = 0;

  [[nodiscard]] double length() const { return std::hypot(x, y); }
};

Step from_to(const PicturePoint& a, const PicturePoint& b) { return {b.x - a.x, b.y - a.y}; }

void check_finite(const PicturePoint& point) {
  if (!std::isfinite(point.x) || !std::isfinite(point.y)) {
    throw not_finite("a point of the photograph");
  }
}

}  // namespace

MeasuredAngle tail_down_in(const Photograph& photograph, double marking_px) {
  for (const PicturePoint& point :
       {photograph.nose, photograph.tail, photograph.water_1, photograph.water_2}) {
    check_finite(point);
  }
  const Step body = from_to(photograph.nose, photograph.tail);
  Step water = from_to(photograph.water_1, photograph.water_2);
  if (!(body.length() > 0)) throw points_alike("nose", "tail");
  if (!(water.length() > 0)) throw points_alike("the waterline's one end", "its other");
  if (water.x < 0) water = {-water.x, -water.y};
  const double steep_deg = std::atan2(std::abs(water.y), water.x) * deg_per_rad;
  if (steep_deg > steepest_waterline_deg) throw waterline_steep(steep_deg);
  // Along the water to the right, and square to it; y of a picture points down, and so does this.
  const double along = body.x * water.x + body.y * water.y;
  const double down = body.y * water.x - body.x * water.y;
  MeasuredAngle measured;
  measured.deg = std::atan2(down, std::abs(along)) * deg_per_rad;
  // Each line's direction is off by √2 of a point's error over its length; the two add as squares.
  measured.sd_deg = std::numbers::sqrt2 * marking_px *
                    std::hypot(1 / body.length(), 1 / water.length()) * deg_per_rad;
  return measured;
}

}  // namespace trueblank::notebook
