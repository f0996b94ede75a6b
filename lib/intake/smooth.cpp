// SPDX-License-Identifier: GPL-3.0-or-later
// G. Taubin, "A signal processing approach to fair surface design", SIGGRAPH 1995: the operator
// K = 1 - (weighted mean of the neighbours) takes the place of the second derivative, a filter is a
// polynomial in K. G. Taubin, T. Zhang, G. Golub, "Optimal surface smoothing as filter design",
// ECCV 1996: the polynomial is the Chebyshev series of the ideal low pass, its ripples damped by a
// Hamming window. Both from memory.
#include "intake/smooth.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <span>
#include <utility>

#include "geometry/moments.h"
#include "intake/edges.h"

namespace trueblank::intake {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;
using Field = Eigen::Matrix3Xd;

/// The most passes over the mesh; with fewer terms than it wants, the filter parts waves less
/// sharply.
constexpr int most_passes = 1000;

/// A Hamming window over N terms lets the series fall from 1 to 0 within an angle of about 3.3 · 2π
/// / (2N + 1); between the wave that goes (the width) and the one that stays (twice that) lies 0.7
/// of the angle at which it falls, so N is 15 over that angle.
constexpr double terms_by_angle = 15;

/// Half the sum of the cotangents that face an edge is its weight: what doesn't bend doesn't move
/// then, however uneven the facets are (U. Pinkall, K. Polthier, Experimental Mathematics 2(1),
/// 1993). Kept above 0, so that the filter stays one, and below what only slivers have.
constexpr double least_weight = 0.02;
constexpr double most_weight = 20;

/// Each vertex's neighbours, one list after the other.
struct Neighbours {
  std::vector<int> first;  ///< of vertex v: first[v] … first[v + 1]
  std::vector<int> of;
  std::vector<double> weight;        ///< of each neighbour; those of a vertex sum to 1
  std::vector<double> square_edges;  ///< of each vertex: of even facets that would be like its own
};

/// Of the corner that faces a half-edge.
double cotangent(const Corners& facets, const Field& positions, int h) {
  const Vec3 apex = positions.col(to_vertex(facets, next_half_edge(h)));
  const Vec3 a = positions.col(from_vertex(facets, h)) - apex;
  const Vec3 b = positions.col(to_vertex(facets, h)) - apex;
  const double sine = a.cross(b).norm();
  return sine > 0 ? a.dot(b) / sine : 0;
}

double edge_weight(const Corners& facets, const Field& positions, std::span<const int> edge) {
  double sum = 0;
  for (const int h : edge) sum += cotangent(facets, positions, h) / 2;
  return std::clamp(sum, least_weight, most_weight);
}

/// Makes the weights of each vertex sum to 1, and takes its square edge from what they summed to:
/// four times a third of its facets' area over that sum, which of even facets is the edge's square.
void even_weights(const Corners& facets, const Field& positions, Neighbours& around) {
  std::vector<double> area(around.first.size() - 1, 0);
  for (std::size_t c = 0; c < facets.size(); c += 3) {
    const Vec3 a = positions.col(facets[c]);
    const Vec3 b = positions.col(facets[c + 1]);
    const double third = (b - a).cross(Vec3(positions.col(facets[c + 2])) - a).norm() / 6;
    for (std::size_t k = 0; k < 3; ++k) area[static_cast<std::size_t>(facets[c + k])] += third;
  }
  for (std::size_t v = 0; v < area.size(); ++v) {
    double sum = 0;
    for (int i = around.first[v]; i < around.first[v + 1]; ++i) {
      sum += around.weight[static_cast<std::size_t>(i)];
    }
    for (int i = around.first[v]; i < around.first[v + 1]; ++i) {
      around.weight[static_cast<std::size_t>(i)] /= sum;
    }
    around.square_edges.push_back(sum > 0 ? 4 * area[v] / sum : 0);
  }
}

Neighbours neighbours(const Corners& facets, const Field& positions) {
  const int vertex_count = static_cast<int>(positions.cols());
  const Edges edges(facets, vertex_count);
  Neighbours out;
  out.first.assign(static_cast<std::size_t>(vertex_count) + 1, 0);
  const auto ends = [&](int edge) {
    const int h = edges.half_edges(edge).front();
    return std::array<int, 2>{from_vertex(facets, h), to_vertex(facets, h)};
  };
  for (int e = 0; e < edges.count(); ++e) {
    for (const int v : ends(e)) ++out.first[static_cast<std::size_t>(v) + 1];
  }
  for (std::size_t v = 1; v < out.first.size(); ++v) out.first[v] += out.first[v - 1];
  std::vector<int> next(out.first.begin(), out.first.end() - 1);
  out.of.resize(static_cast<std::size_t>(out.first.back()));
  out.weight.resize(out.of.size());
  for (int e = 0; e < edges.count(); ++e) {
    const double weight = edge_weight(facets, positions, edges.half_edges(e));
    const auto [a, b] = ends(e);
    for (const auto& [from, to] : {std::pair{a, b}, std::pair{b, a}}) {
      const auto place = static_cast<std::size_t>(next[static_cast<std::size_t>(from)]++);
      out.of[place] = to;
      out.weight[place] = weight;
    }
  }
  even_weights(facets, positions, out);
  return out;
}

/// K of a field, made even over the skin: where edges are longer than the given one, by the square
/// of what they are longer, so that a wave counts by its length and not by its vertices. Its
/// eigenvalues lie in 0 to 2.
class Operator {
 public:
  Operator(const Neighbours& around, double square_edge) : around_(around) {
    for (const double square : around.square_edges) {
      share_.push_back(square > square_edge ? square_edge / square : 1);
    }
  }

  /// 2·(1 − K)·field − before, into `before`: one step of Chebyshev's recursion.
  void step(const Field& field, Field& before) const {
    for (std::size_t v = 0; v < share_.size(); ++v) {
      Vec3 sum = Vec3::Zero();
      for (int i = around_.first[v]; i < around_.first[v + 1]; ++i) {
        const auto place = static_cast<std::size_t>(i);
        sum += around_.weight[place] * field.col(around_.of[place]);
      }
      const auto column = static_cast<Eigen::Index>(v);
      const Vec3 here = field.col(column);
      const Vec3 k = share_[v] * (here - sum);
      before.col(column) = 2 * (here - k) - before.col(column);
    }
  }

 private:
  const Neighbours& around_;
  std::vector<double> share_;
};

/// The series' factors: 1 up to the angle, 0 beyond, damped; their sum is 1, so that what doesn't
/// wave at all stays.
std::vector<double> low_pass(double angle, int terms) {
  using std::numbers::pi;
  std::vector<double> out = {angle / pi};
  double sum = out.front();
  for (int n = 1; n <= terms; ++n) {
    const double window = 0.54 + 0.46 * std::cos(n * pi / (terms + 1));
    out.push_back(window * 2 * std::sin(n * angle) / (n * pi));
    sum += out.back();
  }
  for (double& factor : out) factor /= sum;
  return out;
}

Field filtered(const Field& positions, const Operator& operation,
               const std::vector<double>& factors) {
  // T_0 = field, T_1 = (1 - K) field, T_n+1 = 2 (1 - K) T_n - T_n-1; T_-1 = T_1 makes the first
  // step half of a full one.
  Field before = Field::Zero(3, positions.cols());
  operation.step(positions, before);
  Field now = before / 2;
  before = positions;
  Field out = factors[0] * before + factors[1] * now;
  for (std::size_t n = 2; n < factors.size(); ++n) {
    operation.step(now, before);
    before.swap(now);
    out += factors[n] * now;
  }
  return out;
}

/// Sum of the area vectors around each vertex.
Field area_vectors(const TriangleMesh& mesh) {
  Field out = Field::Zero(3, mesh.positions_mm.cols());
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Vec3 a = mesh.corner(f, 0);
    const Vec3 area = (mesh.corner(f, 1) - a).cross(mesh.corner(f, 2) - a) / 2;
    for (int k = 0; k < 3; ++k) out.col(mesh.facets(k, f)) += area;
  }
  return out;
}

/// Moves the skin in or out until it encloses `volume` again: Newton's steps along the normals.
void keep_volume(TriangleMesh& mesh, double volume) {
  constexpr int steps = 3;
  for (int step = 0; step < steps; ++step) {
    const Field area = area_vectors(mesh);
    const Eigen::RowVectorXd size = area.colwise().norm();
    // A vertex that goes one unit along its normal adds a third of its area vector's length.
    const double gain = size.sum() / 3;
    const double lacking = volume - geometry::signed_volume_mm3(mesh, mesh.corner(0, 0));
    if (!(gain > 0)) return;
    for (int v = 0; v < mesh.vertex_count(); ++v) {
      if (size(v) > 0) mesh.positions_mm.col(v) += lacking / gain / size(v) * area.col(v);
    }
  }
}

/// A tenth of the vertices have shorter edges: those are smoothed less widely.
double short_square_edge(std::vector<double> squares) {
  const auto tenth = squares.begin() + static_cast<std::ptrdiff_t>(squares.size() / 10);
  std::nth_element(squares.begin(), tenth, squares.end());
  return *tenth;
}

/// Where 1 − K = cos θ falls. A wave of length L over neighbours at a distance h has K = (π h /
/// L)²: the mean over a ring of radius h adds a quarter of h² times the second derivatives. The
/// filter falls at the wave length between width and twice that, by ratios.
double cut_angle(double width, double square_edge) {
  using std::numbers::pi;
  const double k = pi * pi * square_edge / (2 * width * width);
  return std::acos(std::max(1 - k, -1.0));
}

}  // namespace

std::optional<Reshaped> smooth(const TriangleMesh& closed,
                               std::span<const std::uint8_t> facet_measured, double width) {
  if (!geometry::closed_mesh(closed) || !(width > 0)) return std::nullopt;
  const Neighbours around = neighbours(without_degenerate(closed), closed.positions_mm);
  const double square_edge = short_square_edge(around.square_edges);
  if (!(square_edge > 0)) return std::nullopt;
  const double angle = cut_angle(width, square_edge);
  const int terms = static_cast<int>(std::min<double>(most_passes, terms_by_angle / angle) + 1);
  Reshaped out;
  out.mesh = closed;
  out.mesh.positions_mm =
      filtered(closed.positions_mm, Operator(around, square_edge), low_pass(angle, terms));
  keep_volume(out.mesh, geometry::signed_volume_mm3(closed, closed.corner(0, 0)));
  if (!geometry::closed_mesh(out.mesh)) return std::nullopt;
  out.facet_measured.assign(facet_measured.begin(), facet_measured.end());
  out.vertex_measured = vertices_measured(out.mesh, out.facet_measured);
  measure_change(closed, out);
  return out;
}

}  // namespace trueblank::intake
