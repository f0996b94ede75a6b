// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/comparison.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <numbers>
#include <utility>

#include "geometry/compensated_sum.h"
#include "geometry/moments.h"
#include "symmetry/facing_places.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Vec3;

// The copy's skin has the say on a place, unless the master's shows this much more volume.
constexpr double clearly_more = 1.1;

double compared_share(const ComparisonSkin& skin, const DeviationField& field) {
  geometry::CompensatedSum counted;
  for (std::size_t v = 0; v < field.counted.size(); ++v) {
    if (field.counted[v] != 0) counted.add(skin.vertex_areas_mm2()[v]);
  }
  const double whole = geometry::area_mm2(skin.body().mesh());
  return whole > 0 ? std::min(1.0, counted.value() / whole) : 0.0;
}

SkinComparison measured_onto(const ComparisonSkin& from, const ComparisonSkin& onto,
                             const geometry::ParallelFor& loop) {
  SkinComparison result;
  result.field = deviation_onto(from, onto, loop);
  result.statistics = deviation_statistics(from.body(), result.field, from.facet_measured());
  result.extremes = extremes(from.body(), result.field.deviation_mm);
  result.compared_share = compared_share(from, result.field);
  return result;
}

// Both tell it, at places of their own, but where one of them is much the coarser.
ScanNoise noise_between(const ComparisonSkin& master, const SkinComparison& of_master,
                        const ComparisonSkin& copy, const SkinComparison& of_copy,
                        const geometry::ParallelFor& loop) {
  constexpr std::ptrdiff_t much_coarser = 4;
  const auto count = [](const SkinComparison& of) {
    return std::count(of.field.counted.begin(), of.field.counted.end(), std::uint8_t{1});
  };
  if (count(of_master) < count(of_copy) / much_coarser) {
    return noise_of_two(copy, of_copy.field, loop);
  }
  if (count(of_copy) < count(of_master) / much_coarser) {
    return noise_of_two(master, of_master.field, loop);
  }
  const ScanNoise one = noise_of_two(copy, of_copy.field, loop);
  const ScanNoise other = noise_of_two(master, of_master.field, loop);
  const double one_mm2 = one.sigma_mm * one.sigma_mm;
  const double other_mm2 = other.sigma_mm * other.sigma_mm;
  ScanNoise both;
  both.sigma_mm = std::sqrt((one_mm2 + other_mm2) / 2);
  if (both.sigma_mm > 0) {
    both.correlation_mm =
        (one_mm2 * one.correlation_mm + other_mm2 * other.correlation_mm) / (one_mm2 + other_mm2);
  }
  both.slow_mm = std::hypot(one.slow_mm, other.slow_mm) / std::numbers::sqrt2;
  return both;
}

double doubt_of(const ComparisonSkin& skin, const Patch& patch, const AlignmentDoubt& alignment,
                double slow_mm) {
  for (const int v : patch.vertices) {
    if (skin.body().positions_mm().col(v) != patch.greatest_at_mm) continue;  // the same numbers
    return std::hypot(alignment_doubt_mm(alignment, patch.greatest_at_mm, skin.normals().col(v)),
                      slow_mm);
  }
  return slow_mm;
}

// The patches of one skin that show more of the copy (sign > 0) or less (< 0).
struct OneSkin {
  const ComparisonSkin& skin;
  const SkinComparison& seen;
  SeenOn name;
  double sign;  // of the copy's signs in this skin's: 1 or −1

  [[nodiscard]] const std::vector<Patch>& patches(double wanted) const {
    return sign * wanted > 0 ? seen.patches.proud : seen.patches.shy;
  }

  [[nodiscard]] PlacesOnSkin places(double wanted) const {
    PlacesOnSkin result{skin, seen.field, {}};
    for (const Patch& patch : patches(wanted)) result.vertices.push_back(patch.vertices);
    return result;
  }

  [[nodiscard]] double volume_mm3(double wanted, const std::vector<int>& indices) const {
    double sum = 0;
    for (const int i : indices) {
      sum += std::abs(patches(wanted)[static_cast<std::size_t>(i)].volume_mm3);
    }
    return sum;
  }

  [[nodiscard]] Difference difference(double wanted, int index, const ComparisonOptions& options,
                                      double slow_mm) const {
    Difference result;
    result.index = static_cast<std::size_t>(index);
    result.patch = patches(wanted)[result.index];
    result.seen_on = name;
    result.doubt_mm = doubt_of(skin, result.patch, options.alignment, slow_mm);
    result.patch.greatest_mm *= sign;
    result.patch.volume_mm3 *= sign;
    if (result.patch.mass_g) *result.patch.mass_g *= sign;
    return result;
  }
};

std::vector<Difference> differences(const OneSkin& copy, const OneSkin& master, double wanted,
                                    const ComparisonOptions& options, double slow_mm) {
  std::vector<Difference> result;
  for (const FacingPlaces& group : facing_places(copy.places(wanted), master.places(wanted))) {
    const bool of_master = master.volume_mm3(wanted, group.second) >
                           clearly_more * copy.volume_mm3(wanted, group.first);
    const OneSkin& seen = of_master ? master : copy;
    for (const int i : of_master ? group.second : group.first) {
      result.push_back(seen.difference(wanted, i, options, slow_mm));
    }
  }
  std::stable_sort(result.begin(), result.end(), [](const Difference& a, const Difference& b) {
    return std::abs(a.patch.volume_mm3) > std::abs(b.patch.volume_mm3);
  });
  return result;
}

StationPair pair_of(Station master, Station copy) {
  StationPair pair{std::move(master), std::move(copy)};
  const geometry::Section& of_master = pair.master.section;
  const geometry::Section& of_copy = pair.copy.section;
  pair.left_half_width_change_mm = of_copy.left_half_width_mm - of_master.left_half_width_mm;
  pair.right_half_width_change_mm = of_copy.right_half_width_mm - of_master.right_half_width_mm;
  pair.width_change_mm = pair.left_half_width_change_mm + pair.right_half_width_change_mm;
  pair.height_change_mm = of_copy.height_mm() - of_master.height_mm();
  pair.area_change_mm2 = (of_copy.left_area_mm2 + of_copy.right_area_mm2) -
                         (of_master.left_area_mm2 + of_master.right_area_mm2);
  pair.belly_change_mm = pair.copy.belly_below_mm - pair.master.belly_below_mm;
  pair.back_change_mm = pair.copy.back_above_mm - pair.master.back_above_mm;
  return pair;
}

std::vector<StationPair> stations_of(const ClosedMesh& master, const ClosedMesh& copy,
                                     const ComparisonOptions& options) {
  double length_mm = master.positions_mm().row(0).maxCoeff();
  if (options.stations.count <= 0) {
    length_mm = std::max(length_mm, copy.positions_mm().row(0).maxCoeff());
  }
  std::vector<Station> masters = station_table(
      master, symmetry::stations(master, length_mm, options.stations), options.heights);
  std::vector<Station> copies =
      station_table(copy, symmetry::stations(copy, length_mm, options.stations), options.heights);
  std::vector<StationPair> pairs;
  for (std::size_t i = 0; i < masters.size(); ++i) {
    pairs.push_back(pair_of(std::move(masters[i]), std::move(copies[i])));
  }
  return pairs;
}

}  // namespace

BodyFigures figures_of(const ClosedMesh& body) {
  const geometry::Moments whole = geometry::moments(body);
  const Vec3 low = body.positions_mm().rowwise().minCoeff();
  const Vec3 high = body.positions_mm().rowwise().maxCoeff();
  return {whole.volume_mm3, whole.area_mm2, whole.centroid_mm, side_volumes(body), high - low};
}

BodyChanges changes_of(const BodyFigures& master, const BodyFigures& copy) {
  BodyChanges changes;
  changes.volume_mm3 = copy.volume_mm3 - master.volume_mm3;
  changes.volume_percent = 100 * changes.volume_mm3 / master.volume_mm3;
  changes.area_mm2 = copy.area_mm2 - master.area_mm2;
  changes.area_percent = 100 * changes.area_mm2 / master.area_mm2;
  changes.centroid_shift_mm = copy.centroid_mm - master.centroid_mm;
  changes.balance_mm3 = (copy.sides.right_mm3 - copy.sides.left_mm3) -
                        (master.sides.right_mm3 - master.sides.left_mm3);
  changes.size_mm = copy.size_mm - master.size_mm;
  return changes;
}

Comparison compared(const ComparisonSkin& master, const ComparisonSkin& copy,
                    const ComparisonOptions& options, const geometry::ParallelFor& loop) {
  Comparison result;
  result.copy = measured_onto(copy, master, loop);
  result.master = measured_onto(master, copy, loop);
  result.noise = options.noise ? *options.noise
                               : noise_between(master, result.master, copy, result.copy, loop);
  const PatchOptions how{.noise = result.noise, .wood_density_g_cm3 = options.density_g_cm3};
  result.copy.patches =
      find_patches(copy.body(), result.copy.field, copy.facet_measured(), how, loop);
  result.master.patches =
      find_patches(master.body(), result.master.field, master.facet_measured(), how, loop);
  const OneSkin on_copy{copy, result.copy, SeenOn::copy, 1};
  const OneSkin on_master{master, result.master, SeenOn::master, -1};
  const double slow_mm = result.noise.slow_mm;
  result.differences.proud = differences(on_copy, on_master, 1, options, slow_mm);
  result.differences.shy = differences(on_copy, on_master, -1, options, slow_mm);
  result.master_figures = figures_of(master.body());
  result.copy_figures = figures_of(copy.body());
  result.changes = changes_of(result.master_figures, result.copy_figures);
  result.stations = stations_of(master.body(), copy.body(), options);
  return result;
}

double alignment_doubt_mm(const AlignmentDoubt& doubt, const Vec3& at_mm, const Vec3& normal) {
  const Vec3 q = at_mm - doubt.at_mm;
  Eigen::Matrix<double, 6, 1> row;
  row << q.cross(normal), normal;
  const double by_scale = doubt.scale * normal.dot(q);
  return std::sqrt(std::max(0.0, row.dot(doubt.covariance * row)) + by_scale * by_scale);
}

}  // namespace trueblank::symmetry
