// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "rig/waters.h"
#include "tuning/workpiece.h"
#include "water/may_be_off.h"
#include "water/rest_poses.h"

// A built lure that does not lie as its sheet says: why, and what can still be done.
namespace trueblank::tuning {

/// What the tank showed; what is not set was not looked at. Each with how well it was seen (one
/// standard deviation), and in which water.
struct Seen {
  std::optional<double> tail_down_deg = {};
  std::optional<double> list_deg = {};
  std::optional<double> sank_with_g = {};  ///< lead stuck on outside that just sank it
  double angle_sd_deg = 1;
  double sank_sd_g = 0.2;
  std::optional<rig::Water> water = {};  ///< not set: that of the lure
};

using water::Lies;

/// What of the sheet is off, as far as what was seen tells.
struct Explained {
  struct Change {
    std::string what = {};  ///< "the wood's density", "the mass of NAME", "NAME along", …
    std::string unit = {};  ///< "%", "g", "mm"
    double by = 0;          ///< true less as in the sheet
    double sd = 0;          ///< of `by`, once what was seen is taken into account
    double sigmas = 0;      ///< `by` in the maker's own standard deviations
  };

  /// One change that would explain all by itself.
  struct Alone {
    Change change = {};
    double misfit = 0;  ///< root mean square of what it leaves unexplained, in standard deviations
  };

  std::vector<Change> changes = {};  ///< together the least that explains it, greatest first
  /// Those that leave less than 1.5, and half at the most of what the sheet leaves; the least
  /// change first.
  std::vector<Alone> alone = {};
  double sigmas = 0;   ///< how far from the sheet in all: over 3, the sheet itself wants checking
  double misfit = 0;   ///< what all together leave unexplained, as above
  Lies by_sheet = {};  ///< in the water that it was seen in, as is `now`
  Lies now = {};       ///< with the changes made: should be as seen
};

/// What can still be altered of a lure that is built.
struct Remedy {
  enum class Kind { other_hook, ring, wound_lead, new_hole, sanding };

  Kind kind = Kind::other_hook;
  std::string part = {};  ///< the hook that it is done to
  double grams = 0;       ///< of the other hook; of ring, lead or weight; of wood sanded off
  Vec3 at_mm = Vec3::Zero();
  double volume_mm3 = 0;  ///< of wood sanded off
  Lies then = {};
  double cost = 0;  ///< what is left, in tolerances of the wishes, root mean square
  bool met = false;
};

/// A trial weight that is stuck on, drilled in at its station.
struct DrilledIn {
  std::string name = {};
  double stuck_on_g = 0;
  double drilled_in_g = 0;  ///< of the same metal, for the same weight in water
  Vec3 stuck_on_mm = Vec3::Zero();
  Vec3 drilled_in_mm = Vec3::Zero();
  Lies stuck_on = {};
  Lies drilled_in = {};
};

/// The least change of the sheet, in the maker's own standard deviations, that explains what was
/// seen: maximum a posteriori with independent normal scatter of the wood's density (a weighed
/// blank's weight), the body's size, each part's mass and each coordinate of its place.
///
/// nominal  the sheet's own first pose, in the lure's water
/// source   A. Tarantola, Inverse Problem Theory, SIAM 2005, ch. 3 (the least-squares problem and
///          its posterior covariance; from memory)
[[nodiscard]] Explained explain(const Workpiece& lure, const rig::Tolerances& tolerances,
                                const water::RestPose& nominal, const Seen& seen);

/// The explained lure, altered in one way at a time so that in its own water, whatever it was seen
/// in, it lies as is wished, best first: list nil, tail_down as the target says or, where it does
/// not, as the sheet foretold, reserve as the target says, and afloat or sunk as it was meant. What
/// is hardly to be altered is left out; nothing where it lies so already.
[[nodiscard]] std::vector<Remedy> remedies(const Workpiece& lure, const rig::Tolerances& tolerances,
                                           const rig::Target& target,
                                           const water::RestPose& nominal, const Seen& seen);

/// Each outside part as heavy as a metal (over 6 g/cm³), drilled in above where it is stuck on.
[[nodiscard]] std::vector<DrilledIn> drilled_in(const Workpiece& lure,
                                                const water::RestPose& nominal);

}  // namespace trueblank::tuning
