// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/problem.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "rig/assembly.h"

namespace trueblank::tuning {
namespace {

// One unit of each scaled unknown: steps that change a lure about alike.
constexpr double angle_unit_deg = 10;
constexpr double place_unit_mm = 10;
constexpr double mass_unit_g = 5;

// Steps over which the stiffness is differenced: about what sensitivities use, since a facetted
// body's second derivatives have a kink at every vertex that the waterline passes.
constexpr double angle_step_deg = 0.1;
constexpr double mass_step_g = 0.1;
constexpr double eye_step_mm = 0.1;

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

rig::RiggedLure rigged_without_choices(const Workpiece& lure, const rig::Wishes& wishes) {
  rig::Rig rig = lure.rig;
  std::vector<rig::Hook> kept;
  for (std::size_t i = 0; i < rig.hooks.size(); ++i) {
    const bool chosen = std::ranges::any_of(
        wishes.hooks, [&](const rig::HookChoice& choice) { return choice.hook == i; });
    if (!chosen) kept.push_back(rig.hooks[i]);
  }
  rig.hooks = std::move(kept);
  return rig::add_up(rig::assemble(lure.bare, lure.whole, rig, lure.coated));
}

std::vector<Slug> slugs_of(const rig::Rig& rig) {
  std::vector<Slug> slugs;
  for (const rig::Ballast& ballast : rig.ballasts) slugs.push_back(slug_of(ballast));
  for (const rig::Pocket& pocket : rig.pockets) slugs.push_back(slug_of(pocket));
  return slugs;
}

Ground::Heights heights_over(const Workpiece& lure, rig::HeightFrom from, const rig::Range& x_mm,
                             const rig::Range& y_mm) {
  Ground::Heights heights;
  if (from == rig::HeightFrom::above_belly) {
    heights.belly.emplace(lure.bare, x_mm, y_mm, SkinHeights::Side::belly);
  }
  if (from == rig::HeightFrom::below_back) {
    heights.back.emplace(lure.bare, x_mm, y_mm, SkinHeights::Side::back);
  }
  return heights;
}

}  // namespace

Ground::Ground(const Workpiece& workpiece, const rig::Wishes& wished)
    : lure(workpiece),
      wishes(wished),
      water(lure.cut, lure.rig.water.density_g_cm3),
      wood_g_per_mm3(lure.rig.wood_density_g_cm3 / 1000),
      fixed_slugs(slugs_of(lure.rig)) {
  const rig::RiggedLure rigged = rigged_without_choices(lure, wishes);
  fixed = {.mass_g = rigged.mass_g,
           .moment_g_mm = rigged.mass_g * rigged.centre_of_mass_mm,
           .outside = rigged.outside};
  lowest_mm = lure.bare.positions_mm().row(2).minCoeff();
  highest_mm = lure.bare.positions_mm().row(2).maxCoeff();
  const rig::Range anywhere{0, lure.length_mm};
  for (const rig::WeightPlace& place : wishes.places) {
    heights.push_back(heights_over(lure, place.height_from, anywhere, place.y_mm));
  }
  for (const rig::HookChoice& choice : wishes.hooks) {
    const double y = lure.rig.hooks[choice.hook].eye_mm.y();
    hook_heights.push_back(heights_over(lure, choice.eye_from, anywhere, {y, y}));
  }
}

Vec3 Ground::eye_mm(std::size_t choice, double eye_x_mm) const {
  const rig::HookChoice& hook = wishes.hooks[choice];
  Vec3 eye = lure.rig.hooks[hook.hook].eye_mm;
  if (!hook.eye_x_mm) return eye;
  eye.x() = eye_x_mm;
  const Heights& skin = hook_heights[choice];
  if (skin.belly) eye.z() = skin.belly->at(eye_x_mm, eye.y()).z_mm + hook.eye_height_mm;
  if (skin.back) eye.z() = skin.back->at(eye_x_mm, eye.y()).z_mm - hook.eye_height_mm;
  return eye;
}

// What is gathered at one point, a row for each thing asked.
struct Problem::Rows {
  Eigen::Index unknowns;
  double objective = 0;
  Eigen::RowVectorXd objective_slope;
  std::vector<double> equal = {};
  std::vector<Eigen::RowVectorXd> equal_slope = {};
  std::vector<double> atmost = {};
  std::vector<Eigen::RowVectorXd> atmost_slope = {};

  explicit Rows(Eigen::Index n) : unknowns(n), objective_slope(Eigen::RowVectorXd::Zero(n)) {}

  [[nodiscard]] Eigen::RowVectorXd nil() const { return Eigen::RowVectorXd::Zero(unknowns); }

  void must_vanish(double value, Eigen::RowVectorXd slope) {
    equal.push_back(value);
    equal_slope.push_back(std::move(slope));
  }

  void must_not_be_positive(double value, Eigen::RowVectorXd slope) {
    atmost.push_back(value);
    atmost_slope.push_back(std::move(slope));
  }

  static Eigen::MatrixXd matrix(const std::vector<Eigen::RowVectorXd>& rows, Eigen::Index n) {
    Eigen::MatrixXd made(static_cast<Eigen::Index>(rows.size()), n);
    for (std::size_t i = 0; i < rows.size(); ++i) made.row(static_cast<Eigen::Index>(i)) = rows[i];
    return made;
  }

  static Eigen::VectorXd vector(const std::vector<double>& values) {
    return Eigen::Map<const Eigen::VectorXd>(values.data(),
                                             static_cast<Eigen::Index>(values.size()));
  }
};

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

// A range of one value is no unknown.
void Problem::add(Kind kind, std::size_t index, double scale, const rig::Range& range) {
  if (range.fixed()) {
    switch (kind) {
      case Kind::tail:
        still_.angles.tail_down_deg = range.low;
        return;
      case Kind::list:
        still_.angles.list_deg = range.low;
        return;
      case Kind::x:
        still_.at_mm[index].x() = range.low;
        return;
      case Kind::y:
        still_.at_mm[index].y() = range.low;
        return;
      case Kind::z:
        still_.at_mm[index].z() = range.low;
        return;
      case Kind::mass:
        still_.mass_g[index] = range.low;
        return;
      case Kind::eye_x:
        still_.eye_x_mm[index] = range.low;
        return;
      default:
        return;
    }
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
    const double value = scaled[static_cast<Eigen::Index>(i)] * variable.scale;
    switch (variable.kind) {
      case Kind::tail:
        made.angles.tail_down_deg = value;
        break;
      case Kind::list:
        made.angles.list_deg = value;
        break;
      case Kind::x:
        made.at_mm[variable.index].x() = value;
        break;
      case Kind::y:
        made.at_mm[variable.index].y() = value;
        break;
      case Kind::z:
        made.at_mm[variable.index].z() = value;
        break;
      case Kind::mass:
        made.mass_g[variable.index] = value;
        break;
      case Kind::eye_x:
        made.eye_x_mm[variable.index] = value;
        break;
      default:
        break;
    }
  }
  return made;
}

Eigen::VectorXd Problem::unknowns_of(const Design& design) const {
  Eigen::VectorXd made(unknowns());
  for (std::size_t i = 0; i < variables_.size(); ++i) {
    const Variable& variable = variables_[i];
    double value = 0;
    switch (variable.kind) {
      case Kind::tail:
        value = design.angles.tail_down_deg;
        break;
      case Kind::list:
        value = design.angles.list_deg;
        break;
      case Kind::x:
        value = design.at_mm[variable.index].x();
        break;
      case Kind::y:
        value = design.at_mm[variable.index].y();
        break;
      case Kind::z:
        value = design.at_mm[variable.index].z();
        break;
      case Kind::mass:
        value = design.mass_g[variable.index];
        break;
      case Kind::eye_x:
        value = design.eye_x_mm[variable.index];
        break;
      default:
        break;
    }
    made[static_cast<Eigen::Index>(i)] = value / variable.scale;
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

// Equilibrium, and weight against buoyancy.
void Problem::add_water(const Design& design, Rows& rows) {
  const Load load = this->load(design);
  const Held held = this->held(load, design.angles);
  offset_mm_ = held.offset_mm;
  const UpSlopes turn = up_slopes(design.angles);
  // As a lever: how far the weight would have to move, in mm, for the moment to vanish; per radian,
  // so that it is square to `up` in mm.
  const double lever = 180 / std::numbers::pi / load.mass_g;
  Eigen::RowVectorXd tail = rows.nil();
  Eigen::RowVectorXd list = rows.nil();
  Eigen::RowVectorXd mass = rows.nil();  // of all, g
  for (std::size_t i = 0; i < variables_.size(); ++i) {
    const Variable& variable = variables_[i];
    const Eigen::Index column = static_cast<Eigen::Index>(i);
    Vec3 moment = Vec3::Zero();  // d of the load's moment about the pivot
    switch (variable.kind) {
      case Kind::tail:
        tail[column] = held.per_angle(0, 0) * variable.scale;
        list[column] = held.per_angle(1, 0) * variable.scale;
        continue;
      case Kind::list:
        tail[column] = held.per_angle(0, 1) * variable.scale;
        list[column] = held.per_angle(1, 1) * variable.scale;
        continue;
      case Kind::x:
      case Kind::y:
      case Kind::z: {
        const int axis = variable.kind == Kind::x ? 0 : variable.kind == Kind::y ? 1 : 2;
        moment = net(variable.index) * design.mass_g[variable.index] * Vec3::Unit(axis);
        break;
      }
      case Kind::mass:
        moment = net(variable.index) * (design.at_mm[variable.index] - held.pivot_mm);
        mass[column] = net(variable.index) * variable.scale;
        break;
      case Kind::eye_x: {
        const auto with = [&](double by) {
          Design there = design;
          there.eye_x_mm[variable.index] += by;
          return this->held(this->load(there), there.angles).turning_g_mm_per_deg;
        };
        const Eigen::Vector2d slope =
            (with(eye_step_mm) - with(-eye_step_mm)) / (2 * eye_step_mm) * variable.scale;
        tail[column] = slope[0];
        list[column] = slope[1];
        continue;
      }
      default:
        continue;
    }
    moment *= held.leverage * variable.scale;
    tail[column] = moment.dot(turn.tail);
    list[column] = moment.dot(turn.list);
  }
  const Eigen::Vector2d& turning = held.turning_g_mm_per_deg;
  // The lever is per gram of the whole, which a weight's mass changes too.
  rows.must_vanish(lever * turning[0], lever * (tail - turning[0] / load.mass_g * mass));
  rows.must_vanish(lever * turning[1], lever * (list - turning[1] / load.mass_g * mass));

  const double reserve_g = held.displaced_full_g - load.mass_g;
  const int slack = find(Kind::slack_reserve);
  const auto at_most = [&](double over_g, const Eigen::RowVectorXd& slope) {
    Eigen::RowVectorXd row = slope;
    if (slack >= 0) {
      over_g -= SlackUnits::reserve_g * at_[slack];
      row[slack] -= SlackUnits::reserve_g;
    }
    rows.must_not_be_positive(over_g, row);
  };
  if (!demand_.reserve_g) {
    const double sign = demand_.where == Where::afloat ? 1 : -1;
    at_most(demand_.margin * load.mass_g - sign * reserve_g, demand_.margin * mass + sign * mass);
  } else if (demand_.reserve_g->fixed() && slack < 0 && some_mass_varies()) {
    rows.must_vanish(reserve_g - demand_.reserve_g->low, -mass);
  } else {
    at_most(demand_.reserve_g->low - reserve_g, mass);
    at_most(reserve_g - demand_.reserve_g->high, -mass);
  }
  add_stiffness(design, load, held, rows);
  if (demand_.best == Best::furthest_aft) {
    rows.objective = -load.moment_g_mm.x() / load.mass_g / place_unit_mm;
    for (std::size_t i = 0; i < variables_.size(); ++i) {
      const Variable& variable = variables_[i];
      const Eigen::Index column = static_cast<Eigen::Index>(i);
      const double centre = load.moment_g_mm.x() / load.mass_g;
      double slope = 0;  // of the centre of mass
      if (variable.kind == Kind::x) {
        slope = net(variable.index) * design.mass_g[variable.index] / load.mass_g;
      } else if (variable.kind == Kind::mass) {
        slope = net(variable.index) * (design.at_mm[variable.index].x() - centre) / load.mass_g;
      } else if (variable.kind == Kind::eye_x) {
        slope = choice_.hook_masses_g[variable.index] / load.mass_g;
      }
      rows.objective_slope[column] = -slope * variable.scale / place_unit_mm;
    }
  }
}

void Problem::add_stiffness(const Design& design, const Load& load, const Held& held, Rows& rows) {
  stiffness_ = held.least_stiffness_g_mm_per_deg;
  stiffness_slope_ = rows.nil();
  const auto stiffness = [&](const Load& of, const Angles& angles) {
    return this->held(of, angles).least_stiffness_g_mm_per_deg;
  };
  const auto over_angle = [&](double Angles::*angle) {
    Angles less = design.angles;
    Angles more = design.angles;
    less.*angle -= angle_step_deg;
    more.*angle += angle_step_deg;
    return (stiffness(load, more) - stiffness(load, less)) / (2 * angle_step_deg);
  };
  // More mass with the moment kept, and the moment alone, which only tilts E by up·moment.
  Load less = load;
  Load more = load;
  less.mass_g -= mass_step_g;
  more.mass_g += mass_step_g;
  const double per_g =
      (stiffness(more, design.angles) - stiffness(less, design.angles)) / (2 * mass_step_g);
  const Vec3 per_moment = -held.leverage * std::numbers::pi / 180 * design.angles.up();
  for (std::size_t i = 0; i < variables_.size(); ++i) {
    const Variable& variable = variables_[i];
    double slope = 0;
    switch (variable.kind) {
      case Kind::tail:
        slope = over_angle(&Angles::tail_down_deg);
        break;
      case Kind::list:
        slope = over_angle(&Angles::list_deg);
        break;
      case Kind::x:
      case Kind::y:
      case Kind::z: {
        const int axis = variable.kind == Kind::x ? 0 : variable.kind == Kind::y ? 1 : 2;
        slope = net(variable.index) * design.mass_g[variable.index] * per_moment[axis];
        break;
      }
      case Kind::mass:
        slope = net(variable.index) * (per_g + per_moment.dot(design.at_mm[variable.index]));
        break;
      case Kind::eye_x: {
        Design there = design;
        there.eye_x_mm[variable.index] += eye_step_mm;
        Design here = design;
        here.eye_x_mm[variable.index] -= eye_step_mm;
        slope = (stiffness(this->load(there), there.angles) -
                 stiffness(this->load(here), here.angles)) /
                (2 * eye_step_mm);
        break;
      }
      default:
        break;
    }
    stiffness_slope_[static_cast<Eigen::Index>(i)] = slope * variable.scale;
  }
  Eigen::RowVectorXd row = -stiffness_slope_;
  double short_of = demand_.least_stiffness_g_mm_per_deg - stiffness_;
  if (const int slack = find(Kind::slack_stiffness); slack >= 0) {
    short_of -= SlackUnits::stiffness_g_mm_per_deg * at_[slack];
    row[slack] -= SlackUnits::stiffness_g_mm_per_deg;
  }
  rows.must_not_be_positive(short_of, row);
}

// Ranges that slack widens, and heights from the skin.
void Problem::add_ranges(const Design& design, Rows& rows) const {
  const auto over = [&](Kind of, std::size_t index, double beyond, double sign, Kind slack_kind,
                        double unit) {
    const int slack = find(slack_kind, index);
    const int variable = find(of, index);
    if (slack < 0 || variable < 0) return;
    Eigen::RowVectorXd row = rows.nil();
    row[variable] = sign * variables_[static_cast<std::size_t>(variable)].scale / unit;
    row[slack] = -1;
    rows.must_not_be_positive(beyond / unit - at_[slack], row);
  };
  const Angles& angles = design.angles;
  const auto angle = [&](Kind of, double value, const rig::Range& range, Kind slack, double unit) {
    over(of, 0, value - range.high, 1, slack, unit);
    over(of, 0, range.low - value, -1, slack, unit);
  };
  angle(Kind::tail, angles.tail_down_deg, demand_.tail_down_deg, Kind::slack_tail,
        SlackUnits::tail_deg);
  angle(Kind::list, angles.list_deg, demand_.list_deg, Kind::slack_list, SlackUnits::list_deg);
  for (std::size_t i = 0; i < choice_.places.size(); ++i) {
    if (!choice_.places[i].used) continue;
    const rig::WeightPlace& place = ground_.wishes.places[i];
    over(Kind::x, i, place.x_mm.low - design.at_mm[i].x(), -1, Kind::slack_x_low, SlackUnits::x_mm);
    over(Kind::x, i, design.at_mm[i].x() - place.x_mm.high, 1, Kind::slack_x_high,
         SlackUnits::x_mm);
    over(Kind::mass, i, design.mass_g[i] - place.mass_g.high, 1, Kind::slack_mass_high,
         SlackUnits::mass_g);
    const Ground::Heights& skin = ground_.heights[i];
    if (!place.height_mm || (!skin.belly && !skin.back)) continue;
    const Vec3& at = design.at_mm[i];
    const SkinHeights::Height from =
        skin.belly ? skin.belly->at(at.x(), at.y()) : skin.back->at(at.x(), at.y());
    const double sign = skin.belly ? 1 : -1;
    const double height = sign * (at.z() - from.z_mm);
    Eigen::RowVectorXd row = rows.nil();
    const auto set = [&](Kind kind, double slope) {
      const int variable = find(kind, i);
      if (variable >= 0) row[variable] = slope * place_unit_mm;
    };
    set(Kind::x, -sign * from.per_x);
    set(Kind::y, -sign * from.per_y);
    set(Kind::z, sign);
    rows.must_not_be_positive(place.height_mm->low - height, -row);
    rows.must_not_be_positive(height - place.height_mm->high, row);
  }
}

Eigen::RowVectorXd Problem::wall_slope(const Wall& wall, std::size_t place) const {
  Eigen::RowVectorXd row = Eigen::RowVectorXd::Zero(static_cast<Eigen::Index>(variables_.size()));
  const auto set = [&](Kind kind, double slope) {
    const int variable = find(kind, place);
    if (variable < 0) return;
    row[variable] = slope * variables_[static_cast<std::size_t>(variable)].scale;
  };
  set(Kind::x, wall.per_mm.x());
  set(Kind::y, wall.per_mm.y());
  set(Kind::z, wall.per_mm.z());
  set(Kind::mass, wall.per_mm3 / ground_.wishes.places[place].density_g_cm3 * 1000);
  return row;
}

void Problem::add_wall(const Wall& wall, double least_mm, std::size_t place, Rows& rows) const {
  double short_of = least_mm - wall.mm;
  Eigen::RowVectorXd row = -wall_slope(wall, place);
  if (const int slack = find(Kind::slack_wall); slack >= 0) {
    short_of -= SlackUnits::wall_mm * at_[slack];
    row[slack] -= SlackUnits::wall_mm;
  }
  rows.must_not_be_positive(short_of, row);
}

void Problem::add_walls(const Design& design, Rows& rows) const {
  std::vector<Slug> slugs(choice_.places.size());
  for (std::size_t i = 0; i < slugs.size(); ++i) {
    if (!choice_.places[i].used) continue;
    slugs[i] = slug(design, i);
    for (const Wall& wall : walls_to_skin(slugs[i], ground_.lure.skin, demand_.closely)) {
      add_wall(wall, demand_.wall_min_mm, i, rows);
    }
    for (const Slug& fixed : ground_.fixed_slugs) {
      add_wall(wall_between(slugs[i], fixed).one, demand_.wall_min_mm, i, rows);
    }
    if (demand_.wire_min_mm) {
      for (const rig::Wire& wire : ground_.lure.rig.wires) {
        add_wall(wall_to_wire(slugs[i], wire), *demand_.wire_min_mm, i, rows);
      }
    }
    for (std::size_t j = 0; j < i; ++j) {
      if (!choice_.places[j].used) continue;
      const WallBetween between = wall_between(slugs[i], slugs[j]);
      add_wall(between.one, demand_.wall_min_mm, i, rows);
      rows.atmost_slope.back() -= wall_slope(between.other, j);
    }
  }
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

Problem::Overstepped Problem::overstepped(const Eigen::VectorXd& scaled) const {
  const auto slack = [&](Kind kind, std::size_t index, double unit) {
    const int variable = find(kind, index);
    return variable < 0 ? 0 : unit * scaled[variable];
  };
  Overstepped found{
      .tail_deg = slack(Kind::slack_tail, 0, SlackUnits::tail_deg),
      .list_deg = slack(Kind::slack_list, 0, SlackUnits::list_deg),
      .reserve_g = slack(Kind::slack_reserve, 0, SlackUnits::reserve_g),
      .stiffness = slack(Kind::slack_stiffness, 0, SlackUnits::stiffness_g_mm_per_deg),
      .wall_mm = slack(Kind::slack_wall, 0, SlackUnits::wall_mm)};
  for (std::size_t i = 0; i < choice_.places.size(); ++i) {
    found.x_low_mm.push_back(slack(Kind::slack_x_low, i, SlackUnits::x_mm));
    found.x_high_mm.push_back(slack(Kind::slack_x_high, i, SlackUnits::x_mm));
    found.mass_high_g.push_back(slack(Kind::slack_mass_high, i, SlackUnits::mass_g));
  }
  return found;
}

}  // namespace trueblank::tuning
