// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "options.h"
#include "report/sweep_report.h"
#include "rig/assembly.h"
#include "rig/parts.h"

namespace trueblank::tools {

/// "KEY=A:B:N" as far as it can be read without a sheet. KEY is PART.mass, PART.x, PART.y, PART.z
/// (the last dot parts them), wood.density or water.density; A and B have the units of a sheet.
/// throws  InputError: not of that form, a mass or a density not over nil, N below 2, A equal to B
[[nodiscard]] SweepWish sweep_value(const std::string& option, const std::string& text);

/// throws  InputError: more than two, one quantity twice, over a million builds
void check_sweeps(const std::vector<SweepWish>& wishes);

/// The axis on a rig laid out.
/// throws  InputError: no such part, a quantity that it has not
[[nodiscard]] water::SweepAxis sweep_axis(const SweepWish& wish, const rig::Rig& rig,
                                          const rig::Assembly& assembly);

/// What must be said of a map.
/// throws  InputError: nothing is told of any build
[[nodiscard]] std::vector<std::string> sweep_warnings(const report::SweepResult& sweep,
                                                      const rig::Assembly& assembly);

}  // namespace trueblank::tools
