// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/table.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "intake/flat_side.h"
#include "intake/table_cutter.h"

namespace trueblank::intake {
namespace {

using geometry::Vec3;

/// What --table cut may take for one is no smaller than this part of the skin.
constexpr double least_side = 0.03;

/// A flat side of the body's own gets a word from this part of the skin on, where no other flat
/// side is half as large (a brick, a rod or a flat-sided body has more than one).
constexpr double own_side_told = 0.12;

double diagonal_of(const std::vector<SkinSample>& samples) {
  Vec3 low = samples.front().position;
  Vec3 high = low;
  for (const SkinSample& s : samples) {
    low = low.cwiseMin(s.position);
    high = high.cwiseMax(s.position);
  }
  return (high - low).norm();
}

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
  out.floor = Floor{up.normal, up.offset, up.noise};
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
    TableCutter cutter(pieces, flat->plane, diagonal);
    if (cutter.goes_on_beyond(samples)) {
      out.cut = cutter.cut();
      return out;
    }
  }
  const auto own = largest_flat_side(samples, diagonal, Facing::away);
  if (!own || own->share < (table == Table::cut ? least_side : own_side_told)) return out;
  if (table == Table::cut) {
    const Plane up = {-own->plane.normal, -own->plane.offset, own->plane.noise};
    out.cut = TableCutter(pieces, up, diagonal).cut_side();
    return out;
  }
  const auto other = largest_flat_side(samples, diagonal, Facing::away, &own->plane.normal);
  if (!other || other->share < own->share / 2) out.own_share = own->share;
  return out;
}

}  // namespace trueblank::intake
