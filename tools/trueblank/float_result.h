// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "body/load_body.h"
#include "geometry/moment_tree.h"
#include "options.h"
#include "report/float_report.h"
#include "rig/assembly.h"
#include "sheet/build_sheet.h"
#include "verbs.h"
#include "water/waterline.h"

namespace trueblank::tools {

/// A body as the water sees it, with a sheet's coat on.
struct WetBody {
  const geometry::ClosedMesh& skin;
  geometry::Moments whole;  ///< of the skin
  geometry::Moments
      coated;  ///< the same without what a cavity displaces, as rig::assemble wants it
  geometry::MomentTree tree;
};

/// Refers to the coat of `resolved`, or to the skin of `framed`: both must outlive it.
[[nodiscard]] WetBody wet_body(const body::FramedBody& framed, const sheet::ResolvedRig& resolved);

/// A lure of a build sheet, and all that its figures are reckoned from.
struct SheetLure {
  const sheet::Sheet& sheet;
  const body::FramedBody& framed;
  const sheet::ResolvedRig& resolved;
  const WetBody& wet;

  [[nodiscard]] rig::Assembly laid(const rig::Rig& rig) const;
  [[nodiscard]] water::Floater floater(const rig::Rig& rig) const;
};

/// What the lure could still carry in other water, which its pockets hold too; negative: its weight
/// there.
[[nodiscard]] double reserve_in_g(const SheetLure& lure, const rig::Water& water);

/// Whether a part of the rig is of lead, which brings cautions.
[[nodiscard]] bool has_lead(const rig::Rig& rig);

/// All that `float` tells of a lure.
///
/// draws  where builds within the sheet's tolerances are to be drawn
[[nodiscard]] report::FloatResult float_result(const SheetLure& lure,
                                               const std::optional<Draws>& draws,
                                               const Workshop& workshop);

}  // namespace trueblank::tools
