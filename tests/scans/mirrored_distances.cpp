// SPDX-License-Identifier: GPL-3.0-or-later
// For each vertex of a closed mesh: how far its mirror image is from the skin, by CGAL's distances,
// and on which side of it, by CGAL's ray counting: plus outside, minus inside, a line each.
//   scans_mirrored_distances MESH.off NX NY NZ OFFSET
#include <CGAL/AABB_face_graph_triangle_primitive.h>
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Side_of_triangle_mesh.h>
#include <CGAL/Surface_mesh.h>

#include <cmath>
#include <cstdio>
#include <iostream>
#include <string>

#include "scans/off_file.h"

int main(int count, char** words) {
  using K = CGAL::Exact_predicates_inexact_constructions_kernel;
  using Mesh = CGAL::Surface_mesh<K::Point_3>;
  using Tree =
      CGAL::AABB_tree<CGAL::AABB_traits<K, CGAL::AABB_face_graph_triangle_primitive<Mesh>>>;
  if (count != 6) {
    std::cerr << "scans_mirrored_distances MESH.off NX NY NZ OFFSET\n";
    return 2;
  }
  const trueblank::geometry::TriangleMesh given = trueblank::scans::read_off(words[1]);
  const K::Vector_3 normal(std::stod(words[2]), std::stod(words[3]), std::stod(words[4]));
  const double offset = std::stod(words[5]);
  Mesh mesh;
  for (int v = 0; v < given.vertex_count(); ++v) {
    mesh.add_vertex({given.positions_mm(0, v), given.positions_mm(1, v), given.positions_mm(2, v)});
  }
  for (int f = 0; f < given.facet_count(); ++f) {
    const auto vertex = [&](int k) {
      return Mesh::Vertex_index(static_cast<unsigned>(given.facets(k, f)));
    };
    if (mesh.add_face(vertex(0), vertex(1), vertex(2)) == Mesh::null_face()) {
      std::cerr << words[1] << ": facet " << f << " does not fit to the others\n";
      return 2;
    }
  }
  const Tree tree(mesh.faces_begin(), mesh.faces_end(), mesh);
  const CGAL::Side_of_triangle_mesh<Mesh, K> side(mesh);
  for (const Mesh::Vertex_index v : mesh.vertices()) {
    const K::Point_3 p = mesh.point(v);
    const double height = normal * (p - CGAL::ORIGIN) - offset;
    const K::Point_3 q = p - 2 * height * normal;
    const double distance = std::sqrt(tree.squared_distance(q));
    std::printf("%.17g\n", side(q) == CGAL::ON_BOUNDED_SIDE ? -distance : distance);
  }
  return 0;
}
