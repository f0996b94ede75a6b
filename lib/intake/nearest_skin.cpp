// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/nearest_skin.h"

#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/AABB_triangle_primitive.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>

#include <vector>

namespace trueblank::intake {
namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Point = Kernel::Point_3;
using Triangles = std::vector<Kernel::Triangle_3>;
using Primitive = CGAL::AABB_triangle_primitive<Kernel, Triangles::const_iterator>;
using BoxTree = CGAL::AABB_tree<CGAL::AABB_traits<Kernel, Primitive>>;
using geometry::Vec3;

}  // namespace

/// Positions are kept from the first vertex, so that a small body far away keeps its digits.
struct NearestSkin::Tree {
  Vec3 origin = Vec3::Zero();
  Triangles triangles;
  std::vector<int> facet_of;
  BoxTree boxes;

  [[nodiscard]] Point local(const Vec3& p) const {
    const Vec3 q = p - origin;
    return {q.x(), q.y(), q.z()};
  }
};

NearestSkin::NearestSkin(const geometry::TriangleMesh& mesh) : tree_(std::make_unique<Tree>()) {
  tree_->origin = mesh.positions_mm.col(0);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Kernel::Triangle_3 triangle(tree_->local(mesh.corner(f, 0)),
                                      tree_->local(mesh.corner(f, 1)),
                                      tree_->local(mesh.corner(f, 2)));
    if (triangle.is_degenerate()) continue;
    tree_->triangles.push_back(triangle);
    tree_->facet_of.push_back(f);
  }
  tree_->boxes.insert(tree_->triangles.cbegin(), tree_->triangles.cend());
  tree_->boxes.build();
  tree_->boxes.accelerate_distance_queries();
}

NearestSkin::~NearestSkin() = default;

NearestSkin::Hit NearestSkin::nearest(const Vec3& point) const {
  const Point asked = tree_->local(point);
  const auto [found, triangle] = tree_->boxes.closest_point_and_primitive(asked);
  Hit hit;
  hit.point = tree_->origin + Vec3(found.x(), found.y(), found.z());
  hit.distance = std::sqrt(CGAL::to_double(CGAL::squared_distance(asked, found)));
  hit.facet = tree_->facet_of[static_cast<std::size_t>(triangle - tree_->triangles.cbegin())];
  return hit;
}

}  // namespace trueblank::intake
