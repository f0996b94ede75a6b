// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "body/load_body.h"
#include "geometry/parallel.h"
#include "report/mirror_report.h"
#include "sheet/build_sheet.h"
#include "symmetry/patches.h"

namespace trueblank::tools {

/// What is known of the body: the command line over the sheet.
[[nodiscard]] body::BodyHints hints_over_sheet(const body::BodyHints& told,
                                               const body::BodyHints& in_sheet);

/// Of the body and its coat alone, for assembling a rig: without what a hollow body's cavity
/// displaces.
///
/// wet  of what the water sees
[[nodiscard]] geometry::Moments with_its_coat(const body::FramedBody& framed,
                                              const geometry::Moments& wet);

/// Carries the proud patches into the water with the sheet's rig. Puts the result's patches in the
/// order in which they matter there.
///
/// patches  of the framed body; the result's are its proud ones, in the same order
void add_water(report::MirrorResult& result, const std::string& sheet_path,
               const sheet::ResolvedRig& resolved, const body::FramedBody& framed,
               const symmetry::Patches& patches, const geometry::ParallelFor& loop);

}  // namespace trueblank::tools
