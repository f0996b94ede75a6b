// SPDX-License-Identifier: GPL-3.0-or-later
// Straight runs are thinned as D. Douglas, T. Peucker, Cartographica 10(2), 112-122, 1973 do it.
#include "symmetry/half_sections.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>
#include <numeric>
#include <utility>

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Vec3;

// Heights that are read beside those of the section's own corners.
constexpr int even_heights = 64;
// The ends of a section are read this part of its height further in: a flat end lies level only up
// to rounding, and a curved one is not wider there than a hair.
constexpr double off_the_ends = 1e-7;

/// A piece of a flank: half widths over rising heights.
struct Piece {
  Point2 low;   ///< (half width, z)
  Point2 high;  ///< low.y() <= high.y()
};

struct FlankOutline {
  std::vector<Piece> pieces;
  double lowest_z = std::numeric_limits<double>::infinity();
  double highest_z = -std::numeric_limits<double>::infinity();

  void add(Point2 p, Point2 q) {
    if (p.x() < 0 && q.x() < 0) return;
    if (p.x() < 0 || q.x() < 0) {
      const double t = p.x() / (p.x() - q.x());
      (p.x() < 0 ? p : q) = Point2(0, p.y() + t * (q.y() - p.y()));
    }
    if (q.y() < p.y()) std::swap(p, q);
    pieces.push_back({p, q});
    lowest_z = std::min(lowest_z, p.y());
    highest_z = std::max(highest_z, q.y());
  }
};

struct BothFlanks {
  FlankOutline left;
  FlankOutline right;

  void add(const Point2& p, const Point2& q) {
    right.add(p, q);
    left.add({-p.x(), p.y()}, {-q.x(), q.y()});
  }
};

/// (y, z) where the edge meets the plane; reckoned from its fore end, so that both facets agree.
Point2 crossing(Vec3 a, Vec3 b, double x_mm) {
  if (b.x() < a.x()) std::swap(a, b);
  const Vec3 at = a + (x_mm - a.x()) / (b.x() - a.x()) * (b - a);
  return {at.y(), at.z()};
}

void add_crossing(const Vec3 (&corners)[3], double x_mm, BothFlanks& flanks) {
  // A vertex in the plane counts as fore of it.
  bool fore[3];
  for (int k = 0; k < 3; ++k) fore[k] = corners[k].x() <= x_mm;
  if (fore[0] == fore[1] && fore[1] == fore[2]) return;
  const int odd = fore[1] == fore[2] ? 0 : fore[0] == fore[2] ? 1 : 2;
  flanks.add(crossing(corners[odd], corners[(odd + 1) % 3], x_mm),
             crossing(corners[odd], corners[(odd + 2) % 3], x_mm));
}

/// rising_x  the places of the sections, rising
std::vector<BothFlanks> cut_at(const ClosedMesh& body, const std::vector<double>& rising_x) {
  std::vector<BothFlanks> cuts(rising_x.size());
  for (int f = 0; f < body.facet_count(); ++f) {
    const Vec3 corners[] = {body.corner(f, 0), body.corner(f, 1), body.corner(f, 2)};
    const auto [least, greatest] = std::minmax({corners[0].x(), corners[1].x(), corners[2].x()});
    auto at = std::lower_bound(rising_x.begin(), rising_x.end(), least);
    for (; at != rising_x.end() && *at < greatest; ++at) {
      add_crossing(corners, *at, cuts[static_cast<std::size_t>(at - rising_x.begin())]);
    }
  }
  return cuts;
}

/// The greatest half width of a flank at each of rising heights; 0 where it has none.
std::vector<double> widths_at(const FlankOutline& flank, const std::vector<double>& rising_z) {
  std::vector<double> widths(rising_z.size(), 0.0);
  for (const Piece& piece : flank.pieces) {
    const double rise = piece.high.y() - piece.low.y();
    if (!(rise > 0)) continue;  // level: its ends belong to pieces that rise
    auto z = std::lower_bound(rising_z.begin(), rising_z.end(), piece.low.y());
    for (; z != rising_z.end() && *z <= piece.high.y(); ++z) {
      double& width = widths[static_cast<std::size_t>(z - rising_z.begin())];
      const double part = (*z - piece.low.y()) / rise;
      width = std::max(width, piece.low.x() + part * (piece.high.x() - piece.low.x()));
    }
  }
  return widths;
}

/// Evenly over half a circle: closer together near the ends, where an outline turns.
double towards_the_ends(double from, double to, int i, int count) {
  const double share = 0.5 - 0.5 * std::cos(std::numbers::pi * i / count);
  return from + share * (to - from);
}

std::vector<double> heights_to_read(const BothFlanks& flanks, double low, double high) {
  std::vector<double> heights;
  for (int i = 0; i <= even_heights; ++i) {
    heights.push_back(towards_the_ends(low, high, i, even_heights));
  }
  for (const FlankOutline* flank : {&flanks.left, &flanks.right}) {
    for (const Piece& piece : flank->pieces) {
      for (const double z : {piece.low.y(), piece.high.y()}) {
        if (z > low && z < high) heights.push_back(z);
      }
    }
  }
  std::sort(heights.begin(), heights.end());
  heights.erase(std::unique(heights.begin(), heights.end()), heights.end());
  return heights;
}

double off_line_mm(const Point2& p, const Point2& from, const Point2& to) {
  const Point2 along = to - from;
  const double length2 = along.squaredNorm();
  const double part = length2 > 0 ? std::clamp((p - from).dot(along) / length2, 0.0, 1.0) : 0.0;
  return (p - from - part * along).norm();
}

/// Without the points that stand off the straight line between those kept by less than
/// `outline_within_mm`; the ends stay.
std::vector<Point2> thinned(const std::vector<Point2>& line) {
  if (line.size() < 3) return line;
  std::vector<bool> kept(line.size(), false);
  kept.front() = kept.back() = true;
  std::vector<std::pair<std::size_t, std::size_t>> runs = {{0, line.size() - 1}};
  while (!runs.empty()) {
    const auto [from, to] = runs.back();
    runs.pop_back();
    double furthest = outline_within_mm;
    std::size_t at = 0;
    for (std::size_t i = from + 1; i < to; ++i) {
      const double off = off_line_mm(line[i], line[from], line[to]);
      if (off > furthest) {
        furthest = off;
        at = i;
      }
    }
    if (at == 0) continue;
    kept[at] = true;
    runs.emplace_back(from, at);
    runs.emplace_back(at, to);
  }
  std::vector<Point2> rest;
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (kept[i]) rest.push_back(line[i]);
  }
  return rest;
}

HalfSection half_section(double x_mm, const BothFlanks& cut, Flanks flanks) {
  HalfSection half{.x_mm = x_mm};
  if (cut.left.pieces.empty() || cut.right.pieces.empty()) return half;
  const bool mean = flanks == Flanks::mean;
  const double low = mean ? std::midpoint(cut.left.lowest_z, cut.right.lowest_z)
                          : std::max(cut.left.lowest_z, cut.right.lowest_z);
  const double high = mean ? std::midpoint(cut.left.highest_z, cut.right.highest_z)
                           : std::min(cut.left.highest_z, cut.right.highest_z);
  if (!(high > low)) return half;
  const double inset = off_the_ends * (high - low);
  const std::vector<double> heights = heights_to_read(cut, low + inset, high - inset);
  const std::vector<double> left = widths_at(cut.left, heights);
  const std::vector<double> right = widths_at(cut.right, heights);
  std::vector<Point2> outline = {{0, low}};
  for (std::size_t i = 0; i < heights.size(); ++i) {
    const double width = mean ? std::midpoint(left[i], right[i]) : std::min(left[i], right[i]);
    outline.emplace_back(width, heights[i]);
  }
  outline.emplace_back(0, high);
  half.outline_mm = thinned(outline);
  return half;
}

}  // namespace

double HalfSection::half_width_mm() const {
  double greatest = 0;
  for (const Point2& p : outline_mm) greatest = std::max(greatest, p.x());
  return greatest;
}

double HalfSection::lowest_z_mm() const {
  return outline_mm.empty() ? 0.0 : outline_mm.front().y();
}

double HalfSection::highest_z_mm() const {
  return outline_mm.empty() ? 0.0 : outline_mm.back().y();
}

std::vector<HalfSection> half_sections(const ClosedMesh& in_body_frame,
                                       std::span<const double> x_mm, Flanks flanks) {
  std::vector<double> rising(x_mm.begin(), x_mm.end());
  std::sort(rising.begin(), rising.end());
  rising.erase(std::unique(rising.begin(), rising.end()), rising.end());
  const std::vector<BothFlanks> cuts = cut_at(in_body_frame, rising);
  std::vector<HalfSection> halves;
  for (const double x : x_mm) {
    const auto at = std::lower_bound(rising.begin(), rising.end(), x) - rising.begin();
    halves.push_back(half_section(x, cuts[static_cast<std::size_t>(at)], flanks));
  }
  return halves;
}

Profiles profiles(const ClosedMesh& in_body_frame, Flanks flanks, int stations) {
  const double fore = in_body_frame.positions_mm().row(0).minCoeff();
  const double aft = in_body_frame.positions_mm().row(0).maxCoeff();
  const double inset = off_the_ends * (aft - fore);
  std::vector<double> places;
  for (int i = 0; i <= stations; ++i) {
    places.push_back(towards_the_ends(fore + inset, aft - inset, i, stations));
  }
  std::vector<Point2> belly;
  std::vector<Point2> back;
  std::vector<Point2> top;
  for (const HalfSection& half : half_sections(in_body_frame, places, flanks)) {
    if (half.outline_mm.empty()) continue;
    belly.emplace_back(half.x_mm, half.lowest_z_mm());
    back.emplace_back(half.x_mm, half.highest_z_mm());
    top.emplace_back(half.x_mm, half.half_width_mm());
  }
  Profiles both{.side_mm = thinned(belly), .top_mm = thinned(top)};
  const std::vector<Point2> thin_back = thinned(back);
  both.side_mm.insert(both.side_mm.end(), thin_back.rbegin(), thin_back.rend());
  return both;
}

}  // namespace trueblank::symmetry
