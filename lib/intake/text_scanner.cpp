// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/text_scanner.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace trueblank::intake {

double TextScanner::slow_number(std::string_view of_what) {
  const char* from = at_;
  const std::string_view found = word();
  if (found.empty()) throw number_missing(where(from), of_what);
  const char* first = found.data();
  const char* last = first + found.size();
  if (*first == '+' && found.size() > 1 && first[1] != '-') ++first;
  double value = 0;
  const auto [rest, trouble] = std::from_chars(first, last, value);
  if (rest != last) {
    if (rest != first && *rest == ',') throw decimal_comma(where(from));
    throw not_a_number(where(from), found);
  }
  if (trouble == std::errc::result_out_of_range) {
    // Too small for a double is as good as nil, too large is an error.
    const std::size_t power = found.find_first_of("eE");
    if (power != std::string_view::npos && found.find('-', power) == power + 1) return 0;
    const std::size_t point = found.find('.');
    if (power == std::string_view::npos && point != std::string_view::npos &&
        found.substr(0, point).find_first_of("123456789") == std::string_view::npos) {
      return 0;
    }
    throw number_too_large(where(from), found);
  }
  if (trouble != std::errc()) throw not_a_number(where(from), found);
  if (!std::isfinite(value)) throw not_finite(where(from), of_what);
  return value;
}

std::string TextScanner::where(const char* byte) const {
  const auto lines = std::count(begin_, byte, '\n');
  return shown_name(name_) + ":" + std::to_string(lines + 1);
}

}  // namespace trueblank::intake
