// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "geometry/mesh.h"
#include "intake/edges.h"

namespace trueblank::intake {

/// Facets that hang together, with what is open of them.
struct Piece {
  std::vector<std::vector<int>> rims;  ///< wound as a filling is; each of 3 vertices or more
  double volume = 0;                   ///< signed, rims closed by fans
  double area = 0;
  int facets = 0;
  int turned = 0;
  double rounding = 0;  ///< what a volume may be off by
  bool one_sided = false;

  /// Not so many of its facets had to be turned that its winding says nothing.
  [[nodiscard]] bool tells_its_side() const;
  [[nodiscard]] bool encloses_nothing() const;
};

/// A soup of facets in pieces, each wound alike, over vertices in file units.
struct Pieces {
  const Eigen::Matrix3Xd& positions;
  Corners facets;
  std::vector<int> partner;   ///< the half-edge across, or -1, for each half-edge
  std::vector<int> piece_of;  ///< of each facet
  std::vector<Piece> all;
  int kept = 0;                                  ///< the body's: the greatest
  int parted_edges = 0;                          ///< edges in which more than two facets meet
  bool turned_outward = false;                   ///< everything was inside out
  geometry::Vec3 apex = geometry::Vec3::Zero();  ///< volumes are measured from there

  [[nodiscard]] int facet_count() const { return static_cast<int>(facets.size() / 3); }

  [[nodiscard]] geometry::Vec3 corner(int facet, int which) const {
    return positions.col(
        facets[3 * static_cast<std::size_t>(facet) + static_cast<std::size_t>(which)]);
  }

  [[nodiscard]] geometry::Vec3 middle_of(int facet) const {
    return (corner(facet, 0) + corner(facet, 1) + corner(facet, 2)) / 3;
  }

  [[nodiscard]] Piece& of(int facet) {
    return all[static_cast<std::size_t>(piece_of[static_cast<std::size_t>(facet)])];
  }

  [[nodiscard]] Piece& body() { return all[static_cast<std::size_t>(kept)]; }

  [[nodiscard]] const Piece& body() const { return all[static_cast<std::size_t>(kept)]; }

  /// Six times the volume of the tetrahedron from the apex.
  [[nodiscard]] double six_volumes(const geometry::Vec3& a, const geometry::Vec3& b,
                                   const geometry::Vec3& c) const;
  /// The same over a fan from the rim's mean to its edges.
  [[nodiscard]] double six_volumes_of_fan(const std::vector<int>& rim) const;
  [[nodiscard]] geometry::Vec3 mean(const std::vector<int>& rim) const;
};

/// Sews the facets, winds each piece alike, measures the pieces, and turns all of them where the
/// greatest is inside out. The greatest is that of most volume; where none encloses anything, that
/// of most area.
///
/// facets     three different corners each, at least one facet
/// positions  kept by reference
/// cost       O(F log F)
[[nodiscard]] Pieces in_pieces(Corners facets, const Eigen::Matrix3Xd& positions);

}  // namespace trueblank::intake
