// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "water/passes.h"
#include "water/rest_poses.h"

namespace trueblank::water {

/// A pass and the places that steepest descent from it ends at.
struct LinkedPass {
  Pass pass;
  std::array<int, 2> ends = {-1, -1};  ///< by number in RestPlaces; of Pass::over, and against it
};

/// All passes between the places of rest of a floater, as far as they are needed.
class PassLinks {
 public:
  PassLinks(const Floater& lure, const EnergyField& field, const RestPlaces& places);

  /// Follows passes down to both sides, lowest first, until every place has a way out to another.
  /// With a sole place: until one leads all round, that is, over a pass to whose both sides the
  /// energy rises by no less than what counts as indifferent. Where the table shows a lower way
  /// than was found, its passes are sought once more from the table's own.
  ///
  /// places  is offered every end: a place that was missed is added to it, and the links made anew
  [[nodiscard]] std::vector<LinkedPass> link(RestPlaces& places);

 private:
  struct Traced {
    Pass pass;
    bool followed = false;
    std::array<std::optional<Vec3>, 2> ends;
  };

  void follow(Traced& traced, const RestPlaces& places) const;
  [[nodiscard]] std::vector<LinkedPass> link_known(RestPlaces& places);
  [[nodiscard]] bool seek_lower(const std::vector<LinkedPass>& links, const RestPlaces& places);
  [[nodiscard]] bool leads_all_round(const Pass& pass) const;

  const Floater* lure_;
  const EnergyField* field_;
  std::vector<Traced> traced_;  // by rising energy
  bool sought_lower_ = false;
};

/// The barrier of each pose; nothing where there is no pass.
///
/// links          from PassLinks::link over `places`
/// pose_of_place  the place's number in the order of the poses
/// returns        in the order of the poses
/// cost           two ways down a pose
[[nodiscard]] std::vector<std::optional<Barrier>> barriers(const Floater& lure,
                                                           const std::vector<LinkedPass>& links,
                                                           const std::vector<RestPlace>& places,
                                                           const std::vector<int>& pose_of_place);

}  // namespace trueblank::water
