// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/comparison_skin.h"

#include <Eigen/Cholesky>
#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "symmetry/field_noise.h"
#include "symmetry/gap_field.h"
#include "symmetry/nearest_surface.h"
#include "symmetry/path_through_box.h"
#include "symmetry/skin_sums.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Vec3;

constexpr int run_length = 256;
// A corner with less than this share has no part in where a point of a facet lies.
constexpr double least_share = 1e-9;

// How much each corner has in a point of a facet; a third each where the facet has no area.
Vec3 shares_of(const ClosedMesh& body, int facet, const Vec3& point_mm) {
  const Vec3 a = body.corner(facet, 0);
  const Vec3 one = body.corner(facet, 1) - a;
  const Vec3 other = body.corner(facet, 2) - a;
  const Vec3 area = one.cross(other);
  const double whole = area.squaredNorm();
  if (!(whole > 0)) return Vec3::Constant(1.0 / 3);
  const double second = (point_mm - a).cross(other).dot(area) / whole;
  const double third = one.cross(point_mm - a).dot(area) / whole;
  return {1 - second - third, second, third};
}

std::vector<std::uint8_t> rim_of(const ClosedMesh& body,
                                 std::span<const std::uint8_t> facet_measured) {
  if (facet_measured.empty()) return {};
  const std::size_t vertices = static_cast<std::size_t>(body.vertex_count());
  std::vector<std::uint8_t> seen(vertices, 0);  // bit 0: measured facets, bit 1: made-up ones
  for (int f = 0; f < body.facet_count(); ++f) {
    const std::uint8_t kind = is_measured(facet_measured, f) ? 1 : 2;
    for (const int v : body.facets().col(f)) seen[static_cast<std::size_t>(v)] |= kind;
  }
  for (std::uint8_t& kinds : seen) kinds = kinds == 3 ? 1 : 0;
  return seen;
}

// Vertices with measured facets, neighbours in the list being neighbours on the skin.
std::vector<int> along_skin(const ComparisonSkin& skin, const std::vector<std::uint8_t>& counted) {
  std::vector<int> columns;
  for (int v = 0; v < skin.body().vertex_count(); ++v) {
    const std::size_t at = static_cast<std::size_t>(v);
    if (counted[at] != 0 && skin.vertex_areas_mm2()[at] > 0) columns.push_back(v);
  }
  if (columns.empty()) return columns;
  return along_path(skin.body().positions_mm(), columns);
}

// What facets stand off the smooth skins is no gap of theirs.
GapSample sample_of(const ComparisonSkin& skin, const DeviationField& field,
                    const std::vector<int>& order) {
  const Eigen::Index count = static_cast<Eigen::Index>(order.size());
  GapSample sample{Eigen::Matrix3Xd(3, count), Eigen::Matrix3Xd(3, count), {}, {}, {}};
  for (Eigen::Index i = 0; i < count; ++i) {
    const int v = order[static_cast<std::size_t>(i)];
    const std::size_t at = static_cast<std::size_t>(v);
    sample.positions_mm.col(i) = skin.body().positions_mm().col(v);
    sample.normals.col(i) = skin.normals().col(v);
    const double facets_mm = field.facets_mm.empty() ? 0.0 : field.facets_mm[at];
    sample.gaps_mm.push_back(field.deviation_mm[at] - facets_mm);
    sample.areas_mm2.push_back(skin.vertex_areas_mm2()[at]);
  }
  sample.met_normals = sample.normals;
  return sample;
}

// What a slight motion, a stretch along each axis and a coat of even thickness do to a gap.
constexpr int kinds = 10;
using KindsRow = Eigen::Matrix<double, kinds, 1>;

KindsRow kinds_row(const Vec3& q, const Vec3& normal) {
  KindsRow row;
  row << normal, q.cross(normal), q.cwiseProduct(normal), 1;
  return row;
}

double middle_size(const std::vector<double>& values) {
  std::vector<double> sizes;
  sizes.reserve(values.size());
  for (const double value : values) sizes.push_back(std::abs(value));
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return *middle;
}

// Motion, stretch and coat are no noise, but where a section bends sharply they change as sharply
// along the skin. They are taken out by a robust fit, so that what is left is other shape and
// noise.
void take_out_kinds(GapSample& sample, const Vec3& middle_mm, double length_mm) {
  constexpr int rounds = 8;
  constexpr double kernel_width = 3;
  constexpr double rounding = 1e-9;
  const std::vector<double> gaps = sample.gaps_mm;
  for (int round = 0; round < rounds; ++round) {
    const double spread_mm = 1.4826 * middle_size(sample.gaps_mm);
    if (!(spread_mm > rounding * length_mm)) return;
    Eigen::Matrix<double, kinds, kinds> squares = Eigen::Matrix<double, kinds, kinds>::Zero();
    KindsRow right = KindsRow::Zero();
    const auto row_at = [&](std::size_t i) {
      const Eigen::Index column = static_cast<Eigen::Index>(i);
      return kinds_row((sample.positions_mm.col(column) - middle_mm) / length_mm,
                       sample.normals.col(column));
    };
    for (std::size_t i = 0; i < gaps.size(); ++i) {
      const double off = sample.gaps_mm[i] / (kernel_width * spread_mm);
      const double weight = sample.areas_mm2[i] * std::exp(-0.5 * off * off);
      const KindsRow row = row_at(i);
      squares += weight * row * row.transpose();
      right += weight * gaps[i] * row;
    }
    // A round body doesn't tell all kinds apart: any sum of them that fits will do.
    squares.diagonal() *= 1 + 1e-9;
    const KindsRow found = squares.ldlt().solve(right);
    for (std::size_t i = 0; i < gaps.size(); ++i) {
      sample.gaps_mm[i] = gaps[i] - found.dot(row_at(i));
    }
  }
}

// What the fit took of the noise beside the three shifts that the likelihood knows of: each smooth
// kind as much of its variance as the integral of its correlation, 2π·width², is of the skin.
double left_by_kinds(const GapSample& sample, double width_mm) {
  constexpr double most_taken = 0.5;
  double skin_mm2 = 0;
  for (const double area : sample.areas_mm2) skin_mm2 += area;
  const double each = 2 * std::numbers::pi * width_mm * width_mm / skin_mm2;
  return 1 - std::min(most_taken, (kinds - 3) * each);
}

}  // namespace

ComparisonSkin::ComparisonSkin(const ClosedMesh& body, std::span<const std::uint8_t> facet_measured,
                               const geometry::ParallelFor& loop)
    : body_(body),
      facet_measured_(facet_measured),
      surface_(std::make_shared<const NearestSurface>(body.mesh(), loop)),
      normals_(smooth_vertex_normals(body.mesh())),
      areas_mm2_(symmetry::vertex_areas_mm2(body, facet_measured)),
      on_rim_(rim_of(body, facet_measured)) {}

bool ComparisonSkin::is_measured_at(int facet, const Vec3& point_mm) const {
  if (facet_measured_.empty()) return true;
  if (!is_measured(facet_measured_, facet)) return false;
  const Vec3 shares = shares_of(body_, facet, point_mm);
  int parts = 0;
  int part = 0;     // the last corner that has one
  int without = 0;  // the last that has none
  for (int k = 0; k < 3; ++k) {
    const bool has_part = shares[k] > least_share;
    parts += has_part ? 1 : 0;
    (has_part ? part : without) = k;
  }
  if (parts == 1) {
    return on_rim_[static_cast<std::size_t>(body_.facets()(part, facet))] == 0;
  }
  if (parts == 2) {
    const int beyond = surface_->across(facet, (without + 1) % 3);
    return beyond >= 0 && is_measured(facet_measured_, beyond);
  }
  return true;
}

// The parabola that the corners' normals bend: ½·Σ wᵢ·wⱼ·(xⱼ−xᵢ)·(nⱼ−nᵢ) over the three edges, w
// the shares of the corners.
double ComparisonSkin::arc_mm(int facet, const Vec3& point_mm) const {
  const Vec3 shares = shares_of(body_, facet, point_mm).cwiseMax(0.0).cwiseMin(1.0);
  double height = 0;
  for (int k = 0; k < 3; ++k) {
    const int one = body_.facets()(k, facet);
    const int other = body_.facets()((k + 1) % 3, facet);
    if (normals_.col(one).dot(normals_.col(other)) < ridge_cosine) continue;
    const Vec3 along = body_.positions_mm().col(other) - body_.positions_mm().col(one);
    height +=
        0.5 * shares[k] * shares[(k + 1) % 3] * along.dot(normals_.col(other) - normals_.col(one));
  }
  return height;
}

DeviationField deviation_onto(const ComparisonSkin& from, const ComparisonSkin& onto,
                              const geometry::ParallelFor& loop) {
  const ClosedMesh& body = from.body();
  const std::size_t vertices = static_cast<std::size_t>(body.vertex_count());
  DeviationField field{std::vector<double>(vertices, 0.0),
                       std::vector<std::uint8_t>(vertices, 0),
                       body.positions_mm(),
                       std::vector<int>(vertices, -1),
                       onto.surface(),
                       Against::other_body,
                       std::vector<double>(vertices, 0.0)};
  const std::vector<int> order = along_skin(from, std::vector<std::uint8_t>(vertices, 1));
  const int count = static_cast<int>(order.size());
  loop((count + run_length - 1) / run_length, [&](int run) {
    int last = -1;
    for (int i = run * run_length; i < std::min(count, (run + 1) * run_length); ++i) {
      const int v = order[static_cast<std::size_t>(i)];
      const NearestSurface::Hit hit = onto.surface()->nearest(body.positions_mm().col(v), last);
      last = hit.facet;
      if (!onto.is_measured_at(hit.facet, hit.nearest_mm)) continue;
      const std::size_t at = static_cast<std::size_t>(v);
      field.counted[at] = 1;
      field.deviation_mm[at] = hit.signed_distance_mm;
      field.mirror_image_mm.col(v) = hit.nearest_mm;
      field.opposite_facet[at] = hit.facet;
      field.facets_mm[at] = onto.arc_mm(hit.facet, hit.nearest_mm);
    }
  });
  return field;
}

ScanNoise noise_of_two(const ComparisonSkin& from, const DeviationField& field,
                       const geometry::ParallelFor& loop) {
  const std::vector<int> order = along_skin(from, field.counted);
  if (order.empty()) return {};
  GapSample sample = sample_of(from, field, order);
  const Vec3 low = from.body().positions_mm().rowwise().minCoeff();
  const Vec3 high = from.body().positions_mm().rowwise().maxCoeff();
  const double length_mm = (high - low).maxCoeff();
  take_out_kinds(sample, (low + high) / 2, length_mm);
  const GapFields fields = gap_fields_of_two(sample, (low + high) / 2, length_mm, loop);
  const NoiseFields found = noise_fields(fields, sample, length_mm);
  ScanNoise result;
  result.slow_mm = found.slow_mm;
  if (found.noise.empty()) return result;
  result.correlation_mm = found.strongest().width_mm;
  result.sigma_mm = std::sqrt(found.gap_mm2() / 2 / left_by_kinds(sample, result.correlation_mm));
  return result;
}

}  // namespace trueblank::symmetry
