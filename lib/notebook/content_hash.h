// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string_view>

namespace trueblank::notebook {

/// FNV-1a of 64 bits. It only narrows down where the same bytes may be kept already: they are then
/// compared whole, so that a stronger one, which would bring a library with it, has nothing to add.
/// The same number shows where a disk has spoilt what it keeps.
///
/// source  G. Fowler, L. C. Noll, K.-P. Vo, D. Eastlake, The FNV Non-Cryptographic Hash Algorithm
///         (constants of the 64-bit form; FNV-1a of nothing is the offset basis)
[[nodiscard]] constexpr std::uint64_t content_hash(std::string_view bytes) {
  constexpr std::uint64_t offset_basis = 14695981039346656037U;
  constexpr std::uint64_t prime = 1099511628211U;
  std::uint64_t hash = offset_basis;
  for (const char c : bytes) {
    hash ^= static_cast<unsigned char>(c);
    hash *= prime;
  }
  return hash;
}

}  // namespace trueblank::notebook
