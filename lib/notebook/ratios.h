// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "notebook/build.h"
#include "notebook/statistics.h"

// What the builds of a book have in common by wood and by kind of body, and what that suggests for
// a new blank.
namespace trueblank::notebook {

/// The ratios of one build; what its figures don't tell is not set. Weight is all that is neither
/// wood nor finish.
struct Ratios {
  std::optional<double> weight_g_per_100g_wood = {};  ///< of undrilled wood
  std::optional<double> weight_without_hooks_g_per_100g_wood = {};
  std::optional<double> wire_percent = {};        ///< of wire and ballast together; not of neither
  std::optional<double> reserve_g_per_100g = {};  ///< of the whole mass; negative for a sinker
  std::optional<double> least_stiffness_g_mm_per_deg_per_100g = {};  ///< of the whole mass
};

[[nodiscard]] Ratios ratios_of(const Figures& figures);

/// The ratios of all builds that are alike in what the group names.
struct RatioGroup {
  std::optional<std::string> wood = {};  ///< not set: of any wood
  std::optional<std::string> kind = {};  ///< not set: of any kind
  int builds = 0;
  std::optional<Summary> weight_g_per_100g_wood = {};
  std::optional<Summary> weight_without_hooks_g_per_100g_wood = {};
  std::optional<Summary> wire_percent = {};
  std::optional<Summary> reserve_g_per_100g = {};
  std::optional<Summary> least_stiffness_g_mm_per_deg_per_100g = {};
};

/// All builds; then by wood, by kind, and by wood and kind, each in the order of their names. A
/// build without a wood's name or a kind is in no group that names one. Empty of no builds.
[[nodiscard]] std::vector<RatioGroup> ratio_groups(std::span<const BuildFacts> builds);

/// A blank that has no weights yet.
struct NewBlank {
  double wood_g = 0;      ///< bare, before holes are cut; > 0
  std::string wood = {};  ///< as builds have it
  std::string kind = {};  ///< empty: of any
  /// Only builds that lie so: what makes a sinker says nothing of a floater.
  std::optional<water::State> state = {};
};

/// Where a new blank stands among those behind a suggestion.
enum class Reach { within, lighter, heavier };

/// How much weight a new blank is likely to want: the blank's grams times the ratios of the builds
/// behind it.
struct Suggestion {
  struct Grams {
    double median = 0;
    double least = 0;
    double greatest = 0;
  };

  int builds = 0;              ///< that stand behind it, 3 or more
  bool kind_left_out = false;  ///< too few are of the blank's kind: these are of any
  Grams weight_g = {};
  Grams weight_without_hooks_g = {};
  double lightest_blank_g = 0;  ///< of those behind it
  double heaviest_blank_g = 0;
  /// Beyond its reach it is drawn out past what was built: a ratio need not hold there.
  Reach reach = Reach::within;
  double beyond_percent =
      0;  ///< lighter than the lightest, or heavier than the heaviest, by so much
  /// The chance that one more such build lies within least and greatest: (n − 1)/(n + 1).
  double chance_within = 0;
};

inline constexpr int least_builds_behind = 3;

/// From builds of the blank's wood and kind where three or more are known, else of its wood alone;
/// nothing where fewer than three are.
[[nodiscard]] std::optional<Suggestion> suggestion(std::span<const BuildFacts> builds,
                                                   const NewBlank& blank);

}  // namespace trueblank::notebook
