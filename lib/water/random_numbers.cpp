// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/random_numbers.h"

#include <cmath>
#include <numbers>

namespace trueblank::water {
namespace {

// The multipliers and the steps of the key are the paper's.
constexpr std::uint64_t multiplier_a = 0xD2511F53;
constexpr std::uint64_t multiplier_b = 0xCD9E8D57;
constexpr std::uint32_t key_step_a = 0x9E3779B9;
constexpr std::uint32_t key_step_b = 0xBB67AE85;
constexpr int rounds = 10;

std::uint32_t low(std::uint64_t wide) { return static_cast<std::uint32_t>(wide); }

std::uint32_t high(std::uint64_t wide) { return static_cast<std::uint32_t>(wide >> 32); }

// Between 0 and 1, neither of them ever.
double uniform(std::uint32_t a, std::uint32_t b) {
  const std::uint64_t bits = (std::uint64_t{a} << 32 | b) >> 12;
  return (static_cast<double>(bits) + 0.5) * 0x1p-52;
}

}  // namespace

Words4 philox(const Words4& counter, const std::array<std::uint32_t, 2>& key) {
  Words4 x = counter;
  std::uint32_t key_a = key[0];
  std::uint32_t key_b = key[1];
  for (int round = 0; round < rounds; ++round) {
    const std::uint64_t a = multiplier_a * x[0];
    const std::uint64_t b = multiplier_b * x[2];
    x = {high(b) ^ x[1] ^ key_a, low(b), high(a) ^ x[3] ^ key_b, low(a)};
    key_a += key_step_a;
    key_b += key_step_b;
  }
  return x;
}

std::array<double, 2> normal_pair(std::uint64_t seed, std::uint32_t row, std::uint32_t column) {
  const Words4 bits = philox({row, column, 0, 0}, {low(seed), high(seed)});
  const double radius = std::sqrt(-2 * std::log(uniform(bits[0], bits[1])));
  const double angle = 2 * std::numbers::pi * uniform(bits[2], bits[3]);
  return {radius * std::cos(angle), radius * std::sin(angle)};
}

}  // namespace trueblank::water
