// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>

#include "geometry/mesh.h"

// Apart from the rest, so that Open3D's headers meet no others.
namespace trueblank::bench {

/// The motion that lays points on a mesh by Open3D's point-to-plane registration, on one thread:
/// its default rounds and stop, the area-weighted normals that it finds for the mesh.
///
/// points_mm  3×N, some 5° off
[[nodiscard]] Eigen::Matrix4d laid_by_open3d(const Eigen::Matrix3Xd& points_mm,
                                             const geometry::TriangleMesh& mesh);

/// Open3D asks the environment how many threads to take, and the machine where that says nothing;
/// once it has taken several, a child of the process, in which memory is measured, waits for them
/// for ever.
void open3d_on_one_thread();

}  // namespace trueblank::bench
