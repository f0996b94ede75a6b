// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "body/load_body.h"
#include "body/print_check.h"
#include "notebook/book.h"
#include "notebook/ratios.h"
#include "report/numbers.h"
#include "report/templates.h"
#include "symmetry/deviation.h"
#include "tuning/explain.h"
#include "water/sweep.h"

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
  std::string map = {};      ///< a .ply or .glb path, or empty
  std::string aligned = {};  ///< an .stl, .ply or .obj path, or empty
};

/// Whether a path ends so, capitals or not. ending  lower case
[[nodiscard]] bool ends_like(const std::string& path, const std::string& ending);
/// A BODY may be a build sheet, told by the ending of its name.
[[nodiscard]] bool is_sheet(const std::string& path);

struct CheckRequest {
  CommonOptions common;
  BodyOptions body;
  std::optional<body::PrintOptions> print = {};  ///< where it is a master to be printed
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

struct CompareRequest {
  CommonOptions common;
  BodyOptions body;                 ///< the master
  std::vector<std::string> others;  ///< the copies, at least one
  std::optional<body::Unit> other_units = {};
  bool fit_scale = false;
  symmetry::StationSpacing stations = {};
  std::optional<double> limit_mm = {};
  std::string sheet = {};  ///< a build sheet, or empty
  std::string csv = {};
};

/// How many builds are drawn, and from where the dice are thrown.
struct Draws {
  int builds = 1000;
  std::uint64_t seed = 1;
};

/// One quantity to be swept, as far as it is known without the sheet.
struct SweepWish {
  std::string key;        ///< as written
  std::string part = {};  ///< its name; empty for wood and water
  water::Swept what = water::Swept::mass;
  double from = 0;
  double to = 0;
  int count = 2;
};

struct FloatRequest {
  CommonOptions common;
  std::string sheet;
  std::optional<Draws> draws = {};
  std::vector<SweepWish> sweeps = {};  ///< two at most
  std::string csv = {};                ///< where the map goes as a table, or empty
};

/// A wood to build in instead of the sheet's.
struct OtherWood {
  std::string name = {};  ///< as the table has it; empty for a density
  double density_g_cm3 = 0;
};

struct BallastRequest {
  CommonOptions common;
  std::string sheet;
  std::optional<OtherWood> wood = {};
  std::optional<tuning::Seen> seen = {};  ///< of the built lure; one of its figures is set
  bool woods = false;                     ///< a table over the usual woods
  bool hooks = false;                     ///< a table over the sizes of its hooks
  std::string write = {};                 ///< a .toml path, or empty
  std::string plan = {};                  ///< an .svg or .pdf path, or empty
  report::Paper paper = report::Paper::a4;
  std::optional<Draws> draws = {};
};

enum class NotebookAction {
  add,
  tank,
  list,
  show,
  find,
  copy,
  export_to,
  import_from,
  forget,
  ratios,
  learn
};

struct NotebookRequest {
  CommonOptions common;
  NotebookAction action = NotebookAction::list;
  std::string book = {};  ///< a path; empty: where the maker's notebook is
  std::int64_t id = 0;    ///< of the build, where the action wants one
  std::string path = {};  ///< the sheet, or the folder
  std::string mesh = {};  ///< in place of the sheet's own, or empty
  std::string as_built = {};
  std::string kind = {};
  std::string notes = {};
  std::string date = {};           ///< empty: now
  notebook::TankRecord tank = {};  ///< number and date aside
  notebook::Query query = {};
  std::optional<double> length_mm = {};
  std::string write = {};  ///< a .toml path
  bool yes = false;
  std::optional<notebook::NewBlank> blank = {};
};

/// --help or --version: print this and be done.
struct ShowText {
  std::string text;
};

using Request = std::variant<CheckRequest, WeighRequest, MirrorRequest, FloatRequest,
                             BallastRequest, CompareRequest, NotebookRequest, ShowText>;

}  // namespace trueblank::tools
