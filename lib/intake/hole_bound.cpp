// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/hole_bound.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace trueblank::intake {
namespace {

using geometry::Mat3;
using geometry::Vec3;

constexpr int directions = 16;
constexpr int lines_a_direction = 32;

/// Tangents are taken at so many places of the rim at most.
constexpr std::size_t most_stations = 64;

/// How wide the strip of skin is that they are taken from, in radii of the hole.
constexpr double strip = 0.25;

/// Where tangents that meet are cut off at the latest, and where those that don't, in lengths of
/// their chord: an end that is missing is taken to stand out no more than twice its width.
constexpr double farthest = 4;
constexpr double reach = 2;

/// From this share of lines on whose tangents don't meet, the bound is wide.
constexpr double much_unmet = 0.1;

/// A place of the rim, in the hole's frame.
struct Station {
  Vec3 normal = Vec3::UnitZ();
  double way = 0;  ///< along the rim
};

/// Where a line crosses the rim.
struct Crossing {
  double at = 0;
  double height = 0;
  double angle = 0;  ///< of the tangent into the hole over the line, rad
};

struct Band {
  double area = 0;
  double chord = 0;
  double low = 0;
  double high = 0;
  double unmet = 0;  ///< length of the lines whose tangents don't meet within the reach
  double length = 0;
};

Mat3 frame_of(const Vec3& normal) {
  const Vec3 n = normal.normalized();
  int least = 0;
  n.cwiseAbs().minCoeff(&least);
  Mat3 axes;
  axes.row(0) = n.cross(Vec3::Unit(least)).normalized();
  axes.row(1) = n.cross(Vec3(axes.row(0)));
  axes.row(2) = n;
  return axes;
}

Vec3 area_vector(const std::vector<Vec3>& rim, const Vec3& middle) {
  Vec3 sum = Vec3::Zero();
  for (std::size_t i = 0; i < rim.size(); ++i) {
    sum += (rim[i] - middle).cross(rim[(i + 1) % rim.size()] - middle) / 2;
  }
  return sum;
}

/// The hole in a frame of its own: the rim's mean plane is z = 0, outward is +z.
class Bounder {
 public:
  Bounder(const Hole& hole, const Filling& filling) : hole_(hole), filling_(filling) {
    Vec3 sum = Vec3::Zero();
    for (const Vec3& p : hole.rim) sum += p;
    origin_ = sum / static_cast<double>(hole.rim.size());
    const Vec3 area = area_vector(hole.rim, origin_);
    area_ = area.norm();
    way_.assign(1, 0);
    for (std::size_t i = 0; i < hole.rim.size(); ++i) {
      way_.push_back(way_.back() + (hole.rim[(i + 1) % hole.rim.size()] - hole.rim[i]).norm());
    }
    if (flat_enough()) axes_ = frame_of(area);
    for (const Vec3& p : hole.rim) rim_.push_back(in_frame(p));
    for (const Vec3& p : hole.around) around_.push_back(in_frame(p));
  }

  HoleBound run(const std::optional<Floor>& floor) {
    if (!flat_enough()) return slit();
    take_tangents();
    HoleBound out;
    Band band = band_of(farthest);
    if (band.unmet > much_unmet * band.length) {
      band = band_of(reach);
      out.wide = true;
    }
    // Sums over lines are off by some parts in a thousand; the hole's own area mends most of that.
    const double mend = band.area > 0 ? area_ / band.area : 1;
    const double filled = filled_volume();
    const double low = mend * (band.chord + band.low);
    double high = mend * (band.chord + band.high);
    if (floor) high = std::min(high, std::max(above_floor(*floor), mend * band.chord));
    out.volume = std::max({high - filled, filled - low, 0.0}) + of_noise();
    return out;
  }

 private:
  [[nodiscard]] Vec3 in_frame(const Vec3& p) const { return axes_ * (p - origin_); }

  [[nodiscard]] double radius() const { return std::sqrt(area_ / std::numbers::pi); }

  [[nodiscard]] bool flat_enough() const { return area_ > 1e-9 * way_.back() * way_.back(); }

  /// A rim that encloses no area: what its filling could do by standing up.
  [[nodiscard]] HoleBound slit() const {
    double area = 0;
    for (const auto& facet : filling_.facets) {
      const std::array<Vec3, 3> c = corners(facet);
      area += (c[1] - c[0]).cross(c[2] - c[0]).norm() / 2;
    }
    return {area * way_.back() / 8, false};
  }

  [[nodiscard]] std::array<Vec3, 3> corners(const std::array<int, 3>& facet) const {
    std::array<Vec3, 3> out;
    for (std::size_t k = 0; k < 3; ++k) {
      const auto v = static_cast<std::size_t>(facet[k]);
      out[k] = v < rim_.size() ? rim_[v] : in_frame(filling_.vertices[v - rim_.size()]);
    }
    return out;
  }

  [[nodiscard]] const Vec3& skin_vertex(int v) const {
    const auto i = static_cast<std::size_t>(v);
    return i < rim_.size() ? rim_[i] : around_[i - rim_.size()];
  }

  /// Between the mean plane and the filling.
  [[nodiscard]] double filled_volume() const {
    double sum = 0;
    for (const auto& facet : filling_.facets) {
      const std::array<Vec3, 3> c = corners(facet);
      sum += (c[1] - c[0]).cross(c[2] - c[0]).z() / 2 * (c[0].z() + c[1].z() + c[2].z()) / 3;
    }
    return sum;
  }

  /// Between the mean plane and the floor, over the hole.
  [[nodiscard]] double above_floor(const Floor& floor) const {
    double area = 0;
    Vec3 middle = Vec3::Zero();
    for (std::size_t i = 0; i < rim_.size(); ++i) {
      const Vec3& a = rim_[i];
      const Vec3& b = rim_[(i + 1) % rim_.size()];
      const double twice = a.x() * b.y() - a.y() * b.x();
      area += twice / 2;
      middle += twice / 6 * (a + b);
    }
    middle /= area;
    middle.z() = 0;
    const Vec3 down = axes_ * -floor.normal;
    const double tilt = std::max(down.z(), 0.3);  // beyond 70° it is no floor to this hole
    const double depth =
        floor.normal.dot(axes_.transpose() * middle + origin_) - floor.offset + floor.tolerance;
    return area_ * depth / tilt;
  }

  void take_tangents() {
    const std::size_t n = rim_.size();
    const std::size_t count = std::min(n, most_stations);
    const double edge = way_.back() / static_cast<double>(n);
    const double width = std::max(strip * radius(), 2 * edge);
    for (std::size_t s = 0; s < count; ++s) {
      const std::size_t i = s * n / count;
      stations_.push_back({normal_near(static_cast<int>(i), width), way_[i]});
    }
  }

  /// The mean normal of the skin near a vertex of the rim.
  Vec3 normal_near(int vertex, double width) {
    const Vec3& place = rim_[static_cast<std::size_t>(vertex)];
    Vec3 near = Vec3::Zero();
    std::vector<Vec3> points;
    for (const auto& facet : hole_.skin) {
      const Vec3& a = skin_vertex(facet[0]);
      const Vec3& b = skin_vertex(facet[1]);
      const Vec3& c = skin_vertex(facet[2]);
      const Vec3 normal = (b - a).cross(c - a);
      const Vec3 middle = (a + b + c) / 3;
      const bool beside = std::ranges::find(facet, vertex) != facet.end();
      if (!beside && (middle - place).squaredNorm() > width * width) continue;
      near += normal;
      points.push_back(middle);
    }
    add_noise(points, near);
    return near.norm() > 0 ? Vec3(near.normalized()) : Vec3(Vec3::UnitZ());
  }

  /// What a patch of skin deviates from a curved surface of second order.
  void add_noise(const std::vector<Vec3>& points, const Vec3& normal) {
    constexpr int parameters = 6;
    constexpr std::size_t most_points = 200;
    const auto count = static_cast<Eigen::Index>(std::min(points.size(), most_points));
    if (count < 2 * parameters || !(normal.norm() > 0)) return;
    const Mat3 axes = frame_of(normal);
    Eigen::MatrixXd terms(count, parameters);
    Eigen::VectorXd heights(count);
    for (Eigen::Index i = 0; i < count; ++i) {
      const std::size_t pick =
          static_cast<std::size_t>(i) * points.size() / static_cast<std::size_t>(count);
      const Vec3 p = axes * (points[pick] - points[0]);
      terms.row(i) << 1, p.x(), p.y(), p.x() * p.x(), p.x() * p.y(), p.y() * p.y();
      heights(i) = p.z();
    }
    const Eigen::VectorXd fit = terms.colPivHouseholderQr().solve(heights);
    residual_ += (terms * fit - heights).squaredNorm();
    freedom_ += static_cast<double>(count - parameters);
  }

  /// The rim's height is known to the noise over the root of the places that are told apart on it.
  [[nodiscard]] double of_noise() const {
    if (!(freedom_ > 0)) return 0;
    constexpr double most_apart = 8;  // noise hangs together along the rim
    const double sigma = std::sqrt(residual_ / freedom_);
    const double apart = std::min(static_cast<double>(rim_.size()), most_apart);
    return 2 * std::sqrt(3.0) * sigma * area_ / std::sqrt(apart);
  }

  [[nodiscard]] Vec3 normal_at(double way) const {
    const auto after = std::ranges::upper_bound(stations_, way, {}, &Station::way);
    const Station& b = after == stations_.end() ? stations_.front() : *after;
    const Station& a = *std::prev(after == stations_.begin() ? stations_.end() : after);
    const auto onward = [this](double by) { return by < 0 ? by + way_.back() : by; };
    const double span = onward(b.way - a.way);
    const double t = span > 0 ? std::min(onward(way - a.way) / span, 1.0) : 0;
    return (1 - t) * a.normal + t * b.normal;
  }

  /// Where the line {offset along `across`} meets the rim, in order along `along`.
  [[nodiscard]] std::vector<Crossing> crossings(const Vec3& along, const Vec3& across,
                                                double offset) const {
    std::vector<Crossing> out;
    for (std::size_t i = 0; i < rim_.size(); ++i) {
      const Vec3& a = rim_[i];
      const Vec3& b = rim_[(i + 1) % rim_.size()];
      const double side_a = across.dot(a) - offset;
      const double side_b = across.dot(b) - offset;
      if ((side_a > 0) == (side_b > 0)) continue;
      const double t = side_a / (side_a - side_b);
      const Vec3 p = a + t * (b - a);
      const Vec3 normal = normal_at(way_[i] + t * (way_[i + 1] - way_[i]));
      out.push_back({along.dot(p), p.z(), std::atan2(-normal.dot(along), normal.z())});
    }
    std::ranges::sort(out, {}, &Crossing::at);
    for (std::size_t k = 1; k < out.size(); k += 2) {
      out[k].angle = -out[k].angle;  // seen from its own side
    }
    return out;
  }

  /// The skin lies on the filling's other side, but for 15°.
  static bool folded_back(double angle) { return std::abs(angle) > 165 * std::numbers::pi / 180; }

  /// Adds what one chord of the hole and the tangents at its ends enclose.
  static void add(const Crossing& from, const Crossing& to, double cut_off, double weight,
                  Band& band) {
    constexpr double most = 150 * std::numbers::pi / 180;
    constexpr double least = -80 * std::numbers::pi / 180;
    const double length = to.at - from.at;
    if (!(length > 0)) return;
    const double cut = cut_off * length;
    const double rise = std::atan2(to.height - from.height, length);
    band.area += weight * length;
    band.chord += weight * length * (from.height + to.height) / 2;
    band.length += weight * length;
    if (folded_back(from.angle - rise) && folded_back(to.angle + rise)) {
      band.unmet += weight * length;  // the edge of a sheet, whose other side is closed flat
      return;
    }
    const double a = std::clamp(from.angle - rise, least, most);
    const double b = std::clamp(to.angle + rise, least, most);
    if (a * b < 0) {  // it turns over in between: each end's own tangent halfway
      constexpr double steepest = 3;
      for (const double angle : {a, b}) {
        const double slope = angle > std::numbers::pi / 3
                                 ? steepest
                                 : std::clamp(std::tan(angle), -steepest, steepest);
        (slope > 0 ? band.high : band.low) += weight * slope * length * length / 8;
      }
      return;
    }
    if (a == 0 || b == 0) return;
    const double closing = 1 / std::tan(std::abs(a)) + 1 / std::tan(std::abs(b));
    const bool meet = closing > 0 && length <= cut * closing;
    if (!meet) band.unmet += weight * length;
    const double area =
        meet ? length * length / (2 * closing) : cut * length - cut * cut * closing / 2;
    (a > 0 ? band.high : band.low) += a > 0 ? weight * area : -weight * area;
  }

  [[nodiscard]] Band band_of(double cut_off) const {
    Band band;
    for (int k = 0; k < directions; ++k) {
      const double turn = std::numbers::pi * (k + 0.5) / directions;
      const Vec3 along(std::cos(turn), std::sin(turn), 0);
      const Vec3 across(-along.y(), along.x(), 0);
      double low = INFINITY;
      double high = -INFINITY;
      for (const Vec3& p : rim_) {
        low = std::min(low, across.dot(p));
        high = std::max(high, across.dot(p));
      }
      const double step = (high - low) / lines_a_direction;
      for (int line = 0; line < lines_a_direction; ++line) {
        const std::vector<Crossing> met = crossings(along, across, low + (line + 0.5) * step);
        for (std::size_t i = 0; i + 1 < met.size(); i += 2) {
          add(met[i], met[i + 1], cut_off, step / directions, band);
        }
      }
    }
    return band;
  }

  const Hole& hole_;
  const Filling& filling_;
  Vec3 origin_ = Vec3::Zero();
  Mat3 axes_ = Mat3::Identity();
  double area_ = 0;
  std::vector<double> way_;  ///< along the rim to each vertex, and back to the first
  std::vector<Vec3> rim_;
  std::vector<Vec3> around_;
  std::vector<Station> stations_;
  double residual_ = 0;
  double freedom_ = 0;
};

}  // namespace

HoleBound hole_bound(const Hole& hole, const Filling& filling, const std::optional<Floor>& floor) {
  return Bounder(hole, filling).run(floor);
}

}  // namespace trueblank::intake
