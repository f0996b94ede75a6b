// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "geometry/mesh.h"

// Bodies that a formula makes, for tests: exact polyhedra, or vertices on a smooth surface.
namespace trueblank::test_bodies {

using geometry::ClosedMesh;
using geometry::Mat3;
using geometry::TriangleMesh;
using geometry::Vec3;

/// Centred on the origin, sides along the axes. Corner i lies at the greater x, y, z where bit 0,
/// 1, 2 of i is set.
[[nodiscard]] TriangleMesh box(double l_mm, double w_mm, double h_mm);

/// A level sheet at z = 0 about the origin, of n by m squares, open all round; it faces up.
[[nodiscard]] TriangleMesh sheet(double l_mm, double w_mm, int n, int m);

/// Right side out whatever the order of its corners.
[[nodiscard]] TriangleMesh tetrahedron(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& d);

/// Vertices on the ellipsoid with semi-axes a (x), b (y), c (z) about the origin: `rings` bands
/// from pole to pole along x, `around` vertices a ring (even: then y = 0 and z = 0 are mirror
/// planes).
[[nodiscard]] TriangleMesh ellipsoid(double a_mm, double b_mm, double c_mm, int rings, int around);

/// The same with a half width of its own on either side of y = 0.
[[nodiscard]] TriangleMesh two_halves(double a_mm, double b_left_mm, double b_right_mm, double c_mm,
                                      int rings, int around);

/// A prism along x from −length/2 to +length/2 over a polygon of (y, z), counter-clockwise seen
/// from +x; the polygon is convex or star-shaped about its vertices' mean.
[[nodiscard]] TriangleMesh prism(const std::vector<Eigen::Vector2d>& yz, double length_mm);

/// Turned about the z axis: a polyline of (radius, z) with rising z; radius may be 0 at the ends,
/// else the end is closed flat.
[[nodiscard]] TriangleMesh turned(const std::vector<Eigen::Vector2d>& radius_z, int around);

/// About the z axis.
[[nodiscard]] TriangleMesh torus(double big_radius_mm, double small_radius_mm, int n_big,
                                 int n_small);

/// A lure-like body along x from 0 to length: at station x an ellipse-like section of half width
/// w(t), half height h(t) about a centreline z = c(t), t = x/length in [0, 1]; w, h vanish at the
/// ends or are closed flat. `stations` from end to end, closer near the ends. Symmetric about
/// y = 0, to the last bit, for even `around`.
[[nodiscard]] TriangleMesh lofted(double length_mm, const std::function<double(double)>& w,
                                  const std::function<double(double)>& h,
                                  const std::function<double(double)>& c, int stations, int around);

/// A needle, a pencil, a flat-sided glider, of some `facets` facets, made by `lofted`: x from nose
/// (0) to tail, y right, z back.
[[nodiscard]] TriangleMesh pencil(int facets);
[[nodiscard]] TriangleMesh glider(int facets);
[[nodiscard]] TriangleMesh needle(int facets);

[[nodiscard]] TriangleMesh moved(TriangleMesh mesh, const Mat3& turn, const Vec3& shift_mm,
                                 double scale = 1);
[[nodiscard]] TriangleMesh inside_out(TriangleMesh mesh);
[[nodiscard]] TriangleMesh mirrored_y(TriangleMesh mesh);  ///< and stays right side out
[[nodiscard]] TriangleMesh shuffled(TriangleMesh mesh, unsigned seed);  ///< facets and vertices
[[nodiscard]] TriangleMesh joined(const TriangleMesh& a, const TriangleMesh& b);
/// Without the facets for which `drop(centroid)` is true; vertices stay.
[[nodiscard]] TriangleMesh without(TriangleMesh mesh, const std::function<bool(const Vec3&)>& drop);

[[nodiscard]] Mat3 random_turn(unsigned seed);

struct NamedMesh {
  std::string name;
  TriangleMesh mesh;
};

/// Closed bodies of many kinds, a few thousand facets at most: convex, concave, with a hole, with
/// a cavity, in two pieces, lofted, with very thin facets.
[[nodiscard]] std::vector<NamedMesh> closed_bodies();

/// Fails the running test where the mesh is not closed.
[[nodiscard]] ClosedMesh closed(TriangleMesh mesh);

}  // namespace trueblank::test_bodies
