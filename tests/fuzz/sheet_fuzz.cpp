// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "geometry/moments.h"
#include "promises.h"
#include "rig/mass_model.h"
#include "sheet/build_sheet.h"

namespace trueblank::fuzz {
namespace {

/// A board of 140 × 18 × 22 mm from x = 0, for what a sheet says about its body.
body::FramedBody board() {
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
}

/// A rig that was let in can be added up.
void laid_out(const sheet::Sheet& sheet) {
  static const body::FramedBody body = board();
  const sheet::ResolvedRig found = sheet::resolve(sheet, body);
  for (const std::string& warning : found.warnings) must(warning.find('\n') == std::string::npos);
  const rig::RiggedLure lure = rig::rigged(*body.body, body.whole, found.rig);
  must(std::isfinite(lure.mass_g) && lure.centre_of_mass_mm.allFinite());
}

}  // namespace
}  // namespace trueblank::fuzz

// The sheet lies in a folder in which there is a file "exe", for its mesh.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace trueblank;
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  try {
    fuzz::laid_out(sheet::parse_sheet(text, "/proc/self/fuzz.toml"));
  } catch (const geometry::InputError& error) {
    fuzz::one_line_refusal(error);
  }
  return 0;
}
