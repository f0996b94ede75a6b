// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>

#include "body/load_body.h"
#include "verbs.h"

namespace trueblank::tools {

/// The mended mesh as a PLY file, skin that was made up to fill a hole in grey.
[[nodiscard]] OutputFile mended_map(const std::string& path, const body::SoundBody& body);

/// The body with its deviation, a vertex each, in colours out to ± `scale_mm`.
[[nodiscard]] OutputFile deviation_map(const std::string& path, const body::SoundBody& body,
                                       std::span<const double> deviation_mm, double scale_mm);

}  // namespace trueblank::tools
