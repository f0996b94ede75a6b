// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <optional>
#include <string>
#include <vector>

#include "body/load_body.h"
#include "effect/copy_effect.h"
#include "report/numbers.h"
#include "symmetry/alignment_search.h"
#include "symmetry/comparison.h"
#include "symmetry/copies_by_place.h"
#include "symmetry/profile.h"
#include "tuning/restore.h"

namespace trueblank::report {

/// A copy in the water beside its master, rigged as the sheet says.
struct CopyInWater {
  double wood_density_g_cm3 = 0;     ///< of both
  bool places_as_in_master = false;  ///< parts lie where the master's do, not by the copy's skin
  effect::CopyEffect effect;
  std::optional<tuning::Restored> restored = {};  ///< where it was sought
};

/// A copy held against the master. Vertex by vertex nothing is kept here: what is mapped goes to
/// the map and the page.
struct ComparedCopy {
  body::InputFacts input;
  body::BodyRecord record;
  std::vector<std::string> warnings;  ///< of its file and of this comparison
  symmetry::AlignmentFit fit;         ///< of the copy's file axes (mm) into the master's body frame
  Eigen::Matrix4d to_file = Eigen::Matrix4d::Identity();  ///< likewise into the master's file axes
  symmetry::Comparison comparison;                        ///< its fields are empty
  std::optional<symmetry::Profile> profile = {};          ///< where there is a limit
  std::optional<CopyInWater> water = {};
};

/// A file of many that could not be used, and why.
struct SkippedCopy {
  std::string file;
  std::string why;
};

/// What `compare` found.
struct CompareResult {
  body::InputFacts input;   ///< of the master
  body::BodyRecord record;  ///< likewise
  geometry::Frame frame;    ///< file axes
  bool guessed = false;     ///< an end, a side or the turn is a guess
  double length_mm = 0;
  bool scale_was_fitted = false;
  std::optional<double> limit_mm = {};
  std::string sheet = {};            ///< of the rig, or empty
  std::vector<ComparedCopy> copies;  ///< in the order given
  std::vector<SkippedCopy> skipped = {};
  std::optional<symmetry::CopiesResult> together = {};  ///< of two copies and more
  std::vector<symmetry::SliceOfCopies> by_place = {};   ///< likewise
  std::optional<double> map_scale_mm = {};  ///< where a map was asked for: ends of its colours, ±
  std::vector<std::string> warnings = {};   ///< of the master and of the run
};

/// Whether a copy fails the limit.
[[nodiscard]] bool limit_missed(const CompareResult& result);

/// The comparison without what is as large as its meshes.
[[nodiscard]] symmetry::Comparison slimmed(symmetry::Comparison comparison);

/// Whether it is a scan of a part alone: skin of the master has no counterpart, and skin of the
/// copy was made up. What it measures as a whole then says nothing.
[[nodiscard]] bool is_part(const ComparedCopy& copy);

/// What a comparison is in doubt about: a pose that the shape leaves open, units that are likely
/// wrong, bodies that hardly fit.
[[nodiscard]] std::vector<std::string> doubts_of(const ComparedCopy& copy, double length_mm);
[[nodiscard]] std::string no_water_without_pose(const std::string& sheet);

[[nodiscard]] std::string answer(const CompareResult& result, const TextStyle& style);
[[nodiscard]] std::string to_text(const CompareResult& result, const TextStyle& style);
[[nodiscard]] std::string to_json(const CompareResult& result);

/// A table for a spreadsheet: of one copy its stations beside the master's, of many a row a copy. A
/// line of headings, commas, decimal points, LF.
[[nodiscard]] std::string comparison_csv(const CompareResult& result);

}  // namespace trueblank::report
