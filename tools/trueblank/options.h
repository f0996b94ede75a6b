// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>

#include "body/load_body.h"
#include "report/numbers.h"
#include "report/templates.h"
#include "symmetry/deviation.h"

// What a command line asks for, checked as far as it can be without reading a file.
namespace trueblank::tools {

struct CommonOptions {
  std::string json;       ///< a path, "-" for stdout, empty for none
  std::string page = {};  ///< an .html path, or empty
  int threads = 0;        ///< 0: as many as the machine has
  bool quiet = false;
  report::TextStyle style;
};

struct BodyOptions {
  std::string path;  ///< "-": standard input
  body::BodyHints hints;
  std::string map;           ///< a .ply or .glb path, or empty
  std::string aligned = {};  ///< an .stl, .ply or .obj path, or empty
};

/// A BODY may be a build sheet, told by the ending of its name.
[[nodiscard]] bool is_sheet(const std::string& path);

struct CheckRequest {
  CommonOptions common;
  BodyOptions body;
};

struct WeighRequest {
  CommonOptions common;
  BodyOptions body;
  std::optional<double> density_g_cm3 = {};  ///< > 0; not together with mass_g
  std::optional<double> mass_g = {};         ///< > 0
};

struct MirrorRequest {
  CommonOptions common;
  BodyOptions body;
  symmetry::StationSpacing stations = {};
  std::optional<double> limit_mm = {};
  std::string again = {};      ///< a second scan, or empty
  std::string sheet = {};      ///< a build sheet, or empty
  std::string templates = {};  ///< an .svg or .pdf path, or empty
  report::Paper paper = report::Paper::a4;
  std::string csv = {};
  std::string target = {};  ///< a .ply or .stl path, or empty
};

/// How many builds are drawn, and from where the dice are thrown.
struct Draws {
  int builds = 1000;
  std::uint64_t seed = 1;
};

struct FloatRequest {
  CommonOptions common;
  std::string sheet;
  std::optional<Draws> draws = {};
};

/// --help or --version: print this and be done.
struct ShowText {
  std::string text;
};

using Request = std::variant<CheckRequest, WeighRequest, MirrorRequest, FloatRequest, ShowText>;

}  // namespace trueblank::tools
