// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "notebook/as_built.h"
#include "notebook/tank_record.h"
#include "rig/waters.h"
#include "water/rest_poses.h"

// What a notebook keeps of a finished build. Texts are UTF-8; a number comes back to the last bit,
// but that a zero has no sign.
namespace trueblank::notebook {

/// The figures of a build as `float` reckoned them, in columns: what is searched for and learnt
/// from. What is not known is not set. Of more than one pose, those of the first.
struct Figures {
  std::string wood = {};  ///< as the table of woods has it, "western redcedar"; empty for a density
  std::optional<double> wood_density_g_cm3 = {};
  std::optional<double> length_mm = {};
  std::optional<double> width_mm = {};    ///< extent along y
  std::optional<double> height_mm = {};   ///< extent along z
  std::optional<double> volume_mm3 = {};  ///< of the bare body
  std::optional<rig::Water> water = {};   ///< that the other figures are for: the sheet's own
  std::optional<water::State> state = {};
  std::optional<double> mass_g = {};
  std::optional<double> undrilled_wood_g = {};  ///< of the bare blank before holes are cut
  /// What the parts of each kind weigh; the wood net of what the inside parts replace, so that
  /// these seven sum to mass_g.
  std::optional<double> wood_g = {};
  std::optional<double> finish_g = {};
  std::optional<double> wire_g = {};
  std::optional<double> ballast_g = {};
  std::optional<double> pocket_g = {};
  std::optional<double> hooks_g = {};
  std::optional<double> outside_g = {};
  std::optional<double> displacement_full_g = {};
  std::optional<double> reserve_g = {};  ///< negative for a sinker: its weight in water
  std::optional<double> tail_down_deg = {};
  std::optional<double> list_deg = {};
  std::optional<double> least_stiffness_g_mm_per_deg = {};
  std::optional<double> roll_stiffness_g_mm_per_deg = {};
};

/// What a list of builds shows.
struct BuildFacts {
  std::int64_t id = 0;     ///< from 1, in the order of adding; never used for another build
  std::string added = {};  ///< UTC, "2026-03-01T18:30:00Z"
  std::string title = {};
  std::string kind = {};             ///< of body, in the maker's word or guessed: kind_of_body.h
  std::string notes = {};            ///< free words
  std::string program_version = {};  ///< that reckoned the results
  std::string sheet_name = {};       ///< the sheet's own file name, without its folder
  Figures figures = {};
  std::optional<AsBuilt> as_built = {};
};

/// A file that a sheet reads.
struct KeptFile {
  std::string name = {};  ///< as the sheet writes it, relative to the sheet: "needle-165.stl"
  std::string bytes = {};

  bool operator==(const KeptFile&) const = default;
};

/// A whole build; everything is kept byte for byte.
struct Build {
  BuildFacts facts = {};
  std::string sheet = {};            ///< its text
  std::vector<KeptFile> files = {};  ///< mesh or drawings; of each name one
  std::string results_json = {};     ///< of `float`; may be empty
};

/// A build and what the water showed of it, in the order of adding.
struct ListedBuild {
  BuildFacts facts = {};
  std::vector<TankRecord> tank = {};
};

struct ShownBuild {
  Build build = {};
  std::vector<TankRecord> tank = {};
};

/// What is left of a build that was forgotten.
struct Tombstone {
  std::int64_t id = 0;
  std::string added = {};
  std::string title = {};
  std::string forgotten = {};  ///< when, UTC

  bool operator==(const Tombstone&) const = default;
};

}  // namespace trueblank::notebook
