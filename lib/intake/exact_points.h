// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <CGAL/Exact_predicates_exact_constructions_kernel.h>

#include <map>
#include <vector>

#include "geometry/mesh.h"

// For the sources of outer_skin alone: it brings CGAL with it.
namespace trueblank::intake {

using Exact = CGAL::Exact_predicates_exact_constructions_kernel;

/// Points without rounding, each with one number: given vertices keep theirs, made points follow.
class ExactPoints {
 public:
  /// positions  no two alike; kept by reference
  explicit ExactPoints(const Eigen::Matrix3Xd& positions)
      : positions_(positions),
        points_(static_cast<std::size_t>(positions.cols())),
        expected_(points_.size(), 0) {}

  /// To be called for each given vertex that will be asked for, or that a made point may lie on.
  void expect(int vertex) {
    if (is_made(vertex) || expected_[static_cast<std::size_t>(vertex)] != 0) return;
    expected_[static_cast<std::size_t>(vertex)] = 1;
    const geometry::Vec3 p = positions_.col(vertex);
    points_[static_cast<std::size_t>(vertex)] = Exact::Point_3(p.x(), p.y(), p.z());
    numbers_.try_emplace((*this)[vertex], vertex);
  }

  /// The number of this point, be it expected, made before, or new.
  int add(const Exact::Point_3& point) {
    const auto [place, is_new] = numbers_.try_emplace(point, static_cast<int>(points_.size()));
    if (is_new) points_.push_back(point);
    return place->second;
  }

  [[nodiscard]] const Exact::Point_3& operator[](int number) const {
    return points_[static_cast<std::size_t>(number)];
  }

  [[nodiscard]] int count() const { return static_cast<int>(points_.size()); }

  [[nodiscard]] bool is_made(int number) const {
    return number >= static_cast<int>(expected_.size());
  }

  /// As near as doubles come; given vertices as they were.
  [[nodiscard]] geometry::Vec3 rounded(int number) const {
    if (!is_made(number)) return positions_.col(number);
    const Exact::Point_3& point = (*this)[number];
    // By the exact value: what the kernel has as its estimate depends on what was asked before.
    return {CGAL::to_double(point.x().exact()), CGAL::to_double(point.y().exact()),
            CGAL::to_double(point.z().exact())};
  }

 private:
  const Eigen::Matrix3Xd& positions_;
  std::vector<Exact::Point_3> points_;
  std::vector<char> expected_;
  std::map<Exact::Point_3, int> numbers_;
};

}  // namespace trueblank::intake
