// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>
#include <string>

#include "body/load_body.h"
#include "symmetry/deviation.h"
#include "verbs.h"

namespace trueblank::tools {

/// The mended mesh as a PLY or GLB file, by the path's ending, skin that was made up to fill a hole
/// in grey.
[[nodiscard]] OutputFile mended_map(const std::string& path, const body::SoundBody& body);

/// A mesh with a deviation, a vertex each, in colours out to ± `scale_mm`; what does not count in
/// grey.
[[nodiscard]] OutputFile skin_map(const std::string& path, const geometry::TriangleMesh& mesh,
                                  std::span<const double> deviation_mm,
                                  std::span<const std::uint8_t> counted, double scale_mm);

/// The body with its deviation, a vertex each, in colours out to ± `scale_mm`; skin that was not
/// compared in grey.
[[nodiscard]] OutputFile deviation_map(const std::string& path, const body::SoundBody& body,
                                       const symmetry::DeviationField& field, double scale_mm);

}  // namespace trueblank::tools
