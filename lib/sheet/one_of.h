// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "sheet/messages.h"
#include "sheet/table_reader.h"

namespace trueblank::sheet {

/// One word of a few; nothing where the key is missing.
/// throws  InputError
template <typename Value, std::size_t count>
[[nodiscard]] std::optional<Value> one_of(
    const TableReader& table, std::string_view key,
    const std::array<std::pair<std::string_view, Value>, count>& choices) {
  const std::optional<std::string> text = table.text(key);
  if (!text) return {};
  std::string words;
  for (const auto& [word, value] : choices) {
    if (*text == word) return value;
    words += (words.empty() ? "" : ", ") + quoted(word);
  }
  throw not_one_of(table.where_value(key), key, *text, words);
}

}  // namespace trueblank::sheet
