// SPDX-License-Identifier: GPL-3.0-or-later
#include "threads.h"

#include <tbb/blocked_range.h>
#include <tbb/global_control.h>
#include <tbb/info.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <atomic>

namespace trueblank::tools {

namespace {

// TBB hands work over by itself; said once more where a thread sanitizer sees it, which can't look
// into TBB's library: all that was written before a loop is seen by its bodies, and all that they
// wrote by whoever asked for it. Bodies are not ordered among each other.
std::atomic<unsigned> loops_begun = 0;
std::atomic<unsigned> parts_done = 0;

}  // namespace

struct Threads::Arena {
  explicit Arena(int count)
      : most(tbb::global_control::max_allowed_parallelism, static_cast<std::size_t>(count)),
        arena(count) {}

  tbb::global_control most;  // more threads than the machine has are allowed too
  tbb::task_arena arena;
};

Threads::Threads(int count)
    : arena_(std::make_unique<Arena>(count > 0 ? count : tbb::info::default_concurrency())) {}

Threads::~Threads() = default;

geometry::ParallelFor Threads::loop() {
  return [this](int count, const std::function<void(int)>& body) {
    if (count <= 0) return;
    loops_begun.fetch_add(1, std::memory_order_release);
    arena_->arena.execute([&] {
      tbb::parallel_for(tbb::blocked_range<int>(0, count),
                        [&](const tbb::blocked_range<int>& part) {
                          static_cast<void>(loops_begun.load(std::memory_order_acquire));
                          for (int i = part.begin(); i < part.end(); ++i) body(i);
                          parts_done.fetch_add(1, std::memory_order_release);
                        });
    });
    static_cast<void>(parts_done.load(std::memory_order_acquire));
  };
}

}  // namespace trueblank::tools
