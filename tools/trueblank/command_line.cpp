// SPDX-License-Identifier: GPL-3.0-or-later
// The only file that includes CLI11, which costs the compiler several seconds.
#include "command_line.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <sstream>
#include <string_view>

#include "messages.h"
#include "report/page.h"
#include "report/version.h"
#include "rig/waters.h"
#include "sweep_axes.h"
#include "values.h"

namespace trueblank::tools {

namespace {

using Words = std::vector<std::string>;

constexpr std::array<std::string_view, 5> verbs = {"check", "weigh", "mirror", "float", "ballast"};
constexpr std::array<std::string_view, 2> later_verbs = {"compare", "notebook"};

// Options that take several points, and how many.
constexpr int split_line_points = 3;
constexpr int eyes_points = 2;
constexpr const char* draws_unless_said = "1000";

struct LaterOption {
  std::string_view verb;  // "": every verb; "body": those that take a body
  std::string_view option;
};

// Named for a later version; until then they are refused by name.
constexpr std::array<LaterOption, 1> later_options = {{{"check", "--print"}}};

struct SheetKey {
  std::string_view option;
  std::string_view key;  // of [body]; empty where the sheet has no such key
};

constexpr std::array<SheetKey, 15> body_options = {{{"--units", "units"},
                                                    {"--length", "length"},
                                                    {"--width", "width"},
                                                    {"--height", "height"},
                                                    {"--displaced", "displaced"},
                                                    {"--push", "push"},
                                                    {"--nose", "nose"},
                                                    {"--nose-point", "nose_point"},
                                                    {"--back", "back"},
                                                    {"--mend", "mend"},
                                                    {"--table", "table"},
                                                    {"--map", ""},
                                                    {"--aligned", ""},
                                                    {"--thin", ""},
                                                    {"--smooth", ""}}};

// What the options were given, as text.
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
  std::string wood, seen, write, plan;
  bool woods = false, hooks = false;
  bool best_sand = false;
  bool imperial = false, quiet = false, verbose = false;
};

std::string main_help() {
  return "trueblank " + std::string(report::version()) +
         ": how true a lure body is, what it weighs, how it lies in the water\n"
         "\n"
         "  trueblank check BODY      is the mesh sound, what was mended, how big is it\n"
         "  trueblank weigh BODY      volume, surface, centroid, inertia; mass or density\n"
         "  trueblank mirror BODY     best mirror plane, deviation left to right, stations\n"
         "  trueblank float SHEET     how the rigged lure of a build sheet lies in the water\n"
         "  trueblank ballast SHEET   which weight, where, for it to lie as the sheet wishes\n"
         "\n"
         "BODY is a mesh: STL, OBJ, PLY, OFF, glTF or 3MF, - for standard input, or a SHEET, a\n"
         "TOML file, for the body in it.\n"
         "trueblank VERB --help tells a verb's options; trueblank --version the version.\n"
         "\n"
         "Exit code: 0 done; 1 done, but a limit that you set is not met; 2 the input or the\n"
         "command line can't be used, one line says why, and nothing is written.\n";
}

std::string name_part(const std::string& word) { return word.substr(0, word.find('=')); }

bool takes_body(const std::string& verb) { return verb != "float" && verb != "ballast"; }

// Options that exist, but not here or not yet, get a better answer than "unknown".
void refuse_known(const std::string& verb, const Words& words) {
  for (const std::string& word : words) {
    if (word == "--") return;
    const std::string name = name_part(word);
    for (const SheetKey& known : body_options) {
      if (takes_body(verb) || name != known.option) continue;
      if (known.key.empty()) throw body_option_for_sheet(verb, name);
      throw sheet_has_it_inside(verb, name, std::string(known.key));
    }
    for (const LaterOption& later : later_options) {
      const bool here =
          later.verb.empty() || later.verb == verb || (later.verb == "body" && takes_body(verb));
      if (here && name == later.option) throw option_of_a_later_version(verb, name);
    }
  }
}

// How many letters must be changed, put in or left out (Levenshtein's distance).
std::size_t letters_apart(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 0; i < a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i + 1;
    for (std::size_t j = 0; j < b.size(); ++j) {
      const std::size_t changed = diagonal + (a[i] == b[j] ? 0 : 1);
      diagonal = row[j + 1];
      row[j + 1] = std::min({changed, row[j] + 1, diagonal + 1});
    }
  }
  return row[b.size()];
}

std::string likely_option(const CLI::App& app, const std::string& name) {
  std::string best;
  std::size_t least = 3;  // more than two letters off is another word
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& known : option->get_lnames()) {
      const std::size_t apart = letters_apart("--" + known, name);
      if (apart < least) {
        least = apart;
        best = "--" + known;
      }
    }
  }
  return best;
}

void add_common(CLI::App& app, Raw& raw) {
  app.add_option("--json", raw.json, "write the result as JSON; - for stdout, and only that")
      ->type_name("FILE");
  app.add_option("--page", raw.page, "write a page to look at, in any browser, from the disk")
      ->type_name("FILE.html");
  app.add_option("--threads", raw.threads, "how many threads to use; the result is the same")
      ->type_name("N");
  app.add_flag("--imperial", raw.imperial, "inches and ounces beside millimetres and grams");
  app.add_flag("--quiet", raw.quiet, "the answer in short, nothing else");
  app.add_flag("--verbose", raw.verbose, "more figures");
}

void add_body(CLI::App& app, Raw& raw, const char* map_help) {
  app.add_option("BODY", raw.input, "a mesh, - for standard input, or a build sheet (.toml)")
      ->type_name("");
  app.add_option("--units", raw.units, "the unit of the file")->type_name("mm|cm|m|in");
  app.add_option("--length", raw.length, "the body's measured length, square to it")
      ->type_name("MM");
  app.add_option("--width", raw.width, "its width by calliper, held against the scan's")
      ->type_name("MM");
  app.add_option("--height", raw.height, "its height, likewise")->type_name("MM");
  app.add_option("--displaced", raw.displaced,
                 "dunk test of the bare, sealed blank: the water it displaces, g, fresh, 20 degC")
      ->type_name("G");
  app.add_option("--nose", raw.nose, "where its nose points in the file: +x to -z, or X,Y,Z")
      ->type_name("DIR");
  app.add_option("--nose-point", raw.nose_point, "or a point near its nose, file axes, mm")
      ->type_name("X,Y,Z");
  app.add_option("--back", raw.back, "where its back points")->type_name("DIR");
  app.add_option("--mend", raw.mend, "fill holes (the default), wrap it anew, or leave it")
      ->type_name("none|holes|wrap");
  app.add_option("--table", raw.table, "a flat side is a table, or the body's own")
      ->type_name("cut|keep");
  app.add_option("--smooth", raw.smooth, "takes ripples off that are shorter than so")
      ->type_name("MM");
  app.add_option("--thin", raw.thin, "draws the body with so many facets")->type_name("N");
  app.add_option("--map", raw.map, map_help)->type_name("FILE.ply|FILE.glb");
  app.add_option("--aligned", raw.aligned, "write the body in its own frame, mm")
      ->type_name("FILE.stl|.ply|.obj");
}

void add_weigh(CLI::App& app, Raw& raw) {
  app.add_option("--density", raw.density, "of the stuff, g/cm3: tells the mass")->type_name("D");
  app.add_option("--mass", raw.mass, "of the blank, g: tells the density")->type_name("M");
  app.add_option("--push", raw.push, "with --mass: the push alone that holds it under, g")
      ->type_name("G");
}

void add_mirror_files(CLI::App& app, Raw& raw) {
  app.add_option("--templates", raw.templates,
                 "half sections and profiles at true size, to cut out")
      ->type_name("FILE.svg|FILE.pdf");
  app.add_option("--paper", raw.paper, "what the templates are printed on (default a4)")
      ->type_name("a4|letter");
  app.add_option("--csv", raw.csv, "the stations as a table")->type_name("FILE");
  app.add_option("--target", raw.target, "the body as it is when sanded true, as a mesh")
      ->type_name("FILE.ply|FILE.stl");
}

void add_mirror(CLI::App& app, Raw& raw) {
  app.add_option("--fit", raw.fit, "how the plane is fitted (default robust)")
      ->type_name("robust|least-squares");
  app.add_option("--plane", raw.plane, "the mirror plane n.p = offset, in file axes, mm")
      ->type_name("NX,NY,NZ,OFFSET");
  app.add_option("--split-line", raw.split_line, "three points of the mirror plane, file axes, mm")
      ->type_name("X,Y,Z X,Y,Z X,Y,Z");
  app.add_option("--eyes", raw.eyes, "the wire's ends at nose and tail, with --back")
      ->type_name("X,Y,Z X,Y,Z");
  app.add_flag("--best-sand", raw.best_sand, "the plane for which the least wood is lost");
  app.add_option("--stations", raw.stations, "so many slices, or one every so many mm (10mm)")
      ->type_name("N|STEPmm");
  app.add_option("--limit", raw.limit, "exit code 1 where 95 % of the skin is not within it")
      ->type_name("MM");
  app.add_option("--again", raw.again, "a scan of it turned over: blank or scanner?")
      ->type_name("SCAN2");
  app.add_option("--sheet", raw.sheet, "a build sheet: what it does in the water, rigged so")
      ->type_name("SHEET");
  add_mirror_files(app, raw);
}

void add_draws(CLI::App& app, Raw& raw) {
  app.add_option("--tolerances", raw.tolerances,
                 "draws so many builds (1000) within the sheet's tolerances, and tells how many "
                 "lie as this one does")
      ->type_name("[N]");
  app.add_option("--seed", raw.seed, "another throw of the dice for --tolerances (1)")
      ->type_name("N");
}

void add_float(CLI::App& app, Raw& raw) {
  app.add_option("--sweep", raw.sweeps,
                 "a map over a quantity of the sheet, or over two: PART.mass, PART.x, PART.y, "
                 "PART.z, wood.density, water.density")
      ->type_name("KEY=A:B:N")
      ->allow_extra_args(false);
  app.add_option("--csv", raw.csv, "the map of --sweep as a table")->type_name("FILE");
}

void add_ballast(CLI::App& app, Raw& raw) {
  app.add_option("--wood", raw.wood, "the same wishes in another wood: its name, or g/cm3")
      ->type_name("NAME|DENSITY");
  app.add_flag("--woods", raw.woods, "a table over the usual woods");
  app.add_flag("--hooks", raw.hooks, "a table over the sizes of its hooks");
  app.add_option("--seen", raw.seen,
                 "what was seen of the built lure, to explain it and to mend it: any of "
                 "tail_down=DEG,list=DEG,sank_with=G")
      ->type_name("KEY=VALUE,...");
  app.add_option("--write", raw.write, "write the sheet with the found weights in it")
      ->type_name("FILE.toml");
  app.add_option("--plan", raw.plan, "write the drilling plan at true size, to print")
      ->type_name("FILE.svg|FILE.pdf");
  app.add_option("--paper", raw.paper, "what the plan is printed on (default a4)")
      ->type_name("a4|letter");
}

// How many points an option takes; 0 where it takes none.
int points_wanted(std::string_view option) {
  if (option == "--split-line") return split_line_points;
  return option == "--eyes" ? eyes_points : 0;
}

// CLI11 words a few errors for programmers; these are for makers.
InputError reworded(const std::string& verb, const CLI::ParseError& error) {
  const std::string what = error.what();
  const std::string option = what.substr(0, what.find_first_of(": "));
  if (what.find("At Most") != std::string::npos) return given_twice(verb, option);
  if (const int points = points_wanted(option)) return value_missing(verb, option, points);
  if (what.find("missing") != std::string::npos || what.find("required") != std::string::npos) {
    return value_missing(verb, option, 1);
  }
  return other_usage(verb, what);
}

void refuse_remaining(const CLI::App& app, const std::string& verb) {
  Words remaining = app.remaining();
  std::erase(remaining, "--");  // CLI11 keeps the mark itself
  for (const std::string& word : remaining) {
    if (word.size() > 1 && word.starts_with('-')) {
      throw unknown_option(verb, name_part(word), likely_option(app, name_part(word)));
    }
  }
  if (!remaining.empty()) throw one_input_too_many(verb, remaining.front());
}

// Flags are counted by CLI11, not refused, when they come twice: that does no harm.
void refuse_flag_values(const std::string& verb, const Words& words) {
  for (const std::string& word : words) {
    const std::string name = name_part(word);
    if (name == word) continue;
    if (name == "--best-sand" || name == "--imperial" || name == "--quiet" || name == "--verbose" ||
        name == "--woods" || name == "--hooks") {
      throw takes_no_value(verb, name);
    }
  }
}

void refuse_empty(const CLI::App& app) {
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& value : option->results()) {
      if (value.empty()) {
        throw bad_value(option->get_name(), value, "a value", "something, or leave it out");
      }
    }
  }
}

std::string ending_of(const std::string& path) {
  std::string ending = path.substr(
      path.find_last_of('.') == std::string::npos ? path.size() : path.find_last_of('.'));
  std::ranges::transform(ending, ending.begin(),
                         [](char c) { return c >= 'A' && c <= 'Z' ? char(c - 'A' + 'a') : c; });
  return ending;
}

// A page that this build can't write, or whose name would not open in a browser.
std::string page_path(const std::string& path) {
  if (path.empty()) return path;
  if (!report::pages_can_be_written()) throw no_pages();
  const std::string ending = ending_of(path);
  if (ending != ".html" && ending != ".htm") throw wrong_ending("--page", path, ".html");
  return path;
}

CommonOptions common_options(const Raw& raw) {
  CommonOptions common;
  common.json = raw.json == "/dev/stdout" ? "-" : raw.json;
  common.page = page_path(raw.page);
  if (!raw.threads.empty()) common.threads = threads_value("--threads", raw.threads);
  common.quiet = raw.quiet;
  common.style = {.imperial = raw.imperial, .verbose = raw.verbose};
  return common;
}

intake::Mend mend_value(const std::string& text) {
  if (text == "none") return intake::Mend::none;
  if (text == "holes") return intake::Mend::holes;
  if (text == "wrap") return intake::Mend::wrap;
  throw bad_value("--mend", text, "a way to mend", "none, holes or wrap");
}

void check_ending(const std::string& option, const std::string& path, const std::string& one,
                  const std::string& other) {
  const std::string ending = ending_of(path);
  if (ending != one && ending != other) throw wrong_ending(option, path, one + " or " + other);
}

intake::Table table_value(const std::string& text) {
  if (text == "cut") return intake::Table::cut;
  if (text == "keep") return intake::Table::keep;
  throw bad_value("--table", text, "what to do with a table", "cut or keep");
}

// A mesh by the ending of its name.
void check_aligned(const std::string& path) {
  const std::string ending = ending_of(path);
  if (ending != ".stl" && ending != ".ply" && ending != ".obj") {
    throw wrong_ending("--aligned", path, ".stl, .ply or .obj");
  }
}

void refuse_for_sheet(const std::string& verb, const std::string& option,
                      const std::string& value) {
  if (value.empty()) return;
  const auto known = std::ranges::find(body_options, option, &SheetKey::option);
  throw sheet_has_it_inside(verb, option, std::string(known->key));
}

// What a sheet says of its body is in the sheet.
void refuse_beside_sheet(const std::string& verb, const Raw& raw) {
  refuse_for_sheet(verb, "--units", raw.units);
  refuse_for_sheet(verb, "--length", raw.length);
  refuse_for_sheet(verb, "--width", raw.width);
  refuse_for_sheet(verb, "--height", raw.height);
  refuse_for_sheet(verb, "--displaced", raw.displaced);
  refuse_for_sheet(verb, "--push", raw.push);
  refuse_for_sheet(verb, "--nose", raw.nose);
  refuse_for_sheet(verb, "--nose-point", raw.nose_point);
  refuse_for_sheet(verb, "--back", raw.back);
  refuse_for_sheet(verb, "--mend", raw.mend);
  refuse_for_sheet(verb, "--table", raw.table);
}

// The bucket of a dunk test on the command line: fresh water, 20 °C.
body::Dunk dunk(double displaced_g, bool from_push) {
  constexpr double bucket_temperature_c = 20;
  return {.displaced_g = displaced_g,
          .water_density_g_cm3 = rig::water_at(0, bucket_temperature_c).density_g_cm3,
          .from_push = from_push};
}

void take_measures(const std::string& verb, const Raw& raw, body::BodyHints& hints) {
  if (!raw.units.empty()) hints.units = unit_value("--units", raw.units);
  if (!raw.length.empty()) hints.length_mm = length_value("--length", raw.length);
  if (!raw.width.empty()) hints.width_mm = length_value("--width", raw.width);
  if (!raw.height.empty()) hints.height_mm = length_value("--height", raw.height);
  if (!raw.displaced.empty() && !raw.push.empty()) {
    throw not_both(verb, "--displaced", "--push", "the first is the push and the mass together");
  }
  if (!raw.displaced.empty()) hints.dunk = dunk(mass_value("--displaced", raw.displaced), false);
  if (raw.push.empty()) return;
  if (raw.mass.empty()) throw push_without_mass();
  hints.dunk = dunk(mass_value("--push", raw.push) + mass_value("--mass", raw.mass), true);
}

BodyOptions body_options_of(const std::string& verb, const Raw& raw) {
  BodyOptions options;
  options.path = raw.input;
  body::BodyHints& hints = options.hints;
  if (is_sheet(raw.input)) refuse_beside_sheet(verb, raw);
  take_measures(verb, raw, hints);
  if (!raw.nose.empty() && !raw.nose_point.empty()) {
    throw not_both(verb, "--nose", "--nose-point", "each tells where the nose is; leave one out");
  }
  if (!raw.nose.empty()) hints.nose = direction_value("--nose", raw.nose);
  if (!raw.nose_point.empty()) hints.nose_point = point_value("--nose-point", raw.nose_point);
  if (!raw.back.empty()) hints.back = direction_value("--back", raw.back);
  if (!raw.mend.empty()) hints.mend = mend_value(raw.mend);
  if (!raw.table.empty()) hints.table = table_value(raw.table);
  if (!raw.smooth.empty()) hints.smooth_mm = length_value("--smooth", raw.smooth);
  if (!raw.thin.empty()) hints.thin_facets = facets_value("--thin", raw.thin);
  if (!raw.map.empty()) check_ending("--map", raw.map, ".ply", ".glb");
  if (!raw.aligned.empty()) check_aligned(raw.aligned);
  options.map = raw.map;
  options.aligned = raw.aligned;
  return options;
}

WeighRequest weigh_request(const Raw& raw) {
  WeighRequest request{.common = common_options(raw), .body = body_options_of("weigh", raw)};
  if (!raw.density.empty() && !raw.mass.empty()) {
    throw not_both("weigh", "--density", "--mass", "each tells the other; leave one out");
  }
  if (!raw.density.empty()) request.density_g_cm3 = density_value("--density", raw.density);
  if (!raw.mass.empty()) request.mass_g = mass_value("--mass", raw.mass);
  return request;
}

Words points_of(const std::string& option, const std::string& text) {
  std::istringstream words(text);
  Words points(static_cast<std::size_t>(points_wanted(option)));
  for (std::string& point : points) words >> point;
  std::string more;
  if (points.back().empty() || words >> more) {
    throw value_missing("mirror", option, points_wanted(option));
  }
  return points;
}

symmetry::Kernel kernel_value(const std::string& text) {
  if (text == "robust") return symmetry::Kernel::robust;
  if (text == "least-squares") return symmetry::Kernel::least_squares;
  throw bad_value("--fit", text, "a way to fit", "robust or least-squares");
}

report::Paper paper_value(const std::string& text) {
  if (text == "a4") return report::Paper::a4;
  if (text == "letter") return report::Paper::letter;
  throw bad_value("--paper", text, "a paper", "a4 or letter");
}

void refuse_two_planes(const Raw& raw) {
  std::string first;
  const auto given = [&](const std::string& option, bool here) {
    if (!here) return;
    if (!first.empty()) {
      throw not_both("mirror", first, option, "each gives the plane; leave one out");
    }
    first = option;
  };
  given("--plane", !raw.plane.empty());
  given("--split-line", !raw.split_line.empty());
  given("--eyes", !raw.eyes.empty());
  given("--best-sand", raw.best_sand);
}

void add_files(MirrorRequest& request, const Raw& raw) {
  if (!raw.templates.empty()) check_ending("--templates", raw.templates, ".svg", ".pdf");
  if (!raw.target.empty()) check_ending("--target", raw.target, ".ply", ".stl");
  if (!raw.paper.empty()) {
    request.paper = paper_value(raw.paper);
    if (raw.templates.empty()) throw paper_without("mirror", "--templates");
  }
  request.templates = raw.templates;
  request.csv = raw.csv;
  request.target = raw.target;
}

MirrorRequest mirror_request(const Raw& raw) {
  MirrorRequest request{.common = common_options(raw), .body = body_options_of("mirror", raw)};
  refuse_two_planes(raw);
  request.again = raw.again;
  request.sheet = raw.sheet;
  if ((raw.input == "-") + (raw.again == "-") + (raw.sheet == "-") > 1) {
    throw one_standard_input("mirror");
  }
  add_files(request, raw);
  request.body.hints.best_sand = raw.best_sand;
  if (!raw.eyes.empty()) {
    request.body.hints.eyes = eyes_value("--eyes", points_of("--eyes", raw.eyes));
  }
  if (!raw.fit.empty()) request.body.hints.kernel = kernel_value(raw.fit);
  if (!raw.plane.empty()) request.body.hints.plane = plane_value("--plane", raw.plane);
  if (!raw.split_line.empty()) {
    request.body.hints.split_line =
        split_line_value("--split-line", points_of("--split-line", raw.split_line));
  }
  if (!raw.stations.empty()) request.stations = stations_value("--stations", raw.stations);
  if (!raw.limit.empty()) request.limit_mm = limit_value("--limit", raw.limit);
  return request;
}

std::optional<Draws> draws_of(const std::string& verb, const Raw& raw) {
  if (raw.tolerances.empty()) {
    if (!raw.seed.empty()) throw seed_without_draws(verb);
    return {};
  }
  Draws draws{.builds = builds_value("--tolerances", raw.tolerances)};
  if (!raw.seed.empty()) draws.seed = seed_value("--seed", raw.seed);
  return draws;
}

FloatRequest float_request(const Raw& raw) {
  FloatRequest request{.common = common_options(raw),
                       .sheet = raw.input,
                       .draws = draws_of("float", raw),
                       .csv = raw.csv};
  for (const std::string& text : raw.sweeps) {
    request.sweeps.push_back(sweep_value("--sweep", text));
  }
  check_sweeps(request.sweeps);
  if (!raw.csv.empty() && raw.sweeps.empty()) throw csv_without_sweep();
  return request;
}

BallastRequest ballast_request(const Raw& raw) {
  BallastRequest request{.common = common_options(raw),
                         .sheet = raw.input,
                         .woods = raw.woods,
                         .hooks = raw.hooks,
                         .write = raw.write,
                         .plan = raw.plan,
                         .draws = draws_of("ballast", raw)};
  if (!raw.wood.empty()) request.wood = wood_value("--wood", raw.wood);
  if (!raw.seen.empty()) request.seen = seen_value("--seen", raw.seen);
  if (!raw.write.empty() && ending_of(raw.write) != ".toml") {
    throw wrong_ending("--write", raw.write, ".toml");
  }
  if (!raw.plan.empty()) check_ending("--plan", raw.plan, ".svg", ".pdf");
  if (!raw.paper.empty()) {
    request.paper = paper_value(raw.paper);
    if (raw.plan.empty()) throw paper_without("ballast", "--plan");
  }
  check_seen(request);
  return request;
}

Request request_of(const std::string& verb, const Raw& raw) {
  if (verb == "weigh") return weigh_request(raw);
  if (verb == "mirror") return mirror_request(raw);
  if (verb == "float") return float_request(raw);
  if (verb == "ballast") return ballast_request(raw);
  return CheckRequest{.common = common_options(raw), .body = body_options_of("check", raw)};
}

void declare(CLI::App& app, const std::string& verb, Raw& raw) {
  app.get_formatter()->column_width(34);
  app.set_version_flag("--version", "trueblank " + std::string(report::version()));
  app.allow_extras();
  if (!takes_body(verb)) {
    app.add_option("SHEET", raw.input, "a build sheet (TOML)")->type_name("");
  } else {
    add_body(app, raw,
             verb == "mirror" ? "write the deviation as a coloured mesh"
                              : "write the mended mesh, made-up skin marked");
  }
  if (verb == "weigh") add_weigh(app, raw);
  if (verb == "mirror") add_mirror(app, raw);
  if (!takes_body(verb)) add_draws(app, raw);
  if (verb == "float") add_float(app, raw);
  if (verb == "ballast") add_ballast(app, raw);
  add_common(app, raw);
}

const char* description(const std::string& verb) {
  if (verb == "check") return "Reads a mesh, says whether it is sound, what was mended, its size.";
  if (verb == "weigh") return "Volume, surface, centroid and inertia of a body; mass or density.";
  if (verb == "mirror") return "The best mirror plane of a body, and where it is not true to it.";
  if (verb == "ballast") return "Which weight, where, for the lure to lie as its sheet wishes.";
  return "How the rigged lure of a build sheet lies in still water, and how firmly.";
}

// The points of --split-line or --eyes as one word. CLI11 would take "-.5,0,0", where it is not the
// first of several values, for an option.
Words with_joined_points(const Words& words) {
  Words joined;
  int open = 0;  // points that are still to come
  int wanted = 0;
  for (const std::string& word : words) {
    const bool a_point = open > 0 && !word.starts_with("--");
    if (a_point && open < wanted) {
      joined.back() += ' ' + word;
    } else {
      joined.push_back(word);
    }
    open = a_point ? open - 1 : 0;
    if (a_point || points_wanted(name_part(word)) == 0) continue;
    wanted = points_wanted(name_part(word));
    open = word == name_part(word) ? wanted : wanted - 1;
  }
  return joined;
}

// Meant for a number, right or wrong, and not for a sheet's name.
bool looks_like_number(const std::string& word) {
  return word.find_first_of("0123456789") != std::string::npos &&
         word.find_first_not_of("0123456789.,+-eE") == std::string::npos;
}

// --tolerances may stand without its number, and then the sheet after it is none of its business.
Words with_told_draws(const Words& words) {
  Words told;
  bool just_named = false;
  for (const std::string& word : words) {
    if (just_named && looks_like_number(word)) {
      told.back() = "--tolerances=" + word;
      just_named = false;
      continue;
    }
    just_named = word == "--tolerances";
    told.push_back(just_named ? word + '=' + draws_unless_said : word);
  }
  return told;
}

// All words but files that begin with a minus, which stand after "--".
Words prepared(const std::string& verb, const Words& words) {
  const auto end = std::ranges::find(words, "--");
  Words ready(words.begin(), end);
  if (verb == "mirror") ready = with_joined_points(ready);
  if (!takes_body(verb)) ready = with_told_draws(ready);
  ready.insert(ready.end(), end, words.end());
  return ready;
}

Request parse_verb(const std::string& verb, const Words& all_words) {
  const Words words = prepared(verb, all_words);
  CLI::App app(description(verb), "trueblank " + verb);
  Raw raw;
  declare(app, verb, raw);
  try {
    app.parse(Words(words.rbegin(), words.rend()));  // CLI11 takes them last first
  } catch (const CLI::CallForHelp&) {
    return ShowText{app.help()};
  } catch (const CLI::CallForVersion& version_asked) {
    return ShowText{std::string(version_asked.what()) + '\n'};
  } catch (const CLI::ParseError& error) {
    refuse_known(verb, words);
    throw reworded(verb, error);
  }
  refuse_known(verb, words);
  refuse_flag_values(verb, words);
  refuse_remaining(app, verb);
  refuse_empty(app);
  if (raw.input.empty()) throw input_missing(verb, takes_body(verb) ? "BODY" : "SHEET");
  return request_of(verb, raw);
}

}  // namespace

Request parse_command_line(const Words& arguments) {
  if (arguments.empty()) throw no_verb();
  const std::string& first = arguments.front();
  if (first == "--help" || first == "-h") return ShowText{main_help()};
  if (first == "--version") return ShowText{"trueblank " + std::string(report::version()) + '\n'};
  if (std::ranges::find(later_verbs, first) != later_verbs.end()) {
    throw verb_of_a_later_version(first);
  }
  if (first.starts_with('-') && first.size() > 1) throw no_verb();
  if (std::ranges::find(verbs, first) == verbs.end()) throw unknown_verb(first);
  return parse_verb(first, Words(arguments.begin() + 1, arguments.end()));
}

}  // namespace trueblank::tools
