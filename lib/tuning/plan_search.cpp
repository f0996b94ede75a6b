// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/plan_search.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "geometry/inside.h"

namespace trueblank::tuning {
namespace {

// Kept in hand, so that what is rounded still meets the wishes.
constexpr double wall_in_hand_mm = 0.02;
constexpr double angle_in_hand_deg = 0.05;
constexpr double most_in_hand = 0.1;  // of a tolerance
constexpr double stiffness_in_hand = 0.002;
// A pose that hardly resists a turn is none.
constexpr double least_stiffness_g_mm_per_deg = 0.02;

constexpr double mass_rounding_g = 0.01;
constexpr double same_place_mm = 2;
constexpr double same_mass_g = 0.3;
constexpr double nothing_g = 0.05;
constexpr double same_step_g = 1e-9;
constexpr std::size_t most_choices = 64;
constexpr int global_evaluations = 400;
constexpr int even_points = 40;
constexpr int more_points = 8;  // for each unknown
constexpr int even_starts = 6;  // and one for each unknown
constexpr int quick_points = 24;
constexpr int quick_starts = 4;
constexpr std::size_t most_followed = 8;
constexpr std::size_t quick_followed = 2;
constexpr double breach_counts = 10;
constexpr int most_unknowns_for_global = 8;
constexpr std::size_t most_rounded = 64;

rig::Range narrowed(double middle, double tolerance) {
  const double in_hand = std::min(angle_in_hand_deg, most_in_hand * tolerance);
  return {middle - tolerance + in_hand, middle + tolerance - in_hand};
}

// A whole number of hundredths as the double that is read back from "12.34".
double hundredths(double value) { return std::round(value * 100) / 100; }

bool alike(const Solved& a, const Solved& b) {
  if (a.choice.hook_masses_g != b.choice.hook_masses_g) return false;
  for (std::size_t i = 0; i < a.design.mass_g.size(); ++i) {
    const bool used = a.choice.places[i].used;
    if (used != b.choice.places[i].used) return false;
    if (!used) continue;
    if (a.choice.places[i].diameter_mm != b.choice.places[i].diameter_mm) return false;
    if (std::abs(a.design.mass_g[i] - b.design.mass_g[i]) > same_mass_g) return false;
    if (a.design.mass_g[i] < nothing_g) continue;
    if ((a.design.at_mm[i] - b.design.at_mm[i]).norm() > same_place_mm) return false;
  }
  return true;
}

Solved solved_at(const Problem& problem, const LocalBest& best) {
  Solved solved{.choice = problem.choice(),
                .demand = problem.demand(),
                .design = problem.design(best.at),
                .objective = best.objective,
                .breach = best.breach,
                .wall_short_mm = problem.wall_short_mm(best.at)};
  for (Eigen::Index i = problem.of_design(); i < problem.unknowns(); ++i) {
    solved.slack += best.at[i];
  }
  return solved;
}

}  // namespace

Demand demand_of(const Ground& ground) {
  const rig::Target& target = ground.wishes.target;
  Demand demand;
  const rig::WantedState state = target.state.value_or(rig::WantedState::floats);
  demand.where = state == rig::WantedState::floats ? Where::afloat : Where::under;
  if (target.tail_down_deg) {
    demand.tail_wish_deg = target.tail_down_deg;
    demand.tail_down_deg = narrowed(*target.tail_down_deg, target.tail_down_tolerance_deg);
  }
  demand.list_deg = narrowed(0, target.list_tolerance_deg);
  if (state == rig::WantedState::suspends) {
    demand.reserve_g = rig::Range{0, 0};
  } else if (target.reserve_g) {
    const double reserve_g =
        state == rig::WantedState::sinks ? -*target.reserve_g : *target.reserve_g;
    demand.reserve_g = rig::Range{reserve_g, reserve_g};
  }
  demand.least_stiffness_g_mm_per_deg =
      std::max(least_stiffness_g_mm_per_deg,
               target.least_stiffness_min_g_mm_per_deg.value_or(0) * (1 + stiffness_in_hand));
  demand.wall_min_mm = target.wall_min_mm + wall_in_hand_mm;
  demand.wire_min_mm = demand.wall_min_mm;
  switch (target.prefer) {
    case rig::Prefer::light:
    case rig::Prefer::sure:
      demand.best = Best::least_mass;
      break;
    case rig::Prefer::firm:
      demand.best = Best::firmest;
      break;
    case rig::Prefer::cast:
      demand.best = Best::furthest_aft;
      break;
  }
  return demand;
}

std::vector<Choice> choices_of(const Ground& ground) {
  Choice first;
  for (const rig::WeightPlace& place : ground.wishes.places) {
    first.places.push_back(
        {.diameter_mm = place.diameters_mm.empty() ? 0 : place.diameters_mm.front()});
  }
  for (const rig::HookChoice& hook : ground.wishes.hooks) {
    first.hook_masses_g.push_back(hook.masses_g.empty() ? ground.lure.rig.hooks[hook.hook].mass_g
                                                        : hook.masses_g.front());
  }
  std::vector<Choice> all{first};
  const auto multiply = [&](std::size_t count, const auto& set) {
    const std::size_t before = all.size();
    for (std::size_t option = 1; option < count; ++option) {
      for (std::size_t i = 0; i < before && all.size() < most_choices; ++i) {
        Choice with = all[i];
        set(with, option);
        all.push_back(std::move(with));
      }
    }
  };
  for (std::size_t k = 0; k < ground.wishes.hooks.size(); ++k) {
    const std::vector<double>& masses = ground.wishes.hooks[k].masses_g;
    multiply(masses.size(),
             [&](Choice& with, std::size_t option) { with.hook_masses_g[k] = masses[option]; });
  }
  for (std::size_t k = 0; k < ground.wishes.places.size(); ++k) {
    const std::vector<double>& diameters = ground.wishes.places[k].diameters_mm;
    multiply(diameters.size(), [&](Choice& with, std::size_t option) {
      with.places[k].diameter_mm = diameters[option];
    });
  }
  return all;
}

std::size_t all_choices(const rig::Wishes& wishes) {
  std::size_t count = 1;
  for (const rig::HookChoice& hook : wishes.hooks) {
    count *= std::max<std::size_t>(1, hook.masses_g.size());
  }
  for (const rig::WeightPlace& place : wishes.places) {
    count *= std::max<std::size_t>(1, place.diameters_mm.size());
  }
  return count;
}

Solved solve_from(const Ground& ground, const Demand& demand, const Choice& choice,
                  const Design& start) {
  Problem problem(ground, demand, choice);
  return solved_at(problem, local_best(problem, problem.unknowns_of(start)));
}

namespace {

// Where to search from in one choice: the best of many even points, the end of a global search, and
// what is known already.
std::vector<Eigen::VectorXd> starts_in(Problem& problem, const std::vector<Design>& also,
                                       Effort effort) {
  std::vector<Eigen::VectorXd> starts;
  for (const Design& design : also) starts.push_back(problem.unknowns_of(design));
  const bool quick = effort == Effort::quick;
  const int n = problem.of_design();
  if (!quick && n > 0 && n == problem.unknowns() && n <= most_unknowns_for_global) {
    starts.push_back(global_start(problem, global_evaluations));
  }
  std::vector<std::pair<double, int>> worth;
  const int points = quick ? quick_points : even_points + more_points * n;
  for (int i = 0; i < points; ++i) {
    worth.emplace_back(penalised(problem, even_start(problem, i)), i);
  }
  std::ranges::sort(worth);
  const int kept = quick ? quick_starts : even_starts + n;
  for (int i = 0; i < kept && i < points; ++i) {
    starts.push_back(even_start(problem, worth[static_cast<std::size_t>(i)].second));
  }
  return starts;
}

std::tuple<bool, double> by_worth(const Solved& end) {
  return {!end.holds(), end.holds() ? end.objective : end.breach};
}

}  // namespace

std::vector<Solved> solve(const Ground& ground, const Demand& demand,
                          const std::vector<Choice>& choices, const std::vector<Design>& also,
                          Effort effort, const geometry::ParallelFor& loop) {
  struct Task {
    std::size_t choice;
    Eigen::VectorXd start;
  };

  std::vector<std::vector<Eigen::VectorXd>> starts(choices.size());
  loop(static_cast<int>(choices.size()), [&](int i) {
    const std::size_t choice = static_cast<std::size_t>(i);
    Problem problem(ground, demand, choices[choice]);
    starts[choice] = starts_in(problem, also, effort);
  });
  std::vector<Task> tasks;
  for (std::size_t choice = 0; choice < choices.size(); ++choice) {
    for (Eigen::VectorXd& start : starts[choice]) tasks.push_back({choice, std::move(start)});
  }
  std::vector<Solved> ends(tasks.size());
  loop(static_cast<int>(tasks.size()), [&](int i) {
    const Task& task = tasks[static_cast<std::size_t>(i)];
    Problem problem(ground, demand, choices[task.choice]);
    ends[static_cast<std::size_t>(i)] =
        solved_at(problem, local_best(problem, task.start, Depth::rough));
  });
  // Those worth it are followed to their end.
  std::ranges::stable_sort(
      ends, {}, [](const Solved& end) { return end.objective + breach_counts * end.breach; });
  std::vector<Solved> rough;
  for (Solved& end : ends) {
    const auto known = [&](const Solved& one) { return alike(one, end); };
    if (std::ranges::none_of(rough, known)) rough.push_back(std::move(end));
  }
  rough.resize(std::min(rough.size(), effort == Effort::quick ? quick_followed : most_followed));
  std::vector<Solved> followed(rough.size());
  loop(static_cast<int>(rough.size()), [&](int i) {
    const Solved& from = rough[static_cast<std::size_t>(i)];
    followed[static_cast<std::size_t>(i)] = solve_from(ground, demand, from.choice, from.design);
  });
  std::ranges::stable_sort(followed, {}, by_worth);
  std::vector<Solved> found;
  for (const Solved& end : followed) {
    if (!end.holds()) break;
    const auto known = [&](const Solved& one) { return alike(one, end); };
    if (std::ranges::none_of(found, known)) found.push_back(end);
  }
  if (found.empty()) found.push_back(followed.front());
  return found;
}

namespace {

// The demand once masses are whole steps: weight against buoyancy as near as the maker allows.
Demand with_reserve_allowed(const Ground& ground, Demand demand) {
  if (!demand.reserve_g) return demand;
  const rig::Target& target = ground.wishes.target;
  double tolerance_g = target.reserve_tolerance_g;
  if (target.state == rig::WantedState::suspends) {
    constexpr double most_of_mass = 0.009;
    tolerance_g = most_of_mass * ground.water.displaced_full_g(ground.fixed);
  }
  demand.reserve_g->low -= tolerance_g;
  demand.reserve_g->high += tolerance_g;
  return demand;
}

// Without each weight that may be left out, as long as that is no worse.
Solved without_idle(const Ground& ground, Solved solved) {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < solved.choice.places.size(); ++i) {
    if (solved.choice.places[i].used && ground.wishes.places[i].mass_g.low <= 0) order.push_back(i);
  }
  std::ranges::sort(order, {}, [&](std::size_t i) { return solved.design.mass_g[i]; });
  for (const std::size_t place : order) {
    Choice fewer = solved.choice;
    fewer.places[place].used = false;
    const Solved tried = solve_from(ground, solved.demand, fewer, solved.design);
    const double room = solved.design.mass_g[place] < nothing_g ? 1e-2 : 1e-4;
    if (tried.holds() && tried.objective <= solved.objective + room) solved = tried;
  }
  return solved;
}

// The masses next to a sought one that can be made; nil: left out.
std::vector<double> makeable(const rig::WeightPlace& place, double mass_g) {
  std::vector<double> options;
  if (!place.stock_g.empty()) {
    const auto above = std::ranges::upper_bound(place.stock_g, mass_g);
    if (above != place.stock_g.begin()) options.push_back(*(above - 1));
    if (above != place.stock_g.end()) options.push_back(*above);
    if (above == place.stock_g.begin() && place.mass_g.low <= 0) options.push_back(0);
    return options;
  }
  const double step = *place.step_g;
  for (const double steps : {std::floor(mass_g / step), std::ceil(mass_g / step)}) {
    // Three steps of 0.1 g are 0.3 g, and not the double next to it.
    const double plain = steps * step;
    const double near = hundredths(plain);
    const double made = std::abs(near - plain) < same_step_g ? near : plain;
    if (made < place.mass_g.low || made > place.mass_g.high * (1 + 1e-12)) continue;
    if (options.empty() || options.back() != made) options.push_back(made);
  }
  return options;
}

std::vector<Choice> whole_steps(const Ground& ground, const Solved& solved) {
  std::vector<Choice> all{solved.choice};
  for (std::size_t i = 0; i < solved.choice.places.size(); ++i) {
    const rig::WeightPlace& place = ground.wishes.places[i];
    if (!solved.choice.places[i].used || (!place.step_g && place.stock_g.empty())) continue;
    std::vector<double> options = makeable(place, solved.design.mass_g[i]);
    if (options.empty()) options.push_back(solved.design.mass_g[i]);
    std::vector<Choice> next;
    for (const Choice& before : all) {
      for (const double mass_g : options) {
        if (next.size() == most_rounded) break;
        Choice with = before;
        with.places[i].mass_g = mass_g;
        with.places[i].used = mass_g > 0;
        next.push_back(std::move(with));
      }
    }
    all = std::move(next);
  }
  return all;
}

// Where the best is nearer to what was sought, the better; where none holds, the least breach.
const Solved& best_of(const std::vector<Solved>& tried) {
  return *std::ranges::min_element(tried, {}, [](const Solved& one) {
    return std::tuple(!one.holds(), one.holds() ? one.objective : one.breach);
  });
}

void round_masses(const Ground& ground, Solved& solved) {
  for (std::size_t i = 0; i < solved.choice.places.size(); ++i) {
    Choice::Place& place = solved.choice.places[i];
    if (!place.used) continue;
    const double mass_g = place.mass_g.value_or(
        ground.wishes.places[i].mass_g.clamped(hundredths(solved.design.mass_g[i])));
    place.mass_g = mass_g;
    place.used = mass_g >= mass_rounding_g / 2;
    solved.design.mass_g[i] = mass_g;
  }
}

// Within the heights that were given, from the skin itself and by whole hundredths: what was
// searched on lies between its nodes.
void keep_height(const geometry::ClosedMesh& body, const rig::WeightPlace& place, Vec3& at) {
  const auto skin = geometry::skin_heights_mm(body, at.x(), at.y());
  if (!skin) return;
  const bool from_belly = place.height_from == rig::HeightFrom::above_belly;
  const double low =
      from_belly ? skin->first + place.height_mm->low : skin->second - place.height_mm->high;
  const double high =
      from_belly ? skin->first + place.height_mm->high : skin->second - place.height_mm->low;
  if (place.height_mm->fixed()) {
    at.z() = low;
    return;
  }
  if (at.z() < low) at.z() = std::min(std::ceil(low * 100) / 100, high);
  if (at.z() > high) at.z() = std::max(std::floor(high * 100) / 100, low);
}

void round_places(const Ground& ground, Solved& solved) {
  for (std::size_t i = 0; i < solved.choice.places.size(); ++i) {
    if (!solved.choice.places[i].used) continue;
    const rig::WeightPlace& place = ground.wishes.places[i];
    Vec3& at = solved.design.at_mm[i];
    // What the sheet fixes stays to the last digit.
    if (!place.x_mm.fixed()) at.x() = place.x_mm.clamped(hundredths(at.x()));
    if (!place.y_mm.fixed()) at.y() = place.y_mm.clamped(hundredths(at.y()));
    const bool z_given = place.height_mm && place.height_from == rig::HeightFrom::axis;
    if (z_given && place.height_mm->fixed()) continue;
    at.z() = hundredths(at.z());
    if (z_given) at.z() = place.height_mm->clamped(at.z());
    if (place.height_mm && !z_given) keep_height(ground.lure.bare, place, at);
  }
  for (std::size_t i = 0; i < solved.design.eye_x_mm.size(); ++i) {
    const std::optional<rig::Range>& range = ground.wishes.hooks[i].eye_x_mm;
    if (range) solved.design.eye_x_mm[i] = range->clamped(hundredths(solved.design.eye_x_mm[i]));
  }
}

}  // namespace

Solved made(const Ground& ground, const Solved& solved, const geometry::ParallelFor& loop) {
  const Solved needed = without_idle(ground, solved);
  const std::vector<Choice> steps = whole_steps(ground, needed);
  const bool stepped =
      steps.size() > 1 || std::ranges::any_of(steps.front().places, [](const Choice::Place& place) {
        return place.mass_g.has_value();
      });
  Solved best = needed;
  if (stepped) {
    const Demand allowed = with_reserve_allowed(ground, needed.demand);
    std::vector<Solved> tried(steps.size());
    loop(static_cast<int>(steps.size()), [&](int i) {
      const std::size_t place = static_cast<std::size_t>(i);
      tried[place] = solve_from(ground, allowed, steps[place], needed.design);
    });
    best = best_of(tried);
  }
  round_masses(ground, best);
  Demand allowed = with_reserve_allowed(ground, needed.demand);
  allowed.closely = Closely::fine;
  Solved placed = solve_from(ground, allowed, best.choice, best.design);
  if (!placed.holds() && placed.breach > best.breach) placed.design = best.design;
  round_places(ground, placed);
  return placed;
}

}  // namespace trueblank::tuning
