// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <string>
#include <vector>

#include "geometry/mesh.h"
#include "notebook/learning.h"
#include "rig/assembly.h"
#include "water/cut_body.h"

// Predictions to learn from, from the bodies and rigs themselves.
namespace trueblank::notebook {

/// A build of the book, laid out again. Body frame.
struct RebuiltLure {
  water::CutBody body;      ///< that the water sees; refers to what must outlive it
  rig::Assembly laid = {};  ///< in the sheet's own water
  std::string wood = {};    ///< as Figures has it
  geometry::Vec3 up = geometry::Vec3::UnitZ();  ///< of the pose that was foretold
};

/// The same rig in other water, which its pockets that are open to it hold too.
[[nodiscard]] rig::Assembly in_water(const rig::Assembly& assembly, double water_g_cm3);

/// A rig as it came out of the bench.
struct AsBuiltRig {
  rig::Assembly laid = {};
  std::vector<std::string> unknown = {};  ///< parts that were weighed, but the rig has none such
};

/// With its parts as heavy as they were weighed, displacing and taking the place of so much more or
/// less; weights, pockets, hooks (their eyes) and outside parts where they were measured to sit;
/// and its blank as it was weighed before holes. So what is off from then on is not what the bench
/// told already. Of parts of one name the first.
[[nodiscard]] AsBuiltRig as_built_rig(const rig::Assembly& sheet, const AsBuilt& built);

/// How much a build's own wood takes up otherwise than all wood does, of its mass in an hour: one
/// standard deviation. An assumption, a quarter of that for all wood; where the soaks of a book
/// scatter by more, all doubts are widened.
inline constexpr double own_water_sd_percent = 0.5;

/// How each lure lies in a water when it is let go as it was foretold to lie, were each cause as
/// much as given. Water taken up adds to the mass at the wood's own centre and displaces nothing:
/// swelling is left out. A blank that was weighed has no density to be off.
///
/// The scatter is that of all that draw_builds() draws, taken to be linear, with the water taken
/// up.
///
/// lures, causes  referred to: must outlive what is returned
/// cost           5 to 30 cuts of the body a prediction; eight predictions a part for the scatter
[[nodiscard]] Foretelling foretelling_of(std::span<const RebuiltLure> lures,
                                         std::span<const Cause> causes,
                                         const rig::Tolerances& tolerances,
                                         const LearningOptions& options = {});

}  // namespace trueblank::notebook
