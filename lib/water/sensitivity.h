// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "rig/assembly.h"
#include "water/rest_poses.h"

namespace trueblank::water {

/// What one more of something (a gram, a millimetre, a percent) changes: the change over a small
/// step to both sides, divided by it. The pose's own figures are nothing where there is no pose to
/// follow: one that is indifferent, or one at its border.
struct Slope {
  std::optional<double> tail_down_deg;
  std::optional<double> list_deg;  ///< nothing too where the pose has no list
  double reserve_g = 0;
  std::optional<double> least_stiffness_g_mm_per_deg;
  /// Within the step the pose is lost: it no longer resists a small turn, or a floater is drawn
  /// under, or a sinker comes up.
  bool at_border = false;
};

struct PartSlopes {
  std::string name;
  rig::PartKind kind = rig::PartKind::ballast;
  std::optional<Slope> per_g;  ///< more of the same stuff in its place; nothing for an empty pocket
  /// Moved aft (x), to the right (y), up (z); nothing for a finish, which is where the skin is.
  std::optional<std::array<Slope, 3>> per_mm;
};

/// A hook to be changed.
struct HookSize {
  std::size_t part = 0;             ///< its place in Assembly::parts
  std::optional<double> size_up_g;  ///< the mass of the next size; nothing: a quarter heavier
};

/// All hooks of a rig, which lie in its assembly in their order.
[[nodiscard]] std::vector<HookSize> hook_sizes(const rig::Assembly& assembly,
                                               std::span<const rig::Hook> hooks);

enum class Hooked { lost, size_up };

/// What a lost or a bigger hook does to a lure that is let go where it lay before.
struct HookChange {
  std::string name;
  Hooked change = Hooked::lost;
  double mass_g = 0;     ///< of the hook then; nil where it is lost
  bool assumed = false;  ///< the next size's mass was not given
  State state = State::floats;
  double reserve_g = 0;
  std::optional<RestPose> pose;     ///< as pose_near() tells it; nothing where it found none
  std::optional<double> turns_deg;  ///< the angle between the old `up` and the new one
  /// It then lies on another side: its list, measured the short way round, is more than 45° from
  /// what it was. False where either has no list (it hangs upright); turns_deg and state tell of
  /// that, and of a floater that is drawn under.
  bool rolls = false;
};

struct Sensitivity {
  std::vector<PartSlopes> parts;    ///< as in the assembly
  Slope wood_per_percent;           ///< of the wood's density
  Slope wood_per_g;                 ///< of the bare, undrilled blank's weight
  std::vector<HookChange> changes;  ///< for each hook: lost, then one size up
};

/// What a gram, a millimetre, a percent changes near a pose, and what a hook does.
///
/// Central differences over 0.1 g (half the part, if that is less), 0.1 mm, 0.1 %, each side
/// followed by Newton's method from the nominal pose. So wide a step because the slope of a
/// facetted body's second derivatives is another at every vertex that the waterline passes: slopes
/// of stiffness at a point would be those of one facet, while such a step, about the finest that a
/// maker can weigh or measure, passes over many. Against the derivative itself that errs by the
/// square of the step.
///
/// body      the (coated) body
/// assembly  of the rig; its sum floats or sinks as `nominal` does
/// nominal   a pose of that lure
/// hooks     places of hooks in the assembly
/// cost      about 10 cuts for each side of each step, 30 to some hundred for each hook change
[[nodiscard]] Sensitivity sensitivity(const CutBody& body, const rig::Assembly& assembly,
                                      const RestPose& nominal, std::span<const HookSize> hooks);

/// The list of one pose less that of another, the short way round, -180 to 180; nothing where
/// either has none.
[[nodiscard]] std::optional<double> list_apart_deg(const RestPose& pose, const RestPose& from);

/// Another side is up: the lists are further apart than this.
inline constexpr double rolls_beyond_deg = 45;

}  // namespace trueblank::water
