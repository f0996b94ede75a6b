// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sheet/build_sheet.h"

namespace trueblank::sheet {

/// A master's build sheet on a copy of its body.
struct CopyRig {
  /// Nothing where a part has no place in the copy; a warning then says which, and that the two
  /// can't be compared in the water. Its `wishes` are empty.
  std::optional<ResolvedRig> rig = {};
  double wood_density_g_cm3 = 0;     ///< the copy's is the master's
  bool places_as_in_master = false;  ///< a place measured from the skin or along the body is not
                                     ///< there on the copy: all parts are where the master's are
  std::vector<std::string> warnings = {};  ///< whole sentences about the copy alone
};

/// Rigs a copy as the sheet says for the master, so that all that differs in the water comes from
/// the body. Places that the sheet measures from the skin are measured on the copy; all others are
/// the same points of the shared frame.
///
/// The copy's wood is as dense as the master's: a blank or halves that were weighed speak of the
/// master, and the copy is heavier as far as it is larger (of halves each side by itself; a blank
/// that doesn't balance at its centroid is as far off in the copy). A coat is as thick and as
/// dense, one that was weighed too.
///
/// masters  `master` resolved with this sheet
/// copy     in the master's frame, as body::copy_in_frame gives it
/// throws   nothing that resolve() throws of a sheet's places
[[nodiscard]] CopyRig resolve_copy(const Sheet& sheet, const body::FramedBody& master,
                                   const ResolvedRig& masters, const body::FramedBody& copy);

}  // namespace trueblank::sheet
