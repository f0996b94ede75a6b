// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

#include "intake/flat_side.h"
#include "intake/table.h"

namespace trueblank::intake {

/// Cuts the kept piece off a table. Heights are over the table, which looks up at the body.
class TableCutter {
 public:
  /// pieces    must live as long
  /// up        the table's top; its normal points to the body
  /// diagonal  of the piece's box
  TableCutter(const Pieces& pieces, const Plane& up, double diagonal);

  /// Whether the plane is plainly a table's: a sheet that ends in the open, or a plate with an edge
  /// that lies to all sides of the body.
  [[nodiscard]] bool goes_on_beyond(const std::vector<SkinSample>& samples) const;

  /// Takes the table off, and the fillet that leads up to the body, or the pin that holds it.
  [[nodiscard]] TableCut cut();

  /// Takes a side off that lies in the plane.
  [[nodiscard]] TableCut cut_side() const { return without_below(2 * tolerance_); }

 private:
  [[nodiscard]] bool of_body(int f) const {
    return pieces_.piece_of[static_cast<std::size_t>(f)] == pieces_.kept;
  }

  [[nodiscard]] double middle_height(int f) const { return plane_.height(pieces_.middle_of(f)); }

  [[nodiscard]] std::array<double, 3> heights(int f) const;
  [[nodiscard]] double highest(int f) const;
  [[nodiscard]] double lowest(int f) const;
  [[nodiscard]] geometry::Vec3 doubled_area(int f) const;
  [[nodiscard]] double open_length(int f) const;
  [[nodiscard]] bool all_round(const std::vector<SkinSample>& samples) const;
  void find_smooth_normals();
  [[nodiscard]] bool looks_up(int f) const;
  template <class Takes>
  [[nodiscard]] std::vector<std::uint8_t> grown(const Takes& takes) const;
  [[nodiscard]] double fillet_height() const;
  [[nodiscard]] std::vector<double> sections(double from, double step, int count) const;
  [[nodiscard]] double pin_height(double from) const;
  void take_crumbs(double level, std::vector<std::uint8_t>& off) const;
  [[nodiscard]] TableCut without_below(double level) const;

  const Pieces& pieces_;
  Plane plane_;
  double tolerance_ = 0;
  double top_ = 0;  ///< of the body
  Eigen::RowVectorXd height_;
  Eigen::Matrix3Xd at_vertex_;  ///< normals, of any length
};

}  // namespace trueblank::intake
