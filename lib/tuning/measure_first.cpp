// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/measure_first.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "water/near_pose.h"
#include "water/pose_figures.h"
#include "water/sensitivity.h"

namespace trueblank::tuning {
namespace {

constexpr double scale_step = 1e-3;

struct Effect {
  std::string what;
  bool measurable = true;
  double tail_deg = 0;  // for one standard deviation
  double list_deg = 0;
  double reserve_g = 0;
};

Effect effect_of(std::string what, const water::Slope& slope, double sd, bool measurable) {
  return {.what = std::move(what),
          .measurable = measurable,
          .tail_deg = sd * slope.tail_down_deg.value_or(0),
          .list_deg = sd * slope.list_deg.value_or(0),
          .reserve_g = sd * slope.reserve_g};
}

// Along three axes, all of one standard deviation.
Effect effect_of_place(const water::PartSlopes& part, double sd) {
  Effect whole{.what = "where " + part.name + " is", .measurable = false};
  for (const water::Slope& slope : *part.per_mm) {
    const Effect one = effect_of({}, slope, sd, false);
    whole.tail_deg = std::hypot(whole.tail_deg, one.tail_deg);
    whole.list_deg = std::hypot(whole.list_deg, one.list_deg);
    whole.reserve_g = std::hypot(whole.reserve_g, one.reserve_g);
  }
  return whole;
}

// A body a little larger or smaller, in true lengths and masses.
struct Sized {
  double reserve_g = 0;
  std::optional<water::RestPose> pose;
};

Sized sized(const water::CutBody& body, const rig::Assembly& assembly,
            const water::RestPose& nominal, double scale) {
  const water::Floater lure =
      water::floater(body, rig::add_up(rig::on_scaled_body(assembly, scale)));
  Sized found;
  found.reserve_g = (lure.displacement_full_g() - lure.mass_g) * scale * scale * scale;
  if (nominal.waterline_offset_mm) {
    found.pose = water::pose_followed(lure, nominal);
  } else if (found.reserve_g <= 0) {
    found.pose = water::hanging_pose(lure);
  }
  return found;
}

water::Slope slope_of_scale(const water::CutBody& body, const rig::Assembly& assembly,
                            const water::RestPose& nominal) {
  const Sized less = sized(body, assembly, nominal, 1 - scale_step);
  const Sized more = sized(body, assembly, nominal, 1 + scale_step);
  constexpr double width_percent = 200 * scale_step;
  water::Slope slope;
  slope.reserve_g = (more.reserve_g - less.reserve_g) / width_percent;
  if (!less.pose || !more.pose) return slope;
  slope.tail_down_deg = (more.pose->tail_down_deg - less.pose->tail_down_deg) / width_percent;
  slope.list_deg = water::list_apart_deg(*more.pose, *less.pose);
  if (slope.list_deg) *slope.list_deg /= width_percent;
  return slope;
}

}  // namespace

VarianceShares variance_shares(const water::CutBody& body, const rig::Assembly& assembly,
                               const rig::Tolerances& tolerances, const water::RestPose& nominal) {
  const water::Sensitivity slopes = water::sensitivity(body, assembly, nominal, {});
  std::vector<Effect> effects;
  if (assembly.wood_weighed) {
    effects.push_back(effect_of("the blank's weight", slopes.wood_per_g, tolerances.mass_g, true));
  } else {
    effects.push_back(effect_of("the wood's density", slopes.wood_per_percent,
                                tolerances.wood_density_percent, true));
  }
  if (!nominal.indifferent) {
    effects.push_back(effect_of("the body's size", slope_of_scale(body, assembly, nominal),
                                tolerances.scale_percent, true));
  }
  for (const water::PartSlopes& part : slopes.parts) {
    if (part.per_g) {
      effects.push_back(
          effect_of("the mass of " + part.name, *part.per_g, tolerances.mass_g, true));
    }
    if (part.per_mm) effects.push_back(effect_of_place(part, tolerances.place_mm));
  }
  VarianceShares shares;
  for (const Effect& effect : effects) {
    shares.tail_down_sd_deg = std::hypot(shares.tail_down_sd_deg, effect.tail_deg);
    shares.list_sd_deg = std::hypot(shares.list_sd_deg, effect.list_deg);
    shares.reserve_sd_g = std::hypot(shares.reserve_sd_g, effect.reserve_g);
  }
  const auto share = [](double one, double all) { return all > 0 ? (one / all) * (one / all) : 0; };
  for (const Effect& effect : effects) {
    shares.of.push_back({.what = effect.what,
                         .measurable = effect.measurable,
                         .tail_down = share(effect.tail_deg, shares.tail_down_sd_deg),
                         .list = share(effect.list_deg, shares.list_sd_deg),
                         .reserve = share(effect.reserve_g, shares.reserve_sd_g)});
  }
  std::ranges::stable_sort(shares.of, {}, [](const VarianceShares::One& one) {
    return -std::max({one.tail_down, one.list, one.reserve});
  });
  return shares;
}

}  // namespace trueblank::tuning
