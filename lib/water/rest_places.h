// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "water/energy_field.h"
#include "water/stationary.h"

namespace trueblank::water {

/// Poses nearer than this are one.
inline constexpr double same_pose_deg = 0.1;
/// A closed line of directions along which the energy varies by less than this is one pose.
inline constexpr double indifferent_within_g_mm = 0.01;

/// A place where a floater stays: a strict minimum of the energy, or a ring.
struct RestPlace {
  Stationary at;  ///< a ring's representative
  std::optional<Ring> ring;
};

/// Gathers the places where a floater stays, each once, from starts that are offered.
class RestPlaces {
 public:
  explicit RestPlaces(const Floater& lure) : lure_(&lure) {}

  /// Goes downhill from a start and adds where that ends, unless it is known already, did not
  /// converge, or a small turn is not resisted there.
  /// returns  the number of the place, or nothing
  std::optional<int> offer(const Vec3& start, std::optional<double> start_mm = {}) {
    return add(settle(*lure_, start, start_mm));
  }

  /// The same, first on a rough body where there is one: sooner, but no place but a strict minimum
  /// of that one too is sure to be found so.
  std::optional<int> offer_from_afar(const Vec3& start, std::optional<double> start_mm = {}) {
    return add(settle_from_afar(*lure_, start, start_mm));
  }

  [[nodiscard]] const std::vector<RestPlace>& places() const { return places_; }

  /// Grows whenever a place is added or taken out, so that the numbers of places are new.
  [[nodiscard]] int revision() const { return revision_; }

  /// The ring that a direction of such an energy lies on.
  [[nodiscard]] std::optional<int> ring_with(const Vec3& up, double energy_g_mm) const;

 private:
  std::optional<int> add(const Stationary& found);
  [[nodiscard]] bool walked(const Vec3& up) const;
  std::optional<int> add_ring(const Stationary& from);
  int add_point(const Stationary& found);

  const Floater* lure_;
  std::vector<RestPlace> places_;
  int revision_ = 0;
  std::vector<Vec3> walked_;  // directions on valley floors that turned out to be no rings
};

/// Offers 42 even starts, every node of the table that is lower than its neighbours, and every node
/// from where Newton's step ends close by; the second kind on the body itself, all else from afar.
[[nodiscard]] RestPlaces search_rest_places(const Floater& lure, const EnergyField& field);

}  // namespace trueblank::water
