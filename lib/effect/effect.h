// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "effect/skin_layer.h"
#include "rig/parts.h"
#include "symmetry/deviation.h"
#include "water/rest_poses.h"

// Whether an asymmetry matters in the water: what the wood that a body has too much of on one side
// does to a rest pose.
namespace trueblank::effect {

/// The wood's density on either side; of a rig without halves the same on both.
[[nodiscard]] WoodDensity wood_of(const rig::Rig& rig, const symmetry::SideVolumes& bare);

/// What some too much wood does by being there; sanding it off undoes it.
///
/// Its weight and the lift of the water that it displaces pull opposite ways. A proud flank under
/// water lifts its side, since wood is lighter than water; one above the waterline sinks it.
struct PartEffect {
  double volume_mm3 = 0;
  double wet_mm3 = 0;  ///< of it, under water
  double wood_g = 0;
  double weight_moment_g_mm = 0;   ///< > 0 turns the right flank down
  double lift_moment_g_mm = 0;     ///< likewise; of a proud right flank < 0
  double turning_moment_g_mm = 0;  ///< of both together
  double list_deg = 0;             ///< what it adds to the pose's list, the trim following
};

/// What the unlike weight of a two-piece body's halves does, beside halves of one density.
struct HalvesEffect {
  double turning_moment_g_mm = 0;
  double list_deg = 0;
};

struct Effect {
  double pose_list_deg = 0;         ///< the list of the pose as it is, whatever it comes from
  PartEffect whole;                 ///< all that sanding takes off
  std::vector<PartEffect> patches;  ///< by their labels
  PartEffect elsewhere;             ///< what is taken off outside all patches
  std::vector<PartEffect> slices;   ///< between the stations asked for
  std::optional<HalvesEffect> halves = {};  ///< where left and right are of unlike density
};

/// What is compared.
struct Asymmetry {
  const geometry::ClosedMesh* body = nullptr;  ///< the skin that the water meets, in the body frame
  const Eigen::Matrix3Xd* sanded_mm = nullptr;  ///< 3×V, where sanding brings each vertex
  std::span<const int> patch_of_vertex = {};    ///< a patch's number, −1: none; empty: no patches
  int patches = 0;                              ///< all numbers are below
  std::span<const double> slice_edges_mm = {};  ///< stations, rising
};

/// Where sanding brings the skin, and which patch each vertex is of, as an Asymmetry refers to
/// them.
struct ProudSkin {
  Eigen::Matrix3Xd sanded_mm;
  std::vector<int> patch_of_vertex;
  int patches = 0;
};

/// The proud patches of a body, brought onto the mirror image of the other side; the rest of the
/// skin stays.
///
/// body          the skin that the water meets: bare or coated, the same vertices
/// labels        a vertex each: i + 1 of proud patch i, no more than 0 outside them
/// to_mirror_mm  3×V, from each vertex of the bare skin to the mirror image
/// (both as symmetry::find_patches gives them)
[[nodiscard]] ProudSkin proud_skin(const geometry::ClosedMesh& body, std::span<const int> labels,
                                   const Eigen::Matrix3Xd& to_mirror_mm);

/// The asymmetry's turning moments and lists in a rest pose, to first order in the turn: the layer
/// of wood is taken as thick as it is, and parted exactly at the waterline, but the pose is held.
/// What is left out shrinks with the square of the list.
///
/// Turning moments as in ListResponse: levers count from the middle of the waterplane (under water
/// from the centre of mass).
///
/// lure     with `body` (its vertices, its coat) as its body
/// pose     a rest pose of the lure
/// wood     density on either side
/// returns  nothing where the pose has no list (|tail_down| > 85), is indifferent, or does not
///          resist
/// cost     one pass over the facets, some cuts
[[nodiscard]] std::optional<Effect> effect_of(const Asymmetry& asymmetry,
                                              const water::Floater& lure,
                                              const water::RestPose& pose, const WoodDensity& wood);

/// Edges that put each station in the middle between its neighbours' slices and its own: halfway
/// between stations, and the body's ends.
///
/// stations_mm  rising, within 0..length_mm
[[nodiscard]] std::vector<double> slice_edges_mm(std::span<const double> stations_mm,
                                                 double length_mm);

}  // namespace trueblank::effect
