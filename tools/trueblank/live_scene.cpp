// SPDX-License-Identifier: GPL-3.0-or-later
#include "live_scene.h"

#include <filesystem>

#include "sheet/sheet_pieces.h"

namespace trueblank::tools {

namespace {

// What a changed sheet is called after.
std::string file_name(const std::string& path) {
  return std::filesystem::path(path).filename().string();
}

}  // namespace

report::LiveScene live_scene(const SheetLure& lure) {
  const sheet::Sheet& sheet = lure.sheet;
  const body::BodyHints& hints = sheet.hints();
  report::LiveScene live{.rig = lure.resolved.rig,
                         .wood_name = sheet.wood_name(),
                         .wood_weighed_g = sheet.wood_weighed_g(),
                         .baseline = lure.resolved.baseline,
                         .hook_choices = lure.resolved.wishes.hooks,
                         .line_hook = sheet.line_hook(),
                         .air_in_cavity = lure.framed.outer.has_value(),
                         .finish_shapes_body = hints.coat_mm.has_value(),
                         .wood_shapes_body = hints.dunk && hints.dunk->from_push,
                         .sheet_file = file_name(sheet.path()),
                         .sheet = sheet::sheet_pieces(sheet.text())};
  for (const rig::WeightPlace& place : lure.resolved.wishes.places) {
    live.place_names.push_back(place.name);
  }
  return live;
}

}  // namespace trueblank::tools
