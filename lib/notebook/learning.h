// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <array>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "notebook/build.h"
#include "rig/parts.h"

// What was foretold of builds against what the water showed, and what explains the difference.
namespace trueblank::notebook {

/// What is foretold and read.
enum class Figure {
  reserve_g,  ///< displacement less mass, in the trial's water; negative for a sinker
  tail_down_deg,
  list_deg,
  mass_g,       ///< of the whole lure, dry
  soak_gain_g,  ///< by an hour's soak
};

inline constexpr std::size_t figure_kinds = 5;

/// A value for each Figure that has one.
using FigureSet = std::array<std::optional<double>, figure_kinds>;

/// Variances and covariances of the figures of one build, in the order of Figure.
using FigureScatter = Eigen::Matrix<double, 5, 5>;

/// What may be off in all builds alike.
enum class CauseKind {
  scale_percent,           ///< the bodies are longer than their scans say
  wood_density_percent,    ///< the wood is denser than the sheets say, where it was not weighed
  water_taken_up_percent,  ///< in an hour's soak, of the wood's own mass
  hook_mass_g,             ///< each hook is heavier than its sheet says
};

struct Cause {
  CauseKind kind = CauseKind::scale_percent;
  std::optional<std::string> wood = {};  ///< where set: of builds of that wood alone
  double prior_sd = 0;                   ///< one standard deviation, before anything was read; > 0
};

/// Wood that was sealed takes up some 2 % of its mass in an hour: common practice, no published
/// source. How much is what the soaks of a book tell.
inline constexpr double water_taken_up_sd_percent = 2;

/// The causes that may be told from a book's builds: scale, the density of each wood of which two
/// builds or more were tried (where there is none, of all wood), water taken up, hooks. Standard
/// deviations are the maker's own tolerances: how much of these is common to all builds is not
/// known beforehand, so each counts in full here and in a build's own scatter.
[[nodiscard]] std::vector<Cause> causes_of(std::span<const ListedBuild> builds,
                                           const rig::Tolerances& tolerances);

/// Where predictions come from. Builds are counted from 0, as in the list that they are for.
struct Foretelling {
  /// The figures of a build in a water, were each cause as much as `causes` says; what can't be
  /// foretold is not set. With all causes nil: as the sheet says.
  std::function<FigureSet(std::size_t build, const rig::Water& water,
                          std::span<const double> causes)>
      figures;
  /// How a build's own figures scatter within the maker's tolerances, whatever the causes.
  std::function<FigureScatter(std::size_t build)> scatter;
};

/// One figure, foretold and read.
struct Reading {
  std::size_t build = 0;
  std::int64_t tank_record = 0;  ///< its number; 0: from the bench, not from the water
  Figure figure = Figure::reserve_g;
  double read = 0;
  double sd = 0;  ///< of the reading
  double foretold = 0;
  /// It lay on another side, or steeper or flatter by more than 45°: another rest pose than the one
  /// foretold, which no small cause explains. Not used.
  bool other_pose = false;

  /// Read less foretold; of lists the short way round.
  [[nodiscard]] double off() const;
};

/// A trial that floated or sank where the other was foretold.
struct WrongState {
  std::size_t build = 0;
  std::int64_t tank_record = 0;
  water::State read = water::State::floats;
  water::State foretold = water::State::floats;
};

/// Everything that was read of the builds, beside what is foretold with the causes given.
struct Comparison {
  std::vector<Reading> readings = {};
  int states = 0;  ///< trials that clearly floated or sank, where one of both was foretold
  std::vector<WrongState> wrong_states = {};  ///< of these
};

struct LearningOptions {
  double level = 0.05;  ///< the chance that readings without any cause make one be named
  /// Of the water that an hour's soak brings, what is in the wood while the lure is looked at: some
  /// five minutes, and √(5/60) by the law that uptake grows as the root of time.
  /// source  J. Philip, Soil Science 84, 1957, for porous bodies in general (from memory)
  double soaked_share = 0.29;
  double lead_density_g_cm3 = 11.34;  ///< of what is stuck on to sink it
  double angle_sd_deg = 1;            ///< where a record doesn't say
  double sank_sd_g = 0.2;
  double weighed_sd_g = 0.1;
};

/// Predictions are for the water that each record was taken in. No causes: as the sheets say.
[[nodiscard]] Comparison compare(std::span<const ListedBuild> builds,
                                 const Foretelling& foretelling, std::span<const double> causes,
                                 const LearningOptions& options = {});

/// How much of a cause there is.
struct Estimate {
  std::size_t cause = 0;  ///< its place in the list of causes
  double value = 0;       ///< in the cause's unit
  double sd = 0;
};

/// A cause that is worth naming.
struct Named {
  Estimate found = {};
  double chance = 0;  ///< that readings without it would make it look as good, all those tried
                      ///< taken into account
  /// Causes that in its place explain the readings about as well (the sum of squares, the prior's
  /// among them, within 2): which of them it is, these records do not tell.
  std::vector<Estimate> or_else = {};
};

enum class LearningEnd {
  no_readings,   ///< nothing to learn from
  nothing_more,  ///< no other cause is worth naming
  no_more_fit,   ///< as many are named as the records carry
};

/// What explains the difference between what was foretold and what was read.
///
/// Beginning with none, the cause that explains most is named as long as chance alone would hardly
/// do as much: by a χ² test at the readings' stated doubts and, where what is left scatters by more
/// than these, by an F test against that scatter too; the level divided by how many causes were
/// tried (Bonferroni). No more causes than one fewer than the builds that were read, and than one
/// fewer than the readings: what is off in one build alone is that build's own. Whether a lure
/// floated or sank is compared, but nothing is learnt from it.
///
/// source  A. Tarantola, Inverse Problem Theory, SIAM 2005, ch. 3 (least squares with a prior); N.
///         Draper, H. Smith, Applied Regression Analysis, 3rd ed., 1998, ch. 15 (forward
///         selection); K. Burnham, D. Anderson, Model Selection and Multimodel Inference, 2002,
///         sect. 2.6 (within 2); Particle Data Group, Review of Particle Physics, introduction
///         (scale factor); all from memory
struct Learned {
  int builds = 0;    ///< that were read
  int readings = 0;  ///< that were used
  LearningEnd end = LearningEnd::no_readings;
  std::vector<Named> named = {};  ///< in the order in which they were found
  /// All named causes together, as many as there are causes; 0 where not named.
  std::vector<double> values = {};
  Eigen::MatrixXd covariance = {};  ///< of `values`, 0 where not named
  /// Every cause, were all of them let go within their own prior at once: the widest honest doubt.
  std::vector<Estimate> all = {};
  Eigen::MatrixXd all_correlation = {};
  /// Pairs of causes that do the same to all that was read but for a factor (the cosine of their
  /// slopes, in the readings' doubts, is over 0.98): records of this sort hardly tell them apart.
  std::vector<std::array<std::size_t, 2>> alike = {};
  double squares_before = 0;  ///< Σ (off/doubt)², the doubts' correlations taken into account
  double squares_after = 0;
  /// Root mean square of what is left, in its doubts, 1 or more; doubts above are already this much
  /// wider.
  double scatter = 1;
  /// Readings that even so lie off by over 3.5 of their stated doubts, the build's own scatter
  /// among these: they or their sheet want checking. `foretold` is with the causes named.
  std::vector<Reading> doubtful = {};
};

/// The same records, the same answer to the last bit.
[[nodiscard]] Learned learn(std::span<const ListedBuild> builds, std::span<const Cause> causes,
                            const Foretelling& foretelling, const LearningOptions& options = {});

/// A figure of a build that is not in the water yet.
struct Expected {
  Figure figure = Figure::reserve_g;
  double by_sheet = 0;
  double learned = 0;  ///< with what was learnt
  double sd = 0;       ///< of a build: its own scatter, and the doubt of the causes named
};

/// build  as `foretelling` counts; may be one that `learned` is not from
[[nodiscard]] std::vector<Expected> expected(const Learned& learned, const Foretelling& foretelling,
                                             std::size_t build, const rig::Water& water);

}  // namespace trueblank::notebook
