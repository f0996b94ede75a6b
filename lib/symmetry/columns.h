// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geometry/mesh.h"
#include "geometry/parallel.h"

// Inside the room: a body as columns from flank to flank. It needs no boolean operation on meshes,
// which break where two skins lie nearly on each other, as a body and its mirror image do.
namespace trueblank::symmetry {

/// A part of a column that lies inside the body.
struct Interval {
  double from_y_mm = 0;
  double to_y_mm = 0;
};

/// The columns of one height, from nose to tail.
struct ColumnRow {
  std::vector<Interval> intervals;         ///< column after column, each by rising y
  std::vector<int> starts;                 ///< of column i: [starts[i], starts[i + 1])
  std::vector<std::uint8_t> made_up = {};  ///< 1 where a column meets skin that was made up

  [[nodiscard]] std::span<const Interval> column(int i) const {
    const std::size_t from = static_cast<std::size_t>(starts[static_cast<std::size_t>(i)]);
    const std::size_t to = static_cast<std::size_t>(starts[static_cast<std::size_t>(i) + 1]);
    return std::span(intervals).subspan(from, to - from);
  }
};

/// Lines along y through the middles of a grid over the body's (x, z) box, and where they lie
/// inside. Exact on each line: right for hollow, concave and self-intersecting bodies, and for
/// lines through vertices and edges.
///
/// cost  building: one pass over the facets; all rows: each facet once for each row that it
///       crosses, and a sort of each row's crossings
class ColumnRaster {
 public:
  /// in_body_frame   kept by reference
  /// pitch_mm        > 0, at most; the grid is drawn in to fit the box
  /// facet_measured  as in fit_mirror; empty: all; kept by reference
  ColumnRaster(const geometry::ClosedMesh& in_body_frame, double pitch_mm,
               std::span<const std::uint8_t> facet_measured = {});

  [[nodiscard]] int columns() const { return columns_; }  ///< of each row

  [[nodiscard]] int rows() const { return rows_; }

  [[nodiscard]] double x_mm(int column) const { return low_x_mm_ + (column + 0.5) * step_x_mm_; }

  [[nodiscard]] double z_mm(int row) const { return low_z_mm_ + (row + 0.5) * step_z_mm_; }

  [[nodiscard]] double base_mm2() const { return step_x_mm_ * step_z_mm_; }  ///< of a column

  /// May be asked from several threads at once.
  [[nodiscard]] ColumnRow row(int row) const;

 private:
  struct Crossing;
  void add_crossings(int facet, double z_mm, std::vector<Crossing>& crossings) const;
  [[nodiscard]] int rows_up_to(double z_mm) const;

  const geometry::ClosedMesh& body_;
  std::span<const std::uint8_t> facet_measured_;
  double low_x_mm_ = 0;
  double low_z_mm_ = 0;
  double step_x_mm_ = 1;
  double step_z_mm_ = 1;
  int columns_ = 0;
  int rows_ = 0;
  std::vector<int> row_starts_;
  std::vector<int> row_facets_;
};

/// What lies on one side only, when a body is laid over its mirror image in y = 0.
struct OneSided {
  double left_mm3 = 0;   ///< of the left side, outside the mirror image of the right
  double right_mm3 = 0;  ///< likewise
  double whole_mm3 = 0;  ///< the body's volume by the same columns; says how fine they are

  /// Half the volume between the body and its mirror image: what B ∩ R(B) has less than B.
  [[nodiscard]] double both_mm3() const { return left_mm3 + right_mm3; }
};

/// By columns; those that meet skin that was made up have no say in left and right.
///
/// columns    about how many
/// threads    the same bytes whatever `loop` does
/// precision  a thousandth of the sum for half a million columns
[[nodiscard]] OneSided one_sided(const geometry::ClosedMesh& in_body_frame,
                                 std::span<const std::uint8_t> facet_measured,
                                 const geometry::ParallelFor& loop, int columns = 500'000);

}  // namespace trueblank::symmetry
