// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/rest_poses.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <tuple>
#include <utility>

#include "water/barriers.h"
#include "water/energy_field.h"
#include "water/pose_figures.h"
#include "water/rest_places.h"
#include "water/shares.h"

namespace trueblank::water {
namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr int grid_levels = 5;
constexpr double suspends_within = 0.01;  // of the mass

std::vector<Ending> endings_of(const std::vector<RestPlace>& places) {
  std::vector<Ending> endings;
  endings.reserve(places.size());
  for (const RestPlace& place : places) {
    endings.push_back({place.ring ? place.ring->points : std::vector<Vec3>{place.at.up}});
  }
  return endings;
}

// Where a descent on the table stands still far from any known place, the energy itself is asked;
// its answer serves all descents that end there.
class Stalls {
 public:
  Stalls(const Floater& lure, RestPlaces& places) : lure_(&lure), places_(&places) {}

  int ending_from(const Vec3& up) {
    for (const auto& [where, ending] : known_) {
      if (where.dot(up) > std::cos(0.25 * degree)) return ending;
    }
    const Vec3 end = descend_truly(*lure_, up, degree);
    const int ending = places_->offer(end).value_or(-1);
    known_.emplace_back(up, ending);
    return ending;
  }

 private:
  const Floater* lure_;
  RestPlaces* places_;
  std::vector<std::pair<Vec3, int>> known_;
};

std::vector<double> count_shares(const Floater& lure, const EnergyField& field, RestPlaces& places,
                                 const geometry::ParallelFor& loop) {
  // A descent may end at a place that the search missed, and then the count begins anew with it.
  // That is rare, and twice is enough; what is found later still goes without a share.
  for (int round = 0;; ++round) {
    const int revision = places.revision();
    Stalls stalls(lure, places);
    const ShareCount count(field, endings_of(places.places()));
    const ShareCount::Result result = count.count(loop, [&](const Vec3& up) {
      const int ending = round < 2 ? stalls.ending_from(up) : -1;
      return places.revision() == revision ? ending : -1;
    });
    if (places.revision() == revision) return result.shares;
  }
}

// Shares are told to 0.01; a hair is added so that equal shares on either side of a half, by
// rounding, stay equal.
int share_class(double share) { return static_cast<int>(std::floor(share * 100 + 0.5 + 1e-6)); }

void sort_poses(std::vector<RestPose>& poses) {
  const auto key = [](const RestPose& pose) {
    return std::tuple(-share_class(pose.share), pose.list_deg ? std::abs(*pose.list_deg) : HUGE_VAL,
                      -pose.tail_down_deg, pose.list_deg.value_or(0));
  };
  std::stable_sort(poses.begin(), poses.end(),
                   [&](const RestPose& a, const RestPose& b) { return key(a) < key(b); });
  // Lists that differ in size by rounding only count as equal: the positive one first, and of two
  // of one sign the one with its tail lower.
  constexpr double list_rounding_deg = 1e-4;
  for (std::size_t round = 0; round < poses.size(); ++round) {
    for (std::size_t i = 0; i + 1 < poses.size(); ++i) {
      RestPose& a = poses[i];
      RestPose& b = poses[i + 1];
      if (share_class(a.share) != share_class(b.share) || !a.list_deg || !b.list_deg) continue;
      if (std::abs(std::abs(*a.list_deg) - std::abs(*b.list_deg)) > list_rounding_deg) continue;
      const bool a_positive = *a.list_deg > -list_rounding_deg;
      const bool b_positive = *b.list_deg > -list_rounding_deg;
      const bool turn_round =
          a_positive == b_positive ? b.tail_down_deg > a.tail_down_deg + 1e-4 : b_positive;
      if (turn_round) std::swap(a, b);
    }
  }
}

// Its place in the sorted poses, for each place: their directions are the same to the last bit.
std::vector<int> poses_of(const std::vector<RestPlace>& places,
                          const std::vector<RestPose>& poses) {
  std::vector<int> found;
  for (const RestPlace& place : places) {
    const auto pose = std::find_if(poses.begin(), poses.end(),
                                   [&](const RestPose& each) { return each.up == place.at.up; });
    found.push_back(static_cast<int>(pose - poses.begin()));
  }
  return found;
}

void set_barriers(const Floater& lure, const std::vector<LinkedPass>& links,
                  const std::vector<RestPlace>& places, std::vector<RestPose>& poses) {
  const std::vector<std::optional<Barrier>> found =
      barriers(lure, links, places, poses_of(places, poses));
  for (std::size_t i = 0; i < poses.size(); ++i) {
    RestPose& pose = poses[i];
    pose.barrier = found[i];
    if (poses.size() > 1 || pose.indifferent || pose.barrier) continue;
    pose.overturn_g_mm = waterline_at(lure, -pose.up).energy_g_mm - pose.energy_g_mm;
  }
}

std::vector<RestPose> floating_poses(const Floater& lure, const geometry::ParallelFor& loop) {
  const SphereGrid grid(grid_levels);
  const EnergyField field(lure, grid, loop);
  if (field.range_g_mm() < indifferent_within_g_mm) return {indifferent_all_round(lure)};
  RestPlaces places = search_rest_places(lure, field);
  PassLinks passes(lure, field, places);
  std::vector<double> shares;
  std::vector<LinkedPass> links;
  // Ways down from passes find what the search missed, as descents from all over do. Then all that
  // was said of places begins anew; three times is more than was ever needed.
  for (int round = 0; round < 3; ++round) {
    links = passes.link(places);
    const int revision = places.revision();
    shares = count_shares(lure, field, places, loop);
    if (places.revision() == revision) break;
    links.clear();
  }
  std::vector<RestPose> poses;
  for (std::size_t i = 0; i < places.places().size(); ++i) {
    const RestPlace& place = places.places()[i];
    RestPose pose = floating_pose(lure, place.at, place.ring.has_value());
    if (place.ring && place.ring->about_long_axis) drop_list(pose);
    pose.share = shares[i];
    poses.push_back(pose);
  }
  sort_poses(poses);
  set_barriers(lure, links, places.places(), poses);
  return poses;
}

}  // namespace

State state_of(double mass_g, double reserve_g) {
  if (std::abs(reserve_g) <= suspends_within * mass_g) return State::suspends;
  return reserve_g > 0 ? State::floats : State::sinks;
}

Balance balance(const Floater& lure, const geometry::ParallelFor& loop) {
  Balance result;
  result.mass_g = lure.mass_g;
  result.displacement_full_g = lure.displacement_full_g();
  result.reserve_g = result.displacement_full_g - lure.mass_g;
  result.state = state_of(result.mass_g, result.reserve_g);
  if (result.reserve_g > 0) {
    result.poses = floating_poses(lure, loop);
  } else {
    result.poses = {hanging_pose(lure)};
  }
  return result;
}

std::optional<double> list_for_sideways_move_deg(const RestPose& pose, double mass_g,
                                                 double move_mm) {
  if (!pose.list_deg || pose.indifferent) return {};
  const Curvatures k = curvatures(pose.up, pose.hessian_g_mm);
  if (k.soft_g_mm <= 0) return {};
  // The centre of mass moves along y, so the slope of the energy changes by mass·move·y.
  const Vec3 push = mass_g * move_mm * Vec3::UnitY();
  const Vec3 turn = -push.dot(k.soft_towards) / k.soft_g_mm * k.soft_towards -
                    push.dot(k.stiff_towards) / k.stiff_g_mm * k.stiff_towards;
  const double across = pose.up.y() * pose.up.y() + pose.up.z() * pose.up.z();
  return (pose.up.y() * turn.z() - pose.up.z() * turn.y()) / across / degree;
}

}  // namespace trueblank::water
