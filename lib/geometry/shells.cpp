// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/shells.h"

#include <algorithm>
#include <numeric>

namespace trueblank::geometry {

namespace {

// Which piece each vertex is of, named by one of the piece's vertices.
class Pieces {
 public:
  explicit Pieces(const TriangleMesh& mesh)
      : parent_(static_cast<std::size_t>(mesh.vertex_count())) {
    std::iota(parent_.begin(), parent_.end(), 0);
    for (int f = 0; f < mesh.facet_count(); ++f) {
      join(mesh.facets(0, f), mesh.facets(1, f));
      join(mesh.facets(0, f), mesh.facets(2, f));
    }
  }

  [[nodiscard]] int of(int vertex) {
    while (up(vertex) != vertex) {
      up(vertex) = up(up(vertex));
      vertex = up(vertex);
    }
    return vertex;
  }

 private:
  [[nodiscard]] int& up(int vertex) { return parent_[static_cast<std::size_t>(vertex)]; }

  void join(int a, int b) {
    const int one = of(a);
    const int other = of(b);
    up(std::max(one, other)) = std::min(one, other);
  }

  std::vector<int> parent_;
};

// Six times the volume of a facet's tetrahedron with an apex near it.
double six_volume(const TriangleMesh& mesh, int facet, const Vec3& apex) {
  const Vec3 a = mesh.corner(facet, 0) - apex;
  const Vec3 b = mesh.corner(facet, 1) - apex;
  const Vec3 c = mesh.corner(facet, 2) - apex;
  return a.x() * (b.y() * c.z() - b.z() * c.y()) + a.y() * (b.z() * c.x() - b.x() * c.z()) +
         a.z() * (b.x() * c.y() - b.y() * c.x());
}

}  // namespace

std::vector<std::uint8_t> on_outer_skin(const TriangleMesh& closed) {
  Pieces pieces(closed);
  const auto count = static_cast<std::size_t>(closed.vertex_count());
  std::vector<double> enclosed(count, 0);
  for (int f = 0; f < closed.facet_count(); ++f) {
    const int piece = pieces.of(closed.facets(0, f));
    enclosed[static_cast<std::size_t>(piece)] +=
        six_volume(closed, f, closed.positions_mm.col(piece));
  }
  std::vector<std::uint8_t> outer(count, 0);
  for (int f = 0; f < closed.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      const int v = closed.facets(k, f);
      outer[static_cast<std::size_t>(v)] =
          enclosed[static_cast<std::size_t>(pieces.of(v))] > 0 ? 1 : 0;
    }
  }
  return outer;
}

TriangleMesh facets_over(const TriangleMesh& mesh, const std::vector<std::uint8_t>& vertices) {
  TriangleMesh kept{mesh.positions_mm, Eigen::Matrix3Xi(3, mesh.facet_count())};
  int count = 0;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    if (vertices[static_cast<std::size_t>(mesh.facets(0, f))] == 0) continue;
    kept.facets.col(count++) = mesh.facets.col(f);
  }
  kept.facets.conservativeResize(3, count);
  return kept;
}

std::optional<ClosedMesh> outer_skin(const ClosedMesh& body) {
  return closed_mesh(facets_over(body.mesh(), on_outer_skin(body.mesh())));
}

}  // namespace trueblank::geometry
