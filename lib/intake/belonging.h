// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "intake/pieces.h"

namespace trueblank::intake {

/// Which pieces make up the body.
struct Belonging {
  std::vector<std::uint8_t>
      belongs;     ///< for each piece: 1 the kept one, its cavities, those united with it
  int inside = 0;  ///< pieces inside the kept one that are none of its cavities
};

/// A closed shell inside the kept piece that faces inward is its cavity.
///
/// united    other pieces that belong
/// open_too  whether a shell that is not closed may be a cavity
[[nodiscard]] Belonging belonging(const Pieces& pieces, const std::vector<int>& united,
                                  bool open_too);

}  // namespace trueblank::intake
