// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/judge.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "rig/assembly.h"
#include "water/sinking.h"

namespace trueblank::tuning {
namespace {

// A pose further than this from the one that was solved for is another one.
constexpr double same_pose_deg = 3;
// What can't be told from a limit met: rounding, and no more.
constexpr double angle_slack_deg = 1e-9;
constexpr double length_slack_mm = 1e-3;
constexpr double mass_slack_g = 1e-9;
// Of the share of all directions, as far as shares are told.
constexpr double share_slack = 0.005;

rig::Rig made_rig(const Ground& ground, const Solved& solved, Plan& plan) {
  rig::Rig rig = ground.lure.rig;
  for (std::size_t i = 0; i < ground.wishes.hooks.size(); ++i) {
    const rig::HookChoice& choice = ground.wishes.hooks[i];
    rig::Hook& hook = rig.hooks[choice.hook];
    const double mass_g = solved.choice.hook_masses_g[i];
    const Vec3 eye_mm = ground.eye_mm(i, solved.design.eye_x_mm[i]);
    if (mass_g == hook.mass_g && eye_mm == hook.eye_mm) continue;
    hook.mass_g = mass_g;
    hook.eye_mm = eye_mm;
    plan.hooks.push_back({.hook = choice.hook, .mass_g = mass_g, .eye_mm = eye_mm});
  }
  for (std::size_t i = 0; i < ground.wishes.places.size(); ++i) {
    if (!solved.choice.places[i].used || !(solved.design.mass_g[i] > 0)) continue;
    const rig::WeightPlace& place = ground.wishes.places[i];
    const double diameter_mm = solved.choice.places[i].diameter_mm;
    rig::Ballast ballast{.name = place.name,
                         .at_mm = solved.design.at_mm[i],
                         .mass_g = solved.design.mass_g[i],
                         .density_g_cm3 = place.density_g_cm3};
    if (diameter_mm > 0) {
      ballast.diameter_mm = diameter_mm;
      ballast.axis = place.axis;
    }
    plan.added_g += ballast.mass_g;
    rig.ballasts.push_back(ballast);
    plan.weights.push_back({.place = i, .ballast = std::move(ballast)});
  }
  return rig;
}

void find_walls(const Ground& ground, Plan& plan) {
  for (std::size_t i = 0; i < plan.weights.size(); ++i) {
    PlannedWeight& weight = plan.weights[i];
    const Slug slug = slug_of(weight.ballast);
    double least_mm = HUGE_VAL;
    for (const Wall& wall : walls_to_skin(slug, ground.lure.skin)) {
      least_mm = std::min(least_mm, wall.mm);
    }
    for (const Slug& fixed : ground.fixed_slugs) {
      least_mm = std::min(least_mm, wall_between(slug, fixed).one.mm);
    }
    for (std::size_t j = 0; j < plan.weights.size(); ++j) {
      if (j == i) continue;
      least_mm = std::min(least_mm, wall_between(slug, slug_of(plan.weights[j].ballast)).one.mm);
    }
    weight.wall_mm = least_mm;
    for (const rig::Wire& wire : ground.lure.rig.wires) {
      const double mm = wall_to_wire(slug, wire).mm;
      weight.wire_wall_mm = std::min(weight.wire_wall_mm.value_or(HUGE_VAL), mm);
    }
  }
}

int nearest_pose(const water::Balance& balance, const Vec3& up) {
  int nearest = -1;
  double best = std::cos(same_pose_deg * std::numbers::pi / 180);
  for (std::size_t i = 0; i < balance.poses.size(); ++i) {
    const double cosine = balance.poses[i].up.dot(up);
    if (cosine < best) continue;
    best = cosine;
    nearest = static_cast<int>(i);
  }
  return nearest;
}

const char* name_of(water::State state) {
  return state == water::State::floats  ? "floats"
         : state == water::State::sinks ? "sinks"
                                        : "suspends";
}

water::State state_of(rig::WantedState state) {
  switch (state) {
    case rig::WantedState::floats:
      return water::State::floats;
    case rig::WantedState::suspends:
      return water::State::suspends;
    case rig::WantedState::sinks:
      return water::State::sinks;
  }
  return water::State::floats;
}

// Holds a plan against each wish.
class Judge {
 public:
  Judge(const Ground& ground, Plan& plan) : target_(ground.wishes.target), plan_(plan) {}

  void judge() {
    state();
    reserve();
    tail_down();
    list();
    least_stiffness();
    sink_rate();
    walls();
    stands();
    plan_.met = std::ranges::all_of(plan_.wishes, &WishResult::met);
  }

 private:
  using Kind = WishResult::Kind;

  [[nodiscard]] const water::RestPose* pose() const {
    return plan_.pose < 0 ? nullptr : &plan_.balance.poses[static_cast<std::size_t>(plan_.pose)];
  }

  void within(Kind kind, double wanted, double tolerance, std::optional<double> reached,
              double rounding) {
    const bool met = reached && std::abs(*reached - wanted) <= tolerance + rounding;
    plan_.wishes.push_back(
        {.kind = kind, .wanted = wanted, .tolerance = tolerance, .reached = reached, .met = met});
  }

  // A reserve that is asked for and is itself no more than what "suspends" allows is no fault.
  void state() {
    if (!target_.state) return;
    const water::State wanted = state_of(*target_.state);
    const double reserve_g = plan_.balance.reserve_g;
    const bool right_side = wanted == water::State::floats ? reserve_g > 0 : reserve_g < 0;
    const bool as_asked = wanted != water::State::suspends && target_.reserve_g &&
                          plan_.balance.state == water::State::suspends && right_side;
    plan_.wishes.push_back({.kind = Kind::state,
                            .name = name_of(plan_.balance.state),
                            .met = plan_.balance.state == wanted || as_asked});
  }

  void reserve() {
    if (!target_.reserve_g || target_.state == rig::WantedState::suspends) return;
    const bool sinks = target_.state == rig::WantedState::sinks;
    const double reached_g = sinks ? -plan_.balance.reserve_g : plan_.balance.reserve_g;
    within(Kind::reserve, *target_.reserve_g, target_.reserve_tolerance_g, reached_g, mass_slack_g);
  }

  void tail_down() {
    if (!target_.tail_down_deg) return;
    std::optional<double> reached;
    if (plan_.judged_falling) {
      reached = plan_.falls_tail_down_deg;
    } else if (pose() != nullptr) {
      reached = pose()->tail_down_deg;
    }
    within(Kind::tail_down, *target_.tail_down_deg, target_.tail_down_tolerance_deg, reached,
           angle_slack_deg);
  }

  void list() {
    std::optional<double> reached;
    if (pose() != nullptr) reached = pose()->list_deg;
    within(Kind::list, 0, target_.list_tolerance_deg, reached, angle_slack_deg);
  }

  void least_stiffness() {
    if (!target_.least_stiffness_min_g_mm_per_deg) return;
    const double wanted = *target_.least_stiffness_min_g_mm_per_deg;
    WishResult wish{.kind = Kind::least_stiffness, .wanted = wanted};
    if (pose() != nullptr) wish.reached = pose()->least_stiffness_g_mm_per_deg;
    wish.met = wish.reached && *wish.reached >= wanted;
    plan_.wishes.push_back(wish);
  }

  void sink_rate() {
    if (!target_.sink_rate_m_s) return;
    const rig::Range& rate = *target_.sink_rate_m_s;
    within(Kind::sink_rate, (rate.low + rate.high) / 2, (rate.high - rate.low) / 2, plan_.falls_m_s,
           0);
  }

  void walls() {
    for (const PlannedWeight& weight : plan_.weights) {
      plan_.wishes.push_back({.kind = Kind::wall,
                              .name = weight.ballast.name,
                              .wanted = target_.wall_min_mm,
                              .reached = weight.wall_mm,
                              .met = weight.wall_mm >= target_.wall_min_mm - length_slack_mm});
    }
  }

  // No other pose may catch it more often.
  void stands() {
    WishResult wish{.kind = Kind::stands, .wanted = 1};
    if (pose() != nullptr) {
      wish.reached = pose()->share;
      wish.met = std::ranges::none_of(plan_.balance.poses, [&](const water::RestPose& other) {
        return other.share > pose()->share + share_slack;
      });
    }
    plan_.wishes.push_back(wish);
  }

  const rig::Target& target_;
  Plan& plan_;
};

void find_fall(const Ground& ground, const water::Floater& lure, Plan& plan) {
  const std::optional<water::SinkEstimate> fall = water::sink_estimate(lure, ground.lure.wet);
  if (!fall) return;
  plan.falls_tail_down_deg = (fall->tail_down_deg.low + fall->tail_down_deg.high) / 2;
  plan.falls_m_s = (fall->rate_m_s.low + fall->rate_m_s.high) / 2;
  plan.judged_falling = fall->weight_in_water_g > falls_beyond * plan.balance.mass_g;
}

}  // namespace

Plan judged(const Ground& ground, const Solved& solved, const geometry::ParallelFor& loop) {
  Plan plan;
  plan.rig = made_rig(ground, solved, plan);
  const Workpiece& lure = ground.lure;
  const rig::RiggedLure rigged =
      rig::add_up(rig::assemble(lure.bare, lure.whole, plan.rig, lure.coated));
  plan.centre_of_mass_mm = rigged.centre_of_mass_mm;
  const water::Floater floater = water::floater(lure.cut, rigged);
  plan.balance = water::balance(floater, loop);
  plan.pose = nearest_pose(plan.balance, solved.design.angles.up());
  find_walls(ground, plan);
  find_fall(ground, floater, plan);
  Judge(ground, plan).judge();
  return plan;
}

double held_stiffness(const Ground& ground, const Solved& solved) {
  Problem problem(ground, solved.demand, solved.choice);
  return problem.held_at(solved.design).least_stiffness_g_mm_per_deg;
}

double held_reserve(const Ground& ground, const Solved& solved) {
  Problem problem(ground, solved.demand, solved.choice);
  return problem.held_at(solved.design).displaced_full_g - problem.load(solved.design).mass_g;
}

bool same_weights(const Plan& a, const Plan& b) {
  if (a.weights.size() != b.weights.size() || a.hooks.size() != b.hooks.size()) return false;
  for (std::size_t i = 0; i < a.weights.size(); ++i) {
    const rig::Ballast& one = a.weights[i].ballast;
    const rig::Ballast& other = b.weights[i].ballast;
    if (a.weights[i].place != b.weights[i].place || one.mass_g != other.mass_g ||
        one.at_mm != other.at_mm || one.diameter_mm != other.diameter_mm) {
      return false;
    }
  }
  for (std::size_t i = 0; i < a.hooks.size(); ++i) {
    if (a.hooks[i].hook != b.hooks[i].hook || a.hooks[i].mass_g != b.hooks[i].mass_g ||
        a.hooks[i].eye_mm != b.hooks[i].eye_mm) {
      return false;
    }
  }
  return true;
}

}  // namespace trueblank::tuning
