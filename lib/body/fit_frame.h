// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "body/hints.h"
#include "geometry/moments.h"
#include "geometry/parallel.h"

// Inside the room: where a closed body's own frame lies in its file.
namespace trueblank::body {

/// A body whose frame is sought, in any unit.
struct Unframed {
  const geometry::ClosedMesh& closed;
  const geometry::Moments& whole;
  std::span<const std::uint8_t> facet_measured;
  const std::string& file;  ///< for messages
};

struct Fitted {
  symmetry::MirrorFit fit;
  geometry::Frame frame;
  geometry::Plane plane;
  bool guessed = false;
  std::vector<std::string> warnings;
};

/// Mirror plane, then ends and sides. Points of the hints are in mm, which are 1 / mm_per_unit of
/// the body's unit.
/// throws  InputError for hints that the shape contradicts
[[nodiscard]] Fitted fit_frame(const Unframed& body, const BodyHints& hints, double mm_per_unit,
                               const geometry::ParallelFor& loop);

void scale(Fitted& fitted, double mm_per_unit);

}  // namespace trueblank::body
