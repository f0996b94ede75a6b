// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/bodies.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <stdexcept>
#include <utility>

namespace trueblank::test_bodies {
namespace {

using Eigen::Vector2d;

TriangleMesh mesh_of(const std::vector<Vec3>& positions,
                     const std::vector<Eigen::Vector3i>& facets) {
  TriangleMesh mesh;
  mesh.positions_mm.resize(3, static_cast<Eigen::Index>(positions.size()));
  mesh.facets.resize(3, static_cast<Eigen::Index>(facets.size()));
  for (std::size_t i = 0; i < positions.size(); ++i) {
    mesh.positions_mm.col(static_cast<Eigen::Index>(i)) = positions[i];
  }
  for (std::size_t i = 0; i < facets.size(); ++i) {
    mesh.facets.col(static_cast<Eigen::Index>(i)) = facets[i];
  }
  return mesh;
}

/// (cos, sin) of `count` even steps round the circle. For even `count` the mirror images across
/// both axes are the same digits with the sign turned, so that a body made from them is a mirror
/// image of itself to the last bit.
std::vector<Vector2d> circle(int count) {
  std::vector<Vector2d> points;
  points.reserve(static_cast<std::size_t>(count));
  const double step = 2 * std::numbers::pi / count;
  for (int j = 0; j < count; ++j) {
    if (count % 2 != 0) {
      points.emplace_back(std::cos(j * step), std::sin(j * step));
      continue;
    }
    const bool lower = 2 * j > count;
    const int upper = lower ? count - j : j;  // 0 ≤ upper ≤ count/2
    const bool beyond = 4 * upper > count;
    const int quarter = beyond ? count / 2 - upper : upper;  // 0 ≤ 4·quarter ≤ count
    double cosine = 4 * quarter == count ? 0 : std::cos(quarter * step);
    double sine = 4 * quarter == count ? 1 : std::sin(quarter * step);
    if (beyond) cosine = -cosine;
    if (lower) sine = -sine;
    points.emplace_back(cosine, sine);
  }
  return points;
}

/// Rings of vertices joined into a closed skin. A ring of one vertex is a pole. The first and the
/// last ring, where they are no poles, are closed by a fan about the given centre. Rings run
/// clockwise as seen from the side to which they advance; the facets then face outwards.
struct Skin {
  std::vector<Vec3> positions;
  std::vector<Eigen::Vector3i> facets;
  std::vector<int> last_ring;

  void fan(const std::vector<int>& ring, const Vec3& centre, bool at_start) {
    const int middle = static_cast<int>(positions.size());
    positions.push_back(centre);
    const std::size_t n = ring.size();
    for (std::size_t j = 0; j < n; ++j) {
      const int here = ring[j];
      const int next = ring[(j + 1) % n];
      if (at_start) {
        facets.emplace_back(middle, here, next);
      } else {
        facets.emplace_back(middle, next, here);
      }
    }
  }

  std::vector<int> put(const std::vector<Vec3>& ring) {
    std::vector<int> indices;
    for (const Vec3& p : ring) {
      indices.push_back(static_cast<int>(positions.size()));
      positions.push_back(p);
    }
    return indices;
  }

  void add(const std::vector<Vec3>& ring, const Vec3& centre) {
    std::vector<int> now = put(ring);
    if (last_ring.empty()) {
      if (now.size() > 1) fan(now, centre, true);
    } else {
      join(last_ring, now);
    }
    last_ring = std::move(now);
  }

  void finish(const Vec3& centre) {
    if (last_ring.size() > 1) fan(last_ring, centre, false);
  }

  void join(const std::vector<int>& a, const std::vector<int>& b) {
    const std::size_t n = std::max(a.size(), b.size());
    for (std::size_t j = 0; j < n; ++j) {
      const std::size_t k = (j + 1) % n;
      if (a.size() == 1) {
        facets.emplace_back(a[0], b[j], b[k]);
      } else if (b.size() == 1) {
        facets.emplace_back(a[j], b[0], a[k]);
      } else if (2 * j < n) {  // the diagonals of the two halves mirror each other
        facets.emplace_back(a[j], b[j], a[k]);
        facets.emplace_back(a[k], b[j], b[k]);
      } else {
        facets.emplace_back(a[j], b[k], a[k]);
        facets.emplace_back(a[j], b[j], b[k]);
      }
    }
  }

  [[nodiscard]] TriangleMesh mesh() const { return mesh_of(positions, facets); }
};

/// |value|^power with the sign kept.
double signed_power(double value, double power) {
  return std::copysign(std::pow(std::abs(value), power), value);
}

/// As `lofted`, its sections |y/w|^e + |z/h|^e = 1; e = 2 is the ellipse.
TriangleMesh superlofted(double length_mm, const std::function<double(double)>& w,
                         const std::function<double(double)>& h,
                         const std::function<double(double)>& c, int stations, int around,
                         double exponent) {
  const std::vector<Vector2d> unit = circle(around);
  Skin skin;
  Vec3 centre = Vec3::Zero();
  for (int i = 0; i < stations; ++i) {
    // Stations lie closer near the ends, where a lure is rounded.
    const double t = i == 0 ? 0
                     : i == stations - 1
                         ? 1
                         : (1 - std::cos(std::numbers::pi * i / (stations - 1))) / 2;
    const double half_width = w(t);
    const double half_height = h(t);
    centre = Vec3(length_mm * t, 0, c(t));
    std::vector<Vec3> ring;
    if (half_width <= 0 || half_height <= 0) {
      ring.push_back(centre);
    } else {
      for (const Vector2d& p : unit) {
        // From the back (+z) round by the right (+y): clockwise seen from +x.
        const double y = half_width * signed_power(p.y(), 2 / exponent);
        const double z = half_height * signed_power(p.x(), 2 / exponent);
        ring.push_back(centre + Vec3(0, y, z));
      }
    }
    skin.add(ring, centre);
  }
  skin.finish(centre);
  return skin.mesh();
}

struct Grid {
  int stations = 0;
  int around = 0;
};

/// A grid of about `facets` facets, 1.6 times as many bands as vertices round.
Grid grid_for(int facets) {
  const int around = std::max(8, 4 * static_cast<int>(std::lround(std::sqrt(facets / 3.2) / 4)));
  const int bands = std::max(6, facets / (2 * around) + 1);
  return {bands + 1, around};
}

}  // namespace

TriangleMesh box(double l_mm, double w_mm, double h_mm) {
  std::vector<Vec3> corners;
  for (int i = 0; i < 8; ++i) {
    corners.emplace_back((i & 1) != 0 ? l_mm / 2 : -l_mm / 2, (i & 2) != 0 ? w_mm / 2 : -w_mm / 2,
                         (i & 4) != 0 ? h_mm / 2 : -h_mm / 2);
  }
  return mesh_of(corners, {{0, 2, 1},
                           {1, 2, 3},
                           {4, 5, 6},
                           {5, 7, 6},
                           {0, 1, 4},
                           {1, 5, 4},
                           {2, 6, 3},
                           {3, 6, 7},
                           {0, 4, 2},
                           {2, 4, 6},
                           {1, 3, 5},
                           {3, 7, 5}});
}

TriangleMesh sheet(double l_mm, double w_mm, int n, int m) {
  TriangleMesh mesh;
  mesh.positions_mm.resize(3, (n + 1) * (m + 1));
  mesh.facets.resize(3, 2 * n * m);
  for (int i = 0, v = 0; i <= n; ++i) {
    for (int j = 0; j <= m; ++j) {
      mesh.positions_mm.col(v++) << l_mm * (i - n / 2.0) / n, w_mm * (j - m / 2.0) / m, 0;
    }
  }
  for (int i = 0, f = 0; i < n; ++i) {
    for (int j = 0; j < m; ++j) {
      const int a = (m + 1) * i + j;
      mesh.facets.col(f++) << a, a + m + 1, a + m + 2;
      mesh.facets.col(f++) << a, a + m + 2, a + 1;
    }
  }
  return mesh;
}

TriangleMesh tetrahedron(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& d) {
  const double turn = (b - a).cross(c - a).dot(d - a);
  if (turn < 0) return tetrahedron(a, c, b, d);
  return mesh_of({a, b, c, d}, {{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {0, 3, 2}});
}

TriangleMesh ellipsoid(double a_mm, double b_mm, double c_mm, int rings, int around) {
  const std::vector<Vector2d> unit = circle(around);
  const std::vector<Vector2d> meridian = circle(2 * rings);
  Skin skin;
  for (int i = 0; i <= rings; ++i) {
    const double x = -a_mm * meridian[static_cast<std::size_t>(i)].x();
    const double radius = meridian[static_cast<std::size_t>(i)].y();
    std::vector<Vec3> ring;
    if (i == 0 || i == rings) {
      ring.emplace_back(x, 0, 0);
    } else {
      for (const Vector2d& p : unit) {
        ring.emplace_back(x, b_mm * radius * p.y(), c_mm * radius * p.x());
      }
    }
    skin.add(ring, Vec3(x, 0, 0));
  }
  return skin.mesh();
}

TriangleMesh two_halves(double a_mm, double b_left_mm, double b_right_mm, double c_mm, int rings,
                        int around) {
  TriangleMesh mesh = ellipsoid(a_mm, 1, c_mm, rings, around);
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    double& y = mesh.positions_mm(1, v);
    y *= y < 0 ? b_left_mm : b_right_mm;
  }
  return mesh;
}

TriangleMesh prism(const std::vector<Vector2d>& yz, double length_mm) {
  Vector2d mean = Vector2d::Zero();
  for (const Vector2d& p : yz) mean += p / static_cast<double>(yz.size());
  Skin skin;
  for (const double x : {-length_mm / 2, length_mm / 2}) {
    std::vector<Vec3> ring;
    for (auto p = yz.rbegin(); p != yz.rend(); ++p) ring.emplace_back(x, p->x(), p->y());
    skin.add(ring, Vec3(x, mean.x(), mean.y()));
  }
  skin.finish(Vec3(length_mm / 2, mean.x(), mean.y()));
  return skin.mesh();
}

TriangleMesh turned(const std::vector<Vector2d>& radius_z, int around) {
  const std::vector<Vector2d> unit = circle(around);
  Skin skin;
  for (const Vector2d& point : radius_z) {
    std::vector<Vec3> ring;
    if (point.x() <= 0) {
      ring.emplace_back(0, 0, point.y());
    } else {
      for (const Vector2d& p : unit) {
        ring.emplace_back(point.x() * p.y(), point.x() * p.x(), point.y());
      }
    }
    skin.add(ring, Vec3(0, 0, point.y()));
  }
  skin.finish(Vec3(0, 0, radius_z.back().y()));
  return skin.mesh();
}

TriangleMesh torus(double big_radius_mm, double small_radius_mm, int n_big, int n_small) {
  const std::vector<Vector2d> big = circle(n_big);
  const std::vector<Vector2d> small = circle(n_small);
  std::vector<Vec3> positions;
  std::vector<Eigen::Vector3i> facets;
  for (int i = 0; i < n_big; ++i) {
    for (int j = 0; j < n_small; ++j) {
      const Vector2d& p = big[static_cast<std::size_t>(i)];
      const Vector2d& q = small[static_cast<std::size_t>(j)];
      const double radius = big_radius_mm + small_radius_mm * q.x();
      positions.emplace_back(radius * p.x(), radius * p.y(), small_radius_mm * q.y());
      const int i2 = (i + 1) % n_big;
      const int j2 = (j + 1) % n_small;
      facets.emplace_back(i * n_small + j, i2 * n_small + j, i2 * n_small + j2);
      facets.emplace_back(i * n_small + j, i2 * n_small + j2, i * n_small + j2);
    }
  }
  return mesh_of(positions, facets);
}

TriangleMesh lofted(double length_mm, const std::function<double(double)>& w,
                    const std::function<double(double)>& h, const std::function<double(double)>& c,
                    int stations, int around) {
  return superlofted(length_mm, w, h, c, stations, around, 2);
}

// The three bodies below are our own invention; half widths, half heights and centrelines are
// smooth functions of t that vanish as a square root at rounded ends.

TriangleMesh pencil(int facets) {
  const auto blunt = [](double t) { return std::pow(4 * t * (1 - t), 0.25) * (1.1 - 0.35 * t); };
  const Grid grid = grid_for(facets);
  return lofted(
      140, [&](double t) { return 8.5 * blunt(t); }, [&](double t) { return 9.5 * blunt(t); },
      [](double t) { return 1.5 * t * t; }, grid.stations, grid.around);
}

TriangleMesh glider(int facets) {
  const auto bow = [](double t) { return std::sqrt(4 * t * (1 - t)) * (1.25 - 0.6 * t); };
  const Grid grid = grid_for(facets);
  return superlofted(
      120, [&](double t) { return 9.0 * bow(t); }, [&](double t) { return 19.0 * bow(t); },
      [](double t) { return 4 * t * (1 - t) - 2; }, grid.stations, grid.around, 4);
}

TriangleMesh needle(int facets) {
  const auto slim = [](double t) {
    return std::sqrt(4 * t * (1 - t)) * (0.75 + t * (1.35 - 1.6 * t));
  };
  const Grid grid = grid_for(facets);
  return lofted(
      165, [&](double t) { return 11.0 * slim(t); }, [&](double t) { return 14.0 * slim(t); },
      [](double t) { return 2.0 * t * t; }, grid.stations, grid.around);
}

TriangleMesh moved(TriangleMesh mesh, const Mat3& turn, const Vec3& shift_mm, double scale) {
  for (Eigen::Index i = 0; i < mesh.positions_mm.cols(); ++i) {
    const Vec3 p = mesh.positions_mm.col(i);
    mesh.positions_mm.col(i) = scale * (turn * p) + shift_mm;
  }
  return mesh;
}

TriangleMesh inside_out(TriangleMesh mesh) {
  mesh.facets.row(1).swap(mesh.facets.row(2));
  return mesh;
}

TriangleMesh mirrored_y(TriangleMesh mesh) {
  mesh.positions_mm.row(1) *= -1;
  return inside_out(std::move(mesh));
}

TriangleMesh shuffled(TriangleMesh mesh, unsigned seed) {
  std::mt19937 random(seed);
  const auto order = [&random](Eigen::Index count) {
    std::vector<int> indices(static_cast<std::size_t>(count));
    for (std::size_t i = 0; i < indices.size(); ++i) indices[i] = static_cast<int>(i);
    // std::shuffle may differ from one standard library to the next; this is the same everywhere.
    for (std::size_t i = indices.size(); i > 1; --i) {
      std::swap(indices[i - 1], indices[random() % i]);
    }
    return indices;
  };
  const std::vector<int> vertices = order(mesh.positions_mm.cols());
  const std::vector<int> facets = order(mesh.facets.cols());
  TriangleMesh result = mesh;
  for (Eigen::Index i = 0; i < mesh.positions_mm.cols(); ++i) {
    result.positions_mm.col(vertices[static_cast<std::size_t>(i)]) = mesh.positions_mm.col(i);
  }
  for (Eigen::Index i = 0; i < mesh.facets.cols(); ++i) {
    const int first = static_cast<int>(random() % 3);
    for (int k = 0; k < 3; ++k) {
      result.facets(k, facets[static_cast<std::size_t>(i)]) =
          vertices[static_cast<std::size_t>(mesh.facets((first + k) % 3, i))];
    }
  }
  return result;
}

TriangleMesh joined(const TriangleMesh& a, const TriangleMesh& b) {
  TriangleMesh both;
  both.positions_mm.resize(3, a.positions_mm.cols() + b.positions_mm.cols());
  both.positions_mm << a.positions_mm, b.positions_mm;
  both.facets.resize(3, a.facets.cols() + b.facets.cols());
  both.facets << a.facets, (b.facets.array() + a.vertex_count()).matrix();
  return both;
}

TriangleMesh without(TriangleMesh mesh, const std::function<bool(const Vec3&)>& drop) {
  Eigen::Index kept = 0;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Vec3 middle = (mesh.corner(f, 0) + mesh.corner(f, 1) + mesh.corner(f, 2)) / 3;
    if (drop(middle)) continue;
    const Eigen::Vector3i facet = mesh.facets.col(f);
    mesh.facets.col(kept++) = facet;
  }
  mesh.facets.conservativeResize(3, kept);
  return mesh;
}

Mat3 random_turn(unsigned seed) {
  // Source: K. Shoemake, "Uniform random rotations", Graphics Gems III, 1992: an even quaternion.
  std::mt19937 random(seed);
  const auto even = [&random] { return (static_cast<double>(random()) + 0.5) / 4294967296.0; };
  const double u = even();
  const double v = 2 * std::numbers::pi * even();
  const double w = 2 * std::numbers::pi * even();
  const double x = std::sqrt(1 - u) * std::sin(v);
  const double y = std::sqrt(1 - u) * std::cos(v);
  const double z = std::sqrt(u) * std::sin(w);
  const double r = std::sqrt(u) * std::cos(w);
  Mat3 turn;
  turn << 1 - 2 * (y * y + z * z), 2 * (x * y - z * r), 2 * (x * z + y * r),  //
      2 * (x * y + z * r), 1 - 2 * (x * x + z * z), 2 * (y * z - x * r),      //
      2 * (x * z - y * r), 2 * (y * z + x * r), 1 - 2 * (x * x + y * y);
  return turn;
}

std::vector<NamedMesh> closed_bodies() {
  const Mat3 still = Mat3::Identity();
  std::vector<NamedMesh> bodies;
  bodies.push_back({"box", box(60, 20, 30)});
  bodies.push_back(
      {"corner tetrahedron", tetrahedron({0, 0, 0}, {50, 0, 0}, {0, 40, 0}, {0, 0, 30})});
  bodies.push_back({"ellipsoid", ellipsoid(80, 10, 12, 24, 20)});
  bodies.push_back({"cone", turned({{20, 0}, {0, 50}}, 31)});
  bodies.push_back({"torus", torus(30, 8, 36, 15)});
  bodies.push_back(
      {"L-shaped bar", prism({{-2, -2}, {20, -2}, {20, 5}, {5, 5}, {5, 18}, {-2, 18}}, 70)});
  bodies.push_back(
      {"hollow ball", joined(ellipsoid(20, 20, 20, 12, 12),
                             inside_out(moved(ellipsoid(9, 9, 9, 10, 8), still, {3, -2, 4})))});
  bodies.push_back({"two pieces", joined(box(20, 10, 10),
                                         moved(ellipsoid(30, 8, 8, 12, 10), still, {60, 5, 0}))});
  bodies.push_back({"overlapping pieces",
                    joined(box(40, 10, 10), moved(box(10, 40, 12), random_turn(3), {5, 1, 2}))});
  bodies.push_back({"pencil", pencil(1500)});
  bodies.push_back({"glider", glider(1200)});
  bodies.push_back({"needle", needle(3000)});
  bodies.push_back({"wafer", ellipsoid(50, 40, 0.001, 20, 16)});
  bodies.push_back({"wire", turned({{0.01, 0}, {0.01, 200}}, 12)});
  return bodies;
}

ClosedMesh closed(TriangleMesh mesh) {
  std::optional<ClosedMesh> body = geometry::closed_mesh(std::move(mesh));
  if (!body) {
    ADD_FAILURE() << "the test's body is not closed, or is inside out";
    throw std::invalid_argument("test body is not closed");  // GoogleTest ends this test here
  }
  return *std::move(body);
}

}  // namespace trueblank::test_bodies
