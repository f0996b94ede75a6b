// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "geometry/parallel.h"
#include "options.h"
#include "progress.h"

namespace trueblank::tools {

struct OutputFile {
  std::string path;
  std::string bytes;
};

/// What a verb has to hand over once all is reckoned; nothing has been written yet.
struct Outcome {
  std::string text;    ///< for the screen
  std::string answer;  ///< the same in a sentence
  std::string json;
  std::vector<OutputFile> files;
  std::vector<std::string> read;  ///< paths of what was read, which must not be written over
  int exit_code = 0;
};

/// What a verb may use.
struct Workshop {
  const geometry::ParallelFor& loop;
  Progress& progress;
};

// Each throws InputError where the input can't be used.
[[nodiscard]] Outcome run(const CheckRequest& request, const Workshop& workshop);
[[nodiscard]] Outcome run(const WeighRequest& request, const Workshop& workshop);
[[nodiscard]] Outcome run(const MirrorRequest& request, const Workshop& workshop);
[[nodiscard]] Outcome run(const FloatRequest& request, const Workshop& workshop);
[[nodiscard]] Outcome run(const BallastRequest& request, const Workshop& workshop);
[[nodiscard]] Outcome run(const CompareRequest& request, const Workshop& workshop);
[[nodiscard]] Outcome run(const NotebookRequest& request, const Workshop& workshop);

}  // namespace trueblank::tools
