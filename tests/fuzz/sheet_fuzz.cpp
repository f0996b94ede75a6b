// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "board.h"
#include "promises.h"
#include "rig/mass_model.h"
#include "sheet/build_sheet.h"

namespace trueblank::fuzz {
namespace {

void in_order(const rig::Range& range) {
  must(std::isfinite(range.low) && std::isfinite(range.high) && range.low <= range.high);
}

/// A rig that was let in can be added up, and what is wished for can be searched.
void laid_out(const sheet::Sheet& sheet) {
  const body::FramedBody& body = board();
  const sheet::ResolvedRig found = sheet::resolve(sheet, body);
  for (const std::string& warning : found.warnings) must(warning.find('\n') == std::string::npos);
  const rig::RiggedLure lure = rig::rigged(*body.body, body.whole, found.rig);
  must(std::isfinite(lure.mass_g) && lure.centre_of_mass_mm.allFinite());
  for (const rig::WeightPlace& place : found.wishes.places) {
    in_order(place.x_mm);
    in_order(place.y_mm);
    in_order(place.mass_g);
    if (place.height_mm) in_order(*place.height_mm);
    must(place.density_g_cm3 > 0 && place.mass_g.low >= 0);
  }
}

}  // namespace
}  // namespace trueblank::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace trueblank;
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  try {
    fuzz::laid_out(sheet::parse_sheet(text, fuzz::sheet_path));
  } catch (const geometry::InputError& error) {
    fuzz::one_line_refusal(error);
  }
  return 0;
}
