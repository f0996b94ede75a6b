// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <limits>

// Facets parted by where they are, for a tree over them. Not installed.
namespace trueblank::geometry {

/// A facet and where it is, in numbers (none of them a NaN).
struct PlacedFacet {
  std::array<float, 3> at;
  std::int32_t facet;
};

struct Extent {
  std::array<float, 3> low;
  std::array<float, 3> high;

  [[nodiscard]] std::size_t longest() const {
    std::size_t axis = 0;
    for (std::size_t k = 1; k < 3; ++k) {
      if (high[k] - low[k] > high[axis] - low[axis]) axis = k;
    }
    return axis;
  }
};

[[nodiscard]] inline Extent extent_of(const PlacedFacet* begin, const PlacedFacet* end) {
  Extent extent{begin->at, begin->at};
  for (const PlacedFacet* each = begin; each != end; ++each) {
    for (std::size_t k = 0; k < 3; ++k) {
      extent.low[k] = std::min(extent.low[k], each->at[k]);
      extent.high[k] = std::max(extent.high[k], each->at[k]);
    }
  }
  return extent;
}

/// Rises along an axis and, of facets that are alike there, with the facet's number.
[[nodiscard]] inline std::uint64_t rank_along(const PlacedFacet& placed, std::size_t axis) {
  // A float's bits rise with it once those of a negative one are turned over.
  const auto bits = std::bit_cast<std::uint32_t>(placed.at[axis]);
  const std::uint32_t turned = (bits >> 31U) != 0 ? ~bits : bits | 0x80000000U;
  return std::uint64_t{turned} << 32U | static_cast<std::uint32_t>(placed.facet);
}

/// The rank to part by, so that `wanted` comes to lie near the border, on the lesser side: from a
/// few taken evenly, and never the greatest of them.
[[nodiscard]] inline std::uint64_t sampled_rank(const PlacedFacet* begin, const PlacedFacet* wanted,
                                                const PlacedFacet* end, std::size_t axis) {
  constexpr std::int64_t many = 1000;
  constexpr std::int64_t most_samples = 33;
  const std::int64_t count = end - begin;
  const std::int64_t samples = count > many ? most_samples : 7;
  const std::int64_t margin = count > many ? 2 : 0;
  std::array<std::uint64_t, most_samples> ranks;
  for (std::int64_t i = 0; i < samples; ++i) {
    ranks[static_cast<std::size_t>(i)] = rank_along(begin[i * (count - 1) / (samples - 1)], axis);
  }
  std::sort(ranks.begin(), ranks.begin() + samples);
  const std::int64_t share = std::int64_t{wanted - begin} * samples / count;
  const std::int64_t aim = 2 * share < samples ? share + margin : share - margin;
  return ranks[static_cast<std::size_t>(std::clamp<std::int64_t>(aim, 0, samples - 2))];
}

/// As std::nth_element along an axis: none before `middle` comes after one behind it. Without a
/// branch on what is compared, which can't be foreseen and would be most of the time. No two facets
/// may have the same number.
///
/// by_samples  so many passes part by samples: some twenty are usual, but a file may be made to
///             need any number. Each further one halves the range of ranks: 64 at most.
inline void part(PlacedFacet* begin, PlacedFacet* middle, PlacedFacet* end, std::size_t axis,
                 int by_samples = 64) {
  constexpr std::ptrdiff_t few = 12;
  std::uint64_t low = 0;  // what is left has ranks above it, none above `high`
  std::uint64_t high = std::numeric_limits<std::uint64_t>::max();
  for (int pass = 0; end - begin > few; ++pass) {
    const std::uint64_t border =
        pass < by_samples ? sampled_rank(begin, middle, end, axis) : low + (high - low) / 2;
    PlacedFacet* above = begin;
    for (PlacedFacet* each = begin; each != end; ++each) {
      const PlacedFacet here = *each;
      *each = *above;
      *above = here;
      above += rank_along(here, axis) <= border ? 1 : 0;
    }
    (middle < above ? end : begin) = above;
    (middle < above ? high : low) = border;
  }
  for (PlacedFacet* each = begin; each != end; ++each) {
    const PlacedFacet here = *each;
    const std::uint64_t rank = rank_along(here, axis);
    PlacedFacet* to = each;
    for (; to != begin && rank < rank_along(to[-1], axis); --to) *to = to[-1];
    *to = here;
  }
}

}  // namespace trueblank::geometry
