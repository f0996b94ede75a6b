// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "geometry/cut.h"
#include "geometry/moments.h"
#include "rig/mass_model.h"
#include "rig/parts.h"

// A rig laid out on its body once, so that what a gram, a millimetre or a percent changes is added
// up again in a step a part, without another look at the facets.
namespace trueblank::rig {

/// What a part brings and what it takes away, in the body frame.
struct LaidPart {
  std::string name = {};
  PartKind kind = PartKind::ballast;
  double mass_g = 0;
  Vec3 centre_mm = Vec3::Zero();       ///< of its own mass
  double wood_g = 0;                   ///< of the wood whose place it takes
  Vec3 wood_centre_mm = Vec3::Zero();  ///< of that wood
  double water_g = 0;                  ///< of its mass, what is water that only a wet lure holds
  std::vector<SpreadPart> outside = {};
};

struct Assembly {
  double undrilled_wood_g = 0;
  Vec3 undrilled_wood_centre_mm = Vec3::Zero();
  bool wood_weighed = false;    ///< its mass is known and does not grow with the body's size
  bool wood_balanced = false;   ///< the station of its centre was measured, and does not either
  bool finish_weighed = false;  ///< nor does the mass of a coat that was weighed
  double water_density_g_cm3 = 0;
  std::vector<LaidPart> parts;  ///< finish, wires, ballasts, pockets, hooks, outside parts
};

/// Lays out a rig.
///
/// bare    the bare body, closed, in the body frame; `whole` are its moments
/// rig     densities and masses > 0; of halves, the body lies on both sides of y = 0. Inside parts
///         that together exceed the wood make the wood's mass negative (whoever builds the rig
///         warns of it)
/// coated  moments of the coated body; used only where the rig has a finish
/// cost    a pass over the facets for each stretch of wire and each pocket, one for halves
[[nodiscard]] Assembly assemble(const geometry::ClosedMesh& bare, const geometry::Moments& whole,
                                const Rig& rig, const geometry::Moments& coated);

/// Lays out one rig after another on one body, each just as assemble() would, to the last bit. A
/// wire or a pocket that was in the rig before, in the same wood, is not cut anew, so that a weight
/// can be dragged without a look at the facets.
class Layout {
 public:
  /// Both are kept by reference.
  Layout(const geometry::ClosedMesh& bare, const geometry::Moments& whole)
      : bare_(bare), whole_(whole) {}

  /// As assemble() has it.
  [[nodiscard]] Assembly lay(const Rig& rig, const geometry::Moments& coated);

  /// What of the body lies at y < 0; reckoned once, and only where it is asked for.
  [[nodiscard]] const geometry::BelowPlane& left();

 private:
  struct Undrilled;
  Undrilled undrilled(const Rig& rig);

  const geometry::ClosedMesh& bare_;
  const geometry::Moments& whole_;
  std::optional<geometry::BelowPlane> left_;
  /// Of the rig before: the wood's density on either side, g/mm³, and what was cut in it.
  double left_g_mm3_ = 0;
  double right_g_mm3_ = 0;
  std::vector<std::pair<Wire, LaidPart>> wires_;
  std::vector<std::pair<Pocket, LaidPart>> pockets_;
};

/// What a hanging part displaces: its volume on the vertical below its eye.
[[nodiscard]] SpreadPart hanging_line(const Hook& hook);

/// The moments of a body and the coat on its outer skin, for assemble(), where the coat lies on a
/// hollow body whose cavity displaces: bare + coated − outer.
///
/// outer   of all within the bare body's outer skin, coated: of that skin with its coat
[[nodiscard]] geometry::Moments with_coat(const geometry::Moments& bare,
                                          const geometry::Moments& outer,
                                          const geometry::Moments& coated);

/// The rigged lure as the water sees it; cost a step a part.
[[nodiscard]] RiggedLure add_up(const Assembly& assembly);

/// With `grams` more (or less, if negative) of the same stuff: what the part displaces and the wood
/// that it takes the place of grow alike; a finish or a filling only grows heavier. Just what
/// assembling anew would give, save between halves of unlike density for a part that the split line
/// divides.
///
/// grams  > -mass_g
[[nodiscard]] LaidPart heavier(const LaidPart& part, double grams);

/// The part and the hole that it fills moved as one, rigidly; a wire or a pocket is not cut anew at
/// the skin, and halves are taken to be of one density.
[[nodiscard]] LaidPart moved(const LaidPart& part, const Vec3& by_mm);

/// With the wood `factor` times as dense.
[[nodiscard]] Assembly with_wood_times(const Assembly& assembly, double factor);

/// Without one of its parts; the wood whose place it took is there again.
[[nodiscard]] Assembly without(const Assembly& assembly, std::size_t part);

/// The same rig on a body that is `scale` times as long as it was taken to be, told in that body's
/// own lengths: on the unscaled body and in the same water, it lies as the true one does. Places in
/// mm and weighed masses stay what they are; wood of a given density grows with the body's volume,
/// a coat with its skin. Lengths there are true lengths / scale, masses true masses / scale³. (How
/// thick the coat is there, and where a wire leaves the skin, is not found anew.)
[[nodiscard]] Assembly on_scaled_body(const Assembly& assembly, double scale);

}  // namespace trueblank::rig
