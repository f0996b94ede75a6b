// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cstdint>
#include <string_view>

// How STL files are laid out.
namespace trueblank::intake {

constexpr std::size_t stl_header_bytes = 80;
constexpr std::size_t stl_count_bytes = 4;
constexpr std::size_t stl_normal_bytes = 12;
constexpr std::size_t stl_facet_bytes = 50;

[[nodiscard]] constexpr std::uint64_t stl_bytes_for(std::uint64_t facets) {
  return stl_header_bytes + stl_count_bytes + stl_facet_bytes * facets;
}

/// The count that a binary STL of at least 84 bytes gives.
[[nodiscard]] std::uint64_t stl_binary_count(std::string_view bytes);

/// Whether a word of a text STL is the one that is wanted ("facet", in small letters), whatever its
/// case.
[[nodiscard]] inline bool is_stl_word(std::string_view found, std::string_view wanted) {
  return found.size() == wanted.size() &&
         std::equal(found.begin(), found.end(), wanted.begin(), [](char a, char b) {
           return (a >= 'A' && a <= 'Z' ? static_cast<char>(a + ('a' - 'A')) : a) == b;
         });
}

}  // namespace trueblank::intake
