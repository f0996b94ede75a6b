// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/parallel.h"
#include "symmetry/gap_field.h"
#include "symmetry/measured_skin.h"

// Inside the room: a skin's gaps as the plane search sees them.
namespace trueblank::symmetry {

/// The gaps between skin points and the mirror image, with the normals of both sides; points whose
/// mirror image meets made-up skin stand for no area.
///
/// threads  the same bytes whatever `loop` does
/// cost     a nearest point for every point
[[nodiscard]] GapSample gap_sample(const MeasuredSkin& skin, const SkinPoints& points,
                                   const Plane& plane, const geometry::ParallelFor& loop);

}  // namespace trueblank::symmetry
