// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <vector>

#include "body/load_body.h"
#include "support/bodies.h"

// Bodies with walls, gaps and rooms of known size, and how they are framed.
namespace trueblank::print_bodies {

using geometry::TriangleMesh;
using geometry::Vec3;

/// The boxes of a grid that `filled` says, as one closed skin: xs, ys, zs rising, box (i, j, k)
/// between xs[i] and xs[i + 1] and so on. No two boxes may meet in an edge or a corner alone.
[[nodiscard]] TriangleMesh blocks(const std::vector<double>& xs, const std::vector<double>& ys,
                                  const std::vector<double>& zs,
                                  const std::function<bool(int, int, int)>& filled);

/// Turned about the z axis: a polyline of (radius, z) that begins and ends on the axis, the body to
/// its left going from the lowest point up; it may turn back.
[[nodiscard]] TriangleMesh revolved(const std::vector<Eigen::Vector2d>& radius_z, int around);

/// A ball of that radius about the origin, hollow, the wall 2 mm thick, with a round hole through
/// it at the top; no hole where its radius is 0. The room within is then a shell of its own.
[[nodiscard]] TriangleMesh hollow_ball(double radius_mm, double hole_radius_mm, int bands,
                                       int around);

/// Nose towards −x, back towards +z.
[[nodiscard]] body::FramedBody framed(const TriangleMesh& mesh);

}  // namespace trueblank::print_bodies
