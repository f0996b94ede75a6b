// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "symmetry/comparison_skin.h"

// Inside the room: which places of two skins face each other.
namespace trueblank::symmetry {

/// Places of one skin, by their vertices.
struct PlacesOnSkin {
  const ComparisonSkin& skin;
  const DeviationField& field;  ///< of this skin from the other
  std::vector<std::vector<int>> vertices;
};

/// Indices into the places of either skin that are one.
struct FacingPlaces {
  std::vector<int> first;
  std::vector<int> second;
};

/// Two places are one where a quarter of either's area has its nearest points on the other; so are
/// those that a third one joins. Every place is in one group, alone where none faces it; by the
/// least index of the first skin, then of the second.
[[nodiscard]] std::vector<FacingPlaces> facing_places(const PlacesOnSkin& first,
                                                      const PlacesOnSkin& second);

}  // namespace trueblank::symmetry
