// SPDX-License-Identifier: GPL-3.0-or-later
#include "progress.h"

#include <cmath>
#include <cstdio>
#include <functional>

#include "intake/files.h"
#include "report/numbers.h"

namespace trueblank::tools {

namespace {

constexpr const char* erase_line = "\r\x1b[K";
constexpr std::chrono::milliseconds first_word_after{1000};
constexpr std::chrono::milliseconds between_words{250};
constexpr int counted_one_by_one = 64;

}  // namespace

Progress::Progress(bool wanted) : on_(wanted && intake::stderr_is_terminal()) {}

Progress::~Progress() {
  if (!shown_) return;
  std::fputs(erase_line, stderr);
  std::fflush(stderr);
}

void Progress::step(std::string_view what) {
  if (!on_) return;
  const std::scoped_lock alone(telling_);
  what_ = what;
  show(what_);
}

void Progress::show(const std::string& line) {
  // A line that wraps can't be erased.
  const int width = intake::terminal_width();
  const std::string fits = line.substr(0, width > 1 ? static_cast<std::size_t>(width - 1) : 0);
  std::fputs((erase_line + fits).c_str(), stderr);
  std::fflush(stderr);
  shown_ = true;
}

void Progress::tell(Clock::time_point start, int done, int count) {
  const std::unique_lock alone(telling_, std::try_to_lock);
  const Clock::time_point now = Clock::now();
  if (!alone || now - start < first_word_after || now - told_ < between_words) return;
  told_ = now;
  const double share = static_cast<double>(done) / count;
  const double left_s = std::chrono::duration<double>(now - start).count() * (1 / share - 1);
  show(what_ + " " + report::percent(share) + ", about " + report::fixed(std::ceil(left_s), 0) +
       " s left");
}

geometry::ParallelFor Progress::watched(const geometry::ParallelFor& loop) {
  if (!on_) return loop;
  return [this, &loop](int count, const std::function<void(int)>& body) {
    // Of loops within loops the outermost tells how far it is.
    if (count < 2 || watching_.exchange(true)) return loop(count, body);
    std::atomic<int> done = 0;
    const Clock::time_point start = Clock::now();
    loop(count, [&](int i) {
      body(i);
      const int now = done.fetch_add(1, std::memory_order_relaxed) + 1;
      // The clock costs as much as a small step.
      if (count <= counted_one_by_one || now % counted_one_by_one == 0) tell(start, now, count);
    });
    watching_ = false;
  };
}

}  // namespace trueblank::tools
