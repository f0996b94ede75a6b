// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <nlopt.hpp>
#include <stdexcept>
#include <utility>

#include "geometry/inside.h"
#include "tuning/doubt.h"
#include "tuning/explain.h"

namespace trueblank::tuning {
namespace {

constexpr double metal_g_cm3 = 6;  // of a trial weight, and not of a lip

constexpr double least_reserve_g = 0.5;  // less of it is no floater to rely on
// Less than this is nothing to do.
constexpr double least_remedy_g = 0.05;

// How far a lure is from what is wished, in tolerances.
struct Aim {
  double tail_down_deg = 0;
  double tail_tolerance_deg = 1;
  double list_tolerance_deg = 1;
  std::optional<double> reserve_g = {};
  double reserve_tolerance_g = 0.25;
  bool floats = true;  ///< or sinks: what no remedy may turn into the other, reserve asked or not

  // Nil on the side that it is to be on.
  [[nodiscard]] double wrong_side_g(const Lies& lies) const {
    return std::max(0.0,
                    floats ? least_reserve_g - lies.reserve_g : lies.reserve_g + least_reserve_g);
  }

  [[nodiscard]] std::array<double, 3> off(const Lies& lies) const {
    return {lies.tail_down_deg ? (*lies.tail_down_deg - tail_down_deg) / tail_tolerance_deg
                               : lost_misfit,
            lies.list_deg ? *lies.list_deg / list_tolerance_deg : lost_misfit,
            (reserve_g ? lies.reserve_g - *reserve_g : wrong_side_g(lies)) / reserve_tolerance_g};
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
  Aim aim{
      .tail_down_deg = target.tail_down_deg.value_or(by_sheet.tail_down_deg.value_or(0)),
      .tail_tolerance_deg = target.tail_down_tolerance_deg,
      .list_tolerance_deg = target.list_tolerance_deg,
      .reserve_tolerance_g = target.reserve_tolerance_g,
      .floats = target.state ? target.state == rig::WantedState::floats : by_sheet.reserve_g > 0};
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
      added_at(hook, Remedy::Kind::ring, density_of("steel"), most_ring_g);
      added_at(hook, Remedy::Kind::wound_lead, density_of("lead"), most_wound_g);
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
           const double volume = at[0] / density_of("lead") * 1000;
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
  const Doubt::Build now = doubt.build(doubt.laid(), doubt.most_likely(doubt.all()));
  const Aim aim = aim_of(target, water::lies(lure.cut, doubt.laid(), 1, nominal.up));
  Vec3 up = nominal.up;
  up.y() = 0;  // from back up: where it is to come to
  up.normalize();
  std::vector<Remedy> found;
  if (aim.met(water::lies(lure.cut, now.assembly, now.scale, up))) return found;
  Alterations alterations(lure);
  for (Alteration& alteration : alterations.all()) {
    const auto altered = [&](const Values& at, Remedy& remedy) {
      rig::Assembly assembly = now.assembly;
      alteration.apply(at, assembly, remedy);
      return water::lies(lure.cut, assembly, now.scale, up);
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
    if (remedy.grams >= least_remedy_g) found.push_back(std::move(remedy));
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
    one.stuck_on = water::lies(lure.cut, stuck, 1, nominal.up);
    one.drilled_in = water::lies(lure.cut, rig::assemble(lure.bare, lure.whole, rig, lure.coated),
                                 1, nominal.up);
    found.push_back(std::move(one));
  }
  return found;
}

}  // namespace trueblank::tuning
