// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/sphere_grid.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <tuple>
#include <utility>

namespace trueblank::water {
namespace {

using Edge = std::array<int, 2>;

Edge edge(int a, int b) { return {std::min(a, b), std::max(a, b)}; }

// The icosahedron's faces: all triples of its nodes that are neighbours of each other.
std::vector<std::array<int, 3>> icosahedron_faces(const std::vector<Vec3>& nodes) {
  const double neighbours = 1 / std::sqrt(5.0) - 0.01;  // cosine of 63.4°; the next are at 116.6°
  std::vector<std::array<int, 3>> faces;
  const int n = static_cast<int>(nodes.size());
  const auto close = [&](int i, int j) {
    return nodes[static_cast<std::size_t>(i)].dot(nodes[static_cast<std::size_t>(j)]) > neighbours;
  };
  for (int i = 0; i < n; ++i) {
    for (int j = i + 1; j < n; ++j) {
      for (int k = j + 1; k < n; ++k) {
        if (!close(i, j) || !close(j, k) || !close(i, k)) continue;
        const Vec3& a = nodes[static_cast<std::size_t>(i)];
        const Vec3& b = nodes[static_cast<std::size_t>(j)];
        const Vec3& c = nodes[static_cast<std::size_t>(k)];
        const bool outward = a.dot(b.cross(c)) > 0;
        faces.push_back(outward ? std::array<int, 3>{i, j, k} : std::array<int, 3>{i, k, j});
      }
    }
  }
  return faces;
}

}  // namespace

SphereGrid::SphereGrid(int levels) : levels_(levels) {
  for (int axis = 0; axis < 3; ++axis) {
    for (const double one : {1.0, -1.0}) {
      for (const double golden : {std::numbers::phi, -std::numbers::phi}) {
        Vec3 node = Vec3::Zero();
        node((axis + 1) % 3) = one;
        node((axis + 2) % 3) = golden;
        nodes_.push_back(node.normalized());
        parents_.push_back({-1, -1});
      }
    }
  }
  faces_ = icosahedron_faces(nodes_);
  for (int level = 0; level < levels; ++level) halve();
  link();
}

void SphereGrid::halve() {
  std::vector<Edge> edges;
  edges.reserve(faces_.size() * 3);
  for (const std::array<int, 3>& face : faces_) {
    for (std::size_t k = 0; k < 3; ++k) edges.push_back(edge(face[k], face[(k + 1) % 3]));
  }
  std::sort(edges.begin(), edges.end());
  edges.erase(std::unique(edges.begin(), edges.end()), edges.end());
  const int first_new = node_count();
  for (const Edge& e : edges) {
    nodes_.push_back((nodes_[at(e[0])] + nodes_[at(e[1])]).normalized());
    parents_.push_back(e);
  }
  const auto middle = [&](int a, int b) {
    const auto found = std::lower_bound(edges.begin(), edges.end(), edge(a, b));
    return first_new + static_cast<int>(found - edges.begin());
  };
  std::vector<std::array<int, 3>> finer;
  finer.reserve(faces_.size() * 4);
  for (const std::array<int, 3>& face : faces_) {
    const int ab = middle(face[0], face[1]);
    const int bc = middle(face[1], face[2]);
    const int ca = middle(face[2], face[0]);
    finer.push_back({face[0], ab, ca});
    finer.push_back({ab, face[1], bc});
    finer.push_back({ca, bc, face[2]});
    finer.push_back({ab, bc, ca});
  }
  faces_ = std::move(finer);
}

void SphereGrid::link() {
  struct Side {
    Edge edge;
    int face;
    int corner;
  };

  std::vector<Side> sides;
  sides.reserve(faces_.size() * 3);
  around_.resize(nodes_.size());
  across_.resize(faces_.size());
  to_weights_.reserve(faces_.size());
  for (int f = 0; f < face_count(); ++f) {
    const std::array<int, 3>& face = faces_[at(f)];
    for (std::size_t k = 0; k < 3; ++k) {
      const int a = face[(k + 1) % 3];
      const int b = face[(k + 2) % 3];
      sides.push_back({edge(a, b), f, static_cast<int>(k)});
      around_[at(a)].push_back(b);  // b's own turn comes with the face across
    }
    const Vec3& a = nodes_[at(face[0])];
    const Vec3& b = nodes_[at(face[1])];
    const Vec3& c = nodes_[at(face[2])];
    Mat3 rows;
    rows << b.cross(c).transpose(), c.cross(a).transpose(), a.cross(b).transpose();
    to_weights_.emplace_back(rows / a.dot(b.cross(c)));
  }
  std::sort(sides.begin(), sides.end(), [](const Side& left, const Side& right) {
    return std::tie(left.edge, left.face) < std::tie(right.edge, right.face);
  });
  for (std::size_t i = 0; i + 1 < sides.size(); i += 2) {
    const Side& one = sides[i];
    const Side& other = sides[i + 1];
    across_[at(one.face)][at(one.corner)] = other.face;
    across_[at(other.face)][at(other.corner)] = one.face;
  }
  for (std::vector<int>& ring : around_) std::sort(ring.begin(), ring.end());
}

SphereGrid::Spot SphereGrid::locate(const Vec3& direction, int face) const {
  // A walk over a convex polyhedron's faces ends; the bound is against rounding at an edge, where
  // either face will do.
  Spot spot;
  spot.face = face;
  int came_from = -1;
  for (int step = 0; step < face_count(); ++step) {
    spot.weights = to_weights_[at(spot.face)] * direction;
    int worst = 0;
    const double least = spot.weights.minCoeff(&worst);
    if (least >= 0) break;
    const int next = across_[at(spot.face)][at(worst)];
    if (next == came_from && least > -1e-12) break;
    came_from = spot.face;
    spot.face = next;
  }
  const double sum = spot.weights.sum();
  spot.weights /= sum;
  spot.shrink = 1 / sum;
  return spot;
}

double SphereGrid::spacing_rad() const {
  constexpr double edge_rad = 63.4 * (std::numbers::pi / 180);
  return edge_rad / (1 << levels_);
}

double solid_angle(const Vec3& a, const Vec3& b, const Vec3& c) {
  return 2 * std::atan2(a.dot(b.cross(c)), 1 + a.dot(b) + b.dot(c) + c.dot(a));
}

double angle_between_rad(const Vec3& a, const Vec3& b) {
  return 2 * std::asin(std::min(1.0, (a - b).norm() / 2));
}

TangentPair tangents(const Vec3& up) {
  int smallest = 0;
  up.cwiseAbs().minCoeff(&smallest);
  const Vec3 first = up.cross(Vec3::Unit(smallest)).normalized();
  return {first, up.cross(first)};
}

Vec3 turned(const Vec3& up, const Vec3& step) {
  const double angle = step.norm();
  if (angle == 0) return up;  // exactly: no direction to turn towards
  return (std::cos(angle) * up + std::sin(angle) / angle * step).normalized();
}

}  // namespace trueblank::water
