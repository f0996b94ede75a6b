// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "geometry/mesh.h"

namespace trueblank::scans {

/// A text OFF of triangles, read by the plainest means: not by the readers under test. Ends the
/// program with a line where it can't be read.
[[nodiscard]] geometry::TriangleMesh read_off(const std::string& path);

}  // namespace trueblank::scans
