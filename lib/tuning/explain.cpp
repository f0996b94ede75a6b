// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/explain.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <nlopt.hpp>
#include <stdexcept>
#include <utility>

#include "geometry/inside.h"
#include "rig/assembly.h"
#include "rig/materials.h"
#include "tuning/held_pose.h"
#include "water/near_pose.h"

namespace trueblank::tuning {
namespace {

constexpr double least_part_of_mass = 0.02;
constexpr int most_rounds = 30;
constexpr double slope_step = 0.2;  // of a standard deviation
constexpr double settled = 1e-4;
constexpr double explains_alone_below = 1.5;
constexpr double lead_g_cm3 = 11.34;
constexpr double metal_g_cm3 = 6;
constexpr double lost_misfit = 50;  // where no pose is found

// What may be off, one standard deviation each.
struct Parameter {
  std::string what;
  std::string unit;
  double sd = 0;
  std::function<void(rig::Assembly&, double by, double& scale)> apply;
};

rig::LaidPart with_mass(const rig::LaidPart& part, double by_g) {
  return rig::heavier(part, std::max(by_g, (least_part_of_mass - 1) * part.mass_g));
}

std::vector<Parameter> parameters_of(const rig::Assembly& assembly,
                                     const rig::Tolerances& tolerances) {
  std::vector<Parameter> all;
  if (assembly.wood_weighed) {
    const double blank_g = assembly.undrilled_wood_g;
    all.push_back({"the blank's weight", "g", tolerances.mass_g,
                   [blank_g](rig::Assembly& made, double by, double&) {
                     made = rig::with_wood_times(made, std::max(0.1, 1 + by / blank_g));
                   }});
  } else {
    all.push_back({"the wood's density", "%", tolerances.wood_density_percent,
                   [](rig::Assembly& made, double by, double&) {
                     made = rig::with_wood_times(made, std::max(0.1, 1 + by / 100));
                   }});
  }
  all.push_back({"the body's size", "%", tolerances.scale_percent,
                 [](rig::Assembly&, double by, double& scale) { scale *= 1 + by / 100; }});
  for (std::size_t i = 0; i < assembly.parts.size(); ++i) {
    const rig::LaidPart& part = assembly.parts[i];
    if (part.mass_g > 0) {
      all.push_back({"the mass of " + part.name, "g", tolerances.mass_g,
                     [i](rig::Assembly& made, double by, double&) {
                       made.parts[i] = with_mass(made.parts[i], by);
                     }});
    }
    if (part.kind == rig::PartKind::finish) continue;
    constexpr std::array<const char*, 3> ways = {" aft", " to the right", " up"};
    for (int axis = 0; axis < 3; ++axis) {
      all.push_back({part.name + ways[static_cast<std::size_t>(axis)], "mm", tolerances.place_mm,
                     [i, axis](rig::Assembly& made, double by, double&) {
                       made.parts[i] = rig::moved(made.parts[i], by * Vec3::Unit(axis));
                     }});
    }
  }
  std::erase_if(all, [](const Parameter& one) { return !(one.sd > 0); });
  return all;
}

Lies lies(const water::CutBody& body, const rig::Assembly& assembly, double scale,
          const Vec3& near_up) {
  const water::Floater lure =
      water::floater(body, rig::add_up(rig::on_scaled_body(assembly, scale)));
  const double cubed = scale * scale * scale;
  Lies found;
  found.reserve_g = (lure.displacement_full_g() - lure.mass_g) * cubed;
  const std::optional<water::RestPose> pose =
      water::pose_near(lure, near_up, {.start_mm = {}, .look_for_rings = false});
  if (!pose) return found;
  found.tail_down_deg = pose->tail_down_deg;
  found.list_deg = pose->list_deg;
  found.least_stiffness_g_mm_per_deg = pose->least_stiffness_g_mm_per_deg * cubed * scale;
  return found;
}

// What was seen as numbers, each in its own standard deviation.
class Sight {
 public:
  Sight(const Seen& seen, double water_g_cm3, const water::RestPose& nominal)
      : seen_(seen), lead_in_water_(1 - water_g_cm3 / lead_g_cm3) {
    const Angles angles{.tail_down_deg = seen.tail_down_deg.value_or(nominal.tail_down_deg),
                        .list_deg = seen.list_deg.value_or(nominal.list_deg.value_or(0))};
    up_ = angles.up();
  }

  [[nodiscard]] const Vec3& up() const { return up_; }

  // Foretold less seen.
  [[nodiscard]] Eigen::VectorXd misfit(const Lies& foretold) const {
    std::vector<double> off;
    if (seen_.tail_down_deg) {
      off.push_back(foretold.tail_down_deg
                        ? (*foretold.tail_down_deg - *seen_.tail_down_deg) / seen_.angle_sd_deg
                        : lost_misfit);
    }
    if (seen_.list_deg) {
      off.push_back(foretold.list_deg ? std::remainder(*foretold.list_deg - *seen_.list_deg, 360) /
                                            seen_.angle_sd_deg
                                      : lost_misfit);
    }
    if (seen_.sank_with_g) {
      off.push_back((foretold.reserve_g - lead_in_water_ * *seen_.sank_with_g) /
                    (lead_in_water_ * seen_.sank_sd_g));
    }
    return Eigen::Map<Eigen::VectorXd>(off.data(), static_cast<Eigen::Index>(off.size()));
  }

 private:
  const Seen& seen_;
  double lead_in_water_;
  Vec3 up_;
};

double root_mean_square(const Eigen::VectorXd& values) {
  return values.size() == 0 ? 0 : values.norm() / std::sqrt(static_cast<double>(values.size()));
}

// The problem of what is off, in standard deviations.
class Doubt {
 public:
  Doubt(const Workpiece& lure, const rig::Tolerances& tolerances, const water::RestPose& nominal,
        const Seen& seen)
      : body_(lure.cut),
        laid_(rig::assemble(lure.bare, lure.whole, lure.rig, lure.coated)),
        parameters_(parameters_of(laid_, tolerances)),
        sight_(seen, lure.rig.water.density_g_cm3, nominal) {}

  [[nodiscard]] const std::vector<Parameter>& parameters() const { return parameters_; }

  [[nodiscard]] const Sight& sight() const { return sight_; }

  [[nodiscard]] const rig::Assembly& laid() const { return laid_; }

  struct Build {
    rig::Assembly assembly;
    double scale = 1;
  };

  [[nodiscard]] Build build(const Eigen::VectorXd& off) const {
    Build made{laid_};
    for (std::size_t i = 0; i < parameters_.size(); ++i) {
      const double by = off[static_cast<Eigen::Index>(i)] * parameters_[i].sd;
      if (by != 0) parameters_[i].apply(made.assembly, by, made.scale);
    }
    return made;
  }

  [[nodiscard]] Lies lies_with(const Eigen::VectorXd& off) const {
    const Build made = build(off);
    return lies(body_, made.assembly, made.scale, sight_.up());
  }

  [[nodiscard]] Eigen::VectorXd misfit(const Eigen::VectorXd& off) const {
    return sight_.misfit(lies_with(off));
  }

  [[nodiscard]] Eigen::MatrixXd slopes(const Eigen::VectorXd& off) const {
    const Eigen::Index n = off.size();
    Eigen::MatrixXd slopes;
    for (Eigen::Index i = 0; i < n; ++i) {
      Eigen::VectorXd less = off;
      Eigen::VectorXd more = off;
      less[i] -= slope_step;
      more[i] += slope_step;
      const Eigen::VectorXd slope = (misfit(more) - misfit(less)) / (2 * slope_step);
      if (i == 0) slopes.resize(slope.size(), n);
      slopes.col(i) = slope;
    }
    return slopes;
  }

  // Gauss-Newton with halved steps; only the parameters of `which` may move.
  [[nodiscard]] Eigen::VectorXd most_likely(const std::vector<Eigen::Index>& which) const {
    Eigen::VectorXd off = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(parameters_.size()));
    const auto cost = [&](const Eigen::VectorXd& at) {
      return at.squaredNorm() + misfit(at).squaredNorm();
    };
    double least = cost(off);
    for (int round = 0; round < most_rounds; ++round) {
      Eigen::MatrixXd slope = slopes(off);
      Eigen::MatrixXd moving = Eigen::MatrixXd::Zero(slope.rows(), slope.cols());
      for (const Eigen::Index i : which) moving.col(i) = slope.col(i);
      const Eigen::Index m = moving.rows();
      const Eigen::MatrixXd inner = moving * moving.transpose() + Eigen::MatrixXd::Identity(m, m);
      const Eigen::VectorXd next =
          -moving.transpose() * inner.ldlt().solve(misfit(off) - moving * off);
      Eigen::VectorXd step = next - off;
      bool better = false;
      for (int halving = 0; halving < 8; ++halving, step /= 2) {
        const double there = cost(off + step);
        if (there >= least) continue;
        off += step;
        least = there;
        better = true;
        break;
      }
      if (!better || step.norm() < settled) break;
    }
    return off;
  }

 private:
  const water::CutBody& body_;
  rig::Assembly laid_;
  std::vector<Parameter> parameters_;
  Sight sight_;
};

std::vector<Eigen::Index> all_of(const Doubt& doubt) {
  std::vector<Eigen::Index> all;
  for (std::size_t i = 0; i < doubt.parameters().size(); ++i) {
    all.push_back(static_cast<Eigen::Index>(i));
  }
  return all;
}

Explained::Change change_of(const Parameter& parameter, double sigmas, double sd_sigmas) {
  return {.what = parameter.what,
          .unit = parameter.unit,
          .by = sigmas * parameter.sd,
          .sd = sd_sigmas * parameter.sd,
          .sigmas = sigmas};
}

}  // namespace

Explained explain(const Workpiece& lure, const rig::Tolerances& tolerances,
                  const water::RestPose& nominal, const Seen& seen) {
  const Doubt doubt(lure, tolerances, nominal, seen);
  const std::vector<Eigen::Index> all = all_of(doubt);
  const Eigen::VectorXd off = doubt.most_likely(all);
  const Eigen::MatrixXd slope = doubt.slopes(off);
  const Eigen::Index m = slope.rows();
  const Eigen::MatrixXd inner = slope * slope.transpose() + Eigen::MatrixXd::Identity(m, m);
  const Eigen::MatrixXd gain = inner.ldlt().solve(slope);
  Explained found;
  found.sigmas = off.norm();
  found.misfit = root_mean_square(doubt.misfit(off));
  const rig::Assembly& laid = doubt.laid();
  found.by_sheet = lies(lure.cut, laid, 1, nominal.up);
  found.now = doubt.lies_with(off);
  for (const Eigen::Index i : all) {
    const double left = std::max(0.0, 1 - slope.col(i).dot(gain.col(i)));
    found.changes.push_back(
        change_of(doubt.parameters()[static_cast<std::size_t>(i)], off[i], std::sqrt(left)));
  }
  std::ranges::stable_sort(found.changes, {},
                           [](const Explained::Change& one) { return -std::abs(one.sigmas); });
  for (const Eigen::Index i : all) {
    const Eigen::VectorXd alone = doubt.most_likely({i});
    const double misfit = root_mean_square(doubt.misfit(alone));
    if (misfit >= explains_alone_below) continue;
    const double pull = slope.col(i).squaredNorm();
    found.alone.push_back({.change = change_of(doubt.parameters()[static_cast<std::size_t>(i)],
                                               alone[i], 1 / std::sqrt(1 + pull)),
                           .misfit = misfit});
  }
  std::ranges::stable_sort(found.alone, {},
                           [](const Explained::Alone& one) { return std::abs(one.change.sigmas); });
  return found;
}

namespace {

// How far a lure is from what is wished, in tolerances.
struct Aim {
  double tail_down_deg = 0;
  double tail_tolerance_deg = 1;
  double list_tolerance_deg = 1;
  std::optional<double> reserve_g = {};
  double reserve_tolerance_g = 0.25;

  [[nodiscard]] std::array<double, 3> off(const Lies& lies) const {
    return {lies.tail_down_deg ? (*lies.tail_down_deg - tail_down_deg) / tail_tolerance_deg
                               : lost_misfit,
            lies.list_deg ? *lies.list_deg / list_tolerance_deg : lost_misfit,
            reserve_g ? (lies.reserve_g - *reserve_g) / reserve_tolerance_g : 0};
  }

  [[nodiscard]] double cost(const Lies& lies) const {
    double sum = 0;
    for (const double one : off(lies)) sum += one * one;
    return std::sqrt(sum / 3);
  }

  [[nodiscard]] bool met(const Lies& lies) const {
    return std::ranges::all_of(off(lies), [](double one) { return std::abs(one) <= 1 + 1e-9; });
  }
};

Aim aim_of(const rig::Target& target, const Lies& by_sheet) {
  Aim aim{.tail_down_deg = target.tail_down_deg.value_or(by_sheet.tail_down_deg.value_or(0)),
          .tail_tolerance_deg = target.tail_down_tolerance_deg,
          .list_tolerance_deg = target.list_tolerance_deg,
          .reserve_tolerance_g = target.reserve_tolerance_g};
  if (target.reserve_g) {
    const bool sinks = target.state == rig::WantedState::sinks;
    aim.reserve_g = sinks ? -*target.reserve_g : *target.reserve_g;
  }
  return aim;
}

using Values = std::vector<double>;

// What is altered, within bounds, and how.
struct Alteration {
  Remedy remedy;
  Values low;
  Values high;
  std::function<void(const Values&, rig::Assembly&, Remedy&)> apply;
};

// A rigid part at a point, its volume spread over 2 mm. Of sanded wood both are negative.
rig::LaidPart at_point(std::string name, const Vec3& at, double mass_g, double volume_mm3) {
  rig::LaidPart part{
      .name = std::move(name), .kind = rig::PartKind::outside, .mass_g = mass_g, .centre_mm = at};
  part.outside.push_back({.at_mm = at, .volume_mm3 = volume_mm3, .below_mm = 1, .above_mm = 1});
  return part;
}

struct Best {
  Values at;
  double cost = HUGE_VAL;
};

// A grid, then downhill without derivatives: few unknowns, and a cost that may jump.
Best least_cost(const Alteration& alteration, const std::function<double(const Values&)>& cost) {
  const std::size_t n = alteration.low.size();
  const int a_side = n == 1 ? 24 : n == 2 ? 12 : 7;
  int all = 1;
  for (std::size_t k = 0; k < n; ++k) all *= a_side;
  Best best;
  for (int i = 0; i < all; ++i) {
    Values at(n);
    int rest = i;
    for (std::size_t k = 0; k < n; ++k, rest /= a_side) {
      const double part = static_cast<double>(rest % a_side) / (a_side - 1);
      at[k] = alteration.low[k] + part * (alteration.high[k] - alteration.low[k]);
    }
    const double there = cost(at);
    if (there < best.cost) best = {at, there};
  }
  nlopt::opt search(nlopt::LN_COBYLA, static_cast<unsigned>(n));
  search.set_lower_bounds(alteration.low);
  search.set_upper_bounds(alteration.high);
  search.set_xtol_rel(1e-5);
  search.set_maxeval(200);
  Values step(n);
  for (std::size_t k = 0; k < n; ++k) {
    step[k] = (alteration.high[k] - alteration.low[k]) / (2 * (a_side - 1));
  }
  search.set_initial_step(step);
  const auto call = [](const Values& at, Values&, void* data) {
    return (*static_cast<const std::function<double(const Values&)>*>(data))(at);
  };
  search.set_min_objective(call, const_cast<void*>(static_cast<const void*>(&cost)));
  try {
    Values at = best.at;
    double least = 0;
    search.optimize(at, least);
    if (cost(at) < best.cost) best = {at, cost(at)};
  } catch (const std::runtime_error&) {
    // The grid's best stands.
  }
  return best;
}

constexpr double steel_g_cm3 = 7.85;
constexpr double most_hook_times = 3;
constexpr double most_ring_g = 6;
constexpr double most_wound_g = 15;
constexpr double most_new_weight_g = 30;
constexpr double most_sanded_mm3 = 3000;
constexpr double new_hole_above_belly_mm = 5;
constexpr double ends_left_out = 0.15;  // of the length, where a hole hardly fits

class Alterations {
 public:
  explicit Alterations(const Workpiece& lure) : lure_(lure) {}

  std::vector<Alteration> all() {
    for (const rig::Hook& hook : lure_.rig.hooks) {
      other_hook(hook);
      added_at(hook, Remedy::Kind::ring, steel_g_cm3, most_ring_g);
      added_at(hook, Remedy::Kind::wound_lead, lead_g_cm3, most_wound_g);
    }
    new_hole();
    for (const double side : {-1.0, 1.0}) sanding(side);
    return std::move(made_);
  }

 private:
  static std::size_t part_named(const rig::Assembly& assembly, const std::string& name) {
    std::size_t i = 0;
    while (i + 1 < assembly.parts.size() && assembly.parts[i].name != name) ++i;
    return i;
  }

  void other_hook(const rig::Hook& hook) {
    const std::string name = hook.name;
    made_.push_back(
        {.remedy = {.kind = Remedy::Kind::other_hook, .part = name, .at_mm = hook.eye_mm},
         .low = {0.2 * hook.mass_g},
         .high = {most_hook_times * hook.mass_g},
         .apply = [name](const Values& at, rig::Assembly& assembly, Remedy& remedy) {
           rig::LaidPart& part = assembly.parts[part_named(assembly, name)];
           part = rig::heavier(part, at[0] - part.mass_g);
           remedy.grams = at[0];
         }});
  }

  void added_at(const rig::Hook& hook, Remedy::Kind kind, double density_g_cm3, double most_g) {
    const Vec3 eye = hook.eye_mm;
    made_.push_back(
        {.remedy = {.kind = kind, .part = hook.name, .at_mm = eye},
         .low = {0},
         .high = {most_g},
         .apply = [eye, density_g_cm3](const Values& at, rig::Assembly& assembly, Remedy& remedy) {
           assembly.parts.push_back(at_point("added", eye, at[0], at[0] / density_g_cm3 * 1000));
           remedy.grams = at[0];
         }});
  }

  // Lead along the belly, as far to a side as half of the way to the skin.
  void new_hole() {
    const double length = lure_.length_mm;
    const double wood_g_mm3 = lure_.rig.wood_density_g_cm3 / 1000;
    made_.push_back(
        {.remedy = {.kind = Remedy::Kind::new_hole},
         .low = {0, ends_left_out * length, -1},
         .high = {most_new_weight_g, (1 - ends_left_out) * length, 1},
         .apply = [this, wood_g_mm3](const Values& at, rig::Assembly& assembly, Remedy& remedy) {
           const Vec3 place = low_in_the_body(at[1], at[2]);
           const double volume = at[0] / lead_g_cm3 * 1000;
           assembly.parts.push_back({.name = "new weight",
                                     .kind = rig::PartKind::ballast,
                                     .mass_g = at[0],
                                     .centre_mm = place,
                                     .wood_g = volume * wood_g_mm3,
                                     .wood_centre_mm = place});
           remedy.grams = at[0];
           remedy.at_mm = place;
         }});
  }

  // Off one flank at its widest, which takes wood and the water it displaced away alike.
  void sanding(double side) {
    const double length = lure_.length_mm;
    const double wood_g_mm3 = lure_.rig.wood_density_g_cm3 / 1000;
    made_.push_back({.remedy = {.kind = Remedy::Kind::sanding},
                     .low = {0, ends_left_out * length},
                     .high = {most_sanded_mm3, (1 - ends_left_out) * length},
                     .apply = [this, side, wood_g_mm3](const Values& at, rig::Assembly& assembly,
                                                       Remedy& remedy) {
                       const Vec3 place = on_flank(at[1], side);
                       assembly.parts.push_back(
                           at_point("sanded", place, -at[0] * wood_g_mm3, -at[0]));
                       remedy.grams = at[0] * wood_g_mm3;
                       remedy.volume_mm3 = at[0];
                       remedy.at_mm = place;
                     }});
  }

  [[nodiscard]] Vec3 low_in_the_body(double x, double side) {
    const Column& column = column_at(x);
    const double low = column.belly_mm;
    const double z = std::min(low + new_hole_above_belly_mm, (low + column.back_mm) / 2);
    return {x, side * column.half_width_mm / 2, z};
  }

  [[nodiscard]] Vec3 on_flank(double x, double side) {
    const Column& column = column_at(x);
    return {x, side * column.half_width_mm, column.widest_z_mm};
  }

  struct Column {
    double belly_mm = 0;
    double back_mm = 0;
    double half_width_mm = 0;
    double widest_z_mm = 0;
  };

  // By whole millimetres: finer than anybody drills or sands.
  const Column& column_at(double x) {
    const std::size_t place =
        static_cast<std::size_t>(std::clamp(std::round(x), 0.0, std::ceil(lure_.length_mm)));
    if (columns_.size() <= place) columns_.resize(place + 1);
    if (!columns_[place]) columns_[place] = find_column(static_cast<double>(place));
    return *columns_[place];
  }

  [[nodiscard]] Column find_column(double x) const {
    Column column;
    const auto heights = geometry::skin_heights_mm(lure_.bare, x, 0);
    if (!heights) return column;
    column.belly_mm = heights->first;
    column.back_mm = heights->second;
    constexpr int levels = 15;
    for (int i = 1; i < levels; ++i) {
      const double z = column.belly_mm + (column.back_mm - column.belly_mm) * i / levels;
      const Vec3 reach(0, 10 * lure_.length_mm, 0);
      const Vec3 at(x, 0, z);
      const std::vector<double> out = geometry::crossings(lure_.bare, at, at + reach);
      const double half = out.empty() ? 0 : out.back() * reach.y();
      if (half <= column.half_width_mm) continue;
      column.half_width_mm = half;
      column.widest_z_mm = z;
    }
    return column;
  }

  const Workpiece& lure_;
  std::vector<Alteration> made_;
  std::vector<std::optional<Column>> columns_;
};

}  // namespace

std::vector<Remedy> remedies(const Workpiece& lure, const rig::Tolerances& tolerances,
                             const rig::Target& target, const water::RestPose& nominal,
                             const Seen& seen) {
  const Doubt doubt(lure, tolerances, nominal, seen);
  const Doubt::Build now = doubt.build(doubt.most_likely(all_of(doubt)));
  const Aim aim = aim_of(target, lies(lure.cut, doubt.laid(), 1, nominal.up));
  Vec3 up = nominal.up;
  up.y() = 0;  // from back up: where it is to come to
  up.normalize();
  std::vector<Remedy> found;
  Alterations alterations(lure);
  for (Alteration& alteration : alterations.all()) {
    const auto altered = [&](const Values& at, Remedy& remedy) {
      rig::Assembly assembly = now.assembly;
      alteration.apply(at, assembly, remedy);
      return lies(lure.cut, assembly, now.scale, up);
    };
    const std::function<double(const Values&)> cost = [&](const Values& at) {
      Remedy unused;
      return aim.cost(altered(at, unused));
    };
    const Best best = least_cost(alteration, cost);
    Remedy remedy = alteration.remedy;
    remedy.then = altered(best.at, remedy);
    remedy.cost = best.cost;
    remedy.met = aim.met(remedy.then);
    found.push_back(std::move(remedy));
  }
  std::ranges::stable_sort(
      found, {}, [](const Remedy& one) { return std::pair(!one.met, one.met ? 0.0 : one.cost); });
  return found;
}

std::vector<DrilledIn> drilled_in(const Workpiece& lure, const water::RestPose& nominal) {
  std::vector<DrilledIn> found;
  const rig::Assembly stuck = rig::assemble(lure.bare, lure.whole, lure.rig, lure.coated);
  for (std::size_t i = 0; i < lure.rig.outsides.size(); ++i) {
    const rig::Outside& outside = lure.rig.outsides[i];
    if (outside.density_g_cm3 < metal_g_cm3) continue;
    const auto heights = geometry::skin_heights_mm(lure.bare, outside.at_mm.x(), outside.at_mm.y());
    if (!heights) continue;
    const auto [belly, back] = *heights;
    // As heavy in water: stuck on it loses the water it displaces, drilled in the wood.
    const double grams = outside.mass_g *
                         (1 - lure.rig.water.density_g_cm3 / outside.density_g_cm3) /
                         (1 - lure.rig.wood_density_g_cm3 / outside.density_g_cm3);
    const double z = std::min(belly + new_hole_above_belly_mm, (belly + back) / 2);
    DrilledIn one{.name = outside.name,
                  .stuck_on_g = outside.mass_g,
                  .drilled_in_g = grams,
                  .stuck_on_mm = outside.at_mm,
                  .drilled_in_mm = {outside.at_mm.x(), outside.at_mm.y(), z}};
    rig::Rig rig = lure.rig;
    rig.outsides.erase(rig.outsides.begin() + static_cast<std::ptrdiff_t>(i));
    rig.ballasts.push_back({.name = outside.name,
                            .at_mm = one.drilled_in_mm,
                            .mass_g = grams,
                            .density_g_cm3 = outside.density_g_cm3});
    one.stuck_on = lies(lure.cut, stuck, 1, nominal.up);
    one.drilled_in =
        lies(lure.cut, rig::assemble(lure.bare, lure.whole, rig, lure.coated), 1, nominal.up);
    found.push_back(std::move(one));
  }
  return found;
}

}  // namespace trueblank::tuning
