// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>

#include "geometry/mesh.h"

// Apart from the rest, so that Open3D's headers meet no others.
namespace trueblank::bench {

/// The motion that lays a mesh on another from any pose by Open3D's feature-based registration
/// (FPFH on points 2 mm apart, RANSAC), refined by its point-to-plane registration on all vertices;
/// on one thread, by the settings that its documentation uses for such.
[[nodiscard]] Eigen::Matrix4d found_by_open3d(const geometry::TriangleMesh& other,
                                              const geometry::TriangleMesh& body);

}  // namespace trueblank::bench
