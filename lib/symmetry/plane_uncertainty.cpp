// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/plane_uncertainty.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

#include "geometry/moments.h"
#include "symmetry/field_noise.h"
#include "symmetry/gap_field.h"
#include "symmetry/mirror_plane.h"
#include "symmetry/path_through_box.h"
#include "symmetry/skin_sums.h"

namespace trueblank::symmetry {
namespace {

constexpr double kPerDegree = std::numbers::pi / 180;

// The normal of the skin that a vertex's mirror image meets, between those of the facet's corners;
// corners beyond a ridge have no say.
Vec3 met_normal(const geometry::TriangleMesh& mesh, const Eigen::Matrix3Xd& normals, int facet,
                const Vec3& met_mm, const Vec3& mirrored_normal) {
  if (facet < 0) return mirrored_normal;
  const Vec3 a = mesh.corner(facet, 0);
  const Vec3 one = mesh.corner(facet, 1) - a;
  const Vec3 other = mesh.corner(facet, 2) - a;
  const Vec3 area = one.cross(other);
  const double whole = area.squaredNorm();
  Vec3 shares = Vec3::Constant(1.0 / 3);
  if (whole > 0) {
    shares[1] = (met_mm - a).cross(other).dot(area) / whole;
    shares[2] = one.cross(met_mm - a).dot(area) / whole;
    shares[0] = 1 - shares[1] - shares[2];
  }
  Vec3 sum = Vec3::Zero();
  for (int k = 0; k < 3; ++k) {
    const Vec3 at_corner = normals.col(mesh.facets(k, facet));
    if (at_corner.dot(mirrored_normal) >= ridge_cosine) sum += shares[k] * at_corner;
  }
  return sum.norm() > 0.1 ? Vec3(sum.normalized()) : mirrored_normal;
}

// The height of the smooth skin over a flat facet, for the parabola that its corners' normals
// bend: h(w) = ½·Σ wᵢ·wⱼ·(xⱼ−xᵢ)·(nⱼ−nᵢ) over the three edges, w the shares of the corners. Over
// the facet E[wᵢwⱼ] = 1/12, E[wᵢ²wⱼ²] = 1/90, E[wᵢ²wⱼwₖ] = 1/180.
struct ArcHeight {
  double mean_mm = 0;
  double square_mm2 = 0;
};

ArcHeight arc_height(const geometry::TriangleMesh& mesh, const Eigen::Matrix3Xd& normals, int f) {
  double c[3];
  for (int k = 0; k < 3; ++k) {
    const int one = mesh.facets(k, f);
    const int other = mesh.facets((k + 1) % 3, f);
    const bool ridge = normals.col(one).dot(normals.col(other)) < ridge_cosine;
    const Vec3 along = mesh.positions_mm.col(other) - mesh.positions_mm.col(one);
    c[k] = ridge ? 0.0 : 0.5 * along.dot(normals.col(other) - normals.col(one));
  }
  const double squares = c[0] * c[0] + c[1] * c[1] + c[2] * c[2];
  const double products = c[0] * c[1] + c[1] * c[2] + c[2] * c[0];
  return {(c[0] + c[1] + c[2]) / 12, squares / 90 + products / 90};
}

// What flat facets add to the gaps of the vertices: all of it where the facets of the two sides lie
// anyhow, nothing where they are mirror images.
struct Facetting {
  double share = 0;         // 0 to 1
  double variance_mm2 = 0;  // of what is left when the mean is taken off
  double edge_mm = 0;       // root mean square
};

struct MeasuredGaps {
  GapSample sample;
  PlaneAxes axes;
  Facetting facetting;
};

struct VertexSums {
  std::vector<double> area_mm2;    // of measured facets, a third to each corner
  std::vector<double> height_mm;   // mean arc height of the facets about the vertex
  std::vector<double> square_mm2;  // likewise its square
  double edge_mm = 0;
};

VertexSums vertex_sums(const geometry::TriangleMesh& mesh, const Eigen::Matrix3Xd& normals,
                       std::span<const std::uint8_t> facet_measured) {
  const std::size_t count = static_cast<std::size_t>(mesh.vertex_count());
  VertexSums sums{std::vector<double>(count, 0.0), std::vector<double>(count, 0.0),
                  std::vector<double>(count, 0.0), 0};
  double squares = 0;
  double whole = 0;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    if (!is_measured(facet_measured, f)) continue;
    const Vec3 a = mesh.corner(f, 0);
    const Vec3 ab = mesh.corner(f, 1) - a;
    const Vec3 ac = mesh.corner(f, 2) - a;
    const double third = ab.cross(ac).norm() / 6;
    const ArcHeight height = arc_height(mesh, normals, f);
    for (int k = 0; k < 3; ++k) {
      const std::size_t v = static_cast<std::size_t>(mesh.facets(k, f));
      sums.area_mm2[v] += third;
      sums.height_mm[v] += third * height.mean_mm;
      sums.square_mm2[v] += third * height.square_mm2;
    }
    squares += third * (ab.squaredNorm() + ac.squaredNorm() + (ac - ab).squaredNorm()) / 3;
    whole += third;
  }
  for (std::size_t v = 0; v < count; ++v) {
    if (!(sums.area_mm2[v] > 0)) continue;
    sums.height_mm[v] /= sums.area_mm2[v];
    sums.square_mm2[v] /= sums.area_mm2[v];
  }
  sums.edge_mm = whole > 0 ? std::sqrt(squares / whole) : 0.0;
  return sums;
}

// The share is told from the mean gap: noise and shape are proud on one side and shy on the other,
// flat facets let all vertices stand proud.
Facetting facetting(const VertexSums& sums, const DeviationField& field) {
  Facetting result{0, 0, sums.edge_mm};
  double area = 0;
  double height = 0;
  double square = 0;
  double gap = 0;
  for (std::size_t v = 0; v < sums.area_mm2.size(); ++v) {
    if (field.counted[v] == 0) continue;
    area += sums.area_mm2[v];
    height += sums.area_mm2[v] * sums.height_mm[v];
    square += sums.area_mm2[v] * (sums.square_mm2[v] - std::pow(sums.height_mm[v], 2));
    gap += sums.area_mm2[v] * field.deviation_mm[v];
  }
  if (!(area > 0) || !(height > 0)) return result;
  result.share = std::clamp(gap / height, 0.0, 1.0);
  result.variance_mm2 = result.share * std::max(0.0, square / area);
  return result;
}

// The third moments choose the ends of the axes, so that a turned body is worked through alike.
PlaneAxes plane_axes(const geometry::ClosedMesh& body, const Plane& plane) {
  const geometry::Moments whole = geometry::moments(body);
  PlaneAxes axes{plane, long_axis_within(whole, plane), whole.centroid_mm, 0};
  const Vec3 up = plane.normal.cross(axes.long_axis);
  Vec3 third = Vec3::Zero();
  double low = 1e300;
  double high = -1e300;
  for (int v = 0; v < body.vertex_count(); ++v) {
    const Vec3 off = body.positions_mm().col(v) - whole.centroid_mm;
    const Vec3 own(axes.long_axis.dot(off), up.dot(off), plane.normal.dot(off));
    third += own.cwiseProduct(own).cwiseProduct(own);
    low = std::min(low, own.x());
    high = std::max(high, own.x());
  }
  if (third.x() < 0) axes.long_axis = -axes.long_axis;
  // `up` is the normal × the long axis: turning one of the two turns it as well.
  if ((third.x() < 0) != (third.y() < 0)) {
    axes.plane = {-plane.normal, -plane.offset_mm};
  }
  axes.length_mm = high - low;
  return axes;
}

MeasuredGaps measured_gaps(const geometry::ClosedMesh& body, const Plane& plane,
                           const DeviationField& field,
                           std::span<const std::uint8_t> facet_measured) {
  MeasuredGaps result;
  result.axes = plane_axes(body, plane);
  const Eigen::Matrix3Xd normals = smooth_vertex_normals(body.mesh());
  const VertexSums sums = vertex_sums(body.mesh(), normals, facet_measured);
  result.facetting = facetting(sums, field);
  std::vector<int> columns;
  for (int v = 0; v < body.vertex_count(); ++v) {
    const std::size_t i = static_cast<std::size_t>(v);
    if (field.counted[i] != 0 && sums.area_mm2[i] > 0) columns.push_back(v);
  }
  if (columns.empty()) return result;
  geometry::Mat3 own;
  own << result.axes.long_axis, result.axes.plane.normal.cross(result.axes.long_axis),
      result.axes.plane.normal;
  const std::vector<int> order = along_path(own.transpose() * body.positions_mm(), columns);
  GapSample& sample = result.sample;
  sample.positions_mm.resize(3, static_cast<Eigen::Index>(order.size()));
  sample.normals.resize(3, static_cast<Eigen::Index>(order.size()));
  sample.met_normals.resize(3, static_cast<Eigen::Index>(order.size()));
  const geometry::Mat3 mirror =
      geometry::Mat3::Identity() - 2 * plane.normal * plane.normal.transpose();
  for (std::size_t i = 0; i < order.size(); ++i) {
    const std::size_t v = static_cast<std::size_t>(order[i]);
    sample.positions_mm.col(static_cast<Eigen::Index>(i)) = body.positions_mm().col(order[i]);
    sample.normals.col(static_cast<Eigen::Index>(i)) = normals.col(order[i]);
    sample.met_normals.col(static_cast<Eigen::Index>(i)) = met_normal(
        body.mesh(), normals, field.opposite_facet[v],
        plane.reflected(field.mirror_image_mm.col(order[i])), mirror * normals.col(order[i]));
    sample.gaps_mm.push_back(field.deviation_mm[v] - result.facetting.share * sums.height_mm[v]);
    sample.areas_mm2.push_back(sums.area_mm2[v]);
  }
  return result;
}

// A vertex meets a facet, whose noise is the mean of its corners': with shares w of the corners,
// E[Σwᵢ²] = ½ over the facet, and the rest holds together as neighbours do.
double skins_per_gap(const Facetting& facetting, double width_mm) {
  const double ratio = facetting.edge_mm / std::max(width_mm, 1e-300);
  const double alike = std::exp(-0.5 * ratio * ratio);
  return 2 - facetting.share * 0.5 * (1 - alike);
}

ScanNoise noise_of(const GapFields& fields, const MeasuredGaps& gaps) {
  const NoiseFields found = noise_fields(fields, gaps.sample, gaps.axes.length_mm);
  ScanNoise result;
  result.slow_mm = found.slow_mm;
  if (found.noise.empty()) return result;
  const double skins = skins_per_gap(gaps.facetting, found.noise.front().width_mm);
  const double left_mm2 = found.gap_mm2() - gaps.facetting.variance_mm2;
  if (!(left_mm2 > 0)) return result;
  result.sigma_mm = std::sqrt(left_mm2 / skins);
  result.correlation_mm = found.strongest().width_mm;
  return result;
}

}  // namespace

PlaneDoubt plane_doubt(const geometry::ClosedMesh& body, const Plane& plane,
                       const DeviationField& field, std::span<const std::uint8_t> facet_measured,
                       const geometry::ParallelFor& loop) {
  const MeasuredGaps gaps = measured_gaps(body, plane, field, facet_measured);
  const GapFields fields = gap_fields(gaps.sample, gaps.axes, loop);
  const Vec3 variances = fields.plane_covariance.diagonal().cwiseMax(0.0);
  PlaneDoubt doubt;
  doubt.noise = noise_of(fields, gaps);
  doubt.plane.tilt_deg = std::sqrt(variances[0]) / kPerDegree;
  doubt.plane.yaw_deg = std::sqrt(variances[1]) / kPerDegree;
  doubt.plane.offset_mm = std::sqrt(variances[2]);
  return doubt;
}

PlaneUncertainty plane_uncertainty(const geometry::ClosedMesh& body, const Plane& plane,
                                   const DeviationField& field,
                                   std::span<const std::uint8_t> facet_measured,
                                   const geometry::ParallelFor& loop) {
  return plane_doubt(body, plane, field, facet_measured, loop).plane;
}

}  // namespace trueblank::symmetry
