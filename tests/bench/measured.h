// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <benchmark/benchmark.h>

#include <functional>
#include <optional>
#include <string>

// What every benchmark here does beside timing: the answer is checked first, the memory told last.
namespace trueblank::bench {

/// How far the memory in use rises, at its highest, while `work` runs: in a child process, so that
/// nothing freed by earlier work hides any of it. Nothing where the system does not tell.
[[nodiscard]] std::optional<double> peak_mib(const std::function<void()>& work);

/// Whether `check` holds, which is asked once for a name and a size; else the benchmark ends with
/// `otherwise` in place of a time.
[[nodiscard]] bool holds(benchmark::State& state, const std::string& name,
                         const std::function<bool()>& check, const char* otherwise);

/// As the counter peak_mib of a benchmark; measured once for a name and a size.
void tell_memory(benchmark::State& state, const std::string& name,
                 const std::function<void()>& work);

/// Times `work`, then tells its memory.
template <class Work>
void time_work(benchmark::State& state, const std::string& name, const Work& work) {
  for ([[maybe_unused]] const auto& turn : state) benchmark::DoNotOptimize(work());
  tell_memory(state, name, [&] { benchmark::DoNotOptimize(work()); });
}

/// Two threads, each with every other of `count` pieces of work.
void on_two_threads(int count, const std::function<void(int)>& body);

}  // namespace trueblank::bench
