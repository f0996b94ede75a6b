// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/mesh.h"
#include "rig/parts.h"

namespace trueblank::sheet {

/// A weight that was found for a place.
struct FoundWeight {
  std::size_t place = 0;      ///< in ResolvedRig::wishes.places
  rig::Ballast ballast = {};  ///< named as the place is
};

/// A hook that is to be other than the sheet has it; what is not set stays as it is written.
struct ChangedHook {
  std::size_t hook = 0;  ///< in Rig::hooks
  std::optional<double> mass_g = {};
  std::optional<geometry::Vec3> eye_mm = {};
};

/// A sheet with found weights in it, to be read again. The text is kept byte for byte, but that
/// each [[place]] is made a comment, that each changed hook has its new mass and eye, the line as
/// it was above it as a comment, and that a [[ballast]] for each weight stands at the end, in the
/// order given. Numbers read back to the same doubles, so that resolve() then gives the rig with
/// these weights after its own, and these hooks, to the last bit. A hook's size_up that is no more
/// than its new mass becomes a comment too.
///
/// text    of a sheet that parse_sheet takes
/// throws  InputError where it isn't one
[[nodiscard]] std::string with_weights(std::string_view text,
                                       const std::vector<FoundWeight>& weights,
                                       const std::vector<ChangedHook>& hooks);

}  // namespace trueblank::sheet
