// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "rig/parts.h"

// What a maker wishes for, and where weights may go. Body frame.
namespace trueblank::rig {

struct Range {
  double low = 0;
  double high = 0;  ///< ≥ low

  [[nodiscard]] bool fixed() const { return low == high; }

  [[nodiscard]] double clamped(double value) const {
    return value < low ? low : value > high ? high : value;
  }
};

enum class WantedState { floats, suspends, sinks };

/// What is made best of, among plans that meet every wish.
enum class Prefer {
  light,  ///< the least added mass
  firm,   ///< the greatest least stiffness
  cast,   ///< the centre of mass furthest aft
  sure    ///< the greatest share of builds within the maker's tolerances that still lie as meant
};

/// How the lure is to lie. What is not set is not asked for; the list is always to be near nil.
struct Target {
  std::optional<WantedState> state = {};
  /// What it could still carry, or, of a sinker, its weight in water: both > 0; of a suspender 0
  /// where set.
  std::optional<double> reserve_g = {};
  double reserve_tolerance_g = 0.25;  ///< allowed to a plan of whole steps
  std::optional<double> tail_down_deg = {};
  double tail_down_tolerance_deg = 1;
  double list_tolerance_deg = 1;
  std::optional<double> least_stiffness_min_g_mm_per_deg = {};
  std::optional<Range> sink_rate_m_s = {};  ///< low < high, `state` is sinks; the estimate's band
                                            ///< is to lie about its middle
  double wall_min_mm = 0;                   ///< wood around each hole
  Prefer prefer = Prefer::light;
};

/// From where a height is measured.
enum class HeightFrom { axis, above_belly, below_back };

/// The side from which a hole is drilled.
enum class Mouth { belly, back, left, right, nose, tail };

/// Where one weight may go, and how much.
struct WeightPlace {
  std::string name = {};
  Range x_mm = {};
  Range y_mm = {};
  HeightFrom height_from = HeightFrom::axis;
  std::optional<Range> height_mm = {};  ///< z, or a distance from the skin at (x, y); nothing: free
  Range mass_g = {};                    ///< low 0: the weight may be left out
  double density_g_cm3 = 0;
  /// Of the drilled hole: one of these; none: no hole is known, and the weight is taken as a ball.
  std::vector<double> diameters_mm = {};  ///< rising
  HoleAxis axis = HoleAxis::upright;
  std::optional<Mouth> mouth = {};    ///< nothing: the nearer of the two ends of its axis
  std::optional<double> step_g = {};  ///< masses are whole multiples of it
  std::vector<double> stock_g = {};   ///< or one of these, rising, all within `mass_g`
};

/// What may be changed of a hook, by its place in Rig::hooks.
struct HookChoice {
  std::size_t hook = 0;
  std::vector<double> masses_g = {};       ///< one of these, rising, its own among them; or none
  std::optional<Range> eye_x_mm = {};      ///< where its hanger may go along the body
  HeightFrom eye_from = HeightFrom::axis;  ///< how its height was written: kept when it moves
  double eye_height_mm = 0;                ///< z, or the distance from the skin, negative outside
};

struct Wishes {
  Target target = {};
  std::vector<WeightPlace> places = {};
  std::vector<HookChoice> hooks = {};
};

}  // namespace trueblank::rig
