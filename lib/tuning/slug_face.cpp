// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/slug_face.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace trueblank::tuning {
namespace {

constexpr double on_the_skin_mm = 1e-9;  // nearer, the direction to the skin is rounding alone
constexpr double probe_mm = 1e-3;        // and is asked for a little further in
constexpr double place_mm = 1e-5;        // how closely a line search places its minimum
constexpr double gain_mm = 1e-7;         // a round of searches that gains less is the last
constexpr double first_step_mm = 0.1;
constexpr int most_steps = 60;  // of one line search

/// A straight line over a piece's (a, b), cut off at its borders.
class Line {
 public:
  Line(const FacePiece& piece, Depths& depths, const FacePoint& from, double da, double db)
      : piece_(piece), depths_(depths), from_(from), da_(da), db_(db) {
    limit(from.a_mm, da, piece.low_mm, piece.high_mm);
    limit(from.b_mm, db, 0, piece.reach_mm);
  }

  [[nodiscard]] double low() const { return low_; }

  [[nodiscard]] double high() const { return high_; }

  struct Sample {
    double step = 0;
    double derivative = 0;
    FacePoint point;
  };

  [[nodiscard]] Sample start() const { return {0, derivative(from_), from_}; }

  [[nodiscard]] Sample at(double step) const {
    const double a = std::clamp(from_.a_mm + step * da_, piece_.low_mm, piece_.high_mm);
    const double b = std::clamp(from_.b_mm + step * db_, 0.0, piece_.reach_mm);
    const FacePoint point = piece_.measured(depths_, a, b);
    return {step, derivative(point), point};
  }

 private:
  void limit(double at, double by, double least, double greatest) {
    if (by == 0) return;  // exactly: the line runs along the other
    const double one = (least - at) / by;
    const double other = (greatest - at) / by;
    low_ = std::max(low_, std::min(one, other));
    high_ = std::min(high_, std::max(one, other));
  }

  [[nodiscard]] double derivative(const FacePoint& p) const {
    return p.slope.dot(da_ * piece_.point_per_a(p.a_mm, p.b_mm) + db_ * piece_.point_per_b(p.a_mm));
  }

  const FacePiece& piece_;
  Depths& depths_;
  FacePoint from_;
  double da_;
  double db_;
  double low_ = -std::numeric_limits<double>::infinity();
  double high_ = std::numeric_limits<double>::infinity();
};

/// Between a sample from which it goes down and one from which it goes down backwards (or which is
/// higher): the lowest found on the way to the zero of the derivative (regula falsi, Illinois).
FacePoint between(const Line& line, Line::Sample from, Line::Sample to) {
  FacePoint best = from.point.depth_mm <= to.point.depth_mm ? from.point : to.point;
  const double ahead = to.step > from.step ? 1 : -1;
  double down = -ahead * from.derivative;  // > 0
  double up = ahead * to.derivative;       // > 0 unless the far end is only higher
  for (int step = 0; step < most_steps && std::abs(to.step - from.step) > place_mm; ++step) {
    const double share = up > 0 ? std::clamp(down / (down + up), 0.02, 0.98) : 0.5;
    const Line::Sample mid = line.at(from.step + share * (to.step - from.step));
    const bool higher = mid.point.depth_mm > best.depth_mm + gain_mm;
    if (mid.point.depth_mm < best.depth_mm) best = mid.point;
    const double rise = ahead * mid.derivative;
    if (rise == 0) break;  // exactly level: nothing more to gain along the line
    if (rise > 0 || (higher && mid.point.depth_mm > from.point.depth_mm)) {
      to = mid;
      up = rise;
      down /= 2;
    } else {
      from = mid;
      down = -rise;
      up /= 2;
    }
  }
  return best;
}

FacePoint lowest_along(const Line& line) {
  const Line::Sample start = line.start();
  if (start.derivative == 0 || !(line.high() - line.low() > place_mm)) return start.point;
  const double ahead = start.derivative < 0 ? 1 : -1;
  const double end = ahead > 0 ? line.high() : line.low();
  if (std::abs(end) <= place_mm / 10) return start.point;
  Line::Sample last = start;
  double step = first_step_mm;
  for (int k = 0; k < most_steps; ++k) {
    const bool at_end = std::abs(last.step) + step >= std::abs(end);
    const Line::Sample next = line.at(at_end ? end : last.step + ahead * step);
    if (ahead * next.derivative > 0 || next.point.depth_mm > last.point.depth_mm) {
      return between(line, last, next);
    }
    if (at_end) return next.point;
    last = next;
    step *= 2;
  }
  return last.point;
}

}  // namespace

FacePoint Depths::at(const Vec3& point_mm, const Vec3& inward) {
  const symmetry::NearestSurface::Hit hit = skin_.nearest(point_mm, facet_);
  facet_ = hit.facet;
  FacePoint result;
  result.at_mm = point_mm;
  result.depth_mm = -hit.signed_distance_mm;
  if (std::abs(result.depth_mm) > on_the_skin_mm) {
    result.slope = (point_mm - hit.nearest_mm) / result.depth_mm;
    return result;
  }
  const Vec3 probe = point_mm + probe_mm * inward;
  const symmetry::NearestSurface::Hit inner = skin_.nearest(probe, facet_);
  const bool on_skin = std::abs(inner.signed_distance_mm) <= on_the_skin_mm;
  result.slope = on_skin ? inward : Vec3((inner.nearest_mm - probe) / inner.signed_distance_mm);
  return result;
}

Vec3 FacePiece::outward(double a_mm) const {
  const double angle = a_mm / radius_mm;
  return std::cos(angle) * u + std::sin(angle) * v;
}

Vec3 FacePiece::point(double a_mm, double b_mm) const {
  const double along = side * (flank ? b_mm : half_mm);
  return middle_mm + along * axis + (flank ? radius_mm : b_mm) * outward(a_mm);
}

Vec3 FacePiece::point_per_a(double a_mm, double b_mm) const {
  const double angle = a_mm / radius_mm;
  const Vec3 round = -std::sin(angle) * u + std::cos(angle) * v;
  return flank ? round : Vec3(b_mm / radius_mm * round);
}

Vec3 FacePiece::point_per_b(double a_mm) const { return flank ? Vec3(side * axis) : outward(a_mm); }

FacePoint FacePiece::measured(Depths& depths, double a_mm, double b_mm) const {
  const Vec3 inward = flank ? Vec3(-outward(a_mm)) : Vec3(-side * axis);
  FacePoint p = depths.at(point(a_mm, b_mm), inward);
  p.a_mm = a_mm;
  p.b_mm = b_mm;
  return p;
}

std::vector<FaceEighth> eighths_of(const Slug& slug) {
  Eigen::Index most_across = 0;
  slug.axis.cwiseAbs().minCoeff(&most_across);
  const Vec3 u = (Vec3::Unit(most_across) - slug.axis[most_across] * slug.axis).normalized();
  const Vec3 v = slug.axis.cross(u);
  const double r = slug.radius_mm();
  const double half = slug.length_mm() / 2;
  std::vector<FaceEighth> eighths;
  for (const double side : {1.0, -1.0}) {
    for (int quarter = 0; quarter < 4; ++quarter) {
      const double low = r * std::numbers::pi / 4 * (2 * quarter - 1);
      const double high = r * std::numbers::pi / 4 * (2 * quarter + 1);
      FacePiece flank{slug.at_mm, slug.axis, u, v, r, half, side, true, low, high, half};
      FacePiece end = flank;
      end.flank = false;
      end.reach_mm = r;
      eighths.push_back({flank, end});
    }
  }
  return eighths;
}

FacePoint shallowest_near(const FacePiece& piece, Depths& depths, const FacePoint& start,
                          int lines) {
  FacePoint best = start;
  const auto search = [&](double da, double db) {
    if (lines-- <= 0) return;
    const FacePoint found = lowest_along(Line(piece, depths, best, da, db));
    if (found.depth_mm < best.depth_mm) best = found;
  };
  while (lines > 0) {
    const FacePoint before = best;
    search(1, 0);
    search(0, 1);
    const double da = best.a_mm - before.a_mm;
    const double db = best.b_mm - before.b_mm;
    const double gone = std::hypot(da, db);
    // A valley that lies askew is followed along the way gone.
    if (std::min(std::abs(da), std::abs(db)) > place_mm) search(da / gone, db / gone);
    if (!(best.depth_mm < before.depth_mm - gain_mm)) break;
  }
  return best;
}

}  // namespace trueblank::tuning
