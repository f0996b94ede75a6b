// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "geometry/parallel.h"
#include "water/waterline.h"

namespace trueblank::water {

enum class State { floats, suspends, sinks };

/// Suspends where the reserve is no more than 1 % of the mass, either way.
[[nodiscard]] State state_of(double mass_g, double reserve_g);

/// What holds a lure in a pose: the lowest way out of it to another pose, or, of a sole pose, the
/// lowest way all round to itself.
///
/// A ring counts as one pose, from the least energy on it. Of ways over passes of one height (to
/// 1e-6 of the barrier) the one to the pose that comes first is told, then the one over the right
/// flank.
struct Barrier {
  double barrier_g_mm = 0;  ///< energy at the pass less that of the pose: the work to be put in
  int to = 0;               ///< where it then goes by itself, by steepest descent: in `poses`
  Vec3 up = Vec3::UnitZ();  ///< the pass: unit, body frame
  double hardest_push_g_mm =
      0;                      ///< greatest |dE/d(turn)|, per rad, on the way up to the pass, which
                              ///< is steepest descent from the pass, backwards; to about 1e-3
  double tolerance_g_mm = 0;  ///< how far barrier_g_mm may be off; 0: no more than rounding
};

/// One way that a lure can lie: an `up` (unit vector away from the centre of the Earth, body frame)
/// and a waterline at which weight equals buoyancy, the two act in one line, and every small turn
/// is resisted.
///
/// Stiffness is the second derivative of the energy for a turn, the waterline following: roll about
/// the horizontal axis nearest the long axis, pitch about the horizontal axis square to that one,
/// each with the other turn held still; least, the smallest over all horizontal axes.
///
/// An indifferent pose is a closed ring of directions along which the energy varies by less than
/// 0.01 g·mm, or all directions where it varies by no more over all of them. It is told by the
/// direction of the ring that is nearest to back up, of those equally near the one with the nose
/// lowest; its second derivatives are told as nil where the dimples of a facetted body make them
/// negative.
struct RestPose {
  Vec3 up = Vec3::UnitZ();
  double tail_down_deg = 0;        ///< asin(−up.x)
  std::optional<double> list_deg;  ///< atan2(−up.y, up.z), > 0 with the right flank down; nothing
                                   ///< where |tail_down| > 85, or on a ring about the long axis
  std::optional<double> waterline_offset_mm;  ///< up·p of the water's surface; none for a sinker
  double submerged_mm3 = 0;                   ///< of the body alone
  Vec3 centre_of_buoyancy_mm = Vec3::Zero();  ///< of the body alone
  double waterplane_mm2 = 0;                  ///< of the body alone
  std::optional<double> roll_stiffness_g_mm_per_deg;   ///< nothing where |tail_down| > 85
  std::optional<double> pitch_stiffness_g_mm_per_deg;  ///< likewise
  double least_stiffness_g_mm_per_deg = 0;
  std::optional<double> list_stiffness_g_mm_per_deg;  ///< d²E/dlist² with the trim following, that
                                                      ///< is, of the least E over tail_down at
                                                      ///< each list; nothing where list_deg is
  std::optional<double> gm_roll_mm;   ///< stiffness per radian over the mass
  std::optional<double> gm_pitch_mm;  ///< likewise
  double share =
      0;  ///< of all directions, that from which steepest descent of the energy ends here
  bool indifferent = false;
  std::optional<Barrier> barrier;  ///< nothing where there is no pass, and for a sinker
  /// Where there is none: the work that turns the pose upside down, E(−up) − E(up). Nothing where
  /// the pose is indifferent or another pose is known.
  std::optional<double> overturn_g_mm;
  double energy_g_mm = 0;            ///< of this pose; comparable between poses of one lure
  Mat3 hessian_g_mm = Mat3::Zero();  ///< second derivatives over turns, as Waterline's, per rad²
};

/// What a rigged lure does in still water.
struct Balance {
  State state = State::floats;
  double mass_g = 0;
  double displacement_full_g = 0;  ///< all parts
  double reserve_g = 0;            ///< displacement_full_g − mass_g
  std::vector<RestPose> poses;     ///< by share (to 0.01), then smaller |list|, then positive list
};

/// All rest poses of a lure. Where its reserve is nil or less it hangs under water, the centre of
/// all its buoyancy above its centre of mass.
///
/// The energy is tabled over an even grid of directions; Newton's method from even starts and from
/// all low places of the table finds the poses; steepest descents on the table count the shares.
/// Newton's method from where the table shows passes, and steepest descents from there, tell the
/// barriers. Where all directions are alike (indifferent) there is one pose and no barrier.
///
/// lure  mass_g > 0, the body's volume > 0
/// loop  the result is the same to the last bit whatever it does
/// cost  some 25,000 cuts of the body for the table, whatever the shape
[[nodiscard]] Balance balance(const Floater& lure,
                              const geometry::ParallelFor& loop = geometry::serial_for);

/// What a small change does to a pose, from its second derivatives: how far it lists when `mass_g`
/// of its own mass moves `move_mm` to its right (trim following freely). Nothing where the pose has
/// no list or does not resist.
[[nodiscard]] std::optional<double> list_for_sideways_move_deg(const RestPose& pose, double mass_g,
                                                               double move_mm);

}  // namespace trueblank::water
