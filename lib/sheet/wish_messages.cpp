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

std::string places_left_empty(std::size_t count) {
  const std::string places =
      count == 1 ? "1 place for a weight that is not filled yet"
                 : std::to_string(count) + " places for weights that are not filled yet";
  return "The sheet has " + places + ": trueblank ballast finds what goes there.";
}

}  // namespace trueblank::sheet
