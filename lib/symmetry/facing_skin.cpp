// SPDX-License-Identifier: GPL-3.0-or-later
//
// A ball that touches the skin at p and holds a point q of other skin has, once shrunk until q lies
// on it, the radius |p−q|² / (2 n·(p−q)), n from p away from its centre. Shrunk so onto the nearest
// point of a facet again and again it comes to rest on that facet. All such balls touch in p, each
// lies within the greater ones: so what a ball meets not, no smaller one meets.
//
// source  J. Ma, S. W. Bae, S. Choi, Visual Computer 28, 7-19, 2012 (from memory)
#include "symmetry/facing_skin.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cassert>

#include "symmetry/facet_tree.h"
#include "symmetry/nearest_on_triangle.h"

namespace trueblank::symmetry {
namespace {

using geometry::Vec3;

constexpr double facing_cosine = -0.5;  // of 120°
constexpr int run_length = 4096;        // facets at a time
constexpr int most_shrinkings = 60;     // on one facet
// Of the radius: a point that lies so little within the ball lies on it.
constexpr double rounding = 1e-12;
// A ball that shrank to less than this part is worth looking around anew.
constexpr double looked_anew = 0.7;

// A ball that touches the skin at p; n of unit length, from p away from its middle.
struct Touching {
  Vec3 p;
  Vec3 n;
  double radius = 0;
  int facet = -1;

  [[nodiscard]] Vec3 middle() const { return p - radius * n; }
};

}  // namespace

struct FacingSkin::Inside {
  Inside(const geometry::TriangleMesh& mesh, const geometry::ParallelFor& loop);

  [[nodiscard]] bool shrink_onto(int facet, Touching& ball) const;
  [[nodiscard]] bool look_around(int own, Touching& ball) const;

  [[nodiscard]] bool face_each_other(int one, int other) const {
    return normals.col(one).dot(normals.col(other)) <= facing_cosine;
  }

  Vec3 middle = Vec3::Zero();
  Eigen::Matrix3Xd positions;  // about `middle`
  Eigen::Matrix3Xi facets;
  Eigen::Matrix3Xd normals;  // of unit length
  FacetTree tree;
};

FacingSkin::Inside::Inside(const geometry::TriangleMesh& mesh, const geometry::ParallelFor& loop)
    : facets(mesh.facets), normals(3, mesh.facet_count()) {
  assert(mesh.facet_count() > 0 && "a skin needs facets");
  const Vec3 low = mesh.positions_mm.rowwise().minCoeff();
  const Vec3 high = mesh.positions_mm.rowwise().maxCoeff();
  middle = 0.5 * (low + high);
  positions = mesh.positions_mm.colwise() - middle;
  const int count = mesh.facet_count();
  loop((count + run_length - 1) / run_length, [&](int run) {
    for (int f = run * run_length; f < std::min(count, (run + 1) * run_length); ++f) {
      const Vec3 a = positions.col(facets(0, f));
      const Vec3 b = positions.col(facets(1, f));
      const Vec3 c = positions.col(facets(2, f));
      normals.col(f) = (b - a).cross(c - a).stableNormalized();
    }
  });
  tree = FacetTree(positions, facets, loop);
}

// Whether the facet cut the ball.
bool FacingSkin::Inside::shrink_onto(int facet, Touching& ball) const {
  const Vec3 a = positions.col(facets(0, facet));
  const Vec3 b = positions.col(facets(1, facet));
  const Vec3 c = positions.col(facets(2, facet));
  bool cut = false;
  for (int step = 0; step < most_shrinkings; ++step) {
    const Vec3 q = nearest_on_triangle(ball.middle(), a, b, c).point;
    const double off = (q - ball.middle()).norm();
    if (!(off < ball.radius * (1 - rounding))) break;
    const Vec3 back = ball.p - q;
    const double across = ball.n.dot(back);
    if (!(across > 0)) break;  // by rounding, at the point itself
    ball.radius = back.squaredNorm() / (2 * across);
    ball.facet = facet;
    cut = true;
    if (!(ball.radius > 0)) break;
  }
  return cut;
}

// False where the ball shrank so much that looking around it anew is quicker.
bool FacingSkin::Inside::look_around(int own, Touching& ball) const {
  const double whole = ball.radius;
  bool done = true;
  tree.look_near(ball.middle(), whole * whole, own, [&](int facet, double& within2) {
    if (!done || !face_each_other(own, facet)) return;
    if (!shrink_onto(facet, ball) || ball.radius > looked_anew * whole) return;
    done = false;
    within2 = 0;  // the rest of this way is not gone
  });
  return done;
}

FacingSkin::FacingSkin(const geometry::TriangleMesh& mesh, const geometry::ParallelFor& loop)
    : inside_(std::make_unique<Inside>(mesh, loop)) {}

FacingSkin::~FacingSkin() = default;
FacingSkin::FacingSkin(FacingSkin&&) noexcept = default;
FacingSkin& FacingSkin::operator=(FacingSkin&&) noexcept = default;

Vec3 FacingSkin::normal(int facet) const { return inside_->normals.col(facet); }

std::optional<FacingSkin::Ball> FacingSkin::ball(int facet, const Vec3& point_mm, Side side,
                                                 double most_mm, int likely_facet) const {
  const Inside& in = *inside_;
  const Vec3 outward = in.normals.col(facet);
  Touching ball{.p = point_mm - in.middle,
                .n = side == Side::within ? outward : Vec3(-outward),
                .radius = most_mm / 2};
  if (likely_facet >= 0 && in.face_each_other(facet, likely_facet)) {
    static_cast<void>(in.shrink_onto(likely_facet, ball));
  }
  while (ball.radius > 0 && !in.look_around(facet, ball)) {
  }
  if (ball.facet < 0) return {};
  return Ball{2 * ball.radius, ball.facet};
}

}  // namespace trueblank::symmetry
