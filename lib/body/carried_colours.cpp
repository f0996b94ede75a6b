// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/carried_colours.h"

#include <algorithm>
#include <numeric>

namespace trueblank::body {

std::vector<Colour> carried_colours(const Eigen::Matrix3Xd& file, std::span<const Colour> colours,
                                    const Eigen::Matrix3Xd& mended, const Colour& otherwise) {
  if (colours.empty()) return {};
  using Key = std::array<double, 3>;
  const auto key = [](const Eigen::Matrix3Xd& positions, int v) {
    return Key{positions(0, v), positions(1, v), positions(2, v)};
  };
  std::vector<int> order(static_cast<std::size_t>(file.cols()));
  std::iota(order.begin(), order.end(), 0);
  // By place, then by number: of several vertices at one place the first counts.
  std::ranges::stable_sort(order, {}, [&](int v) { return key(file, v); });
  std::vector<Colour> carried;
  carried.reserve(static_cast<std::size_t>(mended.cols()));
  for (int v = 0; v < static_cast<int>(mended.cols()); ++v) {
    const Key wanted = key(mended, v);
    const auto found =
        std::ranges::lower_bound(order, wanted, {}, [&](int other) { return key(file, other); });
    const bool there = found != order.end() && key(file, *found) == wanted;
    carried.push_back(there ? colours[static_cast<std::size_t>(*found)] : otherwise);
  }
  return carried;
}

}  // namespace trueblank::body
