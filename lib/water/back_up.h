// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "water/rest_poses.h"

namespace trueblank::water {

/// How a lure comes to rest that a hand sets on the water back up.
struct BackUp {
  State state = State::floats;
  double reserve_g = 0;
  /// Second derivative of the energy, from the pose in which the hand held it, for a turn about the
  /// horizontal axis nearest the long axis, the pitch following: for a list it is that times the
  /// trim's cosine squared. Negative: let go it tips over to a side. Of a lure without reserve:
  /// what it would be, level, under water, displaced mass × height of B over G (per radian, over
  /// degrees).
  double upright_stiffness_g_mm_per_deg = 0;
  /// Where it comes to rest; no share and no barrier. Nothing where the search did not converge.
  std::optional<RestPose> pose;
  /// It stays as it was set: its upright stiffness is positive, and it comes to rest with its list
  /// within 45° (not asked where it has none).
  bool stands = false;
};

/// What is known of a near lure's pose, to find this one's by Newton's method alone.
struct BackUpGuess {
  Vec3 up = Vec3::UnitZ();  ///< unit
  double offset_mm = 0;
  bool stands = false;
};

/// Sets lures on the water back up that are variants of one lure.
///
/// The hand holds the lure at list 0, level at first, and lets it trim: downhill in energy along
/// up = (−sin t, 0, cos t), in steps of at most 5°. Then it lets go, and the lure goes downhill as
/// pose_near() tells. So the pose hangs on nothing but the lure itself. Of a lure with its weights
/// in the mirror plane the pose held is a rest pose where its upright stiffness is positive.
class BackUpSearch {
 public:
  /// nominal  one of the lures, by which rounding is judged
  explicit BackUpSearch(const Floater& nominal);

  /// cost  8 to 20 cuts, some hundred where it tips over; none without reserve
  [[nodiscard]] BackUp let_go(const Floater& lure) const;

  /// The same, by Newton's method from a guess; whether it stands is taken from the guess where its
  /// list does not tell.
  /// returns  nothing where there is no stable pose within 3° of the guess, or no reserve
  /// cost     2 to 5 cuts
  [[nodiscard]] std::optional<BackUp> near(const Floater& lure, const BackUpGuess& guess) const;

  struct Standing {
    bool stands = false;
    double upright_stiffness_g_mm_per_deg = 0;
    double trim_rad = 0;  ///< tail down, in which the hand held it
  };

  /// Of let_go() only whether it stands, and how firmly.
  /// trim_rad  in which the hand begins
  /// cost      as let_go(), but that it is not followed where it tips over
  [[nodiscard]] Standing standing(const Floater& lure, double trim_rad = 0) const;

 private:
  struct Held;
  [[nodiscard]] Held hold(const Floater& lure, double trim_rad) const;
  [[nodiscard]] bool rests_as_held(const Held& held) const;

  double nil_gradient_g_mm_ = 0;
  double nil_curvature_g_mm_ = 0;
};

}  // namespace trueblank::water
