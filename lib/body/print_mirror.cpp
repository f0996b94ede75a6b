// SPDX-License-Identifier: GPL-3.0-or-later
//
// A vertex v over against w has the mirror image R(v) = v − 2(n·v − o)n, and |R(v) − w|² =
// |v − w|² + 4(n·v − o)(n·w − o). The sum over pairs is least for o = n·m, m the mean of all v and
// w, and n the eigenvector of Σ sym((v − m)(w − m)ᵀ) with the least eigenvalue.
#include "body/print_mirror.h"

#include <Eigen/Eigenvalues>
#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <utility>

#include "body/groups.h"
#include "symmetry/deviation.h"
#include "symmetry/patch_names.h"

namespace trueblank::body {

using geometry::Plane;
using geometry::Vec3;

namespace {

// So near to the mirror image of a vertex (of the shortest edge there), another is meant to be it.
constexpr double meant_part = 0.05;
constexpr double enough_pairs = 0.5;  // of the vertices, for a plane of their own
constexpr int rounds = 20;
constexpr double tukey = 4.685;
constexpr double sd_of_median = 1.4826;
constexpr double least_scale = 1e-10;  // of the body's size
// Vertex normals that turn by more over an edge tell of a meant edge, not of a round skin.
constexpr double meant_cosine = 0.766;  // of 40°
// The highest that a skin stands over its facet's middle, by the arcs over its edges; and some
// more, since normals of vertices are rough.
constexpr double facet_spread = 3;
constexpr int most_places = 50;

struct Pair {
  Vec3 one;
  Vec3 other;
};

/// The body over against its mirror image.
struct Opposite {
  symmetry::DeviationField field;
  std::vector<int> partner;  // a vertex each; -1: none
  int counted = 0;
  int partners = 0;
};

int partner_of(const geometry::ClosedMesh& body, int facet, const Vec3& image) {
  double shortest = 1e300;
  double nearest = 1e300;
  int partner = -1;
  for (int k = 0; k < 3; ++k) {
    const Vec3 corner = body.corner(facet, k);
    shortest = std::min(shortest, (body.corner(facet, (k + 1) % 3) - corner).norm());
    const double off = (corner - image).norm();
    if (off < nearest) {
      nearest = off;
      partner = body.facets()(k, facet);
    }
  }
  return nearest <= std::max(MirrorTruth::limit_mm, meant_part * shortest) ? partner : -1;
}

Opposite opposite(const FramedBody& body, const Plane& plane, const geometry::ParallelFor& loop) {
  const geometry::ClosedMesh& mesh = *body.body;
  Opposite result{symmetry::deviation_field(mesh, plane, body.sound.mended.facet_measured, loop),
                  std::vector<int>(static_cast<std::size_t>(mesh.vertex_count()), -1), 0, 0};
  for (std::size_t v = 0; v < result.partner.size(); ++v) {
    if (result.field.counted[v] == 0) continue;
    ++result.counted;
    const Vec3 own = mesh.positions_mm().col(static_cast<Eigen::Index>(v));
    result.partner[v] = partner_of(mesh, result.field.opposite_facet[v], plane.reflected(own));
    if (result.partner[v] >= 0) ++result.partners;
  }
  return result;
}

Plane plane_of(const std::vector<Pair>& pairs, const std::vector<double>& weights) {
  Vec3 sum = Vec3::Zero();
  double whole = 0;
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    sum += weights[i] * (pairs[i].one + pairs[i].other);
    whole += 2 * weights[i];
  }
  const Vec3 middle = sum / whole;
  geometry::Mat3 spread = geometry::Mat3::Zero();
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const Vec3 one = pairs[i].one - middle;
    const Vec3 other = pairs[i].other - middle;
    spread += weights[i] * (one * other.transpose() + other * one.transpose());
  }
  const Eigen::SelfAdjointEigenSolver<geometry::Mat3> solver(spread);
  const Vec3 normal = solver.eigenvectors().col(0);
  return {normal.y() < 0 ? Vec3(-normal) : normal, (normal.y() < 0 ? -1 : 1) * normal.dot(middle)};
}

double middle_of(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// Pairs that differ must not pull the plane: Tukey's weights.
Plane fitted(const std::vector<Pair>& pairs, const Plane& from, double size_mm) {
  Plane plane = from;
  std::vector<double> off(pairs.size());
  std::vector<double> weights(pairs.size());
  for (int round = 0; round < rounds; ++round) {
    for (std::size_t i = 0; i < pairs.size(); ++i) {
      off[i] = (plane.reflected(pairs[i].one) - pairs[i].other).norm();
    }
    const double scale = std::max(sd_of_median * middle_of(off), least_scale * size_mm);
    for (std::size_t i = 0; i < pairs.size(); ++i) {
      const double part = off[i] / (tukey * scale);
      weights[i] = part < 1 ? (1 - part * part) * (1 - part * part) : 0;
    }
    plane = plane_of(pairs, weights);
  }
  return plane;
}

Plane own_plane(const FramedBody& body, const Opposite& found, double size_mm) {
  const Plane frame_plane{Vec3::UnitY(), 0};
  const double pairs_wanted = std::max(10.0, enough_pairs * found.counted);
  if (body.fit.from == symmetry::PlaneFrom::given || found.partners < pairs_wanted) {
    return frame_plane;
  }
  std::vector<Pair> pairs;
  for (std::size_t v = 0; v < found.partner.size(); ++v) {
    if (found.partner[v] < 0) continue;
    pairs.push_back({body.body->positions_mm().col(static_cast<Eigen::Index>(v)),
                     body.body->positions_mm().col(found.partner[v])});
  }
  return fitted(pairs, frame_plane, size_mm);
}

/// What is summed over the facets about each vertex.
struct VertexSums {
  Eigen::Matrix3Xd normals;
  std::vector<double> areas_mm2;
  std::vector<double> arcs_mm;  // the highest arc over an edge
};

VertexSums vertex_sums(const geometry::ClosedMesh& body) {
  const std::size_t count = static_cast<std::size_t>(body.vertex_count());
  VertexSums sums{Eigen::Matrix3Xd::Zero(3, body.vertex_count()), std::vector<double>(count, 0),
                  std::vector<double>(count, 0)};
  for (int f = 0; f < body.facet_count(); ++f) {
    const Vec3 a = body.corner(f, 0);
    const Vec3 area = 0.5 * (body.corner(f, 1) - a).cross(body.corner(f, 2) - a);
    for (int k = 0; k < 3; ++k) {
      sums.normals.col(body.facets()(k, f)) += area;
      sums.areas_mm2[static_cast<std::size_t>(body.facets()(k, f))] += area.norm() / 3;
    }
  }
  for (Eigen::Index v = 0; v < sums.normals.cols(); ++v) sums.normals.col(v).stableNormalize();
  for (int f = 0; f < body.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      const int one = body.facets()(k, f);
      const int other = body.facets()((k + 1) % 3, f);
      if (sums.normals.col(one).dot(sums.normals.col(other)) < meant_cosine) continue;
      const Vec3 along = body.corner(f, (k + 1) % 3) - body.corner(f, k);
      const double arc = std::abs(along.dot(sums.normals.col(other) - sums.normals.col(one))) / 8;
      for (const int v : {one, other}) {
        double& own = sums.arcs_mm[static_cast<std::size_t>(v)];
        own = std::max(own, arc);
      }
    }
  }
  return sums;
}

// What flat facets explain at a vertex; 0 where another stands over against it.
std::vector<double> facets_explain(const geometry::ClosedMesh& body, const Opposite& found,
                                   const VertexSums& sums, MirrorTruth& truth) {
  std::vector<double> explained(found.partner.size(), 0);
  double squares = 0;
  int count = 0;
  for (std::size_t v = 0; v < explained.size(); ++v) {
    if (found.field.counted[v] == 0 || found.partner[v] >= 0) continue;
    double arc = 0;
    for (const int w : body.facets().col(found.field.opposite_facet[v])) {
      arc = std::max(arc, sums.arcs_mm[static_cast<std::size_t>(w)]);
    }
    explained[v] = facet_spread * arc;
    squares += arc * arc;
    ++count;
  }
  truth.facets_mm = count > 0 ? std::sqrt(squares / count) : 0.0;
  return explained;
}

/// Vertices that differ by more than may be, joined along edges while they differ the same way.
class Untrue {
 public:
  Untrue(const geometry::ClosedMesh& body, const symmetry::DeviationField& field,
         const std::vector<double>& explained_mm)
      : body_(body), field_(field), groups_(explained_mm.size()) {
    differs_.resize(explained_mm.size());
    for (std::size_t v = 0; v < differs_.size(); ++v) {
      const double most = MirrorTruth::limit_mm + explained_mm[v];
      if (field.counted[v] == 0 || !(std::abs(field.deviation_mm[v]) > most)) continue;
      differs_[v] = field.deviation_mm[v] > 0 ? 1 : -1;
    }
    for (int f = 0; f < body.facet_count(); ++f) {
      for (int k = 0; k < 3; ++k) join(body.facets()(k, f), body.facets()((k + 1) % 3, f));
    }
  }

  [[nodiscard]] std::vector<UntruePlace> places(const VertexSums& sums) {
    const symmetry::BodyExtent extent = symmetry::extent_of(body_);
    std::vector<UntruePlace> places;
    std::vector<symmetry::PatchSpread> spreads;
    std::vector<int> place_of(differs_.size(), -1);
    for (std::size_t v = 0; v < differs_.size(); ++v) {
      if (differs_[v] == 0) continue;
      int& at = place_of[groups_.of(v)];
      if (at < 0) {
        at = static_cast<int>(places.size());
        places.emplace_back();
        spreads.emplace_back();
      }
      UntruePlace& place = places[static_cast<std::size_t>(at)];
      const Vec3 own = body_.positions_mm().col(static_cast<Eigen::Index>(v));
      spreads[static_cast<std::size_t>(at)].add(own, sums.normals.col(static_cast<Eigen::Index>(v)),
                                                sums.areas_mm2[v]);
      place.area_mm2 += sums.areas_mm2[v];
      if (!(std::abs(field_.deviation_mm[v]) > std::abs(place.greatest_mm))) continue;
      place.greatest_mm = field_.deviation_mm[v];
      place.greatest_at_mm = own;
    }
    for (std::size_t i = 0; i < places.size(); ++i) {
      symmetry::Patch patch;
      spreads[i].describe(extent, patch);
      places[i].name = patch.name;
    }
    std::ranges::stable_sort(places, [](const UntruePlace& a, const UntruePlace& b) {
      return std::abs(a.greatest_mm) > std::abs(b.greatest_mm);
    });
    return places;
  }

 private:
  void join(int a, int b) {
    const int sign = differs_[static_cast<std::size_t>(a)];
    if (sign == 0 || sign != differs_[static_cast<std::size_t>(b)]) return;
    groups_.join(static_cast<std::size_t>(a), static_cast<std::size_t>(b));
  }

  const geometry::ClosedMesh& body_;
  const symmetry::DeviationField& field_;
  Groups groups_;
  std::vector<int> differs_;  // 1 proud, -1 shy
};

}  // namespace

MirrorTruth mirror_truth(const FramedBody& body, const geometry::ParallelFor& loop) {
  MirrorTruth truth;
  if (!body.fit.plane) return truth;
  const geometry::ClosedMesh& mesh = *body.body;
  const symmetry::BodyExtent extent = symmetry::extent_of(mesh);
  Opposite found = opposite(body, {Vec3::UnitY(), 0}, loop);
  const Plane plane = own_plane(body, found, (extent.high_mm - extent.low_mm).norm());
  found = opposite(body, plane, loop);
  if (found.counted == 0) return truth;
  truth.vertices_mirrored = static_cast<double>(found.partners) / found.counted;
  for (std::size_t v = 0; v < found.partner.size(); ++v) {
    const double own = std::abs(found.field.deviation_mm[v]);
    if (found.field.counted[v] == 0 || !(own > truth.greatest_mm)) continue;
    truth.greatest_mm = own;
    truth.greatest_at_mm = mesh.positions_mm().col(static_cast<Eigen::Index>(v));
  }
  const VertexSums sums = vertex_sums(mesh);
  const std::vector<double> explained = facets_explain(mesh, found, sums, truth);
  truth.places = Untrue(mesh, found.field, explained).places(sums);
  truth.left_out = std::max(0, static_cast<int>(truth.places.size()) - most_places);
  truth.places.resize(truth.places.size() - static_cast<std::size_t>(truth.left_out));
  truth.is = Trueness::untrue;
  if (truth.places.empty()) {
    truth.is = truth.greatest_mm <= MirrorTruth::limit_mm ? Trueness::exact : Trueness::facets;
  }
  return truth;
}

}  // namespace trueblank::body
