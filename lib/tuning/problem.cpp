// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/problem.h"

#include <algorithm>

#include "rig/assembly.h"
#include "tuning/problem_rows.h"

namespace trueblank::tuning {
namespace {

// Slack has no end of its own; this keeps the search finite.
constexpr double most_slack = 1e3;
// Where slack is made least, so much of the added mass still counts, for a single answer.
constexpr double mass_beside_slack_per_g = 1e-3;
// Among plans that weigh the same, the one nearest to the angles asked for and the firmest: worth
// no more than some milligrams.
constexpr double tie_angle_deg = 1;
constexpr double tie_of_angle = 1e-3;
constexpr double tie_of_stiffness = 2e-4;
// A place whose mass may be overstepped may have so much more.
constexpr double mass_beyond_g = 100;

}  // namespace

Problem::Problem(const Ground& ground, const Demand& demand, const Choice& choice)
    : ground_(ground), demand_(demand), choice_(choice) {
  const Slack& slack = demand_.slack;
  constexpr rig::Range any_angle{-85, 85};
  constexpr rig::Range any_list{-60, 60};
  add(Kind::tail, 0, angle_unit_deg, slack.tail ? any_angle : demand_.tail_down_deg);
  add(Kind::list, 0, angle_unit_deg, slack.list ? any_list : demand_.list_deg);
  still_.at_mm.resize(ground.wishes.places.size(), Vec3::Zero());
  still_.mass_g.resize(ground.wishes.places.size(), 0);
  for (std::size_t i = 0; i < ground.wishes.places.size(); ++i) {
    const rig::WeightPlace& place = ground.wishes.places[i];
    if (!choice_.places[i].used) continue;
    const Slack::Place beyond = slack.places.empty() ? Slack::Place{} : slack.places[i];
    rig::Range x = place.x_mm;
    if (beyond.x_low) x.low = 0;
    if (beyond.x_high) x.high = ground.lure.length_mm;
    add(Kind::x, i, place_unit_mm, x);
    add(Kind::y, i, place_unit_mm, place.y_mm);
    rig::Range z{ground.lowest_mm, ground.highest_mm};
    if (place.height_mm && place.height_from == rig::HeightFrom::axis) z = *place.height_mm;
    add(Kind::z, i, place_unit_mm, z);
    rig::Range mass = place.mass_g;
    if (beyond.mass_high) mass.high += mass_beyond_g;
    if (choice_.places[i].mass_g) mass = {*choice_.places[i].mass_g, *choice_.places[i].mass_g};
    add(Kind::mass, i, mass_unit_g, mass);
  }
  still_.eye_x_mm.resize(ground.wishes.hooks.size(), 0);
  for (std::size_t i = 0; i < ground.wishes.hooks.size(); ++i) {
    const rig::HookChoice& hook = ground.wishes.hooks[i];
    const double x = ground.lure.rig.hooks[hook.hook].eye_mm.x();
    add(Kind::eye_x, i, place_unit_mm, hook.eye_x_mm.value_or(rig::Range{x, x}));
  }
  of_design_ = unknowns();
  const rig::Range room{0, most_slack};
  if (slack.tail) add(Kind::slack_tail, 0, 1, room);
  if (slack.list) add(Kind::slack_list, 0, 1, room);
  if (slack.reserve) add(Kind::slack_reserve, 0, 1, room);
  if (slack.stiffness) add(Kind::slack_stiffness, 0, 1, room);
  if (slack.wall) add(Kind::slack_wall, 0, 1, room);
  for (std::size_t i = 0; i < slack.places.size(); ++i) {
    if (slack.places[i].x_low) add(Kind::slack_x_low, i, 1, room);
    if (slack.places[i].x_high) add(Kind::slack_x_high, i, 1, room);
    if (slack.places[i].mass_high) add(Kind::slack_mass_high, i, 1, room);
  }
}

// What an unknown stands for in a design; nothing for slack.
double* Problem::value_of(Kind kind, std::size_t index, Design& design) {
  switch (kind) {
    case Kind::tail:
      return &design.angles.tail_down_deg;
    case Kind::list:
      return &design.angles.list_deg;
    case Kind::x:
      return &design.at_mm[index].x();
    case Kind::y:
      return &design.at_mm[index].y();
    case Kind::z:
      return &design.at_mm[index].z();
    case Kind::mass:
      return &design.mass_g[index];
    case Kind::eye_x:
      return &design.eye_x_mm[index];
    default:
      return nullptr;
  }
}

// A range of one value is no unknown.
void Problem::add(Kind kind, std::size_t index, double scale, const rig::Range& range) {
  if (range.fixed()) {
    if (double* value = value_of(kind, index, still_)) *value = range.low;
    return;
  }
  variables_.push_back({kind, index, scale});
  const Eigen::Index n = unknowns();
  low_.conservativeResize(n);
  high_.conservativeResize(n);
  low_[n - 1] = range.low / scale;
  high_[n - 1] = range.high / scale;
}

int Problem::find(Kind kind, std::size_t index) const {
  for (std::size_t i = 0; i < variables_.size(); ++i) {
    if (variables_[i].kind == kind && variables_[i].index == index) return static_cast<int>(i);
  }
  return -1;
}

Design Problem::design(const Eigen::VectorXd& scaled) const {
  Design made = still_;
  for (std::size_t i = 0; i < variables_.size(); ++i) {
    const Variable& variable = variables_[i];
    double* value = value_of(variable.kind, variable.index, made);
    if (value != nullptr) *value = scaled[static_cast<Eigen::Index>(i)] * variable.scale;
  }
  return made;
}

Eigen::VectorXd Problem::unknowns_of(Design design) const {
  Eigen::VectorXd made = Eigen::VectorXd::Zero(unknowns());
  for (std::size_t i = 0; i < variables_.size(); ++i) {
    const Variable& variable = variables_[i];
    const double* value = value_of(variable.kind, variable.index, design);
    if (value != nullptr) made[static_cast<Eigen::Index>(i)] = *value / variable.scale;
  }
  return made.cwiseMax(low_).cwiseMin(high_);
}

bool Problem::some_mass_varies() const {
  return std::ranges::any_of(variables_,
                             [](const Variable& one) { return one.kind == Kind::mass; });
}

// Of a gram in a place, what is left when the wood whose place it takes is taken off.
double Problem::net(std::size_t place) const {
  return 1 - ground_.wood_g_per_mm3 * 1000 / ground_.wishes.places[place].density_g_cm3;
}

Slug Problem::slug(const Design& design, std::size_t place) const {
  const rig::WeightPlace& wish = ground_.wishes.places[place];
  return {.at_mm = design.at_mm[place],
          .axis = rig::direction(wish.axis),
          .diameter_mm = choice_.places[place].diameter_mm,
          .volume_mm3 = design.mass_g[place] / wish.density_g_cm3 * 1000};
}

Load Problem::load(const Design& design) const {
  Load load = ground_.fixed;
  for (std::size_t i = 0; i < choice_.places.size(); ++i) {
    if (!choice_.places[i].used) continue;
    const double grams = net(i) * design.mass_g[i];
    load.mass_g += grams;
    load.moment_g_mm += grams * design.at_mm[i];
  }
  for (std::size_t i = 0; i < choice_.hook_masses_g.size(); ++i) {
    rig::Hook hook = ground_.lure.rig.hooks[ground_.wishes.hooks[i].hook];
    hook.mass_g = choice_.hook_masses_g[i];
    hook.eye_mm = ground_.eye_mm(i, design.eye_x_mm[i]);
    load.mass_g += hook.mass_g;
    load.moment_g_mm += hook.mass_g * hook.eye_mm;
    load.outside.push_back(rig::hanging_line(hook));
  }
  return load;
}

Held Problem::held(const Load& load, const Angles& angles) const {
  return ground_.water.hold(load, angles, demand_.where, offset_mm_);
}

void Problem::set_objective(const Design& design, Rows& rows) const {
  const auto each_mass = [&](double per_g) {
    for (std::size_t i = 0; i < choice_.places.size(); ++i) {
      if (!choice_.places[i].used) continue;
      rows.objective += per_g * design.mass_g[i];
      const int variable = find(Kind::mass, i);
      if (variable >= 0) rows.objective_slope[variable] += per_g * mass_unit_g;
    }
  };
  switch (demand_.best) {
    case Best::least_mass:
      each_mass(1 / mass_unit_g);
      add_tie_breakers(design, rows);
      return;
    case Best::firmest:
      rows.objective = -stiffness_;
      rows.objective_slope = -stiffness_slope_;
      return;
    case Best::furthest_aft:  // by add_water, which knows the load
      add_tie_breakers(design, rows);
      return;
    case Best::least_slack:
      each_mass(mass_beside_slack_per_g);
      for (Eigen::Index i = of_design_; i < unknowns(); ++i) {
        rows.objective += at_[i];
        rows.objective_slope[i] += 1;
      }
      return;
  }
}

void Problem::add_tie_breakers(const Design& design, Rows& rows) const {
  const auto near = [&](Kind kind, double off_deg) {
    const int variable = find(kind);
    if (variable < 0) return;
    const double off = off_deg / tie_angle_deg;
    rows.objective += tie_of_angle * off * off;
    rows.objective_slope[variable] += 2 * tie_of_angle * off * angle_unit_deg / tie_angle_deg;
  };
  if (demand_.tail_wish_deg) {
    near(Kind::tail, design.angles.tail_down_deg - *demand_.tail_wish_deg);
  }
  near(Kind::list, design.angles.list_deg);
  rows.objective -= tie_of_stiffness * stiffness_;
  rows.objective_slope -= tie_of_stiffness * stiffness_slope_;
}

const Evaluated& Problem::at(const Eigen::VectorXd& scaled) {
  if (at_.size() == scaled.size() && (at_.array() == scaled.array()).all()) return value_;
  at_ = scaled;
  const Design design = this->design(scaled);
  Rows rows(unknowns());
  add_water(design, rows);
  add_ranges(design, rows);
  add_walls(design, rows);
  set_objective(design, rows);
  value_.objective = rows.objective;
  value_.objective_slope = rows.objective_slope.transpose();
  value_.equal = Rows::vector(rows.equal);
  value_.equal_slope = Rows::matrix(rows.equal_slope, rows.unknowns);
  value_.atmost = Rows::vector(rows.atmost);
  value_.atmost_slope = Rows::matrix(rows.atmost_slope, rows.unknowns);
  return value_;
}

double Problem::wall_short_mm(const Eigen::VectorXd& scaled) const {
  const int slack = find(Kind::slack_wall);
  return slack < 0 ? 0 : SlackUnits::wall_mm * scaled[slack];
}

}  // namespace trueblank::tuning
