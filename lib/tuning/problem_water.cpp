// SPDX-License-Identifier: GPL-3.0-or-later
// What the water asks of a design: equilibrium, weight against buoyancy, stiffness.
#include <numbers>

#include "tuning/problem_rows.h"

namespace trueblank::tuning {
namespace {

// Steps over which the stiffness is differenced: about what sensitivities use, since the slope of a
// facetted body's second derivatives is another at every vertex that the waterline passes.
constexpr double angle_step_deg = 0.1;
constexpr double mass_step_g = 0.1;
constexpr double eye_step_mm = 0.1;

}  // namespace

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

}  // namespace trueblank::tuning
