// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "body/load_body.h"
#include "options.h"
#include "report/mirror_report.h"
#include "symmetry/patches.h"
#include "verbs.h"

namespace trueblank::tools {

/// What was measured of a body about its mirror plane.
struct Measured {
  symmetry::DeviationField field;
  symmetry::Patches patches;
};

/// The files that were asked for, the JSON aside. Adds to the result what it must say of them.
///
/// title  of the templates
[[nodiscard]] std::vector<OutputFile> mirror_files(const MirrorRequest& request,
                                                   const body::FramedBody& framed,
                                                   const Measured& measured,
                                                   const std::string& title,
                                                   report::MirrorResult& result);

/// Warns of each file that was asked for and can't be had without a plane.
void say_no_files(const MirrorRequest& request, std::vector<std::string>& warnings);

}  // namespace trueblank::tools
