// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/sensitivity.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "water/near_pose.h"
#include "water/pose_figures.h"
#include "water/sphere_grid.h"

namespace trueblank::water {
namespace {

constexpr double step_g = 0.1;
constexpr double step_mm = 0.1;
constexpr double step_percent = 0.1;
constexpr double size_up_unless_said = 1.25;

rig::Assembly with_part(const rig::Assembly& assembly, std::size_t part, rig::LaidPart changed) {
  rig::Assembly made = assembly;
  made.parts[part] = std::move(changed);
  return made;
}

// One lure near a pose, asked for what changes do to it.
class Nearby {
 public:
  Nearby(const CutBody& body, const rig::Assembly& assembly, const RestPose& nominal)
      : body_(body), assembly_(assembly), nominal_(nominal) {}

  [[nodiscard]] PartSlopes slopes_of(std::size_t i) const {
    const rig::LaidPart& part = assembly_.parts[i];
    PartSlopes slopes{.name = part.name, .kind = part.kind, .per_g = {}, .per_mm = {}};
    if (part.mass_g > 0) {
      slopes.per_g = slope(std::min(step_g, part.mass_g / 2), [&](double grams) {
        return with_part(assembly_, i, rig::heavier(part, grams));
      });
    }
    if (part.kind == rig::PartKind::finish) return slopes;
    slopes.per_mm.emplace();
    for (int axis = 0; axis < 3; ++axis) {
      (*slopes.per_mm)[static_cast<std::size_t>(axis)] = slope(step_mm, [&](double by_mm) {
        return with_part(assembly_, i, rig::moved(part, by_mm * Vec3::Unit(axis)));
      });
    }
    return slopes;
  }

  [[nodiscard]] Slope wood_per_percent() const {
    return slope(step_percent, [&](double percent) {
      return rig::with_wood_times(assembly_, 1 + percent / 100);
    });
  }

  [[nodiscard]] Slope wood_per_g() const {
    const double blank_g = assembly_.undrilled_wood_g;
    return slope(std::min(step_g, blank_g / 2), [&](double grams) {
      return rig::with_wood_times(assembly_, 1 + grams / blank_g);
    });
  }

  [[nodiscard]] HookChange lost(std::size_t hook) const {
    HookChange change = after(rig::without(assembly_, hook));
    change.name = assembly_.parts[hook].name;
    return change;
  }

  [[nodiscard]] HookChange size_up(const HookSize& hook) const {
    const rig::LaidPart& part = assembly_.parts[hook.part];
    const double mass_g = hook.size_up_g.value_or(size_up_unless_said * part.mass_g);
    const rig::LaidPart bigger = rig::heavier(part, mass_g - part.mass_g);
    HookChange change = after(with_part(assembly_, hook.part, bigger));
    change.name = part.name;
    change.change = Hooked::size_up;
    change.mass_g = mass_g;
    change.assumed = !hook.size_up_g;
    return change;
  }

 private:
  struct Side {
    double reserve_g = 0;
    std::optional<RestPose> pose;
  };

  [[nodiscard]] Side side(const rig::Assembly& changed) const {
    const Floater lure = floater(body_, rig::add_up(changed));
    Side found;
    found.reserve_g = lure.displacement_full_g() - lure.mass_g;
    if (nominal_.indifferent) return found;
    if (nominal_.waterline_offset_mm) {
      found.pose = pose_followed(lure, nominal_);
    } else if (found.reserve_g <= 0) {
      found.pose = hanging_pose(lure);
    }
    return found;
  }

  template <class Change>
  [[nodiscard]] Slope slope(double step, const Change& change) const {
    const Side less = side(change(-step));
    const Side more = side(change(step));
    const double width = 2 * step;
    Slope found;
    found.reserve_g = (more.reserve_g - less.reserve_g) / width;
    if (!less.pose || !more.pose) {
      found.at_border = !nominal_.indifferent;
      return found;
    }
    found.tail_down_deg = (more.pose->tail_down_deg - less.pose->tail_down_deg) / width;
    found.list_deg = list_apart_deg(*more.pose, *less.pose);
    if (found.list_deg) *found.list_deg /= width;
    found.least_stiffness_g_mm_per_deg =
        (more.pose->least_stiffness_g_mm_per_deg - less.pose->least_stiffness_g_mm_per_deg) / width;
    return found;
  }

  [[nodiscard]] HookChange after(const rig::Assembly& changed) const {
    const Floater lure = floater(body_, rig::add_up(changed));
    HookChange change;
    change.reserve_g = lure.displacement_full_g() - lure.mass_g;
    change.state = state_of(lure.mass_g, change.reserve_g);
    change.pose = pose_near(lure, nominal_.up, {.start_mm = nominal_.waterline_offset_mm});
    if (!change.pose) return change;
    change.turns_deg = angle_between_rad(change.pose->up, nominal_.up) * 180 / std::numbers::pi;
    const std::optional<double> apart_deg = list_apart_deg(*change.pose, nominal_);
    change.rolls = apart_deg && std::abs(*apart_deg) > rolls_beyond_deg;
    return change;
  }

  const CutBody& body_;
  const rig::Assembly& assembly_;
  const RestPose& nominal_;
};

}  // namespace

std::optional<double> list_apart_deg(const RestPose& pose, const RestPose& from) {
  if (!pose.list_deg || !from.list_deg) return {};
  return std::remainder(*pose.list_deg - *from.list_deg, 360);
}

std::vector<HookSize> hook_sizes(const rig::Assembly& assembly, std::span<const rig::Hook> hooks) {
  std::vector<HookSize> sizes;
  for (std::size_t i = 0; i < assembly.parts.size() && sizes.size() < hooks.size(); ++i) {
    if (assembly.parts[i].kind != rig::PartKind::hook) continue;
    sizes.push_back({.part = i, .size_up_g = hooks[sizes.size()].size_up_g});
  }
  return sizes;
}

Sensitivity sensitivity(const CutBody& body, const rig::Assembly& assembly, const RestPose& nominal,
                        std::span<const HookSize> hooks) {
  const Nearby nearby(body, assembly, nominal);
  Sensitivity found;
  for (std::size_t i = 0; i < assembly.parts.size(); ++i) {
    found.parts.push_back(nearby.slopes_of(i));
  }
  found.wood_per_percent = nearby.wood_per_percent();
  found.wood_per_g = nearby.wood_per_g();
  for (const HookSize& hook : hooks) {
    found.changes.push_back(nearby.lost(hook.part));
    found.changes.push_back(nearby.size_up(hook));
  }
  return found;
}

}  // namespace trueblank::water
