// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "intake/pieces.h"

namespace trueblank::intake {

/// Which pieces make up the body.
struct Belonging {
  std::vector<std::uint8_t> belongs;  ///< for each piece: 1 the kept one and its cavities
  int inside = 0;                     ///< pieces inside the kept one that are none of its cavities
};

/// A closed shell inside the kept piece that faces inward is its cavity.
///
/// open_too  whether a shell that is not closed may be a cavity
[[nodiscard]] Belonging belonging(const Pieces& pieces, bool open_too);

}  // namespace trueblank::intake
