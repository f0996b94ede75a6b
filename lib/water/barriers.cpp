// SPDX-License-Identifier: GPL-3.0-or-later
// The lowest way out of a basin leads over a pass from which steepest descent ends in it on one
// side (M. Morse, Trans. Amer. Math. Soc. 27, 345, 1925: how the parts below a level join as it
// rises past stationary values), so that passes and where their two sides end say everything.
#include "water/barriers.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <tuple>
#include <utility>

#include "water/steepest_way.h"

namespace trueblank::water {
namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double follow_step_rad = 1 * degree;
constexpr double push_step_rad = 0.5 * degree;
constexpr double alike = 1e-6;  // of a barrier

double place_energy_g_mm(const RestPlace& place) {
  return place.ring ? place.ring->least_g_mm : place.at.line.energy_g_mm;
}

double pass_energy_g_mm(const LinkedPass& link) { return link.pass.at.line.energy_g_mm; }

// The lowest way out of each place; HUGE_VAL where there is none.
std::vector<double> lowest_ways(const std::vector<LinkedPass>& links, std::size_t places) {
  std::vector<double> lowest(places, HUGE_VAL);
  for (const LinkedPass& link : links) {
    if (places > 1 && link.ends[0] == link.ends[1]) continue;
    for (const int end : link.ends) {
      double& way = lowest[static_cast<std::size_t>(end)];
      way = std::min(way, pass_energy_g_mm(link));
    }
  }
  return lowest;
}

// How much higher than the lowest way out of a place another is that counts as its like.
double alike_g_mm(double lowest_g_mm, const RestPlace& place) {
  return alike * (lowest_g_mm - place_energy_g_mm(place)) + 1e-9;
}

// Passes above this are of no use once all places have a way out; HUGE_VAL until then.
double needed_g_mm(const std::vector<LinkedPass>& links, const std::vector<RestPlace>& places) {
  const std::vector<double> lowest = lowest_ways(links, places.size());
  double needed = -HUGE_VAL;
  for (std::size_t i = 0; i < places.size(); ++i) {
    needed = std::max(needed, lowest[i] + alike_g_mm(lowest[i], places[i]));
  }
  return needed;
}

Vec3 towards(const Pass& pass, std::size_t side) { return (side == 0 ? 1.0 : -1.0) * pass.over; }

}  // namespace

PassLinks::PassLinks(const Floater& lure, const EnergyField& field, const RestPlaces& places)
    : lure_(&lure), field_(&field) {
  for (const Pass& pass : search_passes(lure, field, places)) traced_.push_back({pass, false, {}});
}

void PassLinks::follow(Traced& traced, const RestPlaces& places) const {
  traced.followed = true;
  const auto on_a_ring = [&](const Vec3& up, double energy_g_mm) {
    return places.ring_with(up, energy_g_mm).has_value();
  };
  for (std::size_t side = 0; side < 2; ++side) {
    const std::optional<Way> way = way_from(*lure_, traced.pass, towards(traced.pass, side),
                                            Steepest::descent, follow_step_rad, on_a_ring);
    if (!way) return;
    traced.ends[side] = way->end;
  }
}

bool PassLinks::leads_all_round(const Pass& pass) const {
  for (const double side : {1.0, -1.0}) {
    const Vec3 rising = side * pass.at.curvature.stiff_towards;
    const std::optional<Way> way =
        way_from(*lure_, pass, rising, Steepest::ascent, follow_step_rad);
    if (!way) return false;
    if (way->energy_g_mm < pass.at.line.energy_g_mm + indifferent_within_g_mm) {
      return false;
    }
  }
  return true;
}

std::vector<LinkedPass> PassLinks::link_known(RestPlaces& places) {
  // Of ways of one height so many are looked at; a ridge that is a ring has hundreds.
  constexpr int most_alike = 48;
  std::vector<LinkedPass> links;
  const int revision = places.revision();
  int above_need = 0;
  for (Traced& traced : traced_) {
    const Stationary& at = traced.pass.at;
    const double needed = needed_g_mm(links, places.places());
    if (needed < HUGE_VAL && ++above_need > most_alike) break;
    if (at.line.energy_g_mm > needed) break;
    if (places.ring_with(at.up, at.line.energy_g_mm)) continue;
    if (!traced.followed) follow(traced, places);
    std::array<std::optional<int>, 2> ends;
    for (std::size_t side = 0; side < 2; ++side) {
      if (traced.ends[side]) ends[side] = places.offer(*traced.ends[side]);
    }
    if (places.revision() != revision) return {};
    if (std::find(ends.begin(), ends.end(), std::nullopt) != ends.end()) continue;
    if (places.places().size() == 1 && !leads_all_round(traced.pass)) continue;
    links.push_back({traced.pass, {*ends[0], *ends[1]}});
  }
  return links;
}

bool PassLinks::seek_lower(const std::vector<LinkedPass>& links, const RestPlaces& places) {
  const std::vector<std::optional<TablePass>> shown = table_passes(*field_, places.places());
  const std::vector<double> lowest = lowest_ways(links, places.places().size());
  const double spacing = field_->grid().spacing_rad();
  std::vector<Pass> passes;
  for (const Traced& traced : traced_) passes.push_back(traced.pass);
  const std::size_t before = passes.size();
  for (std::size_t i = 0; i < shown.size(); ++i) {
    if (!shown[i]) continue;
    const EnergyField::Node& node = field_->node(shown[i]->node);
    // A way along the table's nodes may miss what lies between two of them.
    const double between = node.hessian_g_mm.norm() * spacing * spacing / 4;
    if (lowest[i] <= shown[i]->energy_g_mm + between) continue;
    const Vec3& up = field_->grid().node(shown[i]->node);
    std::optional<Pass> pass = pass_near(*lure_, up, 10 * spacing, node.offset_mm);
    if (!pass) pass = bracketed_pass(*lure_, up, 2 * spacing);
    if (pass) add_pass(passes, *pass);
  }
  if (passes.size() == before) return false;
  std::vector<Traced> all;
  for (const Pass& pass : passes) {
    const auto known = std::find_if(traced_.begin(), traced_.end(), [&](const Traced& traced) {
      return traced.pass.at.up == pass.at.up;
    });
    all.push_back(known != traced_.end() ? *known : Traced{pass, false, {}});
  }
  traced_ = std::move(all);
  return true;
}

std::vector<LinkedPass> PassLinks::link(RestPlaces& places) {
  constexpr int most_rounds = 50;
  for (int round = 0; round < most_rounds; ++round) {
    const int revision = places.revision();
    std::vector<LinkedPass> links = link_known(places);
    if (places.revision() != revision) continue;
    if (sought_lower_ || !seek_lower(links, places)) return links;
    sought_lower_ = true;
  }
  return {};
}

namespace {

// Which of two passes of one height is told: whose far pose comes first, then the one over the
// right flank, then the one with the tail lower.
auto told_first(const LinkedPass& link, int far_pose) {
  constexpr double rounding = 1e-7;
  const Vec3& up = link.pass.at.up;
  return std::tuple(far_pose, std::round(up.y() / rounding), std::round(up.x() / rounding),
                    -up.z());
}

}  // namespace

std::vector<std::optional<Barrier>> barriers(const Floater& lure,
                                             const std::vector<LinkedPass>& links,
                                             const std::vector<RestPlace>& places,
                                             const std::vector<int>& pose_of_place) {
  const auto pose_of = [&](int place) { return pose_of_place[static_cast<std::size_t>(place)]; };
  const std::vector<double> lowest = lowest_ways(links, places.size());
  std::vector<std::optional<Barrier>> found(places.size());
  for (std::size_t i = 0; i < places.size(); ++i) {
    const double from_g_mm = place_energy_g_mm(places[i]);
    const double within = alike_g_mm(lowest[i], places[i]);
    const LinkedPass* best = nullptr;
    std::size_t best_side = 0;
    for (const LinkedPass& link : links) {
      if (places.size() > 1 && link.ends[0] == link.ends[1]) continue;
      if (pass_energy_g_mm(link) > lowest[i] + within) continue;
      for (std::size_t side = 0; side < 2; ++side) {
        if (link.ends[side] != static_cast<int>(i)) continue;
        const auto rank = told_first(link, pose_of(link.ends[1 - side]));
        if (best && told_first(*best, pose_of(best->ends[1 - best_side])) <= rank) continue;
        best = &link;
        best_side = side;
      }
    }
    if (!best) continue;
    Barrier barrier;
    barrier.barrier_g_mm = pass_energy_g_mm(*best) - from_g_mm;
    barrier.to = pose_of(best->ends[1 - best_side]);
    barrier.up = best->pass.at.up;
    barrier.tolerance_g_mm = best->pass.tolerance_g_mm;
    const std::optional<Way> way = way_from(lure, best->pass, towards(best->pass, best_side),
                                            Steepest::descent, push_step_rad);
    if (!way) continue;
    barrier.hardest_push_g_mm = way->hardest_push_g_mm;
    found[static_cast<std::size_t>(pose_of(static_cast<int>(i)))] = barrier;
  }
  return found;
}

}  // namespace trueblank::water
