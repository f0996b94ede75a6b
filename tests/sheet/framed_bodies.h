// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "body/load_body.h"
#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::sheet {

/// A body that stands in its own frame already.
inline body::FramedBody framed(const geometry::TriangleMesh& mesh, double length_mm) {
  body::FramedBody body;
  body.body = test_bodies::closed(mesh);
  body.whole = geometry::moments(*body.body);
  body.length_mm = length_mm;
  return body;
}

/// A box of 100 × 20 × 30 mm from x = 0: its belly is at z = −15, its right flank at y = 10.
inline const body::FramedBody& plank() {
  static const body::FramedBody body =
      framed(test_bodies::moved(test_bodies::box(100, 20, 30), geometry::Mat3::Identity(),
                                geometry::Vec3(50, 0, 0)),
             100);
  return body;
}

}  // namespace trueblank::sheet
