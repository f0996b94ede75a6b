// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "rig/baseline.h"
#include "rig/parts.h"
#include "rig/wishes.h"
#include "sheet/sheet_pieces.h"

// What a page that solves by itself starts from.
namespace trueblank::report {

class JsonObject;

/// A lure that the page changes and lets float anew. Body frame.
struct LiveScene {
  rig::Rig rig = {};
  std::string wood_name = {};                 ///< as the table of woods has it, or empty
  std::optional<double> wood_weighed_g = {};  ///< of the whole blank
  std::optional<rig::Baseline> baseline = {};
  std::vector<rig::HookChoice> hook_choices = {};
  std::vector<std::string> place_names = {};  ///< of places for weights: no part may be called so
  std::string line_hook = {};       ///< the hook that the line is tied to, where the sheet names it
  bool air_in_cavity = false;       ///< the water sees the outer skin alone
  bool finish_shapes_body = false;  ///< the coat's thickness came off the scan
  bool wood_shapes_body = false;    ///< the blank's weight is part of the dunk test
  std::string sheet_file = {};      ///< its name, without a folder
  std::vector<sheet::SheetPiece> sheet = {};  ///< joined they are the sheet
};

/// Keys and units as the page's script reads them.
[[nodiscard]] JsonObject live_json(const LiveScene& live);

}  // namespace trueblank::report
