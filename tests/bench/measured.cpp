// SPDX-License-Identifier: GPL-3.0-or-later
#include "measured.h"

#include <malloc.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cstdint>
#include <fstream>
#include <map>
#include <sstream>
#include <string_view>
#include <thread>
#include <utility>
#include <vector>

namespace trueblank::bench {
namespace {

using NameAndSize = std::pair<std::string, std::int64_t>;

constexpr unsigned longest_s = 600;  // a child that hangs must not hold up the rest

/// A line of /proc/self/status, in KiB.
double own_kib(std::string_view name) {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);) {
    if (!line.starts_with(name)) continue;
    std::istringstream number(line.substr(name.size()));
    double kib = 0;
    number >> kib;
    return kib;
  }
  return 0;
}

[[noreturn]] void run_and_tell(const std::function<void()>& work, int to) {
  alarm(longest_s);
  const double before = own_kib("VmRSS:");
  work();
  const double rise_mib = (own_kib("VmHWM:") - before) / 1024;
  const bool told = before > 0 && write(to, &rise_mib, sizeof rise_mib) == sizeof rise_mib;
  _exit(told ? 0 : 1);
}

}  // namespace

std::optional<double> peak_mib(const std::function<void()>& work) {
  std::array<int, 2> ends = {};
  if (pipe(ends.data()) != 0) return {};
  malloc_trim(0);  // what is free but still held would be used again without a rise
  const pid_t child = fork();
  if (child == 0) run_and_tell(work, ends[1]);
  close(ends[1]);
  double rise_mib = 0;
  const bool told = child > 0 && read(ends[0], &rise_mib, sizeof rise_mib) == sizeof rise_mib;
  close(ends[0]);
  if (child > 0) waitpid(child, nullptr, 0);
  if (!told) return {};
  return rise_mib > 0 ? rise_mib : 0;
}

bool holds(benchmark::State& state, const std::string& name, const std::function<bool()>& check,
           const char* otherwise) {
  static std::map<NameAndSize, bool> known;
  const NameAndSize key(name, state.range(0));
  auto found = known.find(key);
  if (found == known.end()) found = known.emplace(key, check()).first;
  if (!found->second) state.SkipWithError(otherwise);
  return found->second;
}

void tell_memory(benchmark::State& state, const std::string& name,
                 const std::function<void()>& work) {
  static std::map<NameAndSize, std::optional<double>> known;
  const NameAndSize key(name, state.range(0));
  auto found = known.find(key);
  if (found == known.end()) found = known.emplace(key, peak_mib(work)).first;
  if (found->second) state.counters["peak_mib"] = *found->second;
}

void on_two_threads(int count, const std::function<void(int)>& body) {
  constexpr int threads = 2;
  std::vector<std::thread> workers;
  for (int worker = 0; worker < threads; ++worker) {
    workers.emplace_back([=, &body] {
      for (int i = worker; i < count; i += threads) body(i);
    });
  }
  for (std::thread& worker : workers) worker.join();
}

}  // namespace trueblank::bench
