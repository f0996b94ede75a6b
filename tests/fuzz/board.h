// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "body/load_body.h"
#include "geometry/moments.h"
#include "promises.h"

namespace trueblank::fuzz {

/// A sheet is read as if it lay in this folder, in which there is a file "exe", for its mesh.
constexpr const char* sheet_path = "/proc/self/fuzz.toml";

/// A board of 140 × 18 × 22 mm from x = 0, for what a sheet says about its body.
inline const body::FramedBody& board() {
  static const body::FramedBody made = [] {
    geometry::TriangleMesh box;
    box.positions_mm.resize(3, 8);
    for (int corner = 0; corner < 8; ++corner) {
      box.positions_mm.col(corner) << (corner % 2 == 0 ? 0 : 140), (corner / 2 % 2 == 0 ? -9 : 9),
          (corner / 4 == 0 ? -11 : 11);
    }
    box.facets.resize(3, 12);
    box.facets << 0, 0, 4, 4, 0, 0, 2, 2, 0, 0, 1, 1,  //
        2, 3, 5, 7, 1, 5, 6, 7, 4, 6, 3, 7,            //
        3, 1, 7, 6, 5, 4, 7, 3, 6, 2, 7, 5;
    body::FramedBody out;
    out.body = geometry::closed_mesh(box);
    must(out.body.has_value());
    out.whole = geometry::moments(*out.body);
    out.length_mm = 140;
    return out;
  }();
  return made;
}

}  // namespace trueblank::fuzz
