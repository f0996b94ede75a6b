// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/columns.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <cstddef>

#include "geometry/compensated_sum.h"
#include "symmetry/skin_sums.h"

namespace trueblank::symmetry {
namespace {

using geometry::Vec3;

constexpr int most_steps = 20'000;

struct Point {
  double x;
  double y;
};

// Where an edge meets a height; reckoned from its low end, so that both its facets agree to the
// last bit.
Point crossing(const Vec3& low, const Vec3& high, double z_mm) {
  const double t = (z_mm - low.z()) / (high.z() - low.z());
  return {low.x() + t * (high.x() - low.x()), low.y() + t * (high.y() - low.y())};
}

int steps_over(double length_mm, double pitch_mm) {
  return std::clamp(static_cast<int>(std::ceil(length_mm / pitch_mm)), 1, most_steps);
}

// One end of a part of a column, by its distance from the mirror plane.
struct End {
  double off_mm;
  int left;  // +1 where a part of the left side begins, −1 where it ends
  int right;
};

struct Lengths {
  double left_mm = 0;
  double right_mm = 0;
};

Lengths one_sided(std::span<const Interval> column, std::vector<End>& ends) {
  ends.clear();
  for (const Interval& part : column) {
    if (part.to_y_mm > 0) {
      ends.push_back({std::max(part.from_y_mm, 0.0), 0, 1});
      ends.push_back({part.to_y_mm, 0, -1});
    }
    if (part.from_y_mm < 0) {
      ends.push_back({std::max(-part.to_y_mm, 0.0), 1, 0});
      ends.push_back({-part.from_y_mm, -1, 0});
    }
  }
  std::sort(ends.begin(), ends.end(),
            [](const End& a, const End& b) { return a.off_mm < b.off_mm; });
  Lengths lengths;
  int left = 0;
  int right = 0;
  double reached = 0;
  for (const End& end : ends) {
    if (left > 0 && right == 0) lengths.left_mm += end.off_mm - reached;
    if (right > 0 && left == 0) lengths.right_mm += end.off_mm - reached;
    left += end.left;
    right += end.right;
    reached = end.off_mm;
  }
  return lengths;
}

}  // namespace

struct ColumnRaster::Crossing {
  int column;
  int in;  // +1 where the line enters the body as y rises, −1 where it leaves
  double y_mm;
  bool measured;
};

ColumnRaster::ColumnRaster(const geometry::ClosedMesh& in_body_frame, double pitch_mm,
                           std::span<const std::uint8_t> facet_measured)
    : body_(in_body_frame), facet_measured_(facet_measured) {
  assert(pitch_mm > 0);
  const Vec3 low = body_.positions_mm().rowwise().minCoeff();
  const Vec3 high = body_.positions_mm().rowwise().maxCoeff();
  low_x_mm_ = low.x();
  low_z_mm_ = low.z();
  columns_ = steps_over(high.x() - low.x(), pitch_mm);
  rows_ = steps_over(high.z() - low.z(), pitch_mm);
  step_x_mm_ = (high.x() - low.x()) / columns_;
  step_z_mm_ = (high.z() - low.z()) / rows_;
  row_starts_.assign(static_cast<std::size_t>(rows_) + 1, 0);
  const auto each_row = [this](const auto& visit) {
    for (int f = 0; f < body_.facet_count(); ++f) {
      const auto [least, greatest] =
          std::minmax({body_.corner(f, 0).z(), body_.corner(f, 1).z(), body_.corner(f, 2).z()});
      const int end = rows_up_to(greatest);
      for (int row = rows_up_to(least); row < end; ++row) visit(static_cast<std::size_t>(row), f);
    }
  };
  each_row([this](std::size_t row, int) { ++row_starts_[row + 1]; });
  for (std::size_t row = 1; row < row_starts_.size(); ++row)
    row_starts_[row] += row_starts_[row - 1];
  row_facets_.resize(static_cast<std::size_t>(row_starts_.back()));
  std::vector<int> next(row_starts_.begin(), row_starts_.end() - 1);
  each_row([&](std::size_t row, int f) { row_facets_[static_cast<std::size_t>(next[row]++)] = f; });
}

// How many rows lie below a height; a vertex at a row's own height counts as below the row.
int ColumnRaster::rows_up_to(double z) const {
  int row = std::clamp(static_cast<int>((z - low_z_mm_) / step_z_mm_), 0, rows_);
  while (row > 0 && z_mm(row - 1) >= z) --row;
  while (row < rows_ && z_mm(row) < z) ++row;
  return row;
}

void ColumnRaster::add_crossings(int facet, double z, std::vector<Crossing>& crossings) const {
  bool low[3];
  for (int k = 0; k < 3; ++k) low[k] = body_.corner(facet, k).z() <= z;
  if (low[0] == low[1] && low[1] == low[2]) return;
  const int odd = low[1] == low[2] ? 0 : low[0] == low[2] ? 1 : 2;
  const Vec3 a = body_.corner(facet, odd);
  const Vec3 b = body_.corner(facet, (odd + 1) % 3);
  const Vec3 c = body_.corner(facet, (odd + 2) % 3);
  // From p to q the body lies to the left, seen from above.
  const Point p = low[odd] ? crossing(a, c, z) : crossing(b, a, z);
  const Point q = low[odd] ? crossing(a, b, z) : crossing(c, a, z);
  const double least = std::min(p.x, q.x);
  const double greatest = std::max(p.x, q.x);
  int i = std::clamp(static_cast<int>((least - low_x_mm_) / step_x_mm_) - 1, 0, columns_);
  while (i < columns_ && x_mm(i) < least) ++i;
  for (; i < columns_ && x_mm(i) < greatest; ++i) {
    const double t = (x_mm(i) - p.x) / (q.x - p.x);
    crossings.push_back(
        {i, q.x > p.x ? 1 : -1, p.y + t * (q.y - p.y), is_measured(facet_measured_, facet)});
  }
}

ColumnRow ColumnRaster::row(int row) const {
  std::vector<Crossing> crossings;
  const std::size_t r = static_cast<std::size_t>(row);
  for (int i = row_starts_[r]; i < row_starts_[r + 1]; ++i) {
    add_crossings(row_facets_[static_cast<std::size_t>(i)], z_mm(row), crossings);
  }
  std::sort(crossings.begin(), crossings.end(), [](const Crossing& a, const Crossing& b) {
    if (a.column != b.column) return a.column < b.column;
    return a.y_mm != b.y_mm ? a.y_mm < b.y_mm : a.in > b.in;
  });
  ColumnRow result;
  result.made_up.assign(static_cast<std::size_t>(columns_), 0);
  std::size_t at = 0;
  for (int column = 0; column < columns_; ++column) {
    result.starts.push_back(static_cast<int>(result.intervals.size()));
    int winding = 0;
    double entered = 0;
    for (; at < crossings.size() && crossings[at].column == column; ++at) {
      const Crossing& met = crossings[at];
      if (!met.measured) result.made_up[static_cast<std::size_t>(column)] = 1;
      if (winding <= 0 && winding + met.in > 0) entered = met.y_mm;
      if (winding > 0 && winding + met.in <= 0) result.intervals.push_back({entered, met.y_mm});
      winding += met.in;
    }
  }
  result.starts.push_back(static_cast<int>(result.intervals.size()));
  return result;
}

OneSided one_sided(const geometry::ClosedMesh& in_body_frame,
                   std::span<const std::uint8_t> facet_measured, const geometry::ParallelFor& loop,
                   int columns) {
  const Vec3 extent = in_body_frame.positions_mm().rowwise().maxCoeff() -
                      in_body_frame.positions_mm().rowwise().minCoeff();
  const double pitch_mm = std::sqrt(extent.x() * extent.z() / std::max(columns, 1));
  const ColumnRaster raster(in_body_frame, pitch_mm, facet_measured);
  std::vector<std::array<double, 3>> rows(static_cast<std::size_t>(raster.rows()));
  loop(raster.rows(), [&](int r) {
    const ColumnRow row = raster.row(r);
    std::vector<End> ends;
    std::array<double, 3> sums{};
    for (int i = 0; i < raster.columns(); ++i) {
      for (const Interval& part : row.column(i)) sums[2] += part.to_y_mm - part.from_y_mm;
      if (row.made_up[static_cast<std::size_t>(i)] != 0) continue;
      const Lengths lengths = one_sided(row.column(i), ends);
      sums[0] += lengths.left_mm;
      sums[1] += lengths.right_mm;
    }
    rows[static_cast<std::size_t>(r)] = sums;
  });
  geometry::CompensatedSums<3> all;
  for (const std::array<double, 3>& sums : rows) all.add(sums);
  const auto [left, right, whole] = all.values();
  const double base = raster.base_mm2();
  return {left * base, right * base, whole * base};
}

}  // namespace trueblank::symmetry
