// SPDX-License-Identifier: GPL-3.0-or-later
// F. N. Fritsch, R. E. Carlson, "Monotone piecewise cubic interpolation", SIAM Journal on Numerical
// Analysis 17(2), 1980. What is joined are squares, so that conic sections stay what they are:
// along a cylinder, a cone, an ellipsoid, a paraboloid the square of the half width is a parabola,
// whose slopes three neighbours give exactly.
#include "body/sections.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace trueblank::body {
namespace {

/// A monotone curve through values at rising stations.
class Curve {
 public:
  Curve(const std::vector<double>& stations_mm, std::vector<double> values)
      : x_(stations_mm), f_(std::move(values)), slopes_(x_.size(), 0.0) {
    set_slopes();
    limit_slopes();
  }

  [[nodiscard]] double at(double station_mm) const {
    const auto above = std::ranges::upper_bound(x_, station_mm);
    const std::size_t i = std::min<std::size_t>(
        x_.size() - 2,
        static_cast<std::size_t>(std::max<std::ptrdiff_t>(above - x_.begin(), 1)) - 1);
    const double step = x_[i + 1] - x_[i];
    const double t = (station_mm - x_[i]) / step;
    if (t <= 0) return f_[i];
    if (t >= 1) return f_[i + 1];
    const double cubic = (slopes_[i] + slopes_[i + 1]) - 2 * rise(i);
    const double square = 3 * rise(i) - 2 * slopes_[i] - slopes_[i + 1];
    const double value = f_[i] + t * step * (slopes_[i] + t * (square + t * cubic));
    // Rounding alone can bring it past the ends.
    return std::clamp(value, std::min(f_[i], f_[i + 1]), std::max(f_[i], f_[i + 1]));
  }

 private:
  [[nodiscard]] double rise(std::size_t i) const {
    return (f_[i + 1] - f_[i]) / (x_[i + 1] - x_[i]);
  }

  // Of the parabola through a section and both neighbours; at an end, of the one that has the
  // neighbour's slope there. Level at a greatest or least section.
  void set_slopes() {
    const std::size_t last = x_.size() - 1;
    for (std::size_t i = 1; i < last; ++i) {
      const double before = rise(i - 1);
      const double after = rise(i);
      if (!(before * after > 0)) continue;
      const double fore = x_[i] - x_[i - 1];
      const double aft = x_[i + 1] - x_[i];
      slopes_[i] = (aft * before + fore * after) / (fore + aft);
    }
    const auto end_slope = [](double chord, double neighbour) {
      const double slope = 2 * chord - neighbour;
      return slope * chord > 0 ? slope : 0.0;
    };
    const bool two = last == 1;
    slopes_.front() = two ? rise(0) : end_slope(rise(0), slopes_[1]);
    slopes_.back() = two ? rise(0) : end_slope(rise(last - 1), slopes_[last - 1]);
  }

  void limit_slopes() {
    for (std::size_t i = 0; i + 1 < x_.size(); ++i) {
      const double chord = rise(i);
      if (chord == 0) {
        slopes_[i] = 0;
        slopes_[i + 1] = 0;
        continue;
      }
      const double length = std::hypot(slopes_[i], slopes_[i + 1]) / std::abs(chord);
      if (length <= 3) continue;
      slopes_[i] *= 3 / length;
      slopes_[i + 1] *= 3 / length;
    }
  }

  const std::vector<double>& x_;
  std::vector<double> f_;
  std::vector<double> slopes_;
};

/// A length that is nowhere negative, joined by its square, or straight between two sections.
class LengthCurve {
 public:
  LengthCurve(const std::vector<double>& stations_mm, const std::vector<double>& lengths_mm)
      : squared_(stations_mm.size() > 2),
        curve_(stations_mm, squared_ ? squares(lengths_mm) : lengths_mm) {}

  [[nodiscard]] double at(double station_mm) const {
    const double value = curve_.at(station_mm);
    return squared_ ? std::sqrt(value) : value;
  }

 private:
  static std::vector<double> squares(std::vector<double> lengths_mm) {
    for (double& length_mm : lengths_mm) length_mm *= length_mm;
    return lengths_mm;
  }

  bool squared_;
  Curve curve_;
};

SectionRing ring_of(const DrawnSection& section) {
  const double widest_mm =
      std::clamp(section.widest_mm.value_or(0), -section.below_mm, section.above_mm);
  return {.station_mm = section.station_mm,
          .half_width_mm = section.width_mm / 2,
          .widest_mm = widest_mm,
          .above_mm = section.above_mm - widest_mm,
          .below_mm = section.below_mm + widest_mm,
          .fullness_above = section.fullness_above,
          .fullness_below = section.fullness_below};
}

bool closed_end(const SectionRing& ring) {
  return ring.half_width_mm == 0 || ring.height_mm() == 0;
}

std::vector<double> listed(const std::vector<SectionRing>& rings, double SectionRing::*what) {
  std::vector<double> values;
  values.reserve(rings.size());
  for (const SectionRing& ring : rings) values.push_back(ring.*what);
  return values;
}

/// The spread stations less those that would crowd a section's own.
std::vector<double> between_sections(const std::vector<SectionRing>& sections, int along) {
  const double first = sections.front().station_mm;
  const double last = sections.back().station_mm;
  const std::vector<double> spread = spread_stations(first, last, closed_end(sections.front()),
                                                     closed_end(sections.back()), along);
  std::vector<double> kept;
  auto next = sections.begin();
  for (std::size_t i = 1; i + 1 < spread.size(); ++i) {
    while (next != sections.end() && next->station_mm < spread[i]) ++next;
    const double crowded = std::min(spread[i] - spread[i - 1], spread[i + 1] - spread[i]) / 3;
    const bool near_next = next != sections.end() && next->station_mm - spread[i] < crowded;
    const bool near_last =
        next != sections.begin() && spread[i] - std::prev(next)->station_mm < crowded;
    if (!near_next && !near_last) kept.push_back(spread[i]);
  }
  return kept;
}

}  // namespace

std::vector<SectionRing> rings_between(std::span<const DrawnSection> sections, int along) {
  assert(sections.size() >= 2);
  std::vector<SectionRing> rings;
  for (const DrawnSection& section : sections) rings.push_back(ring_of(section));
  const std::vector<double> stations_mm = listed(rings, &SectionRing::station_mm);
  const LengthCurve half_width(stations_mm, listed(rings, &SectionRing::half_width_mm));
  const LengthCurve above(stations_mm, listed(rings, &SectionRing::above_mm));
  const LengthCurve below(stations_mm, listed(rings, &SectionRing::below_mm));
  const Curve widest(stations_mm, listed(rings, &SectionRing::widest_mm));
  const Curve full_above(stations_mm, listed(rings, &SectionRing::fullness_above));
  const Curve full_below(stations_mm, listed(rings, &SectionRing::fullness_below));
  for (const double x : between_sections(rings, along)) {
    rings.push_back({.station_mm = x,
                     .half_width_mm = half_width.at(x),
                     .widest_mm = widest.at(x),
                     .above_mm = above.at(x),
                     .below_mm = below.at(x),
                     .fullness_above = full_above.at(x),
                     .fullness_below = full_below.at(x)});
  }
  std::ranges::sort(rings, {}, &SectionRing::station_mm);
  return rings;
}

geometry::TriangleMesh body_of_sections(std::span<const DrawnSection> sections,
                                        const Fineness& fineness) {
  return section_skin(rings_between(sections, fineness.along), fineness.around);
}

}  // namespace trueblank::body
