// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "geometry/moments.h"
#include "geometry/parallel.h"
#include "rig/parts.h"
#include "water/cut_body.h"
#include "water/rest_poses.h"

// What a copy does in the water that its master does not, both rigged alike. Changes are always
// copy less master: a reserve change > 0 is a copy that carries more, a tail_down change > 0 one
// whose tail lies deeper.
namespace trueblank::effect {

/// A body with its rig. All in the master's body frame. Refers to what it is made of.
struct RiggedBody {
  const geometry::ClosedMesh& bare;
  const geometry::Moments& whole;   ///< of `bare`
  const geometry::ClosedMesh& wet;  ///< the body that the water sees
  const geometry::Moments& coated;  ///< as rig::assemble() wants it
  water::CutBody cut;               ///< of `wet`
  const rig::Rig& rig;
};

/// How a lure lies, in one pose; the pose's own figures are nothing where the pose was lost.
struct LiesAs {
  double volume_mm3 = 0;  ///< of the bare body
  double mass_g = 0;
  double displacement_full_g = 0;
  double reserve_g = 0;
  std::optional<double> tail_down_deg = {};
  std::optional<double> list_deg = {};  ///< nothing too where the pose has none
  std::optional<double> roll_stiffness_g_mm_per_deg = {};
  std::optional<double> pitch_stiffness_g_mm_per_deg = {};
  std::optional<double> least_stiffness_g_mm_per_deg = {};
  std::optional<double> gm_roll_mm = {};
  std::optional<double> gm_pitch_mm = {};
};

/// One less another; nothing where either has none. Lists differ the short way round.
[[nodiscard]] LiesAs difference(const LiesAs& of, const LiesAs& from);

/// A copy whose pose is further than this from the master's lies otherwise: its pose is lost.
inline constexpr double lost_beyond_deg = 30;

struct CopyEffect {
  water::Balance master;
  water::Balance copy;
  int master_pose = -1;  ///< of master.poses: the one that most starts lead to; -1: there is none
  /// Of copy.poses: where the copy goes when it is let go as the master lies. -1: lost; it then
  /// turns by more than `lost_beyond_deg`, or nowhere.
  int copy_pose = -1;
  std::optional<double> turned_deg = {};  ///< between the two `up`; nothing where it goes nowhere
  bool state_changed = false;             ///< one floats, suspends or sinks and the other doesn't

  LiesAs master_lies = {};
  LiesAs copy_lies = {};
  LiesAs change = {};
  /// What of `change` comes of size alone: of the master grown evenly about its centroid to the
  /// copy's volume, its rig in its places, less the master. The rest comes of shape.
  LiesAs by_size = {};
  LiesAs by_shape = {};

  double larger_percent = 0;  ///< the bare copy's volume over the master's

  [[nodiscard]] bool lost() const { return master_pose >= 0 && copy_pose < 0; }
};

/// Both lures' rest poses, and the one that is meant followed from master to copy.
///
/// master, copy  masses > 0
/// returns       the same bytes whatever `loop` does; of two bodies alike to the last bit all
///               changes are nil
/// cost          water::balance() twice, one moment tree
[[nodiscard]] CopyEffect copy_effect(const RiggedBody& master, const RiggedBody& copy,
                                     const geometry::ParallelFor& loop = geometry::serial_for);

/// The same where the master's own balance is known, as for the second of many copies.
///
/// as_master  balance_of(master)
[[nodiscard]] CopyEffect copy_effect(const RiggedBody& master, const water::Balance& as_master,
                                     const RiggedBody& copy,
                                     const geometry::ParallelFor& loop = geometry::serial_for);

[[nodiscard]] water::Balance balance_of(const RiggedBody& body,
                                        const geometry::ParallelFor& loop = geometry::serial_for);

}  // namespace trueblank::effect
