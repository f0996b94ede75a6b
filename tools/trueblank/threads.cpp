// SPDX-License-Identifier: GPL-3.0-or-later
#include "threads.h"

#include <tbb/blocked_range.h>
#include <tbb/global_control.h>
#include <tbb/info.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

namespace trueblank::tools {

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
    arena_->arena.execute([&] {
      tbb::parallel_for(tbb::blocked_range<int>(0, count),
                        [&](const tbb::blocked_range<int>& part) {
                          for (int i = part.begin(); i < part.end(); ++i) body(i);
                        });
    });
  };
}

}  // namespace trueblank::tools
