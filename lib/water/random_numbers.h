// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>

// Random numbers that belong to a place in a list, not to a place in time: the same whoever asks
// for them, in whatever order, on however many threads.
namespace trueblank::water {

using Words4 = std::array<std::uint32_t, 4>;

/// 128 bits that look like chance, from a counter and a key: Philox4x32 of ten rounds.
/// source  Salmon, Moraes, Dror & Shaw, "Parallel random numbers: as easy as 1, 2, 3", SC11, 2011
[[nodiscard]] Words4 philox(const Words4& counter, const std::array<std::uint32_t, 2>& key);

/// Two independent normal numbers of mean 0 and standard deviation 1: of the seed, the `row` (a
/// build) and the `column` (what is drawn there).
/// source  Box & Muller, Annals of Mathematical Statistics 29(2), 610-611, 1958
[[nodiscard]] std::array<double, 2> normal_pair(std::uint64_t seed, std::uint32_t row,
                                                std::uint32_t column);

}  // namespace trueblank::water
