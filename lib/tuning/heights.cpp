// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/heights.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/inside.h"

namespace trueblank::tuning {
namespace {

constexpr double spacing_x_mm = 1;
constexpr double spacing_y_mm = 0.5;
constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

struct Place {
  int cell = 0;
  double part = 0;  // 0..1 within the cell
};

Place place_on(double low, double step, int nodes, double value) {
  if (nodes == 1) return {};
  const double at = std::clamp((value - low) / step, 0.0, static_cast<double>(nodes - 1));
  const int cell = std::min(static_cast<int>(at), nodes - 2);
  return {cell, at - cell};
}

}  // namespace

SkinHeights::SkinHeights(const geometry::ClosedMesh& body, const rig::Range& x_mm,
                         const rig::Range& y_mm, Side side) {
  const auto axis_of = [](const rig::Range& range, double spacing) {
    const int cells = static_cast<int>(std::ceil((range.high - range.low) / spacing));
    return Axis{.low = range.low,
                .step = cells > 0 ? (range.high - range.low) / cells : 1,
                .nodes = cells + 1};
  };
  x_ = axis_of(x_mm, spacing_x_mm);
  y_ = axis_of(y_mm, spacing_y_mm);
  z_mm_.assign(static_cast<std::size_t>(x_.nodes) * static_cast<std::size_t>(y_.nodes), unknown);
  for (int iy = 0; iy < y_.nodes; ++iy) {
    for (int ix = 0; ix < x_.nodes; ++ix) {
      const auto heights =
          geometry::skin_heights_mm(body, x_.low + ix * x_.step, y_.low + iy * y_.step);
      if (!heights) continue;
      any_ = true;
      z_mm_[static_cast<std::size_t>(iy * x_.nodes + ix)] =
          side == Side::belly ? heights->first : heights->second;
    }
  }
  if (!any_) {
    std::ranges::fill(z_mm_, 0.0);
    return;
  }
  // Beyond the body: as at the nearest node that has a height, along x where the row has one.
  const std::vector<double> known = z_mm_;
  for (int iy = 0; iy < y_.nodes; ++iy) {
    for (int ix = 0; ix < x_.nodes; ++ix) {
      double& z = z_mm_[static_cast<std::size_t>(iy * x_.nodes + ix)];
      if (!std::isnan(z)) continue;
      int nearest = std::numeric_limits<int>::max();
      for (int jy = 0; jy < y_.nodes; ++jy) {
        for (int jx = 0; jx < x_.nodes; ++jx) {
          const double there = known[static_cast<std::size_t>(jy * x_.nodes + jx)];
          const int off = std::abs(jx - ix) + x_.nodes * std::abs(jy - iy);
          if (std::isnan(there) || off >= nearest) continue;
          nearest = off;
          z = there;
        }
      }
    }
  }
}

SkinHeights::Height SkinHeights::at(double x_mm, double y_mm) const {
  const Place x = place_on(x_.low, x_.step, x_.nodes, x_mm);
  const Place y = place_on(y_.low, y_.step, y_.nodes, y_mm);
  const int x1 = std::min(x.cell + 1, x_.nodes - 1);
  const int y1 = std::min(y.cell + 1, y_.nodes - 1);
  const double z00 = node(x.cell, y.cell);
  const double z10 = node(x1, y.cell);
  const double z01 = node(x.cell, y1);
  const double z11 = node(x1, y1);
  const double low = z00 + x.part * (z10 - z00);
  const double high = z01 + x.part * (z11 - z01);
  const double slope_low = (z10 - z00) / x_.step;
  const double slope_high = (z11 - z01) / x_.step;
  return {.z_mm = low + y.part * (high - low),
          .per_x = slope_low + y.part * (slope_high - slope_low),
          .per_y = y_.nodes > 1 ? (high - low) / y_.step : 0};
}

double SkinHeights::least_mm() const { return *std::ranges::min_element(z_mm_); }

double SkinHeights::greatest_mm() const { return *std::ranges::max_element(z_mm_); }

}  // namespace trueblank::tuning
