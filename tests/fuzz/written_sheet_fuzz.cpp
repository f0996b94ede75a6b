// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <string>
#include <vector>

#include "board.h"
#include "promises.h"
#include "sheet/build_sheet.h"
#include "sheet/write_weights.h"

namespace trueblank::fuzz {
namespace {

/// A weight for each place, well within the board, and every hook moved and made heavier.
struct Found {
  std::vector<sheet::FoundWeight> weights;
  std::vector<sheet::ChangedHook> hooks;
};

Found found_for(const sheet::ResolvedRig& rig) {
  Found out;
  for (std::size_t i = 0; i < rig.wishes.places.size(); ++i) {
    const rig::WeightPlace& place = rig.wishes.places[i];
    const double x = std::clamp(place.x_mm.low, 1.0, 139.0);
    out.weights.push_back({.place = i,
                           .ballast = {.name = place.name,
                                       .at_mm = {x, 0.1, -1.0 / 3},
                                       .mass_g = 0.1 + place.mass_g.low,
                                       .density_g_cm3 = place.density_g_cm3,
                                       .diameter_mm = 7,
                                       .axis = place.axis}});
  }
  for (std::size_t i = 0; i < rig.rig.hooks.size(); ++i) {
    const rig::Hook& hook = rig.rig.hooks[i];
    out.hooks.push_back(
        {.hook = i, .mass_g = 1.1 * hook.mass_g, .eye_mm = geometry::Vec3(70.1, 0, -11)});
  }
  return out;
}

/// What is written reads back to the last bit, with what was found after its own.
void same(const sheet::ResolvedRig& before, const Found& found, const sheet::ResolvedRig& after) {
  const std::size_t own = before.rig.ballasts.size();
  must(after.wishes.places.empty());
  must(after.rig.ballasts.size() == own + found.weights.size());
  for (std::size_t i = 0; i < after.rig.ballasts.size(); ++i) {
    const rig::Ballast& wanted = i < own ? before.rig.ballasts[i] : found.weights[i - own].ballast;
    const rig::Ballast& got = after.rig.ballasts[i];
    must(got.name == wanted.name && got.at_mm == wanted.at_mm && got.axis == wanted.axis);
    must(got.mass_g == wanted.mass_g && got.density_g_cm3 == wanted.density_g_cm3);
    must(got.diameter_mm == wanted.diameter_mm);
  }
  must(after.rig.hooks.size() == before.rig.hooks.size());
  for (std::size_t i = 0; i < after.rig.hooks.size(); ++i) {
    const rig::Hook& got = after.rig.hooks[i];
    must(got.name == before.rig.hooks[i].name && got.hang_mm == before.rig.hooks[i].hang_mm);
    must(got.mass_g == found.hooks[i].mass_g && got.eye_mm == found.hooks[i].eye_mm);
  }
  must(after.rig.wood_density_g_cm3 == before.rig.wood_density_g_cm3);
  must(after.rig.wires.size() == before.rig.wires.size());
}

void written_back(std::string_view text) {
  const sheet::ResolvedRig before =
      sheet::resolve(sheet::parse_sheet(text, sheet_path), board(), sheet::Places::to_be_filled);
  const Found found = found_for(before);
  const std::string written = sheet::with_weights(text, found.weights, found.hooks);
  try {
    same(before, found, sheet::resolve(sheet::parse_sheet(written, sheet_path), board()));
  } catch (const geometry::InputError&) {
    must(false);
  }
}

}  // namespace
}  // namespace trueblank::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace trueblank;
  try {
    fuzz::written_back({reinterpret_cast<const char*>(data), size});
  } catch (const geometry::InputError& error) {
    fuzz::one_line_refusal(error);
  }
  return 0;
}
