// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/restore.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string_view>
#include <utility>

#include "geometry/inside.h"
#include "rig/assembly.h"
#include "tuning/doubt.h"
#include "tuning/judge.h"
#include "tuning/plan_search.h"

namespace trueblank::tuning {
namespace {

// The usual metal, and one without lead.
constexpr std::array<std::string_view, 2> metals = {"lead", "bismuth"};
// Wood around an added weight, the better one first.
constexpr std::array<double, 2> walls_mm = {3, 1};
constexpr double least_wall_mm = 1;
constexpr double wall_in_hand_mm = 0.1;
// What the search may leave; finer than a maker weighs and sees, and than what it is judged by.
constexpr double reserve_searched_g = 0.01;
constexpr double tail_searched_deg = 0.02;
// A pose whose list is further from the master's is another one.
constexpr double list_searched_deg = 20;
constexpr double most_added_times = 3;  // of what the reserve asks for
constexpr double most_added_g = 1;      // and so much more
// Of two ways with the same end, the one with less to do: a gram is as much as so many mm.
constexpr double mm_per_g = 5;
constexpr double ends_left_out = 0.1;  // of the length, where a hole hardly fits
constexpr int hole_stations = 33;
constexpr int hole_halvings = 40;
constexpr double degrees = 180 / std::numbers::pi;

std::optional<double> less(const std::optional<double>& of, const std::optional<double>& from) {
  if (!of || !from) return {};
  return *of - *from;
}

Lies difference(const Lies& of, const Lies& from) {
  Lies by{.reserve_g = of.reserve_g - from.reserve_g,
          .tail_down_deg = less(of.tail_down_deg, from.tail_down_deg),
          .list_deg = less(of.list_deg, from.list_deg),
          .least_stiffness_g_mm_per_deg =
              less(of.least_stiffness_g_mm_per_deg, from.least_stiffness_g_mm_per_deg)};
  if (by.list_deg) by.list_deg = std::remainder(*by.list_deg, 360);
  return by;
}

Lies lies_in(double reserve_g, const water::RestPose* pose) {
  Lies lies{.reserve_g = reserve_g};
  if (pose == nullptr) return lies;
  lies.tail_down_deg = pose->tail_down_deg;
  lies.list_deg = pose->list_deg;
  lies.least_stiffness_g_mm_per_deg = pose->least_stiffness_g_mm_per_deg;
  return lies;
}

double ball_radius_mm(double volume_mm3) {
  return std::cbrt(volume_mm3 * 3 / (4 * std::numbers::pi));
}

// Where in a range a figure vanishes, or comes nearest to it; nothing where it is never told.
template <typename Figure>
std::optional<double> nearest_to_nil(const rig::Range& range, const Figure& figure) {
  std::array<double, hole_stations> at{};
  std::array<std::optional<double>, hole_stations> value;
  std::optional<std::size_t> best;
  for (std::size_t i = 0; i < at.size(); ++i) {
    at[i] = range.low + (range.high - range.low) * static_cast<double>(i) / (hole_stations - 1);
    value[i] = figure(at[i]);
    if (!value[i]) continue;
    if (i > 0 && value[i - 1] && (*value[i] > 0) != (*value[i - 1] > 0)) {
      double low = at[i - 1];
      double high = at[i];
      for (int k = 0; k < hole_halvings; ++k) {
        const double middle = (low + high) / 2;
        const std::optional<double> there = figure(middle);
        if (!there) break;
        ((*there > 0) == (*value[i] > 0) ? high : low) = middle;
      }
      return (low + high) / 2;
    }
    if (!best || std::abs(*value[i]) < std::abs(*value[*best])) best = i;
  }
  if (!best) return {};
  return at[*best];
}

class Restorer {
 public:
  Restorer(const Workpiece& copy, const std::optional<water::RestPose>& copy_pose,
           const AsMaster& master, const geometry::ParallelFor& loop,
           const RestoreTolerances& tolerances)
      : copy_(copy),
        loop_(loop),
        tolerances_(tolerances),
        up_(master.pose.up),
        assembly_(rig::assemble(copy.bare, copy.whole, copy.rig, copy.coated)),
        wood_g_cm3_(copy.rig.wood_density_g_cm3) {
    const water::Floater lure = water::floater(copy.cut, rig::add_up(assembly_));
    restored_.master = lies_in(master.reserve_g, &master.pose);
    restored_.copy =
        lies_in(lure.displacement_full_g() - lure.mass_g, copy_pose ? &*copy_pose : nullptr);
    restored_.needed = !alike(difference(restored_.copy, restored_.master), restored_.copy);
    const Eigen::Matrix3Xd& points = copy.bare.positions_mm();
    x_mm_ = {std::max(0.0, points.row(0).minCoeff()),
             std::min(copy.length_mm, points.row(0).maxCoeff())};
  }

  Restored restore() {
    if (!restored_.needed) return std::move(restored_);
    const double too_much_g = restored_.copy.reserve_g - restored_.master.reserve_g;
    if (too_much_g > tolerances_.reserve_g) {
      for (const std::string_view metal : metals) add(metal, too_much_g);
    }
    if (some_met()) {
      if (const std::optional<std::size_t> near = nearest_ballast()) change(*near, too_much_g);
    } else {
      for (std::size_t i = 0; i < copy_.rig.ballasts.size(); ++i) change(i, too_much_g);
    }
    if (!some_met() && too_much_g < -tolerances_.reserve_g) drill(-too_much_g);
    std::ranges::stable_sort(restored_.ways, {}, [&](const Restoring& way) {
      return std::pair(!way.met, way.met ? to_do(way) : off(way));
    });
    return std::move(restored_);
  }

 private:
  [[nodiscard]] bool some_met() const {
    return std::ranges::any_of(restored_.ways, &Restoring::met);
  }

  // Whether what is left is within the tolerances.
  [[nodiscard]] bool alike(const Lies& left, const Lies& then) const {
    if (!then.tail_down_deg || !left.tail_down_deg) return false;
    return std::abs(left.reserve_g) <= tolerances_.reserve_g &&
           std::abs(*left.tail_down_deg) <= tolerances_.tail_down_deg &&
           std::abs(left.list_deg.value_or(0)) <= tolerances_.list_deg;
  }

  // Lead before the lead-free metal, which is added all the same way.
  static double to_do(const Restoring& way) {
    if (way.kind == Restoring::Kind::added) return way.metal == metals.front() ? 0 : 1e-3;
    return mm_per_g * std::abs(way.grams) + std::abs(way.moved_mm);
  }

  // In tolerances.
  [[nodiscard]] double off(const Restoring& way) const {
    const double tail = way.left.tail_down_deg ? *way.left.tail_down_deg / tolerances_.tail_down_deg
                                               : lost_misfit / tolerances_.tail_down_deg;
    return std::hypot(way.left.reserve_g / tolerances_.reserve_g, tail,
                      way.left.list_deg.value_or(0) / tolerances_.list_deg);
  }

  [[nodiscard]] rig::Wishes wishes(rig::WeightPlace place, double wall_mm) const {
    const bool floats = restored_.master.reserve_g > 0;
    return {.target = {.state = floats ? rig::WantedState::floats : rig::WantedState::sinks,
                       .reserve_g = std::abs(restored_.master.reserve_g),
                       .reserve_tolerance_g = reserve_searched_g,
                       .tail_down_deg = restored_.master.tail_down_deg,
                       .tail_down_tolerance_deg = tail_searched_deg,
                       .list_tolerance_deg = list_searched_deg,
                       .wall_min_mm = wall_mm,
                       .prefer = rig::Prefer::firm},
            .places = {std::move(place)}};
  }

  [[nodiscard]] Angles masters_angles() const {
    return {.tail_down_deg = *restored_.master.tail_down_deg,
            .list_deg = std::atan2(-up_.y(), up_.z()) * degrees};
  }

  // The master's own angles, its list let be what it comes to. Where wires leave too little wood
  // they are not minded; where nothing holds, what comes nearest.
  [[nodiscard]] Plan plan_for(const Workpiece& lure, const rig::Wishes& wishes, double mass_g,
                              bool compromise, bool& holds) const {
    const Ground ground(lure, wishes);
    Demand demand = demand_of(ground);
    const Angles angles = masters_angles();
    // A round master may hardly resist a turn itself.
    demand.least_stiffness_g_mm_per_deg = std::min(
        demand.least_stiffness_g_mm_per_deg, *restored_.master.least_stiffness_g_mm_per_deg / 2);
    demand.tail_down_deg = {angles.tail_down_deg, angles.tail_down_deg};
    demand.list_deg = {angles.list_deg - list_searched_deg, angles.list_deg + list_searched_deg};
    const std::vector<Choice> choices = choices_of(ground);
    const rig::WeightPlace& place = wishes.places.front();
    Design guess{.angles = angles,
                 .at_mm = {{place.x_mm.clamped(lure.whole.centroid_mm.x()), place.y_mm.low,
                            lure.whole.centroid_mm.z()}},
                 .mass_g = {mass_g}};
    for (const bool mind_wires : {true, false}) {
      if (!mind_wires) demand.wire_min_mm.reset();
      const std::vector<Solved> ends =
          solve(ground, demand, choices, {guess}, Effort::quick, loop_);
      holds = ends.front().holds();
      if (holds) return judged(ground, made(ground, ends.front(), loop_), loop_);
      guess = ends.front().design;
    }
    if (!compromise) return {};
    demand.slack = {.tail = true, .reserve = true, .wall = true};
    demand.best = Best::least_slack;
    const std::vector<Solved> ends = solve(ground, demand, choices, {guess}, Effort::quick, loop_);
    return judged(ground, made(ground, ends.front(), loop_), loop_);
  }

  // The pose that is the master's: the nearest, or, of a round lure, the one that lies on any side.
  [[nodiscard]] const water::RestPose* masters_pose(const water::Balance& balance) const {
    const water::RestPose* nearest = nullptr;
    double best = std::cos(list_searched_deg / degrees);
    for (const water::RestPose& pose : balance.poses) {
      const double tail_off = pose.tail_down_deg - *restored_.master.tail_down_deg;
      const double cosine = pose.indifferent ? std::cos(tail_off / degrees) : pose.up.dot(up_);
      if (cosine < best) continue;
      best = cosine;
      nearest = &pose;
    }
    return nearest;
  }

  void note(Restoring way, const Plan& plan) {
    const water::RestPose* pose = plan.pose < 0
                                      ? masters_pose(plan.balance)
                                      : &plan.balance.poses[static_cast<std::size_t>(plan.pose)];
    note(std::move(way), lies_in(plan.balance.reserve_g, pose));
  }

  void note(Restoring way, const Lies& then) {
    way.then = then;
    way.left = difference(then, restored_.master);
    way.met = alike(way.left, then) && way.wall_mm.value_or(least_wall_mm) > 0;
    restored_.ways.push_back(std::move(way));
  }

  // What a gram of a metal takes off the reserve, net of the wood whose place it takes.
  [[nodiscard]] double net(double density_g_cm3) const { return 1 - wood_g_cm3_ / density_g_cm3; }

  void add(std::string_view metal, double too_much_g) {
    const double density_g_cm3 = density_of(metal);
    if (!(net(density_g_cm3) > 0)) return;
    const double mass_g = too_much_g / net(density_g_cm3);
    const rig::WeightPlace place{.name = std::string(metal),
                                 .x_mm = x_mm_,
                                 .mass_g = {0, most_added_times * mass_g + most_added_g},
                                 .density_g_cm3 = density_g_cm3};
    Plan plan;
    bool holds = false;
    for (const double wall_mm : walls_mm) {
      const bool last = wall_mm == walls_mm.back();
      plan = plan_for(copy_, wishes(place, wall_mm), mass_g, last, holds);
      if (holds) break;
    }
    if (plan.weights.empty()) return;
    const PlannedWeight& weight = plan.weights.front();
    note({.kind = Restoring::Kind::added,
          .metal = std::string(metal),
          .grams = weight.ballast.mass_g,
          .mass_g = weight.ballast.mass_g,
          .density_g_cm3 = density_g_cm3,
          .at_mm = weight.ballast.at_mm,
          .wall_mm = weight.wall_mm},
         plan);
  }

  [[nodiscard]] double wall_to_skin_mm(const Slug& slug) const {
    const std::vector<Wall> walls = walls_to_skin(slug, copy_.skin);
    return std::ranges::min_element(walls, {}, &Wall::mm)->mm;
  }

  // The one that would have to move the least to take the added weight's grams on: to first order
  // it goes by that weight's lever over its own mass.
  [[nodiscard]] std::optional<std::size_t> nearest_ballast() const {
    const std::vector<rig::Ballast>& ballasts = copy_.rig.ballasts;
    if (ballasts.empty()) return {};
    const Vec3& added_mm = restored_.ways.front().at_mm;
    const auto nearest = std::ranges::min_element(ballasts, {}, [&](const rig::Ballast& one) {
      return std::abs(one.at_mm.x() - added_mm.x()) / one.mass_g;
    });
    return static_cast<std::size_t>(nearest - ballasts.begin());
  }

  // One ballast anew, at its height and side.
  void change(std::size_t which, double too_much_g) {
    const rig::Ballast& ballast = copy_.rig.ballasts[which];
    rig::Rig rig = copy_.rig;
    rig.ballasts.erase(rig.ballasts.begin() + static_cast<std::ptrdiff_t>(which));
    const Workpiece without{.bare = copy_.bare,
                            .whole = copy_.whole,
                            .coated = copy_.coated,
                            .skin = copy_.skin,
                            .wet = copy_.wet,
                            .cut = copy_.cut,
                            .rig = rig,
                            .length_mm = copy_.length_mm};
    const double mass_g = std::max(0.0, ballast.mass_g + too_much_g / net(ballast.density_g_cm3));
    rig::WeightPlace place{.name = ballast.name,
                           .x_mm = x_mm_,
                           .y_mm = {ballast.at_mm.y(), ballast.at_mm.y()},
                           .height_mm = rig::Range{ballast.at_mm.z(), ballast.at_mm.z()},
                           .mass_g = {0, std::max(mass_g, ballast.mass_g) + most_added_g},
                           .density_g_cm3 = ballast.density_g_cm3};
    if (ballast.diameter_mm && ballast.axis) {
      place.diameters_mm = {*ballast.diameter_mm};
      place.axis = *ballast.axis;
    }
    const double has_mm = wall_to_skin_mm(slug_of(ballast));
    bool holds = false;
    const Plan plan =
        plan_for(without, wishes(place, std::min(least_wall_mm, has_mm - wall_in_hand_mm)), mass_g,
                 true, holds);
    Restoring way{.kind = Restoring::Kind::changed,
                  .ballast = ballast.name,
                  .grams = -ballast.mass_g,
                  .density_g_cm3 = ballast.density_g_cm3,
                  .at_mm = ballast.at_mm};
    if (!plan.weights.empty()) {  // else all of it comes off
      const PlannedWeight& weight = plan.weights.front();
      way.mass_g = weight.ballast.mass_g;
      way.grams += way.mass_g;
      way.at_mm = weight.ballast.at_mm;
      way.moved_mm = way.at_mm.x() - ballast.at_mm.x();
      if (has_mm > 0 || ballast.diameter_mm) way.wall_mm = weight.wall_mm;
    }
    note(std::move(way), plan);
  }

  [[nodiscard]] Vec3 half_way_up(double x_mm) const {
    const auto heights = geometry::skin_heights_mm(copy_.bare, x_mm, 0);
    return {x_mm, 0, heights ? (heights->first + heights->second) / 2 : 0};
  }

  [[nodiscard]] rig::Assembly with_hole(const Vec3& at, double wood_g) const {
    rig::Assembly drilled = assembly_;
    drilled.parts.push_back({.name = "hole",
                             .kind = rig::PartKind::pocket,
                             .centre_mm = at,
                             .wood_g = wood_g,
                             .wood_centre_mm = at});
    return drilled;
  }

  // Wood taken out where it brings the tail back, or as near to that as a hole can.
  void drill(double wood_g) {
    const double length_mm = x_mm_.high - x_mm_.low;
    const rig::Range range{x_mm_.low + ends_left_out * length_mm,
                           x_mm_.high - ends_left_out * length_mm};
    const auto tail_left = [&](double x) {
      return less(lies(copy_.cut, with_hole(half_way_up(x), wood_g), 1, up_).tail_down_deg,
                  restored_.master.tail_down_deg);
    };
    const std::optional<double> best_x = nearest_to_nil(range, tail_left);
    if (!best_x) return;
    const Vec3 at = half_way_up(std::round(*best_x * 100) / 100);
    const water::Balance then =
        water::balance(water::floater(copy_.cut, rig::add_up(with_hole(at, wood_g))), loop_);
    const double radius_mm = ball_radius_mm(wood_g / wood_g_cm3_ * 1000);
    note({.kind = Restoring::Kind::drilled,
          .grams = -wood_g,
          .density_g_cm3 = wood_g_cm3_,
          .at_mm = at,
          .wall_mm = geometry::nearest_on_skin(copy_.bare, at).distance_mm - radius_mm},
         lies_in(then.reserve_g, masters_pose(then)));
  }

  const Workpiece& copy_;
  const geometry::ParallelFor& loop_;
  RestoreTolerances tolerances_;
  Vec3 up_;  // the master's
  rig::Assembly assembly_;
  double wood_g_cm3_ = 0;
  rig::Range x_mm_;
  Restored restored_;
};

}  // namespace

Restored restored(const Workpiece& copy, const std::optional<water::RestPose>& copy_pose,
                  const AsMaster& master, const geometry::ParallelFor& loop,
                  const RestoreTolerances& tolerances) {
  return Restorer(copy, copy_pose, master, loop, tolerances).restore();
}

}  // namespace trueblank::tuning
