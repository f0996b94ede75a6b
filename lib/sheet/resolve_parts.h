// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "sheet/build_sheet.h"

// Inside the room: all of a sheet but its wishes, on a body.
namespace trueblank::sheet {

/// A blank's wood on one body.
struct Wood {
  double density_g_cm3 = 0;
  std::optional<rig::Halves> halves = {};
  std::optional<double> balance_mm = {};

  void put_into(rig::Rig& rig) const {
    rig.wood_density_g_cm3 = density_g_cm3;
    rig.wood_weighed = false;
    rig.halves = halves;
    rig.wood_balance_mm = balance_mm;
  }
};

/// wood    of a copy of the body, instead of what the sheet says; nullptr: it is the body itself
/// throws  as resolve()
[[nodiscard]] ResolvedRig resolve_parts(const Sheet::Contents& sheet, const body::FramedBody& body,
                                        const Wood* wood = nullptr);

}  // namespace trueblank::sheet
