// SPDX-License-Identifier: GPL-3.0-or-later
#include "align_open3d.h"

#include <open3d/geometry/KDTreeSearchParam.h>
#include <open3d/geometry/PointCloud.h>
#include <open3d/geometry/TriangleMesh.h>
#include <open3d/pipelines/registration/CorrespondenceChecker.h>
#include <open3d/pipelines/registration/Feature.h>
#include <open3d/pipelines/registration/Registration.h>
#include <open3d/utility/Random.h>

#include <memory>

#include "mirror_open3d.h"

namespace trueblank::bench {
namespace {

namespace registration = open3d::pipelines::registration;
using open3d::geometry::KDTreeSearchParamHybrid;
using open3d::geometry::PointCloud;

constexpr double apart_mm = 2;

PointCloud cloud(const geometry::TriangleMesh& mesh) {
  open3d::geometry::TriangleMesh skin;
  for (int v = 0; v < mesh.vertex_count(); ++v) skin.vertices_.push_back(mesh.positions_mm.col(v));
  for (int f = 0; f < mesh.facet_count(); ++f) skin.triangles_.push_back(mesh.facets.col(f));
  skin.ComputeVertexNormals();
  PointCloud points;
  points.points_ = skin.vertices_;
  points.normals_ = skin.vertex_normals_;
  return points;
}

}  // namespace

Eigen::Matrix4d found_by_open3d(const geometry::TriangleMesh& other,
                                const geometry::TriangleMesh& body) {
  open3d_on_one_thread();
  open3d::utility::random::Seed(1);
  const PointCloud source = cloud(other);
  const PointCloud target = cloud(body);
  const std::shared_ptr<PointCloud> few_source = source.VoxelDownSample(apart_mm);
  const std::shared_ptr<PointCloud> few_target = target.VoxelDownSample(apart_mm);
  const KDTreeSearchParamHybrid about(5 * apart_mm, 100);
  const auto source_features = registration::ComputeFPFHFeature(*few_source, about);
  const auto target_features = registration::ComputeFPFHFeature(*few_target, about);
  const registration::CorrespondenceCheckerBasedOnEdgeLength edges(0.9);
  const registration::CorrespondenceCheckerBasedOnDistance near(1.5 * apart_mm);
  const registration::RegistrationResult rough =
      registration::RegistrationRANSACBasedOnFeatureMatching(
          *few_source, *few_target, *source_features, *target_features, true, 1.5 * apart_mm,
          registration::TransformationEstimationPointToPoint(false), 3, {edges, near},
          registration::RANSACConvergenceCriteria(100000, 0.999));
  return registration::RegistrationICP(source, target, apart_mm, rough.transformation_,
                                       registration::TransformationEstimationPointToPlane())
      .transformation_;
}

}  // namespace trueblank::bench
