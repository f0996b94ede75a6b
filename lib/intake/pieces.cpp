// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/pieces.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "intake/pairing.h"

namespace trueblank::intake {
namespace {

using geometry::Vec3;

/// A surface encloses nothing where its volume is below this share of its area to the power 3/2 (a
/// ball: 0.094; a sheet of 100 by 30 mm and a thousandth of a mm thick: 6e-6).
constexpr double least_volume_per_area = 1e-6;

/// Nor does it below this share of the mesh's diagonal to the power 3, which rounding may leave.
constexpr double least_volume_per_diagonal = 1e-14;

/// A piece of which more than this share of facets had to be turned tells nothing by its winding.
constexpr double most_turned = 0.1;

void turn(Corners& facets, int facet) {
  const std::size_t at = 3 * static_cast<std::size_t>(facet);
  std::swap(facets[at + 1], facets[at + 2]);
}

/// Turns facets, and the rims and half-edges' partners with them.
void turn_facets(Pieces& pieces, const std::vector<std::uint8_t>& turned) {
  const auto renumbered = [&turned](int h) {
    // Corners 1 and 2 change places: the edge 0-1 becomes 2-0, and the other way round.
    if (turned[static_cast<std::size_t>(h / 3)] == 0 || h % 3 == 1) return h;
    return h % 3 == 0 ? h + 2 : h - 2;
  };
  std::vector<int> partner(pieces.partner.size(), -1);
  for (std::size_t h = 0; h < partner.size(); ++h) {
    const int across = pieces.partner[h];
    partner[static_cast<std::size_t>(renumbered(static_cast<int>(h)))] =
        across < 0 ? -1 : renumbered(across);
  }
  pieces.partner = std::move(partner);
  for (int f = 0; f < pieces.facet_count(); ++f) {
    if (turned[static_cast<std::size_t>(f)] != 0) turn(pieces.facets, f);
  }
}

/// Finds the pieces and winds each one alike.
void sew(Pieces& pieces) {
  Sewn result = sewn(pieces.facets, pieces.positions);
  pieces.piece_of = std::move(result.piece);
  pieces.partner = std::move(result.partner);
  pieces.parted_edges = result.edges_of_many;
  pieces.all.resize(static_cast<std::size_t>(result.pieces));
  for (int f = 0; f < pieces.facet_count(); ++f) {
    ++pieces.of(f).facets;
    pieces.of(f).turned += result.turned[static_cast<std::size_t>(f)] != 0 ? 1 : 0;
  }
  if (std::ranges::find(result.turned, 1) != result.turned.end()) {
    turn_facets(pieces, result.turned);
  }
  for (std::size_t p = 0; p < pieces.all.size(); ++p) {
    pieces.all[p].one_sided = result.one_sided[p] != 0;
  }
}

void find_rims(Pieces& pieces) {
  std::vector<std::vector<std::pair<int, int>>> open(pieces.all.size());
  for (std::size_t h = 0; h < pieces.partner.size(); ++h) {
    if (pieces.partner[h] >= 0) continue;
    const int half_edge = static_cast<int>(h);
    // A filling runs against its facet.
    open[static_cast<std::size_t>(pieces.piece_of[h / 3])].emplace_back(
        to_vertex(pieces.facets, half_edge), from_vertex(pieces.facets, half_edge));
  }
  for (std::size_t p = 0; p < pieces.all.size(); ++p) {
    Piece& piece = pieces.all[p];
    if (open[p].empty() || piece.one_sided) continue;
    piece.rims = loops(open[p], true);
    // Two facets that lie on each other with nothing between them need no filling.
    std::erase_if(piece.rims, [](const std::vector<int>& rim) { return rim.size() < 3; });
  }
}

void measure(Pieces& pieces) {
  const Vec3 low = pieces.positions.rowwise().minCoeff();
  const Vec3 high = pieces.positions.rowwise().maxCoeff();
  pieces.apex = (low + high) / 2;
  const double rounding = least_volume_per_diagonal * std::pow((high - low).norm(), 3);
  for (int f = 0; f < pieces.facet_count(); ++f) {
    Piece& piece = pieces.of(f);
    const Vec3 a = pieces.corner(f, 0);
    const Vec3 b = pieces.corner(f, 1);
    const Vec3 c = pieces.corner(f, 2);
    piece.volume += pieces.six_volumes(a, b, c) / 6;
    piece.area += (b - a).cross(c - a).norm() / 2;
  }
  for (Piece& piece : pieces.all) {
    for (const std::vector<int>& rim : piece.rims) {
      piece.volume += pieces.six_volumes_of_fan(rim) / 6;
    }
    piece.rounding = rounding;
    if (piece.one_sided) piece.volume = 0;
  }
}

void choose(Pieces& pieces) {
  std::size_t by_volume = 0;
  std::size_t by_area = 0;
  const std::vector<Piece>& all = pieces.all;
  for (std::size_t p = 1; p < all.size(); ++p) {
    if (std::abs(all[p].volume) > std::abs(all[by_volume].volume)) by_volume = p;
    if (all[p].area > all[by_area].area) by_area = p;
  }
  pieces.kept = static_cast<int>(all[by_volume].encloses_nothing() ? by_area : by_volume);
}

void turn_outward(Pieces& pieces) {
  if (pieces.body().volume >= 0) return;
  turn_facets(pieces, std::vector<std::uint8_t>(pieces.facets.size() / 3, 1));
  for (Piece& piece : pieces.all) {
    piece.volume = -piece.volume;
    for (std::vector<int>& rim : piece.rims) std::ranges::reverse(rim);
  }
  pieces.turned_outward = true;
}

}  // namespace

bool Piece::tells_its_side() const { return turned <= most_turned * facets; }

bool Piece::encloses_nothing() const {
  return !(std::abs(volume) > rounding + least_volume_per_area * std::pow(area, 1.5));
}

double Pieces::six_volumes(const Vec3& a, const Vec3& b, const Vec3& c) const {
  return (a - apex).dot((b - apex).cross(c - apex));
}

double Pieces::six_volumes_of_fan(const std::vector<int>& rim) const {
  const Vec3 centre = mean(rim);
  double sum = 0;
  for (std::size_t i = 0; i < rim.size(); ++i) {
    sum += six_volumes(positions.col(rim[i]), positions.col(rim[(i + 1) % rim.size()]), centre);
  }
  return sum;
}

Vec3 Pieces::mean(const std::vector<int>& rim) const {
  Vec3 sum = Vec3::Zero();
  for (const int v : rim) sum += positions.col(v);
  return sum / static_cast<double>(rim.size());
}

Pieces in_pieces(Corners facets, const Eigen::Matrix3Xd& positions) {
  Pieces pieces{positions, std::move(facets), {}, {}, {}};
  sew(pieces);
  find_rims(pieces);
  measure(pieces);
  choose(pieces);
  turn_outward(pieces);
  return pieces;
}

}  // namespace trueblank::intake
