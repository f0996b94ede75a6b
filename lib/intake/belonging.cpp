// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/belonging.h"

#include <algorithm>
#include <cmath>

#include "intake/enclosure.h"

namespace trueblank::intake {
namespace {

/// Of pieces below this share of the kept one's volume it is not asked where they lie.
constexpr double least_share_looked_at = 1e-9;

bool is_cavity(const Pieces& pieces, const Piece& piece, bool open_too) {
  return piece.volume < 0 && piece.tells_its_side() && pieces.body().tells_its_side() &&
         (open_too || piece.rims.empty());
}

/// Some facets' middles of each other piece that has a volume, piece by piece.
std::vector<ShellPoint> sample_points(const Pieces& pieces) {
  constexpr int most_samples = 5;
  std::vector<ShellPoint> points;
  if (pieces.all.size() == 1) return points;
  const double least = least_share_looked_at * pieces.body().volume;
  std::vector<int> seen(pieces.all.size(), 0);
  for (int f = 0; f < pieces.facet_count(); ++f) {
    const int number = pieces.piece_of[static_cast<std::size_t>(f)];
    const Piece& piece = pieces.all[static_cast<std::size_t>(number)];
    if (number == pieces.kept || !(std::abs(piece.volume) > least)) continue;
    const int step = std::max(1, piece.facets / most_samples);
    if (seen[static_cast<std::size_t>(number)]++ % step != 0) continue;
    points.push_back({pieces.middle_of(f), number});
  }
  std::ranges::stable_sort(points, {}, &ShellPoint::shell);
  return points;
}

std::vector<ShellFacet> closed_by_fans(const Pieces& pieces) {
  std::vector<ShellFacet> out;
  out.reserve(pieces.facets.size() / 3);
  for (int f = 0; f < pieces.facet_count(); ++f) {
    out.push_back({{pieces.corner(f, 0), pieces.corner(f, 1), pieces.corner(f, 2)},
                   pieces.piece_of[static_cast<std::size_t>(f)]});
  }
  for (std::size_t p = 0; p < pieces.all.size(); ++p) {
    for (const std::vector<int>& rim : pieces.all[p].rims) {
      const geometry::Vec3 centre = pieces.mean(rim);
      for (std::size_t i = 0; i < rim.size(); ++i) {
        out.push_back({{pieces.positions.col(rim[i]),
                        pieces.positions.col(rim[(i + 1) % rim.size()]), centre},
                       static_cast<int>(p)});
      }
    }
  }
  return out;
}

}  // namespace

Belonging belonging(const Pieces& pieces, const std::vector<int>& united, bool open_too) {
  Belonging out;
  out.belongs.assign(pieces.all.size(), 0);
  out.belongs[static_cast<std::size_t>(pieces.kept)] = 1;
  for (const int p : united) out.belongs[static_cast<std::size_t>(p)] = 1;
  std::vector<ShellPoint> points = sample_points(pieces);
  if (!points.empty()) wind_around(closed_by_fans(pieces), pieces.kept, points);
  for (std::size_t from = 0; from < points.size();) {
    std::size_t to = from;
    bool inside = true;
    bool only_kept_around = true;
    for (; to < points.size() && points[to].shell == points[from].shell; ++to) {
      inside = inside && points[to].in_shell == 1;
      only_kept_around = only_kept_around && points[to].in_others == 1;
    }
    const auto p = static_cast<std::size_t>(points[from].shell);
    if (inside && out.belongs[p] == 0) {
      if (only_kept_around && is_cavity(pieces, pieces.all[p], open_too)) {
        out.belongs[p] = 1;
      } else {
        ++out.inside;
      }
    }
    from = to;
  }
  return out;
}

}  // namespace trueblank::intake
