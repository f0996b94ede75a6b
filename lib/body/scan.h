// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "body/load_body.h"

// Inside the room: a file as read and mended, brought to its scale, its skin moved.
namespace trueblank::body {

struct Scan {
  SoundBody body;                          ///< in the file's unit until scaled
  std::optional<geometry::Moments> whole;  ///< where it is closed
  std::optional<double> mm_per_unit = {};  ///< where the format says so
  double end_off_share = 0;                ///< as BodyRecord has it
};

/// throws  InputError
[[nodiscard]] Scan read_and_mend(const Source& source, const BodyHints& hints,
                                 bool look_for_self_intersections);

/// Every length of it; what had a scale gets one of both.
void scale(Scan& scan, double mm_per_unit, ScaleFrom from);

/// A lure is 60 to 300 mm long; from 20 to 1000 mm a file in mm is believed.
void scale_by_guess(Scan& scan);

/// So that the body displaces what the dunk test says, less its coat where one is to come off.
/// body.closed is set
void scale_by_dunk(Scan& scan, const BodyHints& hints);

/// Smooths and thins where that was asked for, takes the coat off, and moves the skin to what the
/// dunk test says where the scale is known from elsewhere; says whether anything was done.
/// throws  InputError for an offset of more than half a millimetre, a coat thicker than the body
bool move_skin(Scan& scan, const BodyHints& hints);

/// Fills in the record once all is done.
void note_doubts(Scan& scan, const BodyHints& hints, const geometry::ParallelFor& loop);

}  // namespace trueblank::body
