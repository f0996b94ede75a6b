// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "body/load_body.h"
#include "geometry/parallel.h"
#include "report/mirror_report.h"
#include "sheet/build_sheet.h"
#include "symmetry/patches.h"

namespace trueblank::tools {

/// Carries the proud patches into the water with the sheet's rig. Puts the result's patches in the
/// order in which they matter there.
///
/// patches  of the framed body; the result's are its proud ones, in the same order
void add_water(report::MirrorResult& result, const std::string& sheet_path,
               const sheet::ResolvedRig& resolved, const body::FramedBody& framed,
               const symmetry::Patches& patches, const geometry::ParallelFor& loop);

}  // namespace trueblank::tools
