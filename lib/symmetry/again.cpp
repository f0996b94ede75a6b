// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/again.h"

#include <algorithm>
#include <cmath>

#include "geometry/moments.h"
#include "symmetry/measured_skin.h"
#include "symmetry/mirror_plane.h"
#include "symmetry/plane_refinement.h"

namespace trueblank::symmetry {
namespace {

constexpr int kRun = 256;
constexpr int kPlanePoints = 40000;
constexpr int kPlaneRounds = 30;

Plane own_plane(const geometry::ClosedMesh& body, const MeasuredSkin& skin, const Plane& start,
                const geometry::ParallelFor& loop) {
  const geometry::Moments whole = geometry::moments(body);
  RefineOptions how;
  how.long_axis = long_axis_within(whole, start);
  how.size_mm = 2 * std::cbrt(whole.volume_mm3);
  how.most_rounds = kPlaneRounds;
  how.last_step = 1e-8;
  const SkinPoints points =
      body.vertex_count() <= kPlanePoints ? skin.vertices() : skin.even(kPlanePoints);
  how.by_patches = points.count() >= 2000;
  return refine(skin, points, start, how, loop).plane;
}

// The second scan's deviation at the places of the first one's vertices.
DeviationField at_the_same_places(const geometry::ClosedMesh& body, const MeasuredSkin& second,
                                  const Plane& plane, const std::vector<std::uint8_t>& wanted,
                                  const geometry::ParallelFor& loop) {
  const std::size_t vertices = static_cast<std::size_t>(body.vertex_count());
  DeviationField field{std::vector<double>(vertices, 0.0), std::vector<std::uint8_t>(vertices, 0)};
  loop((body.vertex_count() + kRun - 1) / kRun, [&](int run) {
    int last = -1;
    int last_mirrored = -1;
    for (int v = run * kRun; v < std::min(body.vertex_count(), (run + 1) * kRun); ++v) {
      const std::size_t i = static_cast<std::size_t>(v);
      if (wanted[i] == 0) continue;
      const NearestSurface::Hit place = second.surface().nearest(body.positions_mm().col(v), last);
      last = place.facet;
      const NearestSurface::Hit opposite =
          second.surface().nearest(plane.reflected(place.nearest_mm), last_mirrored);
      last_mirrored = opposite.facet;
      if (!second.measured(place.facet) || !second.measured(opposite.facet)) continue;
      field.deviation_mm[i] = opposite.signed_distance_mm;
      field.counted[i] = 1;
    }
  });
  return field;
}

DeviationPart part(const geometry::ClosedMesh& body, const DeviationField& first,
                   const DeviationField& second, double sign,
                   std::span<const std::uint8_t> body_measured) {
  DeviationField mixed{std::vector<double>(first.deviation_mm.size(), 0.0), second.counted};
  for (std::size_t v = 0; v < mixed.deviation_mm.size(); ++v) {
    if (second.counted[v] == 0) continue;
    mixed.deviation_mm[v] = 0.5 * (first.deviation_mm[v] + sign * second.deviation_mm[v]);
  }
  return {mixed.deviation_mm, deviation_statistics(body, mixed, body_measured)};
}

}  // namespace

Again told_apart(const geometry::ClosedMesh& body_in_file, const Plane& plane_in_file,
                 std::span<const std::uint8_t> body_measured, const geometry::ClosedMesh& second,
                 std::span<const std::uint8_t> second_measured, const AgainOptions& options,
                 const geometry::ParallelFor& loop) {
  // About the body's middle: a plane is refined by turns about the origin.
  const Vec3 middle = geometry::moments(body_in_file).centroid_mm;
  const geometry::ClosedMesh body = body_in_file.moved(geometry::Mat3::Identity(), -middle);
  const Plane plane{plane_in_file.normal, -plane_in_file.height_mm(middle)};
  Again result;
  result.alignment = aligned(body, body_measured, second, second_measured, options.align, loop);
  Motion& motion = result.alignment.motion;
  const geometry::ClosedMesh moved = second.moved(motion.turn, motion.shift_mm, motion.scale);
  const MeasuredSkin skin(moved.mesh(), second_measured, loop);
  const Plane own = options.plane_is_given ? plane : own_plane(moved, skin, plane, loop);
  const DeviationField first = deviation_field(body, plane, body_measured, loop);
  const DeviationField other = at_the_same_places(body, skin, own, first.counted, loop);
  result.body = part(body, first, other, 1, body_measured);
  result.scanner = part(body, first, other, -1, body_measured);
  result.counted = other.counted;
  result.first_noise = scan_noise(body, plane, first, body_measured, loop);
  result.second_noise = scan_noise(moved, own, second_measured, loop);
  result.second_plane = {own.normal, own.offset_mm + own.normal.dot(middle)};
  motion.shift_mm += middle;
  return result;
}

}  // namespace trueblank::symmetry
