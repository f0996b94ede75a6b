// SPDX-License-Identifier: GPL-3.0-or-later
#include "print_bodies.h"

#include <array>
#include <cmath>
#include <map>
#include <numbers>

namespace trueblank::print_bodies {
namespace {

using Corner = std::array<int, 3>;

class Skin {
 public:
  int vertex(const Corner& corner, const Vec3& at) {
    const auto [place, fresh] = known_.emplace(corner, static_cast<int>(positions_.size()));
    if (fresh) positions_.push_back(at);
    return place->second;
  }

  void quad(int a, int b, int c, int d) {
    facets_.emplace_back(a, b, c);
    facets_.emplace_back(a, c, d);
  }

  void triangle(int a, int b, int c) { facets_.emplace_back(a, b, c); }

  [[nodiscard]] TriangleMesh mesh() const {
    TriangleMesh mesh{Eigen::Matrix3Xd(3, static_cast<Eigen::Index>(positions_.size())),
                      Eigen::Matrix3Xi(3, static_cast<Eigen::Index>(facets_.size()))};
    for (std::size_t i = 0; i < positions_.size(); ++i) {
      mesh.positions_mm.col(static_cast<Eigen::Index>(i)) = positions_[i];
    }
    for (std::size_t i = 0; i < facets_.size(); ++i) {
      mesh.facets.col(static_cast<Eigen::Index>(i)) = facets_[i];
    }
    return mesh;
  }

 private:
  std::map<Corner, int> known_;
  std::vector<Vec3> positions_;
  std::vector<Eigen::Vector3i> facets_;
};

}  // namespace

TriangleMesh blocks(const std::vector<double>& xs, const std::vector<double>& ys,
                    const std::vector<double>& zs,
                    const std::function<bool(int, int, int)>& filled) {
  const std::array<const std::vector<double>*, 3> lines = {&xs, &ys, &zs};
  const Corner count = {static_cast<int>(xs.size()) - 1, static_cast<int>(ys.size()) - 1,
                        static_cast<int>(zs.size()) - 1};
  const auto in = [&](const Corner& box) {
    for (std::size_t k = 0; k < 3; ++k) {
      if (box[k] < 0 || box[k] >= count[k]) return false;
    }
    return filled(box[0], box[1], box[2]);
  };
  Skin skin;
  const auto corner_at = [&](const Corner& corner) {
    Vec3 at;
    for (std::size_t k = 0; k < 3; ++k) {
      at[static_cast<Eigen::Index>(k)] = (*lines[k])[static_cast<std::size_t>(corner[k])];
    }
    return skin.vertex(corner, at);
  };
  for (int i = 0; i < count[0]; ++i) {
    for (int j = 0; j < count[1]; ++j) {
      for (int k = 0; k < count[2]; ++k) {
        if (!in({i, j, k})) continue;
        for (std::size_t axis = 0; axis < 3; ++axis) {
          for (const int side : {0, 1}) {
            Corner next = {i, j, k};
            next[axis] += side == 1 ? 1 : -1;
            if (in(next)) continue;
            const std::size_t u = (axis + 1) % 3;
            const std::size_t v = (axis + 2) % 3;
            std::array<int, 4> around{};
            const std::array<std::array<int, 2>, 4> turn = {{{0, 0}, {1, 0}, {1, 1}, {0, 1}}};
            for (std::size_t c = 0; c < 4; ++c) {
              Corner corner = {i, j, k};
              corner[axis] += side;
              corner[u] += turn[c][0];
              corner[v] += turn[c][1];
              around[c] = corner_at(corner);
            }
            if (side == 1) {
              skin.quad(around[0], around[1], around[2], around[3]);
            } else {
              skin.quad(around[3], around[2], around[1], around[0]);
            }
          }
        }
      }
    }
  }
  return skin.mesh();
}

TriangleMesh revolved(const std::vector<Eigen::Vector2d>& radius_z, int around) {
  Skin skin;
  const auto vertex = [&](int ring, int i) {
    const Eigen::Vector2d& p = radius_z[static_cast<std::size_t>(ring)];
    if (!(p.x() > 0)) return skin.vertex({ring, 0, 0}, Vec3(0, 0, p.y()));
    const double angle = 2 * std::numbers::pi * (i % around) / around;
    return skin.vertex({ring, i % around, 0},
                       Vec3(p.x() * std::cos(angle), p.x() * std::sin(angle), p.y()));
  };
  for (int ring = 0; ring + 1 < static_cast<int>(radius_z.size()); ++ring) {
    const bool from_axis = !(radius_z[static_cast<std::size_t>(ring)].x() > 0);
    const bool to_axis = !(radius_z[static_cast<std::size_t>(ring) + 1].x() > 0);
    for (int i = 0; i < around; ++i) {
      if (!from_axis) skin.triangle(vertex(ring, i), vertex(ring, i + 1), vertex(ring + 1, i));
      if (!to_axis) {
        skin.triangle(vertex(ring, i + 1), vertex(ring + 1, i + 1), vertex(ring + 1, i));
      }
    }
  }
  return skin.mesh();
}

TriangleMesh hollow_ball(double radius_mm, double hole_radius_mm, int bands, int around) {
  constexpr double wall_mm = 2;
  const double inner_mm = radius_mm - wall_mm;
  // From the lowest point up to where the hole begins.
  const auto arc = [&](double radius) {
    const double last = std::numbers::pi - std::asin(hole_radius_mm / radius);
    std::vector<Eigen::Vector2d> points = {{0, -radius}};
    for (int i = 1; i <= bands; ++i) {
      const double angle = last * i / bands;
      const bool on_axis = i == bands && hole_radius_mm == 0;
      points.emplace_back(on_axis ? 0.0 : radius * std::sin(angle), -radius * std::cos(angle));
    }
    return points;
  };
  std::vector<Eigen::Vector2d> outside = arc(radius_mm);
  std::vector<Eigen::Vector2d> inside = arc(inner_mm);
  if (hole_radius_mm == 0) {
    return test_bodies::joined(revolved(outside, around),
                               test_bodies::inside_out(revolved(inside, around)));
  }
  outside.insert(outside.end(), inside.rbegin(), inside.rend());
  return revolved(outside, around);
}

body::FramedBody framed(const TriangleMesh& mesh) {
  body::BodyHints hints;
  hints.units = body::Unit::mm;
  hints.nose = Vec3(-1, 0, 0);
  hints.back = Vec3(0, 0, 1);
  hints.table = intake::Table::keep;
  return body::load_framed_body({.path = "drawn", .drawn = body::DrawnBody{mesh, "sections"}},
                                hints, geometry::serial_for, true);
}

}  // namespace trueblank::print_bodies
