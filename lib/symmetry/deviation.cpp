// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/deviation.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cassert>
#include <cmath>
#include <utility>

#include "geometry/compensated_sum.h"
#include "geometry/cut.h"
#include "symmetry/nearest_surface.h"
#include "symmetry/skin_sums.h"

namespace trueblank::symmetry {
namespace {

constexpr int kRun = 256;

// Vertices in the order in which the facets first name them: neighbours in the list are mostly
// neighbours on the skin, so that the last hit is a good hint for the next.
std::vector<int> order_along_facets(const geometry::ClosedMesh& body) {
  std::vector<int> order;
  order.reserve(static_cast<std::size_t>(body.vertex_count()));
  std::vector<std::uint8_t> listed(static_cast<std::size_t>(body.vertex_count()), 0);
  for (int f = 0; f < body.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      const int v = body.facets()(k, f);
      if (listed[static_cast<std::size_t>(v)] != 0) continue;
      listed[static_cast<std::size_t>(v)] = 1;
      order.push_back(v);
    }
  }
  return order;
}

DeviationStatistics statistics(std::span<const double> deviation_mm,
                               const std::vector<double>& weights_mm2) {
  assert(deviation_mm.size() == weights_mm2.size() && "a deviation for every vertex");
  DeviationStatistics result;
  geometry::CompensatedSum weight;
  geometry::CompensatedSum sizes;
  geometry::CompensatedSum squares;
  std::vector<std::pair<double, double>> size_weight;
  size_weight.reserve(deviation_mm.size());
  for (std::size_t v = 0; v < deviation_mm.size(); ++v) {
    if (!(weights_mm2[v] > 0)) continue;
    const double size = std::abs(deviation_mm[v]);
    weight.add(weights_mm2[v]);
    sizes.add(weights_mm2[v] * size);
    squares.add(weights_mm2[v] * size * size);
    size_weight.emplace_back(size, weights_mm2[v]);
    result.max_proud = std::max(result.max_proud, deviation_mm[v]);
    result.max_shy = std::min(result.max_shy, deviation_mm[v]);
  }
  if (size_weight.empty()) return result;
  result.rms = std::sqrt(squares.value() / weight.value());
  result.mean_abs = sizes.value() / weight.value();
  std::sort(size_weight.begin(), size_weight.end());
  geometry::CompensatedSum passed;
  for (const auto& [size, own_weight] : size_weight) {
    passed.add(own_weight);
    result.p95 = size;
    if (passed.value() >= 0.95 * weight.value()) break;
  }
  return result;
}

}  // namespace

std::vector<double> deviation_mm(const geometry::ClosedMesh& body, const Plane& plane,
                                 const geometry::ParallelFor& loop) {
  return deviation_field(body, plane, {}, loop).deviation_mm;
}

DeviationField deviation_field(const geometry::ClosedMesh& body, const Plane& plane,
                               std::span<const std::uint8_t> facet_measured,
                               const geometry::ParallelFor& loop) {
  const auto kept = std::make_shared<const NearestSurface>(body.mesh(), loop);
  const NearestSurface& surface = *kept;
  const std::vector<int> order = order_along_facets(body);
  const std::size_t vertices = static_cast<std::size_t>(body.vertex_count());
  DeviationField field{std::vector<double>(vertices, 0.0), std::vector<std::uint8_t>(vertices, 0),
                       body.positions_mm(), std::vector<int>(vertices, -1), kept};
  if (facet_measured.empty()) {
    for (const int v : order) field.counted[static_cast<std::size_t>(v)] = 1;
  } else {
    for (int f = 0; f < body.facet_count(); ++f) {
      if (!is_measured(facet_measured, f)) continue;
      for (int k = 0; k < 3; ++k) field.counted[static_cast<std::size_t>(body.facets()(k, f))] = 1;
    }
  }
  const int count = static_cast<int>(order.size());
  loop((count + kRun - 1) / kRun, [&](int run) {
    int last = -1;
    for (int i = run * kRun; i < std::min(count, (run + 1) * kRun); ++i) {
      const int v = order[static_cast<std::size_t>(i)];
      std::uint8_t& counts = field.counted[static_cast<std::size_t>(v)];
      if (counts == 0) continue;
      const NearestSurface::Hit hit =
          surface.nearest(plane.reflected(body.positions_mm().col(v)), last);
      last = hit.facet;
      if (is_measured(facet_measured, hit.facet)) {
        field.deviation_mm[static_cast<std::size_t>(v)] = hit.signed_distance_mm;
        field.mirror_image_mm.col(v) = plane.reflected(hit.nearest_mm);
        field.opposite_facet[static_cast<std::size_t>(v)] = hit.facet;
      } else {
        counts = 0;
      }
    }
  });
  return field;
}

DeviationStatistics deviation_statistics(const geometry::ClosedMesh& body,
                                         std::span<const double> deviation_mm,
                                         std::span<const std::uint8_t> facet_measured) {
  return statistics(deviation_mm, vertex_areas_mm2(body, facet_measured));
}

DeviationStatistics deviation_statistics(const geometry::ClosedMesh& body,
                                         const DeviationField& field,
                                         std::span<const std::uint8_t> facet_measured) {
  std::vector<double> weights = vertex_areas_mm2(body, facet_measured);
  for (std::size_t v = 0; v < weights.size(); ++v) {
    if (field.counted[v] == 0) weights[v] = 0;
  }
  return statistics(field.deviation_mm, weights);
}

std::vector<geometry::Section> stations(const geometry::ClosedMesh& in_body_frame, double length_mm,
                                        const StationSpacing& spacing) {
  std::vector<geometry::Section> sections;
  if (spacing.count > 0) {
    for (int i = 0; i < spacing.count; ++i) {
      sections.push_back(
          geometry::section_at(in_body_frame, (i + 0.5) * length_mm / spacing.count));
    }
    return sections;
  }
  constexpr int kMost = 10000;
  // A length that was measured and scaled to is itself but for rounding; its end is no station.
  const double end_mm = (1 - 1e-9) * length_mm;
  for (int i = 1; i <= kMost && spacing.step_mm > 0 && i * spacing.step_mm < end_mm; ++i) {
    sections.push_back(geometry::section_at(in_body_frame, i * spacing.step_mm));
  }
  return sections;
}

SideVolumes side_volumes(const geometry::ClosedMesh& in_body_frame) {
  const double left = geometry::moments_below(in_body_frame, {Vec3::UnitY(), 0}).volume_mm3;
  const double right = geometry::moments_below(in_body_frame, {-Vec3::UnitY(), 0}).volume_mm3;
  return {left, right};
}

}  // namespace trueblank::symmetry
