// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <vector>

#include "geometry/mesh.h"
#include "geometry/moments.h"
#include "notebook/learning.h"
#include "rig/assembly.h"
#include "water/cut_body.h"

// Predictions for learning from, from the bodies and rigs themselves.
namespace trueblank::notebook {

/// A build of the book, laid out again. Body frame. Refers to what it is made of, which must
/// outlive it.
struct RebuiltLure {
  const geometry::ClosedMesh& bare;
  const geometry::Moments& whole;               ///< of `bare`
  const geometry::Moments& coated;              ///< as rig::assemble() wants it
  water::CutBody cut;                           ///< of the body that the water sees
  rig::Rig rig;                                 ///< in the sheet's own water
  std::string wood = {};                        ///< as the table of woods has it
  geometry::Vec3 up = geometry::Vec3::UnitZ();  ///< of the pose that was foretold
};

/// How a lure lies in `water` when it is let go as it was foretold to lie, were each cause as much
/// as given. Swelling is not reckoned with: water taken up adds to the mass at the wood's centre
/// and displaces nothing.
///
/// lures   refered to: must outlive what is returned; as many as there are builds
/// cost    5 to 30 cuts of the body a prediction; of the scatter, that for each part, four times
/// over
[[nodiscard]] Foretelling foretelling_of(std::span<const RebuiltLure> lures,
                                         std::span<const Cause> causes,
                                         const rig::Tolerances& tolerances,
                                         const LearningOptions& options = {});

}  // namespace trueblank::notebook
