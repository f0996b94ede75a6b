// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/outlines.h"

#include <algorithm>
#include <cmath>

#include "body/messages.h"
#include "intake/svg_outline.h"

namespace trueblank::body {
namespace {

// Less than that is a point, not an edge.
constexpr double no_extent_mm = 1e-6;
// Worth a word: more than a drawing's line is wide.
constexpr double worth_telling_mm = 0.2;
constexpr double worth_telling_scale = 0.005;

struct Span {
  double low_mm = 0;
  double high_mm = 0;

  [[nodiscard]] double width_mm() const { return high_mm - low_mm; }

  [[nodiscard]] double middle_mm() const { return (low_mm + high_mm) / 2; }
};

/// A polygon along x from its nose at 0 on.
class Profile {
 public:
  Profile(const Eigen::Matrix2Xd& polygon, bool nose_right, const std::string& file)
      : points_(polygon) {
    if (nose_right) points_.row(0) *= -1;
    points_.row(0).array() -= points_.row(0).minCoeff();
    length_mm_ = points_.row(0).maxCoeff();
    if (!(length_mm_ > no_extent_mm)) throw outline_without_length(file);
  }

  [[nodiscard]] double length_mm() const { return length_mm_; }

  /// The lowest and the highest of the polygon at a station, 0 to its length.
  [[nodiscard]] Span at(double station_mm) const {
    Span span{.low_mm = points_.row(1).maxCoeff(), .high_mm = points_.row(1).minCoeff()};
    const auto meet = [&](double y) {
      span.low_mm = std::min(span.low_mm, y);
      span.high_mm = std::max(span.high_mm, y);
    };
    for (Eigen::Index i = 0; i < points_.cols(); ++i) {
      const Eigen::Vector2d p = points_.col(i);
      const Eigen::Vector2d q = points_.col(i + 1 < points_.cols() ? i + 1 : 0);
      if (station_mm < std::min(p.x(), q.x()) || station_mm > std::max(p.x(), q.x())) continue;
      if (p.x() == q.x()) {
        meet(p.y());
        meet(q.y());
      } else {
        const double share = (station_mm - p.x()) / (q.x() - p.x());
        meet(p.y() + share * (q.y() - p.y()));
      }
    }
    return span;
  }

  [[nodiscard]] bool closed_at(double station_mm) const {
    return at(station_mm).width_mm() <= no_extent_mm;
  }

  /// How far the outline goes back along the body, both edges together.
  [[nodiscard]] double back_mm() const {
    double gone_mm = 0;
    for (Eigen::Index i = 0; i < points_.cols(); ++i) {
      gone_mm += std::abs(points_(0, i + 1 < points_.cols() ? i + 1 : 0) - points_(0, i));
    }
    return (gone_mm - 2 * length_mm_) / 2;
  }

 private:
  Eigen::Matrix2Xd points_;
  double length_mm_ = 0;
};

/// What both outlines have at a station of the side one.
struct Slice {
  double station_mm = 0;
  Span side;
  Span top;  // at the side's scale
};

std::vector<Slice> slices(const Profile& side, const Profile& top, int along) {
  const double length_mm = side.length_mm();
  const double scale = length_mm / top.length_mm();
  const auto closed = [&](double share) {
    return side.closed_at(share * length_mm) || top.closed_at(share * top.length_mm());
  };
  std::vector<Slice> found;
  for (const double x : spread_stations(0, length_mm, closed(0), closed(1), along)) {
    const Span across = top.at(x == length_mm ? top.length_mm() : x / scale);
    found.push_back(
        {x, side.at(x), {.low_mm = across.low_mm * scale, .high_mm = across.high_mm * scale}});
  }
  return found;
}

SectionRing ring_of(const Slice& slice, const Outlines& outlines) {
  const auto some = [](double mm) { return mm > no_extent_mm ? mm : 0; };
  const double half_height_mm = some(slice.side.width_mm()) / 2;
  return {.station_mm = slice.station_mm,
          .half_width_mm = some(slice.top.width_mm()) / 2,
          .widest_mm = slice.side.middle_mm(),
          .above_mm = half_height_mm,
          .below_mm = half_height_mm,
          .fullness_above = outlines.fullness_above,
          .fullness_below = outlines.fullness_below};
}

void refuse_pinched(const std::vector<SectionRing>& rings, const Outlines& outlines) {
  for (std::size_t i = 1; i + 1 < rings.size(); ++i) {
    if (rings[i].height_mm() == 0) throw outline_pinched(outlines.side_file, rings[i].station_mm);
    if (rings[i].half_width_mm == 0) {
      throw outline_pinched(outlines.top_file, rings[i].station_mm);
    }
  }
}

struct Unequal {
  double most_mm = 0;
  double station_mm = 0;
};

/// How unlike the two sides are about a straight middle line, the mean of the top outline's.
Unequal unequal_sides(const std::vector<Slice>& found) {
  double moment = 0;
  double area = 0;
  for (std::size_t i = 1; i < found.size(); ++i) {
    const Slice& slice = found[i];
    const double piece = (slice.station_mm - found[i - 1].station_mm) * slice.top.width_mm();
    moment += piece * slice.top.middle_mm();
    area += piece;
  }
  const double middle_mm = area > 0 ? moment / area : 0;
  Unequal most;
  for (const Slice& slice : found) {
    const double unlike_mm = 2 * std::abs(slice.top.middle_mm() - middle_mm);
    if (unlike_mm > most.most_mm) most = {unlike_mm, slice.station_mm};
  }
  return most;
}

}  // namespace

Outlines read_outlines(const std::string& side_path, const std::string& top_path) {
  const intake::SvgOutline side = intake::read_svg_outline(side_path);
  const intake::SvgOutline top = intake::read_svg_outline(top_path);
  return {.side = side.points_mm,
          .top = top.points_mm,
          .side_file = side_path,
          .top_file = top_path,
          .size_known = side.sized};
}

OutlinedBody body_of_outlines(const Outlines& outlines, const Fineness& fineness) {
  const Profile side(outlines.side, outlines.nose_right, outlines.side_file);
  const Profile top(outlines.top, outlines.nose_right, outlines.top_file);
  const std::vector<Slice> found = slices(side, top, fineness.along);
  std::vector<SectionRing> rings;
  rings.reserve(found.size());
  for (const Slice& slice : found) rings.push_back(ring_of(slice, outlines));
  refuse_pinched(rings, outlines);

  const Unequal unequal = unequal_sides(found);
  OutlinedBody body{.mesh_mm = section_skin(rings, fineness.around),
                    .unequal_mm = unequal.most_mm,
                    .top_scale = side.length_mm() / top.length_mm(),
                    .warnings = {}};
  if (!outlines.size_known) {
    body.warnings.push_back(outline_without_size(outlines.side_file, side.length_mm()));
  }
  if (std::abs(body.top_scale - 1) > worth_telling_scale) {
    body.warnings.push_back(outlines_unlike_long(outlines.side_file, side.length_mm(),
                                                 outlines.top_file, top.length_mm()));
  }
  if (unequal.most_mm > worth_telling_mm) {
    body.warnings.push_back(
        outline_sides_differ(outlines.top_file, unequal.most_mm, unequal.station_mm));
  }
  const auto tell_back = [&](const Profile& profile, const std::string& file) {
    if (profile.back_mm() > worth_telling_mm) {
      body.warnings.push_back(outline_doubles_back(file, profile.back_mm()));
    }
  };
  tell_back(side, outlines.side_file);
  tell_back(top, outlines.top_file);
  return body;
}

}  // namespace trueblank::body
