// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string_view>

#include "water/rest_poses.h"

namespace trueblank::notebook {

/// "floats", "suspends" or "sinks".
[[nodiscard]] constexpr std::string_view word_of(water::State state) {
  if (state == water::State::floats) return "floats";
  return state == water::State::suspends ? "suspends" : "sinks";
}

[[nodiscard]] constexpr std::optional<water::State> state_of_word(std::string_view word) {
  for (const water::State state :
       {water::State::floats, water::State::suspends, water::State::sinks}) {
    if (word == word_of(state)) return state;
  }
  return {};
}

}  // namespace trueblank::notebook
