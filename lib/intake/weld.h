// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <cstring>
#include <type_traits>
#include <utility>
#include <vector>

#include "intake/files.h"
#include "intake/nearest_double.h"
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

/// Tells whether positions are all different, in a small part of the time that a Welder takes, and
/// of the memory: of each a few bits of a hash are noted, all in one word (B. Bloom, "Space/time
/// trade-offs in hash coding with allowable errors", CACM 13(7), 1970; F. Putze, P. Sanders and J.
/// Singler, "Cache-, hash-, and space-efficient Bloom filters", ACM JEA 14, 2009). The few whose
/// bits were all there before are looked at anew in the end.
class DuplicateFilter {
 public:
  /// expected  about how many positions will come; of many more, too many may seem known
  explicit DuplicateFilter(std::size_t expected)
      : seen_(expected / 4), most_known_(expected / 32 + 64) {}

  /// Takes in some more; each is x, y, z with no -0 among them.
  void add(const double* positions, std::size_t count) {
    if (known_.size() > most_known_) return;
    for (std::size_t i = 0; i < count; ++i) {
      std::uint64_t& waiting = waiting_[added_ % waiting_.size()];
      if (added_ >= waiting_.size()) note(waiting);
      waiting = hash_of(positions + 3 * i);
      seen_.fetch(waiting);
      ++added_;
    }
  }

  /// Whether all that came are different, where that is easily told. To be called after the last.
  ///
  /// positions  the same again, one after the other
  [[nodiscard]] bool none_equal(const double* positions, std::size_t count) {
    for (std::size_t i = 0; i < std::min(added_, waiting_.size()); ++i) note(waiting_[i]);
    added_ = 0;
    if (known_.empty()) return true;
    if (known_.size() > most_known_) return false;
    BloomFilter known(known_.size() * 4);
    for (const std::uint64_t hash : known_) (void)known.insert(hash);
    Welder<double> welder(4 * known_.size());
    int few = 0;
    for (std::size_t i = 0; i < count; ++i) {
      const double* const p = positions + 3 * i;
      if (!known.contains(hash_of(p))) continue;
      if (welder.add(p[0], p[1], p[2]) != few++) return false;
    }
    return true;
  }

 private:
  class BloomFilter {
   public:
    explicit BloomFilter(std::size_t words) {
      int bits = 6;
      while (bits < 40 && std::size_t{2} << bits <= words) ++bits;
      shift_ = 64 - bits;
      words_.reserve(std::size_t{1} << bits);
      ask_for_large_pages(words_.data(), sizeof(std::uint64_t) << bits);
      words_.assign(std::size_t{1} << bits, 0);
    }

    /// Has the place for a hash fetched, which takes as long as dozens of steps.
    void fetch(std::uint64_t hash) const { __builtin_prefetch(&words_[hash >> shift_]); }

    /// Whether all bits were there before.
    bool insert(std::uint64_t hash) {
      std::uint64_t& word = words_[hash >> shift_];
      const std::uint64_t before = word;
      const std::uint64_t bits = bits_of(hash);
      word = before | bits;
      return (before & bits) == bits;
    }

    [[nodiscard]] bool contains(std::uint64_t hash) const {
      const std::uint64_t bits = bits_of(hash);
      return (words_[hash >> shift_] & bits) == bits;
    }

   private:
    static std::uint64_t bits_of(std::uint64_t hash) {
      constexpr std::uint64_t one = 1;
      return one << (hash & 63) | one << (hash >> 6 & 63) | one << (hash >> 12 & 63);
    }

    std::vector<std::uint64_t> words_;
    int shift_ = 0;
  };

  void note(std::uint64_t hash) {
    if (seen_.insert(hash)) known_.push_back(hash);
  }

  /// The halves of a product of 64-bit numbers, one laid on the other.
  static std::uint64_t folded(std::uint64_t a, std::uint64_t b) {
    const Wide product = Wide{a} * b;
    return static_cast<std::uint64_t>(product >> 64) ^ static_cast<std::uint64_t>(product);
  }

  static std::uint64_t hash_of(const double* position) {
    const auto bits = [position](int k) { return std::bit_cast<std::uint64_t>(position[k]); };
    const std::uint64_t two = folded(bits(0) ^ 0x9E3779B97F4A7C15, bits(1) ^ 0xD6E8FEB86659FD93);
    return folded(two ^ bits(2), 0xA0761D6478BD642F);
  }

  BloomFilter seen_;
  std::array<std::uint64_t, 64> waiting_ = {};  ///< hashes whose places are being fetched
  std::size_t added_ = 0;
  std::vector<std::uint64_t> known_;  ///< hashes whose bits were there before
  std::size_t most_known_;
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
