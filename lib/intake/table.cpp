// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/table.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "intake/flat_side.h"

namespace trueblank::intake {
namespace {

using geometry::Vec3;

/// A table is no smaller than this part of the skin, and the body above it no smaller than that.
constexpr double least_table = 0.03;
constexpr double least_body = 0.03;

/// A flat side of the body's own gets a word from this part of the skin on, where no other flat
/// side is half as large (a brick, a rod or a flat-sided body has more than one).
constexpr double own_side_told = 0.12;

/// Facets less than 60° off the table's own direction belong to it or to the fillet.
constexpr double faces_up = 0.5;

/// A fillet ends below this part of the body's height; and that near to the table no scanner sees
/// the skin of the body well.
constexpr double highest_fillet = 0.15;
constexpr double least_cut = 0.02;

double diagonal_of(const std::vector<SkinSample>& samples) {
  Vec3 low = samples.front().position;
  Vec3 high = low;
  for (const SkinSample& s : samples) {
    low = low.cwiseMin(s.position);
    high = high.cwiseMax(s.position);
  }
  return (high - low).norm();
}

/// A plane of the kept piece with the heights of all vertices over it.
class Cutter {
 public:
  Cutter(const Pieces& pieces, const Plane& up, double diagonal)
      : pieces_(pieces), plane_(up), diagonal_(diagonal) {
    tolerance_ = std::max(4 * up.noise, 2e-4 * diagonal);
    height_ = (up.normal.transpose() * pieces.positions).array() - up.offset;
    for (int f = 0; f < pieces.facet_count(); ++f) {
      if (of_body(f)) top_ = std::max(top_, highest(f));
    }
  }

  /// Whether this is plainly a table.
  [[nodiscard]] bool goes_on_beyond(const std::vector<SkinSample>& samples) {
    double below = 0;
    double under = 0;  // a sheet's other side
    double on = 0;
    double above = 0;
    double open = 0;
    for (int f = 0; f < pieces_.facet_count(); ++f) {
      if (!of_body(f)) continue;
      const Vec3 normal = doubled_area(f);
      const double area = normal.norm() / 2;
      const double height = height_of(pieces_.middle_of(f));
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
    return below + under > 0.3 * on && all_round(samples);
  }

  /// Takes the table off, and the fillet that leads up to the body.
  [[nodiscard]] TableCut cut() {
    find_smooth_normals();
    const double level = cut_height();
    return without_below(level);
  }

  /// Takes a side off that lies in the plane.
  [[nodiscard]] TableCut cut_side() { return without_below(2 * tolerance_); }

 private:
  static constexpr double most_strays = 0.02;

  [[nodiscard]] bool of_body(int f) const {
    return pieces_.piece_of[static_cast<std::size_t>(f)] == pieces_.kept;
  }

  [[nodiscard]] double height_of(const Vec3& p) const { return plane_.height(p); }

  [[nodiscard]] std::array<double, 3> heights(int f) const {
    std::array<double, 3> out;
    for (std::size_t k = 0; k < 3; ++k) {
      out[k] = height_(pieces_.facets[3 * static_cast<std::size_t>(f) + k]);
    }
    return out;
  }

  [[nodiscard]] double highest(int f) const { return std::ranges::max(heights(f)); }

  [[nodiscard]] double lowest(int f) const { return std::ranges::min(heights(f)); }

  [[nodiscard]] Vec3 doubled_area(int f) const {
    const Vec3 a = pieces_.corner(f, 0);
    return (pieces_.corner(f, 1) - a).cross(pieces_.corner(f, 2) - a);
  }

  [[nodiscard]] double open_length(int f) const {
    double length = 0;
    for (int k = 0; k < 3; ++k) {
      if (pieces_.partner[3 * static_cast<std::size_t>(f) + static_cast<std::size_t>(k)] >= 0) {
        continue;
      }
      length += (pieces_.corner(f, (k + 1) % 3) - pieces_.corner(f, k)).norm();
    }
    return length;
  }

  /// Whether the table lies to all sides of the body, seen from above.
  [[nodiscard]] bool all_round(const std::vector<SkinSample>& samples) const {
    constexpr std::size_t sectors = 16;
    constexpr std::size_t enough = 14;
    Vec3 middle = Vec3::Zero();
    int count = 0;
    for (const SkinSample& s : samples) {
      if (height_of(s.position) <= tolerance_) continue;
      middle += s.position;
      ++count;
    }
    if (count == 0) return false;
    middle /= count;
    const Vec3 u = plane_.normal.unitOrthogonal();
    const Vec3 v = plane_.normal.cross(u);
    std::array<bool, sectors> taken = {};
    for (const SkinSample& s : samples) {
      if (std::abs(height_of(s.position)) > tolerance_) continue;
      if (s.normal.dot(plane_.normal) < faces_up) continue;
      const Vec3 d = s.position - middle;
      const double turn = std::atan2(v.dot(d), u.dot(d)) / (2 * std::numbers::pi) + 0.5;
      taken[std::min(static_cast<std::size_t>(turn * sectors), sectors - 1)] = true;
    }
    return static_cast<std::size_t>(std::ranges::count(taken, true)) >= enough;
  }

  /// At each vertex, so that noise doesn't turn a facet of the table out of it.
  void find_smooth_normals() {
    at_vertex_.setZero(3, pieces_.positions.cols());
    for (int f = 0; f < pieces_.facet_count(); ++f) {
      if (!of_body(f)) continue;
      const Vec3 normal = doubled_area(f);
      for (std::size_t k = 0; k < 3; ++k) {
        at_vertex_.col(pieces_.facets[3 * static_cast<std::size_t>(f) + k]) += normal;
      }
    }
  }

  [[nodiscard]] bool looks_up(int f) const {
    Vec3 normal = Vec3::Zero();
    for (std::size_t k = 0; k < 3; ++k) {
      normal += at_vertex_.col(pieces_.facets[3 * static_cast<std::size_t>(f) + k]);
    }
    return normal.dot(plane_.normal) > faces_up * normal.norm();
  }

  /// Marks what hangs together with the table by facets that `takes` takes.
  template <class Takes>
  [[nodiscard]] std::vector<std::uint8_t> grown(const Takes& takes) const {
    std::vector<std::uint8_t> marked(pieces_.facets.size() / 3, 0);
    std::vector<int> reached;
    const auto reach = [&](int f) {
      if (marked[static_cast<std::size_t>(f)] != 0 || !of_body(f) || !takes(f)) return;
      marked[static_cast<std::size_t>(f)] = 1;
      reached.push_back(f);
    };
    for (int f = 0; f < pieces_.facet_count(); ++f) {
      if (std::abs(height_of(pieces_.middle_of(f))) <= tolerance_) reach(f);
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
  [[nodiscard]] double cut_height() const {
    const double least = std::max(least_cut * top_, 2 * tolerance_);
    const double most = std::max(highest_fillet * top_, least);
    const std::vector<std::uint8_t> fillet =
        grown([&](int f) { return highest(f) < most / 2 && looks_up(f); });
    std::vector<double> beyond;
    for (int f = 0; f < pieces_.facet_count(); ++f) {
      const double height = height_of(pieces_.middle_of(f));
      if (fillet[static_cast<std::size_t>(f)] != 0 && height > tolerance_) beyond.push_back(height);
    }
    if (beyond.empty()) return least;
    const auto nearly_all =
        beyond.begin() + static_cast<std::ptrdiff_t>(0.95 * static_cast<double>(beyond.size() - 1));
    std::ranges::nth_element(beyond, nearly_all);
    return std::clamp(2 * *nearly_all, least, most);
  }

  /// What noise lifts out of the table stands alone once the table is off: it goes with it.
  void take_crumbs(double level, std::vector<std::uint8_t>& off) const {
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
      if (top[static_cast<std::size_t>(crumbs.find(f))] < 3 * level) {
        off[static_cast<std::size_t>(f)] = 1;
      }
    }
  }

  [[nodiscard]] TableCut without_below(double level) const {
    std::vector<std::uint8_t> off = grown([&](int f) { return lowest(f) < level; });
    take_crumbs(level, off);
    TableCut out;
    out.floor = {plane_.normal, plane_.offset, plane_.noise};
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

  const Pieces& pieces_;
  Plane plane_;  ///< its normal points to the body
  double diagonal_;
  double tolerance_ = 0;
  double top_ = 0;
  Eigen::RowVectorXd height_;
  Eigen::Matrix3Xd at_vertex_;
};

/// Heights over a plane, and places in it, of the vertices of a piece.
struct Extent {
  double low = INFINITY;
  double high = -INFINITY;
  double farthest = 0;  ///< from a middle, along the plane
};

Extent extent_of(const Pieces& pieces, int piece, const Plane& plane, const Vec3& middle) {
  Extent out;
  for (std::size_t h = 0; h < pieces.facets.size(); ++h) {
    if (pieces.piece_of[h / 3] != piece) continue;
    const Vec3 p = pieces.positions.col(pieces.facets[h]);
    const Vec3 d = p - middle;
    const double height = plane.height(p);
    out.low = std::min(out.low, height);
    out.high = std::max(out.high, height);
    out.farthest = std::max(out.farthest, (d - plane.normal.dot(d) * plane.normal).norm());
  }
  return out;
}

/// Whether a plate is a table to a piece: that stands on it or just over it, within its outline,
/// and is no trifle.
bool stands_on(const Extent& piece, const Extent& plate) {
  constexpr double least_of_breadth = 0.2;
  const double height = piece.high - piece.low;
  return std::abs(piece.low) < height / 5 && height > 2 * (plate.high - plate.low) &&
         piece.farthest < plate.farthest && piece.farthest > least_of_breadth * plate.farthest;
}

/// What is left where the kept piece is the table itself.
TableCut without_body(const Pieces& pieces, const Plane& up) {
  TableCut out;
  out.floor = {up.normal, up.offset, up.noise};
  out.facets_off = pieces.body().facets;
  double area = 0;
  for (const Piece& piece : pieces.all) area += piece.area;
  out.share = pieces.body().area / area;
  for (std::size_t f = 0; f < pieces.facets.size() / 3; ++f) {
    const auto at = pieces.facets.begin() + 3 * static_cast<std::ptrdiff_t>(f);
    if (pieces.piece_of[f] != pieces.kept) out.left.insert(out.left.end(), at, at + 3);
  }
  return out;
}

/// A plate that is a piece of its own, and the greatest, with another piece that stands on it.
std::optional<TableCut> loose_plate(const Pieces& pieces, const std::vector<SkinSample>& samples,
                                    double diagonal) {
  constexpr double nearly_all = 0.8;
  if (pieces.all.size() < 2) return std::nullopt;
  const auto flat = largest_flat_side(samples, diagonal, Facing::away);
  if (!flat) return std::nullopt;
  Vec3 middle = Vec3::Zero();
  double level = 0;
  for (const SkinSample& s : samples) {
    middle += s.position / static_cast<double>(samples.size());
    level += std::abs(s.normal.dot(flat->plane.normal)) > nearly_all ? 1 : 0;
  }
  if (level < nearly_all * static_cast<double>(samples.size())) return std::nullopt;
  Plane up = flat->plane;
  const Extent below = extent_of(pieces, pieces.kept, up, middle);
  if (below.high - below.low > most_plate_thickness * diagonal) return std::nullopt;
  int other = -1;
  for (std::size_t p = 0; p < pieces.all.size(); ++p) {
    const double volume = std::abs(pieces.all[p].volume);
    if (static_cast<int>(p) == pieces.kept || pieces.all[p].encloses_nothing()) continue;
    if (other < 0 || volume > std::abs(pieces.all[static_cast<std::size_t>(other)].volume)) {
      other = static_cast<int>(p);
    }
  }
  if (other < 0) return std::nullopt;
  for (int side = 0; side < 2; ++side) {
    const Extent plate = extent_of(pieces, pieces.kept, up, middle);
    if (stands_on(extent_of(pieces, other, up, middle), plate)) return without_body(pieces, up);
    up = {-up.normal, -(up.offset + plate.low), up.noise};  // the other side of the plate
  }
  return std::nullopt;
}

}  // namespace

TableFound find_table(const Pieces& pieces, Table table) {
  TableFound out;
  if (table == Table::keep || pieces.body().one_sided) return out;
  const std::vector<SkinSample> samples = samples_of_body(pieces);
  if (samples.empty()) return out;
  const double diagonal = diagonal_of(samples);
  out.cut = loose_plate(pieces, samples, diagonal);
  if (out.cut) return out;
  if (const auto flat = largest_flat_side(samples, diagonal, Facing::the_rest)) {
    Cutter cutter(pieces, flat->plane, diagonal);
    if (cutter.goes_on_beyond(samples)) {
      out.cut = cutter.cut();
      return out;
    }
  }
  const auto own = largest_flat_side(samples, diagonal, Facing::away);
  if (!own || own->share < (table == Table::cut ? least_table : own_side_told)) return out;
  if (table == Table::cut) {
    const Plane up = {-own->plane.normal, -own->plane.offset, own->plane.noise};
    out.cut = Cutter(pieces, up, diagonal).cut_side();
    return out;
  }
  const auto other = largest_flat_side(samples, diagonal, Facing::away, &own->plane.normal);
  if (!other || other->share < own->share / 2) out.own_share = own->share;
  return out;
}

}  // namespace trueblank::intake
