// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

// What stands on a command line, before anything is made of it.
namespace trueblank::tools {

using Words = std::vector<std::string>;

/// Whether a verb's input is a BODY; else it is a SHEET.
[[nodiscard]] bool takes_body(const std::string& verb);

/// An option of the verbs that take a BODY.
struct SheetKey {
  std::string_view option;
  std::string_view key;  ///< of [body]; empty where the sheet has no such key
};

[[nodiscard]] std::span<const SheetKey> body_options();

/// How many points an option takes; 0 where it takes none.
[[nodiscard]] int points_wanted(std::string_view option);

/// What the options of a notebook were given.
struct RawNotebook {
  std::string book, mesh, as_built, kind, notes, date;
  std::string state, tail_down, photo, list, sank_with, water, temperature, before, after;
  std::string wood, length, write, blank;
  Words words;
  bool yes = false;
};

/// What the options were given, as text.
struct Raw {
  std::string input;
  std::string json, page, threads;
  std::string units, length, width, height, displaced, push;
  std::string nose, nose_point, back, mend, table, smooth, thin, map, aligned;
  std::string density, mass;
  std::string fit, plane, split_line, eyes, stations, limit;
  std::string again, sheet, templates, paper, csv, target;
  std::string tolerances, seed;
  Words sweeps;
  RawNotebook notebook;
  Words others;  ///< what is compared with the input
  std::string other_units;
  std::string wood, seen, write, plan;
  std::string nozzle, voxel, min_wall, bed;
  bool print = false;
  bool woods = false, hooks = false;
  bool best_sand = false, fit_scale = false;
  bool imperial = false, quiet = false, verbose = false;
};

}  // namespace trueblank::tools
