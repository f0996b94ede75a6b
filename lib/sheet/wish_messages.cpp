// SPDX-License-Identifier: GPL-3.0-or-later
// What is said of a target, of places for weights and of what may be changed of a hook.
#include "sheet/messages.h"

namespace trueblank::sheet {

namespace {

std::string text_of(std::string_view text) { return std::string(text); }

}  // namespace

InputError target_missing(const std::string& place) {
  return {
      "[target] is missing", place,
      "write [target] and below it how the lure is to lie, as state = \"floats\", tail_down = 12"};
}

InputError nothing_to_vary(const std::string& place) {
  return {"there is a [target], and nothing that may be changed for it", place,
          "write a [[place]] for each weight to be found, or sizes or eye_x in a [[hook]]"};
}

InputError target_of_nothing(const std::string& place) {
  return {"[target] asks for nothing", place,
          "give one of state, tail_down, reserve, least_stiffness_min, sink_rate"};
}

InputError bad_range(const std::string& place, std::string_view key) {
  return {text_of(key) + " is no range", place,
          "write its least and its greatest as a list of two, or one number"};
}

InputError range_empty(const std::string& place, std::string_view key, double low, double high) {
  const std::string from = plain(low, 6);
  const std::string to = plain(high, 6);
  return {text_of(key) + " goes from " + from + " down to " + to + ", and nothing lies between",
          place, "write the lesser first, " + text_of(key) + " = [" + to + ", " + from + ']'};
}

InputError choices_empty(const std::string& place, std::string_view key) {
  return {text_of(key) + " has nothing to choose from", place,
          "write one value or more into its brackets, or remove it"};
}

InputError reserve_of_suspender(const std::string& place) {
  return {"a lure that suspends has no reserve", place,
          "remove it, or write state = \"floats\" or \"sinks\""};
}

InputError reserve_of_nothing(const std::string& place) {
  return {"a lure with a reserve of 0 suspends", place,
          "write state = \"suspends\" in its place, or more than 0"};
}

InputError band_without_width(const std::string& place) {
  return {"sink_rate leaves no room", place,
          "write the slowest and the fastest that will do, in m/s, as [0.2, 0.4]"};
}

InputError sink_rate_of_no_sinker(const std::string& place) {
  return {"only a lure that sinks has a sink_rate", place,
          "write state = \"sinks\", or remove sink_rate"};
}

InputError mass_of_nothing(const std::string& place) {
  return {"a weight of 0 g is none", place,
          "write the range that it may have, as mass = [0, 20], or remove this [[place]]"};
}

InputError stock_beyond_mass(const std::string& place, double low_g, double high_g) {
  return {
      "no mass of stock lies within mass, " + plain(low_g, 6) + " to " + plain(high_g, 6) + " g",
      place, "widen mass, add to stock, or keep one of them"};
}

InputError no_whole_step(const std::string& place, double step_g, double low_g, double high_g) {
  return {"no whole number of steps of " + plain(step_g, 6) + " g lies within mass, " +
              plain(low_g, 6) + " to " + plain(high_g, 6) + " g",
          place, "take a smaller step, or widen mass"};
}

InputError mouth_off_axis(const std::string& place, std::string_view from, std::string_view axis) {
  return {"a hole with axis = " + quoted(axis) + " can't be drilled from " + quoted(from), place,
          "along goes in from nose or tail, across from left or right, upright from belly or back"};
}

InputError too_many_places(const std::string& place, std::size_t most) {
  return {"there are more than " + std::to_string(most) + " of [[place]]", place,
          "fix some of the weights as [[ballast]], or remove some"};
}

InputError place_outside(const std::string& place, std::string_view name, double gap_mm,
                         const Vec3& nearest_mm) {
  const std::string gap = gap_mm < 0.05 ? "less than 0.1" : plain(gap_mm, 1);
  return {"place " + quoted(name) + " lies wholly outside the body, by " + gap + " mm", place,
          "widen its ranges in past the skin at [" + plain(nearest_mm.x(), 1) + ", " +
              plain(nearest_mm.y(), 1) + ", " + plain(nearest_mm.z(), 1) + ']'};
}

InputError hole_too_wide(const std::string& place, std::string_view name, double diameter_mm,
                         double body_mm, std::string_view across) {
  return {"the hole of " + quoted(name) + " is " + plain(diameter_mm, 2) +
              " mm in diameter, and the body at its stations at most " + plain(body_mm, 1) +
              " mm " + text_of(across),
          place, "write a smaller diameter, or move x to where the body is thicker"};
}

InputError eye_beyond_body(const std::string& place, double station_mm, double length_mm) {
  return {"eye_x reaches to " + plain(station_mm, 3) + ", which is not on the body", place,
          "the body reaches from 0 at the nose to " + plain(length_mm, 1) + " at the tail"};
}

std::string places_left_empty(std::size_t count) {
  const std::string places =
      count == 1 ? "1 place for a weight that is not filled yet"
                 : std::to_string(count) + " places for weights that are not filled yet";
  return "The sheet has " + places + ": trueblank ballast finds what goes there.";
}

}  // namespace trueblank::sheet
