// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>

namespace trueblank::geometry {

/// Calls body(i) for every i in [0, count), in any order and perhaps several at once; returns when
/// all are done. What a body writes must be its own, so that the result is the same whatever the
/// number of threads. The rooms that must run inside a page are given one and own no threads.
using ParallelFor = std::function<void(int count, const std::function<void(int)>& body)>;

/// One after the other, on the calling thread.
inline void serial_for(int count, const std::function<void(int)>& body) {
  for (int i = 0; i < count; ++i) body(i);
}

}  // namespace trueblank::geometry
