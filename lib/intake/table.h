// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "intake/hole_bound.h"
#include "intake/mend.h"
#include "intake/pieces.h"

namespace trueblank::intake {

/// A table or a turntable in one piece with the body that stands on it.
struct TableCut {
  Corners left;  ///< the facets without it, of all pieces
  int facets_off = 0;
  double share = 0;            ///< of the piece's area that goes
  std::optional<Floor> floor;  ///< the table's top, where the body stands on it
};

/// A flat part of the skin, looked at as a table.
struct TableFound {
  std::optional<TableCut> cut;
  double own_share = 0;  ///< where a flat side was taken as the body's own that might be a table:
                         ///< its share of the skin
};

/// Looks for a table: a flat part of the kept piece that faces the rest of it, which all lies above
/// it (a flat side of the body faces away from the body), and that ends in the open (a sheet) or,
/// all round the body, in a plate's edge. It is cut off at the body, a little above the table, and
/// higher where a fillet leads up to the body, or a pin holds it. A flat side of the body's own is
/// cut off only when asked for, by Table::cut: so may look what a scanner's program closed for
/// itself.
///
/// pieces  wound outward
/// cost    O(F), little of it
[[nodiscard]] TableFound find_table(const Pieces& pieces, Table table);

}  // namespace trueblank::intake
