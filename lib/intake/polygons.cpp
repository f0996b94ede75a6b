// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/polygons.h"

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <cmath>
#include <vector>

namespace trueblank::intake {
namespace {

using Point = Eigen::Vector2d;

constexpr std::uint64_t most_ear_tests = 400'000'000;  // about a second

double cross(const Point& a, const Point& b) { return a.x() * b.y() - a.y() * b.x(); }

/// > 0 where a, b, c turn left.
double turn(const Point& a, const Point& b, const Point& c) { return cross(b - a, c - a); }

/// The corners in the plane of the polygon's area vector (M. Newell's normal), its winding
/// counter-clockwise there.
std::vector<Point> flattened(std::span<const int> corners, std::span<const double> positions) {
  const auto at = [&](std::size_t i) {
    const double* p = &positions[3 * static_cast<std::size_t>(corners[i])];
    return Eigen::Vector3d(p[0], p[1], p[2]);
  };
  const Eigen::Vector3d origin = at(0);
  Eigen::Vector3d normal = Eigen::Vector3d::Zero();
  for (std::size_t i = 1; i + 1 < corners.size(); ++i) {
    normal += (at(i) - origin).cross(at(i + 1) - origin);
  }
  const double length = normal.norm();
  if (std::isfinite(length) && length > 0) {
    normal /= length;
  } else {
    normal = Eigen::Vector3d::UnitZ();
  }
  const Eigen::Vector3d u = normal.unitOrthogonal();
  const Eigen::Vector3d v = normal.cross(u);
  std::vector<Point> flat(corners.size());
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Eigen::Vector3d offset = at(i) - origin;
    flat[i] = {u.dot(offset), v.dot(offset)};
  }
  return flat;
}

/// Ear clipping on a ring of corners.
class Ears {
 public:
  Ears(const std::vector<Point>& flat, std::span<const int> corners, std::span<int> triangles)
      : flat_(flat), corners_(corners), triangles_(triangles) {
    const std::size_t n = flat.size();
    next_.resize(n);
    last_.resize(n);
    for (std::size_t i = 0; i < n; ++i) {
      next_[i] = (i + 1) % n;
      last_[i] = (i + n - 1) % n;
      if (!is_left(i)) reflex_.push_back(i);
    }
  }

  [[nodiscard]] bool convex() const { return reflex_.empty(); }

  [[nodiscard]] std::uint64_t most_tests() const {
    return std::uint64_t{flat_.size()} * std::uint64_t{reflex_.size()};
  }

  /// A convex polygon. Each corner is in some 2 log n triangles, where a fan would have one corner
  /// in all: n long triangles whose boxes overlap one another, so that whoever compares neighbours
  /// does so n² times.
  void halve() { halve(0, flat_.size() - 1); }

  void clip() {
    std::size_t left = flat_.size();
    std::size_t at = 0;
    std::size_t tried = 0;
    while (left > 3 && tried < left) {
      if (is_ear(at)) {
        write(last_[at], at, next_[at]);
        next_[last_[at]] = next_[at];
        last_[next_[at]] = last_[at];
        // Going on beyond the next corner keeps the triangles from all meeting in one corner.
        at = next_[next_[at]];
        --left;
        tried = 0;
        drop_convex();
      } else {
        at = next_[at];
        ++tried;
      }
    }
    fan(at);  // the last triangle; or all that is left where no ear is to be found
  }

 private:
  [[nodiscard]] bool is_left(std::size_t i) const {
    return turn(flat_[last_[i]], flat_[i], flat_[next_[i]]) > 0;
  }

  [[nodiscard]] bool is_ear(std::size_t i) const {
    if (!is_left(i)) return false;
    const std::size_t before = last_[i];
    const std::size_t after = next_[i];
    for (const std::size_t r : reflex_) {
      if (r == i || r == before || r == after || removed(r)) continue;
      if (turn(flat_[before], flat_[i], flat_[r]) >= 0 &&
          turn(flat_[i], flat_[after], flat_[r]) >= 0 &&
          turn(flat_[after], flat_[before], flat_[r]) >= 0) {
        return false;
      }
    }
    return true;
  }

  /// The corners from `first` to `last`, cut off by the chord between the two.
  void halve(std::size_t first, std::size_t last) {
    if (last - first < 2) return;
    const std::size_t middle = (first + last + 1) / 2;
    halve(first, middle);
    write(first, middle, last);
    halve(middle, last);
  }

  void fan(std::size_t from) {
    for (std::size_t i = next_[from]; next_[i] != from; i = next_[i]) write(from, i, next_[i]);
  }

  [[nodiscard]] bool removed(std::size_t i) const { return next_[last_[i]] != i; }

  /// Once in a while, lets go of corners that are no longer reflex or no longer there.
  void drop_convex() {
    if (++since_dropped_ < 16) return;
    since_dropped_ = 0;
    std::erase_if(reflex_, [this](std::size_t r) { return removed(r) || is_left(r); });
  }

  void write(std::size_t a, std::size_t b, std::size_t c) {
    triangles_[written_++] = corners_[a];
    triangles_[written_++] = corners_[b];
    triangles_[written_++] = corners_[c];
  }

  const std::vector<Point>& flat_;
  std::span<const int> corners_;
  std::span<int> triangles_;
  std::vector<std::size_t> next_;
  std::vector<std::size_t> last_;
  std::vector<std::size_t> reflex_;
  std::size_t written_ = 0;
  int since_dropped_ = 0;
};

}  // namespace

bool cut_polygon(std::span<const int> corners, std::span<const double> positions,
                 std::span<int> triangles) {
  const std::vector<Point> flat = flattened(corners, positions);
  Ears ears(flat, corners, triangles);
  if (ears.convex()) {
    ears.halve();
    return true;
  }
  if (ears.most_tests() > most_ear_tests) return false;
  ears.clip();
  return true;
}

}  // namespace trueblank::intake
