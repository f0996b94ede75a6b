// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <bit>
#include <cstdint>
#include <cstring>
#include <type_traits>
#include <utility>
#include <vector>

#include "intake/files.h"
#include "intake/triples.h"

namespace trueblank::intake {

/// Gives equal positions one number, in order of first appearance. An open-addressing table of
/// indices beside one flat array of coordinates; positions are compared bit by bit, after -0 has
/// become 0 (NaN must not come in).
///
/// Scalar  float or double
template <class Scalar>
class Welder {
 public:
  /// expected  about how many different positions will come; more is fine, and costs time only
  explicit Welder(std::size_t expected) : Welder(expected, Triples<Scalar>()) {
    coordinates_.reserve(expected + expected / 8);
  }

  /// place  where the coordinates are to stand. It may be where those that will come stand now, if
  ///        they come in order: none is written before it was sought.
  Welder(std::size_t expected, Triples<Scalar> place) : coordinates_(std::move(place)) {
    coordinates_.clear();
    std::size_t slots = 64;
    while (slots < 2 * expected) slots *= 2;
    slots_.reserve(slots);
    ask_for_large_pages(slots_.data(), slots * sizeof(std::uint32_t));
    slots_.assign(slots, empty_slot);
  }

  /// A position on its way to its number.
  struct Sought {
    Scalar position[3];
    std::size_t hash;
  };

  /// Has the table's place for a position fetched, which takes as long as dozens of steps: seek
  /// some positions, then number them.
  [[nodiscard]] Sought seek(Scalar x, Scalar y, Scalar z) const {
    Sought sought = {{x + Scalar{0}, y + Scalar{0}, z + Scalar{0}}, 0};
    sought.hash = hash(sought.position);
    __builtin_prefetch(&slots_[sought.hash & (slots_.size() - 1)]);
    return sought;
  }

  /// The number of this position.
  [[nodiscard]] int number(const Sought& sought) {
    const Scalar* position = sought.position;
    const std::size_t mask = slots_.size() - 1;
    const std::uint32_t tag = tag_of(sought.hash);
    std::size_t slot = sought.hash & mask;
    for (; slots_[slot] != empty_slot; slot = (slot + 1) & mask) {
      const std::size_t number = slots_[slot] & mask;
      if ((slots_[slot] ^ tag) == number && equal(number, position)) {
        return static_cast<int>(number);
      }
    }
    const int newest = size();
    slots_[slot] = tag | static_cast<std::uint32_t>(newest);
    coordinates_.add(position[0], position[1], position[2]);
    if (3 * static_cast<std::size_t>(newest) > 2 * slots_.size()) rehash();
    return newest;
  }

  [[nodiscard]] int add(Scalar x, Scalar y, Scalar z) { return number(seek(x, y, z)); }

  [[nodiscard]] int size() const { return static_cast<int>(coordinates_.size()); }

  /// Each position, in order of its number; at the end, since none are left here.
  [[nodiscard]] typename Triples<Scalar>::Matrix take() {
    std::vector<std::uint32_t>().swap(slots_);
    return coordinates_.take();
  }

 private:
  using Bits = std::conditional_t<sizeof(Scalar) == 4, std::uint32_t, std::uint64_t>;

  [[nodiscard]] static std::size_t hash(const Scalar* position) {
    // Odd multipliers with well spread bits; the last fold brings the high bits down, since the
    // low bits of round coordinates are all zero.
    std::uint64_t h = std::bit_cast<Bits>(position[0]) * std::uint64_t{0x9E3779B97F4A7C15};
    h = (h ^ (h >> 32) ^ std::bit_cast<Bits>(position[1])) * std::uint64_t{0xD6E8FEB86659FD93};
    h = (h ^ (h >> 32) ^ std::bit_cast<Bits>(position[2])) * std::uint64_t{0xA0761D6478BD642F};
    return static_cast<std::size_t>(h ^ (h >> 32));
  }

  /// The bits that a number needs none of hold some of the hash, so that the coordinates of another
  /// position, which lie anywhere, are hardly ever fetched.
  [[nodiscard]] std::uint32_t tag_of(std::size_t hash) const {
    return static_cast<std::uint32_t>(std::uint64_t{hash} >> 32) &
           ~static_cast<std::uint32_t>(slots_.size() - 1);
  }

  [[nodiscard]] bool equal(std::size_t number, const Scalar* position) const {
    return std::memcmp(coordinates_.column(number), position, 3 * sizeof(Scalar)) == 0;
  }

  void rehash() {
    slots_.assign(2 * slots_.size(), empty_slot);
    const std::size_t mask = slots_.size() - 1;
    for (int number = 0; number < size(); ++number) {
      const std::size_t h = hash(coordinates_.column(static_cast<std::size_t>(number)));
      std::size_t slot = h & mask;
      while (slots_[slot] != empty_slot) slot = (slot + 1) & mask;
      slots_[slot] = tag_of(h) | static_cast<std::uint32_t>(number);
    }
  }

  static constexpr std::uint32_t empty_slot = ~std::uint32_t{0};  // no number is that high

  std::vector<std::uint32_t> slots_;
  Triples<Scalar> coordinates_;
};

/// Positions waiting for their numbers, which go to `out` in the order in which they came.
template <class Scalar, class Out>
class WeldQueue {
 public:
  WeldQueue(Welder<Scalar>& welder, Out out) : welder_(welder), out_(out) {}

  void add(Scalar x, Scalar y, Scalar z) {
    waiting_[count_++] = welder_.seek(x, y, z);
    if (count_ == waiting_.size()) flush();
  }

  /// To be called after the last.
  void flush() {
    for (std::size_t i = 0; i < count_; ++i, ++out_) *out_ = welder_.number(waiting_[i]);
    count_ = 0;
  }

 private:
  Welder<Scalar>& welder_;
  Out out_;
  std::array<typename Welder<Scalar>::Sought, 32> waiting_;
  std::size_t count_ = 0;
};

}  // namespace trueblank::intake
