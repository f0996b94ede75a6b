// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "intake/fill_hole.h"
#include "intake/pieces.h"

namespace trueblank::intake {

/// Which facets lie beside a rim.
class SkinAround {
 public:
  /// pieces  must live as long
  explicit SkinAround(const Pieces& pieces);

  /// A rim with some rings of its piece's skin around it.
  [[nodiscard]] Hole hole(const std::vector<int>& rim, int piece);

 private:
  int number(int vertex);
  void add_ring(Hole& hole, std::size_t begin, std::size_t end, int piece);

  const Pieces& pieces_;
  std::vector<int> first_at_;  ///< for each vertex, into facets_at_
  std::vector<int> facets_at_;
  std::vector<int> number_;          ///< of a vertex in the hole at hand, or -1
  std::vector<std::uint8_t> taken_;  ///< for each facet: 1 in the hole at hand
  std::vector<int> vertices_;        ///< of the hole at hand
  std::vector<int> taken_facets_;
};

}  // namespace trueblank::intake
