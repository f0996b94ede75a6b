// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/section_skin.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

namespace trueblank::body {
namespace {

using geometry::Vec3;

// Beyond it a section's corners can't be told from a box's.
constexpr double greatest_exponent = 1e8;
constexpr int halvings = 200;  // more than a double has digits

double fullness_of(double exponent) {
  return std::exp(2 * std::lgamma(1 + 1 / exponent) - std::lgamma(1 + 2 / exponent));
}

/// A corner of a quarter of the unit superellipse, in the direction of an angle of the unit box.
struct QuarterCorner {
  double across = 1;
  double up = 0;
};

QuarterCorner quarter_corner(int i, int quarter, double exponent) {
  if (i == 0) return {1, 0};
  if (i == quarter) return {0, 1};
  // Counted from the nearer axis, so that the corner of a box is met on the spot.
  const int from_axis = std::min(i, quarter - i);
  const double slope =
      2 * from_axis == quarter ? 1 : std::tan(from_axis * std::numbers::pi / (2 * quarter));
  const double reach = std::pow(1 + std::pow(slope, exponent), -1 / exponent);
  return i == from_axis ? QuarterCorner{reach, reach * slope} : QuarterCorner{reach * slope, reach};
}

/// Corners around a section: from the belly up the right flank to the back, and down the left one.
class SkinMaker {
 public:
  explicit SkinMaker(int around) : around_(around), half_(around / 2), quarter_(around / 4) {}

  void add(const SectionRing& ring) {
    std::vector<int> ids = add_corners(ring);
    const bool first = last_.empty();
    if (first) {
      close_flat(ring, ids, true);
    } else {
      join(last_, ids);
    }
    last_ = std::move(ids);
  }

  geometry::TriangleMesh finish(const SectionRing& last) {
    close_flat(last, last_, false);
    geometry::TriangleMesh mesh;
    mesh.positions_mm.resize(3, static_cast<Eigen::Index>(corners_.size()));
    mesh.facets.resize(3, static_cast<Eigen::Index>(facets_.size()));
    Eigen::Index column = 0;
    for (const Vec3& corner : corners_) mesh.positions_mm.col(column++) = corner;
    column = 0;
    for (const Eigen::Vector3i& facet : facets_) mesh.facets.col(column++) = facet;
    return mesh;
  }

 private:
  /// The corner that stands for this one where the section has no width or no height.
  [[nodiscard]] int folded(int k, bool no_width, bool no_height) const {
    if (no_width && no_height) return 0;
    if (no_width) return std::min(k, around_ - k);
    if (!no_height) return k;
    const bool left = k > half_;
    const int risen = left ? around_ - k : k;
    const int low = std::min(risen, half_ - risen);
    return left ? (around_ - low) % around_ : low;
  }

  std::vector<int> add_corners(const SectionRing& ring) {
    const bool no_width = ring.half_width_mm == 0;
    const bool no_height = ring.height_mm() == 0;
    const double above = superellipse_exponent(ring.fullness_above);
    const double below = no_height ? above : superellipse_exponent(ring.fullness_below);
    std::vector<int> ids(static_cast<std::size_t>(around_), -1);
    for (int k = 0; k < around_; ++k) {
      const int stands_for = folded(k, no_width, no_height);
      int& id = ids[static_cast<std::size_t>(stands_for)];
      if (id < 0) id = add_vertex(corner(ring, stands_for, above, below));
      ids[static_cast<std::size_t>(k)] = id;
    }
    return ids;
  }

  [[nodiscard]] Vec3 corner(const SectionRing& ring, int k, double above, double below) const {
    const bool left = k > half_;
    const int risen = left ? around_ - k : k;
    const bool upper = risen > quarter_;
    const QuarterCorner unit =
        quarter_corner(std::abs(risen - quarter_), quarter_, upper ? above : below);
    const double y_mm = ring.half_width_mm * unit.across;
    return {ring.station_mm, left ? -y_mm : y_mm,
            ring.widest_mm + unit.up * (upper ? ring.above_mm : -ring.below_mm)};
  }

  int add_vertex(const Vec3& position) {
    corners_.push_back(position);
    return static_cast<int>(corners_.size()) - 1;
  }

  void add_facet(int a, int b, int c) {
    if (a != b && b != c && c != a) facets_.emplace_back(a, b, c);
  }

  [[nodiscard]] int next(int k) const { return k + 1 == around_ ? 0 : k + 1; }

  void join(const std::vector<int>& fore, const std::vector<int>& aft) {
    for (int k = 0; k < around_; ++k) {
      const auto low = static_cast<std::size_t>(k);
      const auto high = static_cast<std::size_t>(next(k));
      if (k < half_) {
        add_facet(fore[low], fore[high], aft[low]);
        add_facet(fore[high], aft[high], aft[low]);
      } else {  // the other diagonal: the right one turned over
        add_facet(fore[low], fore[high], aft[high]);
        add_facet(fore[low], aft[high], aft[low]);
      }
    }
  }

  void close_flat(const SectionRing& ring, const std::vector<int>& ids, bool at_nose) {
    if (ring.half_width_mm == 0 || ring.height_mm() == 0) return;
    const double middle_mm = ring.widest_mm + (ring.above_mm - ring.below_mm) / 2;
    const int middle = add_vertex({ring.station_mm, 0, middle_mm});
    for (int k = 0; k < around_; ++k) {
      const int low = ids[static_cast<std::size_t>(k)];
      const int high = ids[static_cast<std::size_t>(next(k))];
      add_facet(middle, at_nose ? high : low, at_nose ? low : high);
    }
  }

  int around_;
  int half_;
  int quarter_;
  std::vector<Vec3> corners_;
  std::vector<Eigen::Vector3i> facets_;
  std::vector<int> last_;
};

}  // namespace

double superellipse_exponent(double fullness) {
  if (!(fullness > least_fullness)) return 1;
  if (fullness == ellipse_fullness) return 2;
  if (fullness >= fullness_of(greatest_exponent)) return std::numeric_limits<double>::infinity();
  double low = 1;
  double high = greatest_exponent;
  for (int i = 0; i < halvings; ++i) {
    const double middle = std::sqrt(low * high);
    if (!(middle > low && middle < high)) break;
    (fullness_of(middle) < fullness ? low : high) = middle;
  }
  return high;
}

geometry::TriangleMesh section_skin(const std::vector<SectionRing>& rings, int around) {
  assert(rings.size() >= 2 && around >= 8 && around % 8 == 0);
  SkinMaker skin(around);
  for (const SectionRing& ring : rings) skin.add(ring);
  return skin.finish(rings.back());
}

std::vector<double> spread_stations(double first_mm, double last_mm, bool first_closed,
                                    bool last_closed, int gaps) {
  assert(gaps >= 1 && last_mm > first_mm);
  const auto share = [&](double even) {
    const double angle = even * std::numbers::pi;
    if (first_closed && last_closed) return (1 - std::cos(angle)) / 2;
    if (first_closed) return 1 - std::cos(angle / 2);
    if (last_closed) return std::sin(angle / 2);
    return even;
  };
  std::vector<double> stations_mm;
  stations_mm.reserve(static_cast<std::size_t>(gaps) + 1);
  stations_mm.push_back(first_mm);
  for (int i = 1; i < gaps; ++i) {
    const double station_mm =
        first_mm + share(static_cast<double>(i) / gaps) * (last_mm - first_mm);
    if (station_mm > stations_mm.back() && station_mm < last_mm) stations_mm.push_back(station_mm);
  }
  stations_mm.push_back(last_mm);
  return stations_mm;
}

}  // namespace trueblank::body
