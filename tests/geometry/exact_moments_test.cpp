// SPDX-License-Identifier: GPL-3.0-or-later
// Volume, centroid and second moments in exact rational arithmetic, of the same coordinates as the
// library is given, by another form of the second moments and another apex.
#include <CGAL/Exact_rational.h>
#include <gtest/gtest.h>

#include <array>
#include <cstdint>
#include <cstring>
#include <fstream>
#include <map>
#include <string>
#include <vector>

#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::geometry {
namespace {

using namespace test_bodies;
using Exact = CGAL::Exact_rational;

struct ExactMoments {
  Exact volume = 0;
  std::array<Exact, 3> centroid{};
  std::array<std::array<Exact, 3>, 3> spread{};
};

/// Signed tetrahedra from the coordinate origin, the second moments of each as the sum over its
/// corners i ≤ j of p_i p_j (for a tetrahedron of volume v with corners p_i: v/20 Σ_{i,j} p_i p_jᵀ
/// (1 + δ_ij)).
ExactMoments exact_moments(const TriangleMesh& mesh) {
  std::vector<std::array<Exact, 3>> p(static_cast<std::size_t>(mesh.vertex_count()));
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    for (int k = 0; k < 3; ++k) {
      p[static_cast<std::size_t>(v)][static_cast<std::size_t>(k)] = Exact(mesh.positions_mm(k, v));
    }
  }
  ExactMoments sum;
  std::array<Exact, 3> first{};
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const auto& a = p[static_cast<std::size_t>(mesh.facets(0, f))];
    const auto& b = p[static_cast<std::size_t>(mesh.facets(1, f))];
    const auto& c = p[static_cast<std::size_t>(mesh.facets(2, f))];
    const Exact det = a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) +
                      a[2] * (b[0] * c[1] - b[1] * c[0]);
    sum.volume += det;
    for (std::size_t i = 0; i < 3; ++i) {
      first[i] += det * (a[i] + b[i] + c[i]);
      for (std::size_t j = i; j < 3; ++j) {
        sum.spread[i][j] +=
            det * (2 * (a[i] * a[j] + b[i] * b[j] + c[i] * c[j]) + a[i] * b[j] + a[j] * b[i] +
                   b[i] * c[j] + b[j] * c[i] + c[i] * a[j] + c[j] * a[i]);
      }
    }
  }
  sum.volume /= 6;
  for (std::size_t i = 0; i < 3; ++i) sum.centroid[i] = first[i] / (24 * sum.volume);
  for (std::size_t i = 0; i < 3; ++i) {
    for (std::size_t j = i; j < 3; ++j) {
      sum.spread[i][j] = sum.spread[i][j] / 120 - sum.volume * sum.centroid[i] * sum.centroid[j];
      sum.spread[j][i] = sum.spread[i][j];
    }
  }
  return sum;
}

/// |found − exact| / scale, the difference taken exactly.
double error(double found, const Exact& exact, double scale) {
  return std::abs(CGAL::to_double(Exact(found) - exact)) / scale;
}

void expect_exact(const TriangleMesh& mesh) {
  const ExactMoments exact = exact_moments(mesh);
  const Moments found = moments(closed(mesh));
  EXPECT_LE(error(found.volume_mm3, exact.volume, CGAL::to_double(exact.volume)), 1e-13);
  const double spread = found.spread_mm5.trace();
  // Of a centroid, the error counts against the body's own size and its coordinates' last digit.
  const double length = std::sqrt(spread / found.volume_mm3);
  const double distance = found.centroid_mm.cwiseAbs().maxCoeff();
  for (std::size_t i = 0; i < 3; ++i) {
    const auto row = static_cast<Eigen::Index>(i);
    EXPECT_LE(error(found.centroid_mm[row], exact.centroid[i], 1.0),
              1e-13 * length + 2.3e-16 * distance);
    for (std::size_t j = 0; j < 3; ++j) {
      const auto column = static_cast<Eigen::Index>(j);
      EXPECT_LE(error(found.spread_mm5(row, column), exact.spread[i][j], spread), 1e-13);
      const Exact trace = exact.spread[0][0] + exact.spread[1][1] + exact.spread[2][2];
      const Exact inertia = (i == j ? trace : Exact(0)) - exact.spread[i][j];
      EXPECT_LE(error(found.inertia_mm5(row, column), inertia, spread), 1e-13);
    }
  }
}

TEST(ExactArithmetic, AgreesOnEveryKindOfBody) {
  for (const NamedMesh& body : closed_bodies()) {
    if (body.name == "wafer" || body.name == "wire") continue;  // a volume that rounding reaches
    SCOPED_TRACE(body.name);
    expect_exact(body.mesh);
  }
}

TEST(ExactArithmetic, AgreesOnATurnedLureBody) {
  expect_exact(moved(needle(10000), random_turn(21), {12, -7, 30}));
}

TEST(ExactArithmetic, AgreesOnALureBodyTenMetresAway) {
  expect_exact(moved(glider(4000), random_turn(22), {10000, -10000, 10000}));
}

/// A binary STL with its equal corners made one. Just enough for files that this project wrote.
TriangleMesh read_stl(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::vector<char> bytes((std::istreambuf_iterator<char>(file)), {});
  TriangleMesh mesh;
  if (bytes.size() < 84) return mesh;
  std::uint32_t facets = 0;
  std::memcpy(&facets, bytes.data() + 80, 4);
  if (bytes.size() != 84 + std::size_t{50} * facets) return mesh;
  std::map<std::array<float, 3>, int> index;
  mesh.facets.resize(3, facets);
  for (std::uint32_t f = 0; f < facets; ++f) {
    for (int k = 0; k < 3; ++k) {
      std::array<float, 3> p;
      std::memcpy(p.data(), bytes.data() + 84 + std::size_t{50} * f + 12 + 12 * k, 12);
      mesh.facets(k, f) = index.try_emplace(p, static_cast<int>(index.size())).first->second;
    }
  }
  mesh.positions_mm.resize(3, static_cast<Eigen::Index>(index.size()));
  for (const auto& [p, i] : index) {
    mesh.positions_mm.col(i) = Vec3(double{p[0]}, double{p[1]}, double{p[2]});
  }
  return mesh;
}

TEST(ExactArithmetic, AgreesOnTheDemoBodies) {
  for (const char* name : {"needle-180.stl", "pencil-140.stl"}) {
    SCOPED_TRACE(name);
    const TriangleMesh mesh = read_stl(std::string(TRUEBLANK_SOURCE_DIR "/meshes/") + name);
    ASSERT_GT(mesh.facet_count(), 1000);
    expect_exact(mesh);
  }
}

}  // namespace
}  // namespace trueblank::geometry
