// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/syntax.h"

#include <algorithm>
#include <cstddef>
#include <optional>

#include "sheet/messages.h"

namespace trueblank::sheet {

namespace {

bool contains(std::string_view text, std::string_view what) {
  return text.find(what) != std::string_view::npos;
}

std::string_view trimmed(std::string_view text) {
  const std::size_t from = text.find_first_not_of(" \t\r");
  if (from == std::string_view::npos) return {};
  return text.substr(from, text.find_last_not_of(" \t\r") - from + 1);
}

std::string_view line_of(std::string_view text, int number) {
  for (int line = 1; line < number; ++line) {
    const std::size_t end = text.find('\n');
    if (end == std::string_view::npos) return {};
    text.remove_prefix(end + 1);
  }
  return text.substr(0, text.find('\n'));
}

// The column, in characters, of a byte of a line.
int column_of(std::string_view line, std::size_t byte) {
  return 1 + static_cast<int>(std::ranges::count_if(line.substr(0, byte), [](char c) {
           return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
         }));
}

int column_of_first(std::string_view line) {
  const std::size_t from = line.find_first_not_of(" \t");
  return from == std::string_view::npos ? 1 : column_of(line, from);
}

std::optional<std::string_view> in_single_quotes(std::string_view text) {
  const std::size_t from = text.find('\'');
  const std::size_t to = text.rfind('\'');
  if (from == std::string_view::npos || to <= from) return std::nullopt;
  return text.substr(from + 1, to - from - 1);
}

bool begins_like_a_number(std::string_view text) {
  return !text.empty() &&
         (contains("+-.", text.substr(0, 1)) || (text[0] >= '0' && text[0] <= '9'));
}

// "0,5" with a point, where that is all that is wrong with it.
std::optional<std::string> with_a_point(std::string_view value) {
  const std::size_t comma = value.find(',');
  if (comma == std::string_view::npos) return std::nullopt;
  std::string mended(value);
  mended[comma] = '.';
  const bool digits = std::ranges::all_of(
      mended, [](char c) { return (c >= '0' && c <= '9') || c == '.' || c == '-' || c == '+'; });
  if (!digits || std::ranges::count(mended, '.') != 1) return std::nullopt;
  return mended;
}

// A letter other than the e of 1e9, or the bar of 1/2.
bool has_unit(std::string_view value) {
  return std::ranges::any_of(value, [](char c) {
    return (c >= 'a' && c <= 'z' && c != 'e') || (c >= 'A' && c <= 'Z' && c != 'E') || c == '/';
  });
}

// A value that stands alone after "key =", on the line where the parser stumbled.
geometry::InputError bad_value(const std::string& place, std::string_view value,
                               std::string_view detail) {
  if (contains(value, "\u201C") || contains(value, "\u201D") || contains(value, "\u2018")) {
    return curly_quotes(place);
  }
  if (value[0] == '[' || contains(detail, "parsing array")) return list_broken(place);
  if (value[0] == '{') return braces_broken(place);
  if (value[0] == '"' || value[0] == '\'' || contains(value, "=")) return one_value_a_line(place);
  if (const std::optional<std::string> mended = with_a_point(value)) {
    return comma_in_number(place, *mended);
  }
  if (begins_like_a_number(value)) {
    return has_unit(value) ? quotes_missing(place, value) : number_broken(place, value);
  }
  return quotes_missing(place, value);
}

}  // namespace

geometry::InputError syntax_error(std::string_view text, const std::string& file, const Spot& spot,
                                  std::string_view detail) {
  const std::string place = where(file, spot);
  if (contains(detail, "utf-8")) return not_utf8(place);
  if (contains(detail, "escape sequence") || contains(detail, "unicode scalar")) {
    return backslash_in_text(place);
  }
  const std::string_view line = line_of(text, spot.line);
  const std::string line_start = where(file, {spot.line, column_of_first(line)});
  if (contains(detail, "cannot redefine")) {
    const std::string_view name = in_single_quotes(detail).value_or("this");
    return contains(detail, "as table") ? once_and_several(line_start, name)
                                        : given_twice(line_start, name);
  }
  if (contains(detail, "parsing table header")) return heading_broken(place);

  const std::size_t equals = line.find('=');
  const std::string_view content = trimmed(line);
  // A list may go on over lines: then the line at hand tells nothing.
  if (contains(detail, "parsing array")) return list_broken(place);
  if (contains(detail, "inline table")) return braces_broken(place);
  if (content.empty() || content[0] == '[') return other_syntax(place, detail);
  if (equals == std::string_view::npos || content[0] == '=') return not_a_line(line_start, content);

  const std::string_view key = trimmed(line.substr(0, equals));
  const std::string_view after = line.substr(equals + 1);
  const std::string_view value = trimmed(after.substr(0, after.find('#')));
  if (value.empty()) return value_missing(place, key);
  const bool plain_key = std::ranges::all_of(key, [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '-' || c == '.' || c == ' ';
  });
  if (!plain_key) return not_a_line(line_start, content);
  const std::size_t value_at = static_cast<std::size_t>(value.data() - line.data());
  return bad_value(where(file, {spot.line, column_of(line, value_at)}), value, detail);
}

}  // namespace trueblank::sheet
