// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "symmetry/gap_field.h"

// Inside the room: which of the fields that gaps show are noise, and which are shape.
namespace trueblank::symmetry {

struct NoiseFields {
  std::vector<Field> noise;  ///< in standard deviations of one skin; none: no noise
  double slow_mm = 0;        ///< as ScanNoise::slow_mm

  /// The variance that they put into a gap between two skins.
  [[nodiscard]] double gap_mm2() const;

  /// Of the noise; it must hold one.
  [[nodiscard]] const Field& strongest() const;
};

/// Noise is everywhere: a field that has few places is shape, and so is what bends sharply here and
/// is smooth there. What the likeliest field leaves to each point for itself is noise too, unless
/// it is the misfit of a shape.
///
/// sample     what the fields were told from
/// length_mm  of the body
[[nodiscard]] NoiseFields noise_fields(const GapFields& fields, const GapSample& sample,
                                       double length_mm);

}  // namespace trueblank::symmetry
