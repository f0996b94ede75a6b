// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "body/load_body.h"
#include "symmetry/alignment_search.h"

namespace trueblank::body {

/// A copy of a body, laid on it, in that body's frame: so that a build sheet's points lie in both
/// alike, and both can be compared vertex by vertex.
///
/// Stations count from the master's nose, which the copy's own nose may be a little off. The copy
/// keeps its own size, since that is what swims: a scale that was fitted is undone about the copy's
/// centroid of volume, so that it still lies amid the master. One that was read mirrored is turned
/// back into what it is a copy of.
///
/// copy     closed; anything else of it is handed through (`sound`, in the copy's own file axes)
/// master   in its frame
/// fit      of the copy's file axes (mm) into the master's body frame
/// returns  `body`, `whole`, `outside_measured` and `outer` as load_framed_body tells them;
///          `length_mm` the copy's own, along the frame's x; `frame` and `plane` the master's frame
///          in the copy's file axes (in those with y reversed, where it was mirrored); `guessed` as
///          of the master; `fit` empty: no mirror plane of its own was sought
/// throws   InputError where the copy stays open
[[nodiscard]] FramedBody copy_in_frame(SoundBody copy, const FramedBody& master,
                                       const symmetry::AlignmentFit& fit);

}  // namespace trueblank::body
