// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/find_weights.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "rig/assembly.h"
#include "tuning/judge.h"
#include "tuning/plan_search.h"
#include "water/tolerances.h"

namespace trueblank::tuning {
namespace {

constexpr std::size_t most_finished = 6;
constexpr std::size_t most_sure = 12;
constexpr int most_firmer = 6;
constexpr double firmer_by = 1.5;
constexpr int sure_levels = 6;
constexpr int sure_draws = 400;
constexpr std::uint64_t sure_seed = 1;
constexpr int most_fall_rounds = 8;
constexpr int most_rate_rounds = 8;

// All that a search for one lure goes by.
class Finder {
 public:
  Finder(const Workpiece& lure, const rig::Wishes& wishes, const rig::Tolerances& tolerances,
         const geometry::ParallelFor& loop, Effort effort)
      : ground_(lure, wishes),
        tolerances_(tolerances),
        loop_(loop),
        effort_(effort),
        choices_(choices_of(ground_)) {}

  FoundWeights find() {
    demand_ = demand_of(ground_);
    FoundWeights found = find_for_demand();
    const rig::Target& target = ground_.wishes.target;
    if (target.sink_rate_m_s && !target.reserve_g) found = find_for_rate(std::move(found));
    if (target.tail_down_deg && demand_.where == Where::under)
      found = find_for_fall(std::move(found));
    found.choices_left_out = all_choices(ground_.wishes) - choices_.size();
    return found;
  }

 private:
  // First with as much wood to the wires as to the skin; where that can't be, as if there were
  // none, which the plan's own figures tell.
  FoundWeights find_for_demand() {
    std::vector<std::optional<double>> wire_walls{demand_.wall_min_mm};
    if (!ground_.lure.rig.wires.empty()) wire_walls.emplace_back();
    std::optional<FoundWeights> best;
    for (const std::optional<double>& wall : wire_walls) {
      demand_.wire_min_mm = wall;
      const std::vector<Solved> ends = solve(ground_, demand_, choices_, {}, effort_, loop_);
      if (!ends.front().holds()) continue;
      FoundWeights found = finished(ends);
      if (found.plan.met) return found;
      if (!best || unmet(found.plan) < unmet(best->plan)) best = std::move(found);
    }
    return best ? with_concessions(*std::move(best)) : compromise();
  }

  static int unmet(const Plan& plan) {
    return static_cast<int>(
        std::ranges::count_if(plan.wishes, [](const WishResult& wish) { return !wish.met; }));
  }

  // The best ends as a maker can make them, the ones that meet every wish first. Judging by all
  // poses costs more than finding, so what is next to be best is judged first.
  FoundWeights finished(std::vector<Solved> ends) {
    const bool sure = ground_.wishes.target.prefer == rig::Prefer::sure;
    if (sure) ends = with_firmer(std::move(ends));
    const std::size_t enough = effort_ == Effort::quick ? 2 : sure ? most_sure : most_finished;
    ends.resize(std::min(ends.size(), enough));
    std::vector<Solved> ready;
    for (const Solved& end : ends) ready.push_back(made(ground_, end, loop_));
    if (!sure) {
      std::ranges::stable_sort(
          ready, {}, [](const Solved& one) { return std::pair(!one.holds(), one.objective); });
    }
    std::vector<Plan> plans;
    const auto judge = [&](const Solved& one) {
      Plan plan = judged(ground_, one, loop_);
      const auto same = [&](const Plan& other) { return same_weights(other, plan); };
      if (std::ranges::none_of(plans, same)) plans.push_back(std::move(plan));
    };
    for (const Solved& one : ready) {
      if (!sure && std::ranges::count_if(plans, &Plan::met) >= plans_wanted()) break;
      judge(one);
    }
    if (!sure && std::ranges::none_of(plans, &Plan::met)) {
      for (const Solved& firmer : firmer_ends(ends.front())) {
        judge(made(ground_, firmer, loop_));
        if (plans.back().met) break;
      }
    }
    if (sure) {
      for (Plan& plan : plans) plan.share_as_meant = share_of(plan);
    }
    std::ranges::stable_sort(plans, {}, [&](const Plan& plan) { return rank(plan); });
    FoundWeights found{.plan = plans.front()};
    for (std::size_t i = 1; i < plans.size(); ++i) {
      if (plans[i].met) found.others.push_back(std::move(plans[i]));
    }
    return found;
  }

  [[nodiscard]] std::ptrdiff_t plans_wanted() const { return effort_ == Effort::quick ? 1 : 3; }

  // Less is better: wishes not met, then what the sheet prefers.
  [[nodiscard]] std::pair<int, double> rank(const Plan& plan) const {
    double worth = plan.added_g;
    const water::RestPose* pose = plan.pose < 0 ? nullptr : &meant(plan);
    switch (ground_.wishes.target.prefer) {
      case rig::Prefer::light:
        break;
      case rig::Prefer::firm:
        worth = pose == nullptr ? 0 : -pose->least_stiffness_g_mm_per_deg;
        break;
      case rig::Prefer::cast:
        worth = -plan.centre_of_mass_mm.x();
        break;
      case rig::Prefer::sure:
        worth = -plan.share_as_meant.value_or(0);
        break;
    }
    return {unmet(plan), worth};
  }

  static const water::RestPose& meant(const Plan& plan) {
    return plan.balance.poses[static_cast<std::size_t>(plan.pose)];
  }

  // Ever firmer ways to meet the same wishes, from the same start.
  std::vector<Solved> firmer_ends(const Solved& from) {
    std::vector<Solved> ends;
    Demand firmer = demand_;
    Design start = from.design;
    double least = std::max(demand_.least_stiffness_g_mm_per_deg, stiffness_of(from));
    for (int i = 0; i < most_firmer; ++i) {
      least *= firmer_by;
      firmer.least_stiffness_g_mm_per_deg = least;
      const std::vector<Solved> found =
          solve(ground_, firmer, choices_, {start}, Effort::quick, loop_);
      if (!found.front().holds()) break;
      ends.push_back(found.front());
      start = found.front().design;
    }
    return ends;
  }

  [[nodiscard]] double stiffness_of(const Solved& solved) const {
    return held_stiffness(ground_, solved);
  }

  // From the lightest to the firmest, level by level: what is surest lies between.
  std::vector<Solved> with_firmer(std::vector<Solved> ends) {
    Demand firmest = demand_;
    firmest.best = Best::firmest;
    const std::vector<Solved> firm =
        solve(ground_, firmest, choices_, {ends.front().design}, effort_, loop_);
    std::vector<Solved> all{ends.front()};
    if (!firm.front().holds()) return ends;
    const double low = stiffness_of(ends.front());
    const double high = stiffness_of(firm.front());
    for (int level = 1; level < sure_levels; ++level) {
      Demand demand = demand_;
      demand.least_stiffness_g_mm_per_deg = low + (high - low) * level / sure_levels;
      const std::vector<Solved> found =
          solve(ground_, demand, choices_, {ends.front().design, firm.front().design},
                Effort::quick, loop_);
      if (found.front().holds()) all.push_back(found.front());
    }
    all.push_back(firm.front());
    for (std::size_t i = 1; i < ends.size() && i < most_finished; ++i) all.push_back(ends[i]);
    return all;
  }

  [[nodiscard]] double share_of(const Plan& plan) const {
    if (plan.pose < 0) return 0;
    const Workpiece& lure = ground_.lure;
    const rig::Assembly laid = rig::assemble(lure.bare, lure.whole, plan.rig, lure.coated);
    return water::draw_builds(lure.cut, laid, tolerances_, meant(plan), sure_draws, sure_seed,
                              loop_)
        .share_as_nominal;
  }

  FoundWeights compromise() {
    Demand demand = demand_;
    demand.slack = {.tail = true, .list = true, .reserve = true, .stiffness = true, .wall = true};
    demand.best = Best::least_slack;
    demand.wire_min_mm = {};
    const std::vector<Solved> ends = solve(ground_, demand, choices_, {}, effort_, loop_);
    const Solved ready = made(ground_, ends.front(), loop_);
    return with_concessions({.plan = judged(ground_, ready, loop_)});
  }

  // What each wish alone would have to give.
  FoundWeights with_concessions(FoundWeights found) {
    const rig::Wishes& wishes = ground_.wishes;

    struct Question {
      Concession concession;
      Slack slack;
    };

    std::vector<Question> questions;
    const auto ask = [&](WishResult::Kind kind, double asked, bool Slack::*which) {
      Question question;
      question.concession.kind = kind;
      question.concession.asked = asked;
      question.slack.*which = true;
      questions.push_back(question);
    };
    const rig::Target& target = wishes.target;
    if (target.tail_down_deg) ask(WishResult::Kind::tail_down, *target.tail_down_deg, &Slack::tail);
    if (target.reserve_g) ask(WishResult::Kind::reserve, *target.reserve_g, &Slack::reserve);
    if (target.least_stiffness_min_g_mm_per_deg) {
      ask(WishResult::Kind::least_stiffness, *target.least_stiffness_min_g_mm_per_deg,
          &Slack::stiffness);
    }
    if (target.wall_min_mm > 0) ask(WishResult::Kind::wall, target.wall_min_mm, &Slack::wall);
    for (std::size_t i = 0; i < wishes.places.size(); ++i) {
      const auto widen = [&](Concession::Limit limit, double asked, bool Slack::Place::*which) {
        Question question;
        question.concession.limit = limit;
        question.concession.place = wishes.places[i].name;
        question.concession.asked = asked;
        question.slack.places.resize(wishes.places.size());
        question.slack.places[i].*which = true;
        questions.push_back(question);
      };
      widen(Concession::Limit::x_low, wishes.places[i].x_mm.low, &Slack::Place::x_low);
      widen(Concession::Limit::x_high, wishes.places[i].x_mm.high, &Slack::Place::x_high);
      widen(Concession::Limit::mass_high, wishes.places[i].mass_g.high, &Slack::Place::mass_high);
    }
    std::vector<std::pair<double, Concession>> possible;
    for (Question& question : questions) {
      Demand demand = demand_;
      demand.slack = question.slack;
      demand.best = Best::least_slack;
      const std::vector<Solved> ends = solve(ground_, demand, choices_, {}, Effort::quick, loop_);
      const Solved& end = ends.front();
      if (!end.holds() || end.slack < 1e-3) continue;
      question.concession.needed = needed(question.concession, end);
      // Less than no wood is no way out, nor is a sinker that floats.
      const bool less_than_nil = question.concession.needed < 0;
      if ((question.slack.wall || question.slack.reserve) && less_than_nil) continue;
      possible.emplace_back(end.slack, question.concession);
    }
    std::ranges::stable_sort(possible, {}, &std::pair<double, Concession>::first);
    for (auto& [cost, concession] : possible) found.concessions.push_back(concession);
    return found;
  }

  [[nodiscard]] double needed(const Concession& concession, const Solved& end) const {
    const auto place_index = [&] {
      std::size_t i = 0;
      while (ground_.wishes.places[i].name != concession.place) ++i;
      return i;
    };
    switch (concession.limit) {
      case Concession::Limit::x_low:
      case Concession::Limit::x_high:
        return end.design.at_mm[place_index()].x();
      case Concession::Limit::mass_high:
        return end.design.mass_g[place_index()];
      case Concession::Limit::wish:
        break;
    }
    switch (concession.kind) {
      case WishResult::Kind::tail_down:
        return end.design.angles.tail_down_deg;
      case WishResult::Kind::reserve: {
        const double reserve_g = held_reserve(ground_, end);
        return ground_.wishes.target.state == rig::WantedState::sinks ? -reserve_g : reserve_g;
      }
      case WishResult::Kind::least_stiffness:
        return stiffness_of(end);
      default:
        return demand_.wall_min_mm - end.wall_short_mm;
    }
  }

  // A lure that falls turns as it does: the angle set free is moved until the middle of the band in
  // which it falls is as wished.
  FoundWeights find_for_fall(FoundWeights found) {
    const double wanted = *ground_.wishes.target.tail_down_deg;
    for (int round = 0; round < most_fall_rounds; ++round) {
      const Plan& plan = found.plan;
      if (plan.pose < 0 || !plan.judged_falling) return found;
      const std::optional<double>& falls = plan.falls_tail_down_deg;
      if (!falls ||
          std::abs(*falls - wanted) <= ground_.wishes.target.tail_down_tolerance_deg / 2) {
        return found;
      }
      const double by = wanted - *falls;
      demand_.tail_down_deg.low += by;
      demand_.tail_down_deg.high += by;
      demand_.tail_wish_deg = *demand_.tail_wish_deg + by;
      FoundWeights next = find_for_demand();
      if (next.plan.pose < 0) return found;
      found = std::move(next);
    }
    return found;
  }

  // The rate grows with the square root of the weight in water.
  FoundWeights find_for_rate(FoundWeights found) {
    const rig::Range& rate = *ground_.wishes.target.sink_rate_m_s;
    const double wanted = (rate.low + rate.high) / 2;
    double weight_g = 0;
    for (int round = 0; round < most_rate_rounds; ++round) {
      const Plan& plan = found.plan;
      weight_g = plan.balance.mass_g - plan.balance.displacement_full_g;
      const std::optional<double>& falls = plan.falls_m_s;
      if (!falls || weight_g <= 0) return found;
      if (std::abs(*falls - wanted) <= (rate.high - rate.low) / 8) return found;
      weight_g *= (wanted / *falls) * (wanted / *falls);
      demand_.reserve_g = rig::Range{-weight_g, -weight_g};
      FoundWeights next = find_for_demand();
      if (next.plan.pose < 0) return found;
      found = std::move(next);
    }
    return found;
  }

  Ground ground_;
  const rig::Tolerances& tolerances_;
  const geometry::ParallelFor& loop_;
  Effort effort_;
  std::vector<Choice> choices_;
  Demand demand_;
};

}  // namespace

FoundWeights find_weights(const Workpiece& lure, const rig::Wishes& wishes,
                          const rig::Tolerances& tolerances, const geometry::ParallelFor& loop,
                          Effort effort) {
  return Finder(lure, wishes, tolerances, loop, effort).find();
}

}  // namespace trueblank::tuning
