// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "notebook/learning.h"

// How good the last predictions were.
namespace trueblank::notebook {

/// What was known when a build was foretold; its own records never were.
enum class KnownThen {
  other_builds,    ///< all but itself: how good a prediction from a book of this size is
  earlier_builds,  ///< only those before it in the list: what could have been said at the time
};

/// One build's figure, foretold before it was read.
struct Hindsight {
  std::size_t build = 0;
  Figure figure = Figure::reserve_g;
  double off = 0;           ///< read less foretold; of several records the greatest
  double off_by_sheet = 0;  ///< of the same record, had nothing been learnt
  double sd = 0;            ///< of `off`, as stated beforehand
};

/// "On your last 6 builds the tail was predicted within 1.9°."
struct Calibration {
  Figure figure = Figure::reserve_g;
  int builds = 0;
  double within = 0;           ///< the greatest |off|
  double within_by_sheet = 0;  ///< likewise, had nothing been learnt
  double median = 0;           ///< of |off|
  /// The chance that the next build, if it is one like these, is within too: n/(n + 1).
  double chance_next = 0;
  int held = 0;  ///< builds whose |off| was no more than two stated standard deviations
};

/// In the order of builds, then of figures.
/// cost  one fit a build, on slopes taken once, and a prediction for each build and water
[[nodiscard]] std::vector<Hindsight> hindsight(std::span<const ListedBuild> builds,
                                               std::span<const Cause> causes,
                                               const Foretelling& foretelling, KnownThen known,
                                               const LearningOptions& options = {});

/// Over the last builds of the list that have the figure. In the order of Figure; one that was
/// never read is left out.
///
/// last  builds, 1 or more
[[nodiscard]] std::vector<Calibration> calibration(std::span<const Hindsight> all, int last = 6);

}  // namespace trueblank::notebook
