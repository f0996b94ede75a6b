// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/rest_places.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace trueblank::water {
namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double on_ring_rad = 1.0 * degree;
constexpr double on_walk_rad = 0.5 * degree;

bool near_any(const std::vector<Vec3>& points, const Vec3& up, double within_rad) {
  const double chord = 2 * std::sin(within_rad / 2);
  return std::any_of(points.begin(), points.end(), [&](const Vec3& point) {
    return (point - up).squaredNorm() <= chord * chord;
  });
}

}  // namespace

std::optional<int> RestPlaces::ring_with(const Vec3& up, double energy_g_mm) const {
  for (std::size_t i = 0; i < places_.size(); ++i) {
    const std::optional<Ring>& ring = places_[i].ring;
    if (!ring) continue;
    if (energy_g_mm < ring->least_g_mm - indifferent_within_g_mm) continue;
    if (energy_g_mm > ring->greatest_g_mm + indifferent_within_g_mm) continue;
    if (near_any(ring->points, up, on_ring_rad)) return static_cast<int>(i);
  }
  return {};
}

bool RestPlaces::walked(const Vec3& up) const { return near_any(walked_, up, on_walk_rad); }

std::optional<int> RestPlaces::add_ring(const Stationary& from) {
  ValleyWalk walk = walk_valley(*lure_, from, indifferent_within_g_mm);
  if (!walk.ring) {
    walked_.insert(walked_.end(), walk.passed.begin(), walk.passed.end());
    return {};
  }
  const Ring& ring = *walk.ring;
  places_.erase(std::remove_if(places_.begin(), places_.end(),
                               [&](const RestPlace& place) {
                                 return !place.ring &&
                                        near_any(ring.points, place.at.up, on_ring_rad);
                               }),
                places_.end());
  ++revision_;
  places_.push_back({ring.representative, ring});
  return static_cast<int>(places_.size()) - 1;
}

int RestPlaces::add_point(const Stationary& found) {
  for (std::size_t i = 0; i < places_.size(); ++i) {
    RestPlace& place = places_[i];
    if (place.ring || angle_between_rad(place.at.up, found.up) > same_pose_deg * degree) continue;
    if (found.line.energy_g_mm < place.at.line.energy_g_mm) place.at = found;
    return static_cast<int>(i);
  }
  ++revision_;
  places_.push_back({found, {}});
  return static_cast<int>(places_.size()) - 1;
}

std::optional<int> RestPlaces::add(const Stationary& found) {
  if (!found.converged) return {};
  if (const std::optional<int> known = ring_with(found.up, found.line.energy_g_mm)) return known;
  // A ring's floor rises by less than the limit, so over a degree or two it hardly rises at all.
  const double soft = found.curvature.soft_g_mm;
  const bool may_be_ring = soft * degree * degree / 2 < indifferent_within_g_mm;
  if (may_be_ring && !walked(found.up)) {
    if (const std::optional<int> ring = add_ring(found)) return ring;
  }
  if (soft <= curvature_rounding_g_mm(*lure_)) return {};
  return add_point(found);
}

namespace {

constexpr int even_start_level = 1;  // 42 nodes

// The direction at which a node's own quadratic model is least; nothing where it has no least or
// that is further off than two nodes are apart.
std::optional<Vec3> model_minimum(const EnergyField& field, int i) {
  const Vec3& up = field.grid().node(i);
  const EnergyField::Node& node = field.node(i);
  const Curvatures k = curvatures(up, node.hessian_g_mm);
  if (k.soft_g_mm <= 0) return {};
  const Vec3 step = newton_step(k, node.gradient_g_mm);
  if (step.norm() > 1.5 * field.grid().spacing_rad()) return {};
  return turned(up, step);
}

struct Start {
  double energy_g_mm = 0;
  int node = 0;
  bool lowest = false;  // of the nodes around it
  Vec3 up;
};

std::vector<Start> starts_in(const EnergyField& field) {
  std::vector<Start> starts;
  const SphereGrid& grid = field.grid();
  for (int i = 0; i < grid.node_count(); ++i) {
    const double here = field.node(i).energy_g_mm;
    const std::vector<int>& around = grid.around(i);
    const bool lowest = std::all_of(around.begin(), around.end(),
                                    [&](int j) { return field.node(j).energy_g_mm >= here; });
    const std::optional<Vec3> minimum = model_minimum(field, i);
    if (lowest || minimum || i < SphereGrid::node_count_at(even_start_level)) {
      starts.push_back({here, i, lowest, minimum.value_or(grid.node(i))});
    }
  }
  std::stable_sort(starts.begin(), starts.end(),
                   [](const Start& a, const Start& b) { return a.energy_g_mm < b.energy_g_mm; });
  return starts;
}

}  // namespace

RestPlaces search_rest_places(const Floater& lure, const EnergyField& field) {
  RestPlaces found(lure);
  std::vector<Vec3> tried;
  for (const Start& start : starts_in(field)) {
    if (near_any(tried, start.up, 0.02 * degree)) continue;
    tried.push_back(start.up);
    const double offset_mm = field.foreseen_offset_mm(start.node, start.up);
    static_cast<void>(start.lowest ? found.offer(start.up, offset_mm)
                                   : found.offer_from_afar(start.up, offset_mm));
  }
  return found;
}

}  // namespace trueblank::water
