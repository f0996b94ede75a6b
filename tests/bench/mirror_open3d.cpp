// SPDX-License-Identifier: GPL-3.0-or-later
#include "mirror_open3d.h"

#include <omp.h>
#include <open3d/geometry/PointCloud.h>
#include <open3d/geometry/TriangleMesh.h>
#include <open3d/pipelines/registration/Registration.h>

#include <cstdlib>

namespace trueblank::bench {
namespace {

// Wider than any vertex is off at the start: 5° over 80 mm.
constexpr double reach_mm = 10;

}  // namespace

void open3d_on_one_thread() {
  setenv("OMP_NUM_THREADS", "1", 1);
  omp_set_num_threads(1);
}

Eigen::Matrix4d laid_by_open3d(const Eigen::Matrix3Xd& points_mm,
                               const geometry::TriangleMesh& mesh) {
  namespace registration = open3d::pipelines::registration;
  open3d_on_one_thread();
  open3d::geometry::PointCloud source;
  for (Eigen::Index i = 0; i < points_mm.cols(); ++i) source.points_.push_back(points_mm.col(i));
  open3d::geometry::TriangleMesh skin;
  for (int v = 0; v < mesh.vertex_count(); ++v) skin.vertices_.push_back(mesh.positions_mm.col(v));
  for (int f = 0; f < mesh.facet_count(); ++f) skin.triangles_.push_back(mesh.facets.col(f));
  skin.ComputeVertexNormals();
  open3d::geometry::PointCloud target;
  target.points_ = skin.vertices_;
  target.normals_ = skin.vertex_normals_;
  return registration::RegistrationICP(source, target, reach_mm, Eigen::Matrix4d::Identity(),
                                       registration::TransformationEstimationPointToPlane())
      .transformation_;
}

}  // namespace trueblank::bench
