// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/parallel.h"
#include "tuning/explain.h"
#include "tuning/workpiece.h"
#include "water/rest_poses.h"

// How to make a copy lie as its master does, by one weight.
namespace trueblank::tuning {

/// What may be left between a restored copy and its master for it to lie alike: about what a maker
/// can weigh and see.
struct RestoreTolerances {
  double reserve_g = 0.02;
  double tail_down_deg = 0.1;
  double list_deg = 0.5;
};

/// One change of the copy's rig, and how it lies then.
struct Restoring {
  enum class Kind {
    added,    ///< one more weight on y = 0, as low in the body as the wall lets it be
    changed,  ///< a ballast that is there, lighter or heavier, and moved along
    drilled   ///< a hole on y = 0 at half height, closed over and left empty
  };

  Kind kind = Kind::added;
  std::string metal = {};     ///< added: "lead", …
  std::string ballast = {};   ///< changed: the name of the one that was there
  double grams = 0;           ///< added; changed: what it gains (< 0: is taken off); drilled: of
                              ///< wood, < 0
  double mass_g = 0;          ///< of the weight then, 0 where drilled
  double density_g_cm3 = 0;   ///< of the weight; drilled: of the wood
  Vec3 at_mm = Vec3::Zero();  ///< the weight's (the hole's) middle then
  double moved_mm = 0;        ///< changed: along x, > 0 aft
  /// Least wood around it, taken as a ball where no hole is known; nothing for a ballast that as a
  /// ball is not all inside even as it is, since its shape is another.
  std::optional<double> wall_mm = {};
  Lies then = {};
  Lies left = {};    ///< then less master: what remains
  bool met = false;  ///< lies as the master does, within the tolerances, and stays within the wood
};

struct Restored {
  Lies master = {};
  Lies copy = {};       ///< before anything is done; angles nothing where its pose is lost
  bool needed = false;  ///< the copy lies otherwise by more than the tolerances
  /// Best first: those that bring it back, the one with the least to do first; then the nearest
  /// compromises. Empty where nothing is needed, or nothing can be done.
  std::vector<Restoring> ways = {};
};

/// How the master lies: what the copy is to be brought back to.
struct AsMaster {
  double reserve_g = 0;
  const water::RestPose& pose;
};

/// Finds the one weight that brings a copy back to its master's reserve, tail_down and list as near
/// as it can.
///
/// A copy that carries too much: one added weight of lead, or of a lead-free metal beside it. The
/// reserve fixes its mass, the tail where it is along the body; it lies on y = 0, and as low as
/// 3 mm of wood around it let it (1 mm where that is too much), other weights and wires minded. And
/// besides: the ballast that takes those grams on with the least move. A copy that carries too
/// little, one whose tail alone is off, or that no added weight brings back: each ballast in turn,
/// its mass and its station, at its own height and side, as long as 1 mm of wood (or as little as
/// it has) is left around it. Where that doesn't do for one that carries too little: a hole.
/// Weights are found as by find_weights, with its search, and judged by all poses of the finished
/// rig; a hole's station by bisection. The list follows: one weight on the mirror plane can't
/// change it by much, and `left` says what remains.
///
/// copy       the copy with its rig
/// copy_pose  the pose that the master's turned into; nothing where it is lost
/// returns    the same bytes whatever `loop` does
/// cost       as find_weights with quick effort, for each way
[[nodiscard]] Restored restored(const Workpiece& copy,
                                const std::optional<water::RestPose>& copy_pose,
                                const AsMaster& master, const geometry::ParallelFor& loop,
                                const RestoreTolerances& tolerances = {});

}  // namespace trueblank::tuning
