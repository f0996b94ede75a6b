// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <memory>
#include <utility>
#include <vector>

#include "geometry/mesh.h"

namespace trueblank::intake {

/// A triangle of a flat triangulation.
struct FlatTriangle {
  std::array<int, 3> corners = {0, 0, 0};        ///< counter-clockwise as seen
  std::array<int, 3> neighbours = {-1, -1, -1};  ///< that opposite each corner, -1 behind a segment
};

/// Points without rounding, each with one number: given vertices keep theirs, made points follow.
/// What is asked about them is answered exactly: by intervals, where those don't tell by fractions.
class ExactPoints {
 public:
  using Three = std::array<int, 3>;

  /// positions  no two alike among those that are expected; kept by reference
  explicit ExactPoints(const Eigen::Matrix3Xd& positions);
  ~ExactPoints();
  ExactPoints(const ExactPoints&) = delete;
  ExactPoints& operator=(const ExactPoints&) = delete;

  /// To be called for each given vertex that will be asked for, or that a made point may lie on.
  void expect(int vertex);
  void expect(const Three& vertices);

  /// Where the line through p and q meets a plane that it isn't parallel to.
  int meeting(const Three& plane, int p, int q);

  /// The middle of a triangle; a number of its own whatever lies there.
  int middle(const Three& corners);

  /// By x, then y, then z.
  [[nodiscard]] bool before(int p, int q) const;

  /// 1 where the point lies in front of the plane, whence its three run counter-clockwise, -1 where
  /// behind, 0 where in it.
  [[nodiscard]] int side(const Three& plane, int point) const;

  /// 1 where the three are counter-clockwise seen against the axis, -1 where clockwise, 0 where in
  /// a line.
  [[nodiscard]] int turn_seen(int axis, const Three& corners) const;

  /// A Delaunay triangulation of points in one plane, constrained to segments, seen against an
  /// axis; points are made where segments cross.
  ///
  /// segments  pairs of different points
  /// loose     points of no segment
  [[nodiscard]] std::vector<FlatTriangle> triangulated(
      const Three& plane, int axis, const std::vector<std::pair<int, int>>& segments,
      const std::vector<int>& loose);

  /// To five digits at least.
  [[nodiscard]] geometry::Vec3 about(int point) const;

  /// As near as doubles come; given vertices as they were.
  [[nodiscard]] geometry::Vec3 rounded(int point) const;

  [[nodiscard]] int count() const;

  [[nodiscard]] bool is_made(int point) const { return point >= positions_.cols(); }

 private:
  struct Store;
  const Eigen::Matrix3Xd& positions_;
  std::unique_ptr<Store> store_;
};

}  // namespace trueblank::intake
