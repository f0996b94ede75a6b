// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/table_cutter.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace trueblank::intake {
namespace {

using geometry::Vec3;

/// A table is no smaller than this part of the skin, and the body above it no smaller than that.
constexpr double least_table = 0.03;
constexpr double least_body = 0.03;

/// A plate has an edge, or an underside; of a sheet nothing but strays lies lower.
constexpr double least_edge = 0.01;
constexpr double most_strays = 0.02;

/// Facets less than 60° off the table's own direction belong to it or to the fillet.
constexpr double faces_up = 0.5;

/// A fillet ends below this part of the body's height; and that near to the table no scanner sees
/// the skin of the body well.
constexpr double highest_fillet = 0.15;
constexpr double least_cut = 0.02;

}  // namespace

TableCutter::TableCutter(const Pieces& pieces, const Plane& up, double diagonal)
    : pieces_(pieces), plane_(up) {
  tolerance_ = std::max(4 * up.noise, 2e-4 * diagonal);
  height_ = (up.normal.transpose() * pieces.positions).array() - up.offset;
  for (int f = 0; f < pieces.facet_count(); ++f) {
    if (of_body(f)) top_ = std::max(top_, highest(f));
  }
}

/// Whether this is plainly a table.
bool TableCutter::goes_on_beyond(const std::vector<SkinSample>& samples) const {
  double below = 0;
  double under = 0;  // a sheet's other side
  double on = 0;
  double above = 0;
  double open = 0;
  for (int f = 0; f < pieces_.facet_count(); ++f) {
    if (!of_body(f)) continue;
    const Vec3 normal = doubled_area(f);
    const double area = normal.norm() / 2;
    const double height = middle_height(f);
    const bool level = std::abs(height) <= tolerance_;
    if (level && normal.dot(plane_.normal) > faces_up * normal.norm()) {
      on += area;
      open += open_length(f);
    } else if (height > tolerance_) {
      above += area;
    } else {
      (level ? under : below) += area;
    }
  }
  const double all = pieces_.body().area;
  if (on < least_table * all || above < least_body * all || top_ < 5 * tolerance_) return false;
  if (open > 2 * std::sqrt(on) && below < most_strays * all) return true;
  return below + under > least_edge * on && all_round(samples);
}

/// Takes the table off, and the fillet that leads up to the body.
TableCut TableCutter::cut() {
  find_smooth_normals();
  const double level = fillet_height();
  const double pin = pin_height(level);
  if (pin <= level) return without_below(level);
  TableCut out = without_below(pin);
  out.floor.reset();  // the body doesn't stand on it
  return out;
}

std::array<double, 3> TableCutter::heights(int f) const {
  std::array<double, 3> out;
  for (std::size_t k = 0; k < 3; ++k) {
    out[k] = height_(pieces_.facets[3 * static_cast<std::size_t>(f) + k]);
  }
  return out;
}

double TableCutter::highest(int f) const { return std::ranges::max(heights(f)); }

double TableCutter::lowest(int f) const { return std::ranges::min(heights(f)); }

Vec3 TableCutter::doubled_area(int f) const {
  const Vec3 a = pieces_.corner(f, 0);
  return (pieces_.corner(f, 1) - a).cross(pieces_.corner(f, 2) - a);
}

double TableCutter::open_length(int f) const {
  double length = 0;
  for (int k = 0; k < 3; ++k) {
    if (pieces_.partner[3 * static_cast<std::size_t>(f) + static_cast<std::size_t>(k)] >= 0) {
      continue;
    }
    length += (pieces_.corner(f, (k + 1) % 3) - pieces_.corner(f, k)).norm();
  }
  return length;
}

/// Whether the table lies to all sides of the body, seen from above, and reaches out farther than
/// the body does; the floor of a hollow body lies within its walls.
bool TableCutter::all_round(const std::vector<SkinSample>& samples) const {
  constexpr std::size_t sectors = 16;
  constexpr std::size_t enough = 14;
  constexpr std::size_t enough_beyond = sectors / 2;  // elsewhere the scan may end too soon
  Vec3 middle = Vec3::Zero();
  int count = 0;
  for (const SkinSample& s : samples) {
    if (plane_.height(s.position) <= tolerance_) continue;
    middle += s.position;
    ++count;
  }
  if (count == 0) return false;
  middle /= count;
  const Vec3 u = plane_.normal.unitOrthogonal();
  const Vec3 v = plane_.normal.cross(u);
  std::array<double, sectors> table = {};  // how far out it reaches
  std::array<double, sectors> body = {};
  for (const SkinSample& s : samples) {
    const bool above = plane_.height(s.position) > tolerance_;
    const bool level = std::abs(plane_.height(s.position)) <= tolerance_;
    if (!above && !(level && s.normal.dot(plane_.normal) >= faces_up)) continue;
    const Vec3 d = s.position - middle;
    const double turn = std::atan2(v.dot(d), u.dot(d)) / (2 * std::numbers::pi) + 0.5;
    const std::size_t sector = std::min(static_cast<std::size_t>(turn * sectors), sectors - 1);
    double& farthest = (above ? body : table)[sector];
    farthest = std::max(farthest, std::hypot(u.dot(d), v.dot(d)));
  }
  std::size_t taken = 0;
  std::size_t beyond = 0;
  for (std::size_t i = 0; i < sectors; ++i) {
    taken += table[i] > 0 ? 1 : 0;
    beyond += table[i] > body[i] ? 1 : 0;
  }
  return taken >= enough && beyond >= enough_beyond;
}

/// At each vertex, so that noise doesn't turn a facet of the table out of it.
void TableCutter::find_smooth_normals() {
  at_vertex_.setZero(3, pieces_.positions.cols());
  for (int f = 0; f < pieces_.facet_count(); ++f) {
    if (!of_body(f)) continue;
    const Vec3 normal = doubled_area(f);
    for (std::size_t k = 0; k < 3; ++k) {
      at_vertex_.col(pieces_.facets[3 * static_cast<std::size_t>(f) + k]) += normal;
    }
  }
}

bool TableCutter::looks_up(int f) const {
  Vec3 normal = Vec3::Zero();
  for (std::size_t k = 0; k < 3; ++k) {
    normal += at_vertex_.col(pieces_.facets[3 * static_cast<std::size_t>(f) + k]);
  }
  return normal.dot(plane_.normal) > faces_up * normal.norm();
}

/// Marks what hangs together with the table by facets that `takes` takes.
template <class Takes>
std::vector<std::uint8_t> TableCutter::grown(const Takes& takes) const {
  std::vector<std::uint8_t> marked(pieces_.facets.size() / 3, 0);
  std::vector<int> reached;
  const auto reach = [&](int f) {
    if (marked[static_cast<std::size_t>(f)] != 0 || !of_body(f) || !takes(f)) return;
    marked[static_cast<std::size_t>(f)] = 1;
    reached.push_back(f);
  };
  for (int f = 0; f < pieces_.facet_count(); ++f) {
    if (std::abs(middle_height(f)) <= tolerance_) reach(f);
  }
  for (std::size_t i = 0; i < reached.size(); ++i) {
    for (int h = 3 * reached[i]; h < 3 * reached[i] + 3; ++h) {
      const int across = pieces_.partner[static_cast<std::size_t>(h)];
      if (across >= 0) reach(across / 3);
    }
  }
  return marked;
}

/// Where a fillet looks up by 60° it has done half its height.
double TableCutter::fillet_height() const {
  const double least = std::max(least_cut * top_, 2 * tolerance_);
  const double most = std::max(highest_fillet * top_, least);
  const std::vector<std::uint8_t> fillet =
      grown([&](int f) { return highest(f) < most / 2 && looks_up(f); });
  std::vector<double> beyond;
  for (int f = 0; f < pieces_.facet_count(); ++f) {
    const double height = middle_height(f);
    if (fillet[static_cast<std::size_t>(f)] != 0 && height > tolerance_) beyond.push_back(height);
  }
  if (beyond.empty()) return least;
  const auto nearly_all =
      beyond.begin() + static_cast<std::ptrdiff_t>(0.95 * static_cast<double>(beyond.size() - 1));
  std::ranges::nth_element(beyond, nearly_all);
  return std::clamp(2 * *nearly_all, least, most);
}

/// The areas of level sections through the piece, by their outlines.
std::vector<double> TableCutter::sections(double from, double step, int count) const {
  std::vector<double> out(static_cast<std::size_t>(count), 0);
  const Vec3 origin = plane_.offset * plane_.normal;
  for (int f = 0; f < pieces_.facet_count(); ++f) {
    if (!of_body(f)) continue;
    const double first = std::ceil((lowest(f) - from) / step);
    const double last = std::min(std::floor((highest(f) - from) / step), count - 1.0);
    for (double k = std::max(first, 0.0); k <= last; k += 1) {
      const double level = from + k * step;
      std::array<Vec3, 2> ends = {Vec3::Zero(), Vec3::Zero()};
      const std::array<double, 3> height = heights(f);
      for (int i = 0; i < 3; ++i) {
        const double a = height[static_cast<std::size_t>(i)] - level;
        const double b = height[static_cast<std::size_t>((i + 1) % 3)] - level;
        if ((a > 0) == (b > 0)) continue;
        const Vec3 p = pieces_.corner(f, i);
        // An outline runs with the body to its left, seen from above.
        ends[a > 0 ? 0 : 1] = p + a / (a - b) * (pieces_.corner(f, (i + 1) % 3) - p) - origin;
      }
      out[static_cast<std::size_t>(k)] += plane_.normal.dot(ends[0].cross(ends[1])) / 2;
    }
  }
  for (double& area : out) area = std::abs(area);
  return out;
}

/// Where a pin of even thickness ends in the body; 0 where there is none. It is no shorter than a
/// twentieth of the whole, and far thinner than the body.
double TableCutter::pin_height(double from) const {
  constexpr int levels = 80;
  constexpr std::size_t least_levels = 4;
  constexpr double far_thinner = 0.1;
  constexpr double even = 1.3;
  const double step = (top_ - from) / levels;
  const std::vector<double> area = sections(from + step / 2, step, levels);
  const double most = *std::ranges::max_element(area);
  std::size_t thin = 0;
  while (thin < area.size() && area[thin] > 0 && area[thin] < far_thinner * most &&
         area[thin] < even * area[0] && area[0] < even * area[thin]) {
    ++thin;
  }
  if (thin < least_levels) return 0;
  return from + (static_cast<double>(thin) + 1) * step;
}

/// What noise lifts out of the table stands alone once the table is off: it goes with it.
void TableCutter::take_crumbs(double level, std::vector<std::uint8_t>& off) const {
  const int count = pieces_.facet_count();
  Unions crumbs(count);
  for (int h = 0; h < 3 * count; ++h) {
    const int across = pieces_.partner[static_cast<std::size_t>(h)];
    if (across < 0 || off[static_cast<std::size_t>(h / 3)] != 0) continue;
    if (off[static_cast<std::size_t>(across / 3)] == 0) crumbs.join(h / 3, across / 3);
  }
  std::vector<double> top(static_cast<std::size_t>(count), -INFINITY);
  for (int f = 0; f < count; ++f) {
    if (!of_body(f) || off[static_cast<std::size_t>(f)] != 0) continue;
    double& highest_of_crumb = top[static_cast<std::size_t>(crumbs.find(f))];
    highest_of_crumb = std::max(highest_of_crumb, highest(f));
  }
  for (int f = 0; f < count; ++f) {
    if (!of_body(f) || off[static_cast<std::size_t>(f)] != 0) continue;
    if (top[static_cast<std::size_t>(crumbs.find(f))] < std::min(3 * level, level + 0.1 * top_)) {
      off[static_cast<std::size_t>(f)] = 1;
    }
  }
}

TableCut TableCutter::without_below(double level) const {
  std::vector<std::uint8_t> off = grown([&](int f) { return lowest(f) < level; });
  take_crumbs(level, off);
  TableCut out;
  out.floor = Floor{plane_.normal, plane_.offset, plane_.noise};
  for (int f = 0; f < pieces_.facet_count(); ++f) {
    const auto at = pieces_.facets.begin() + 3 * static_cast<std::ptrdiff_t>(f);
    if (off[static_cast<std::size_t>(f)] == 0) {
      out.left.insert(out.left.end(), at, at + 3);
      continue;
    }
    ++out.facets_off;
    out.share += doubled_area(f).norm() / 2 / pieces_.body().area;
  }
  return out;
}

}  // namespace trueblank::intake
