// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "intake/write_mesh.h"

namespace trueblank::intake {

/// A binary glTF 2.0 file with one mesh: positions as floats in metres (what glTF is in), colours
/// of the vertices where given (linear, as glTF has them), and where given the deviation in mm as
/// the application-specific attribute _DEVIATION_MM (0 where `measured` is false). The axes are the
/// mesh's own.
///
/// mesh    one vertex or more that carries facets
/// source  Khronos glTF 2.0 Specification, ISO/IEC 12113:2022, sections 3.6, 3.7 and 4.4
[[nodiscard]] std::string glb_bytes(const geometry::TriangleMesh& mesh,
                                    const PlyExtras& extras = {});

}  // namespace trueblank::intake
