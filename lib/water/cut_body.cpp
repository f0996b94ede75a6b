// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/cut_body.h"

#include "geometry/moments.h"

namespace trueblank::water {
namespace {

geometry::BelowPlane below_by_tree(const void* body, const geometry::Plane& plane) {
  return static_cast<const geometry::MomentTree*>(body)->below(plane);
}

std::pair<double, double> extent_by_tree(const void* body, const Vec3& direction) {
  return static_cast<const geometry::MomentTree*>(body)->extent_mm(direction);
}

geometry::BelowPlane below_by_loop(const void* body, const geometry::Plane& plane) {
  return geometry::moments_below(*static_cast<const geometry::ClosedMesh*>(body), plane);
}

std::pair<double, double> extent_by_loop(const void* body, const Vec3& direction) {
  const geometry::ClosedMesh& mesh = *static_cast<const geometry::ClosedMesh*>(body);
  const Eigen::RowVectorXd heights = direction.transpose() * mesh.positions_mm();
  return {heights.minCoeff(), heights.maxCoeff()};
}

}  // namespace

CutBody::CutBody(const geometry::MomentTree* tree)
    : CutBody(tree, below_by_tree, extent_by_tree, tree->volume_mm3(), tree->first_moment_mm4()) {
  rough_ = tree->rough();
}

CutBody::CutBody(const geometry::ClosedMesh* mesh) : CutBody() {
  const geometry::Moments whole = geometry::moments(*mesh);
  *this = CutBody(mesh, below_by_loop, extent_by_loop, whole.volume_mm3,
                  whole.volume_mm3 * whole.centroid_mm);
}

}  // namespace trueblank::water
