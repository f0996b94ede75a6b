// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/copy_in_frame.h"

#include <utility>

#include "body/frame_of_body.h"
#include "body/messages.h"
#include "body/scan.h"
#include "body/shells.h"
#include "geometry/shells.h"

namespace trueblank::body {
namespace {

using geometry::ClosedMesh;
using geometry::Mat3;

// What a mirrored copy is turned back by, in its own axes.
const Mat3 y_reversed = Eigen::Vector3d(1, -1, 1).asDiagonal();

// Turned and shifted, at its own size.
symmetry::Motion at_own_size(const ClosedMesh& copy, const symmetry::AlignmentFit& fit) {
  symmetry::Motion motion = fit.motion;
  if (motion.scale == 1) return motion;  // exactly: it was not fitted
  const Vec3 centroid = geometry::moments(copy).centroid_mm;
  const Vec3 at = fit.mirrored ? Vec3(y_reversed * centroid) : centroid;
  motion.shift_mm = motion(at) - motion.turn * at;
  motion.scale = 1;
  return motion;
}

}  // namespace

FramedBody copy_in_frame(SoundBody copy, const FramedBody& master,
                         const symmetry::AlignmentFit& fit) {
  if (!copy.closed) throw stays_open(copy.input.file, copy.as_read.open_loops);
  symmetry::AlignmentFit own = fit;
  own.motion = at_own_size(*copy.closed, fit);

  FramedBody framed;
  framed.sound = std::move(copy);
  const Mat3 axes = own.motion.turn.transpose();
  framed.frame = {.origin_mm = -(axes * own.motion.shift_mm),
                  .x = axes.col(0),
                  .y = axes.col(1),
                  .z = axes.col(2)};
  framed.plane = {framed.frame.y, framed.frame.y.dot(framed.frame.origin_mm)};
  framed.guessed = master.guessed;
  framed.body = symmetry::placed(*framed.sound.closed, own);
  framed.whole = geometry::moments(*framed.body);
  framed.length_mm = extent_along(framed.body->mesh(), Vec3::UnitX()).length_mm();
  framed.outside_measured = outside_measured(framed.sound.mended);
  if (framed.sound.record.cavity == Cavity::air) {
    const std::optional<ClosedMesh> outer = geometry::outer_skin(*framed.sound.closed);
    if (outer) framed.outer = symmetry::placed(*outer, own);
  }
  return framed;
}

}  // namespace trueblank::body
