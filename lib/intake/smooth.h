// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>

#include "intake/reshaped.h"

namespace trueblank::intake {

/// A closed body with its ripples taken off: those shorter than `width` go, those longer than
/// twice that stay, and the volume stays as it was. Ends and edges that are sharper than `width`
/// are rounded with them; the greatest distance says by how much.
///
/// closed          closed and outward, any unit
/// facet_measured  1 a facet from the file, 0 made up; one for each facet
/// width           > 0, a wave length in the unit of the mesh
/// returns         the same facets over moved vertices, one for one. Nothing where the mesh isn't
///                 closed, or what comes out encloses no volume.
/// cost            O(V · width / edge length), at most 1000 passes over the mesh
/// source          G. Taubin, "A signal processing approach to fair surface design", SIGGRAPH 1995;
///                 the filter by G. Taubin, T. Zhang, G. Golub, "Optimal surface smoothing as
///                 filter design", ECCV 1996
[[nodiscard]] std::optional<Reshaped> smooth(const geometry::TriangleMesh& closed,
                                             std::span<const std::uint8_t> facet_measured,
                                             double width);

}  // namespace trueblank::intake
