// SPDX-License-Identifier: GPL-3.0-or-later
// The only file that includes CLI11, which costs the compiler several seconds.
#include "command_line.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <sstream>
#include <string_view>

#include "messages.h"
#include "raw_options.h"
#include "report/version.h"
#include "requests.h"

namespace trueblank::tools {

namespace {

constexpr std::array<std::string_view, 6> verbs = {"check", "weigh",   "mirror",
                                                   "float", "ballast", "compare"};

// What a notebook does, each as a verb of its own: "notebook add".
struct NotebookVerb {
  std::string_view action;
  std::string_view input;  // empty: none
  const char* what;
};

constexpr std::array<NotebookVerb, 11> notebook_verbs = {
    {{"add", "SHEET", "Keeps a build: its sheet, its body, and what float says of it."},
     {"tank", "ID", "Keeps what the water showed of a build."},
     {"list", "", "All builds, and those that were forgotten."},
     {"show", "ID", "One build with all that is kept of it, and how the water agreed."},
     {"find", "", "Builds by wood, kind, length, state or words."},
     {"copy", "ID", "A new sheet from an old build, scaled where another length is asked for."},
     {"export", "FOLDER", "Writes the whole book as plain TOML and meshes."},
     {"import", "FOLDER", "Adds what such a folder holds and this book doesn't."},
     {"forget", "ID", "Drops a build; its number and title stay."},
     {"ratios", "", "What builds have in common, and what that suggests for a new blank."},
     {"learn", "", "What was foretold against what the water showed, and what explains it."}}};

const NotebookVerb* notebook_verb(std::string_view action) {
  const auto found = std::ranges::find(notebook_verbs, action, &NotebookVerb::action);
  return found == notebook_verbs.end() ? nullptr : &*found;
}

// Of "notebook add"; nothing of another verb.
const NotebookVerb* as_notebook_verb(const std::string& verb) {
  constexpr std::string_view before = "notebook ";
  return verb.starts_with(before) ? notebook_verb(verb.substr(before.size())) : nullptr;
}

// What stands first: a BODY, a SHEET, an ID; empty where nothing does.
std::string input_of(const std::string& verb) {
  if (const NotebookVerb* one = as_notebook_verb(verb)) return std::string(one->input);
  return takes_body(verb) ? "BODY" : "SHEET";
}

constexpr const char* draws_unless_said = "1000";

std::string main_help() {
  return "trueblank " + std::string(report::version()) +
         ": how true a lure body is, what it weighs, how it lies in the water\n"
         "\n"
         "  trueblank check BODY      is the mesh sound, what was mended, how big is it\n"
         "  trueblank weigh BODY      volume, surface, centroid, inertia; mass or density\n"
         "  trueblank mirror BODY     best mirror plane, deviation left to right, stations\n"
         "  trueblank float SHEET     how the rigged lure of a build sheet lies in the water\n"
         "  trueblank ballast SHEET   which weight, where, for it to lie as the sheet wishes\n"
         "  trueblank compare BODY OTHER...  where copies differ from it, and what that does\n"
         "  trueblank notebook ...    the record of builds, and how the water agreed\n"
         "\n"
         "BODY is a mesh: STL, OBJ, PLY, OFF, glTF or 3MF, - for standard input, or a SHEET, a\n"
         "TOML file, for the body in it.\n"
         "trueblank VERB --help tells a verb's options; trueblank --version the version.\n"
         "\n"
         "Exit code: 0 done; 1 done, but a limit that you set is not met; 2 the input or the\n"
         "command line can't be used, one line says why, and nothing is written.\n";
}

std::string notebook_help() {
  std::string text = "trueblank notebook: the record of builds, kept on your own disk\n\n";
  for (const NotebookVerb& one : notebook_verbs) {
    std::string line = "  trueblank notebook " + std::string(one.action);
    if (!one.input.empty()) line += ' ' + std::string(one.input);
    constexpr std::size_t column = 36;
    line.resize(std::max(column, line.size() + 2), ' ');
    text += line + one.what + '\n';
  }
  return text +
         "\n--book FILE names another book than your own. trueblank notebook ACTION --help "
         "tells\nan action's options.\n";
}

std::string name_part(const std::string& word) { return word.substr(0, word.find('=')); }

// Options that exist, but not here, get a better answer than "unknown".
void refuse_known(const std::string& verb, const Words& words) {
  for (const std::string& word : words) {
    if (word == "--") return;
    const std::string name = name_part(word);
    for (const SheetKey& known : body_options()) {
      if (takes_body(verb) || as_notebook_verb(verb) != nullptr || name != known.option) continue;
      if (known.key.empty()) throw body_option_for_sheet(verb, name);
      throw sheet_has_it_inside(verb, name, std::string(known.key));
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

void add_check(CLI::App& app, Raw& raw) {
  app.add_flag("--print", raw.print, "before it is printed: walls, gaps, left against right, bed");
  app.add_option("--nozzle", raw.nozzle, "with --print: the nozzle's width (default 0.4)")
      ->type_name("MM");
  app.add_option("--voxel", raw.voxel, "with --print: or the voxel's, of a resin printer")
      ->type_name("MM");
  app.add_option("--min-wall", raw.min_wall,
                 "with --print: exit code 1 where a wall is thinner (default: two features)")
      ->type_name("MM");
  app.add_option("--bed", raw.bed, "with --print: exit code 1 where it doesn't fit the bed")
      ->type_name("X,Y,Z");
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

void add_compare(CLI::App& app, Raw& raw) {
  app.add_option("OTHER", raw.others, "one copy or more, meshes or build sheets")->type_name("...");
  app.add_option("--other-units", raw.other_units, "the unit of the copies' files")
      ->type_name("mm|cm|m|in");
  app.add_flag("--fit-scale", raw.fit_scale,
               "how far they have shrunk, and what they differ by once that is taken off");
  app.add_option("--limit", raw.limit, "exit code 1 where a place is not within +-MM of the master")
      ->type_name("MM");
  app.add_option("--sheet", raw.sheet, "a build sheet: what they do in the water, rigged alike")
      ->type_name("SHEET");
  app.add_option("--stations", raw.stations, "so many slices, or one every so many mm (10mm)")
      ->type_name("N|STEPmm");
  app.add_option("--csv", raw.csv, "the stations side by side, or a row a copy, as a table")
      ->type_name("FILE");
}

void add_tank(CLI::App& app, RawNotebook& raw) {
  app.add_option("--state", raw.state, "what it did")->type_name("floats|suspends|sinks");
  app.add_option("--tail-down", raw.tail_down, "how far the tail hung below the nose, by eye")
      ->type_name("DEG");
  app.add_option("--photo", raw.photo,
                 "or from a photograph: nose, tail and two points of the waterline, in pixels")
      ->type_name("X,Y X,Y X,Y X,Y");
  app.add_option("--list", raw.list, "the list, + with the right flank down")->type_name("DEG");
  app.add_option("--sank-with", raw.sank_with, "lead stuck on outside that just sank it")
      ->type_name("G");
  app.add_option("--water", raw.water, "what it lay in (default fresh)")
      ->type_name("fresh|sea|DENSITY");
  app.add_option("--temperature", raw.temperature, "the water's, degC (default 20)")
      ->type_name("C");
  app.add_option("--before", raw.before, "its mass, weighed dry")->type_name("G");
  app.add_option("--after", raw.after, "its mass after an hour's soak, wiped")->type_name("G");
}

void add_notebook(CLI::App& app, const NotebookVerb& verb, RawNotebook& raw) {
  const std::string_view action = verb.action;
  app.add_option("--book", raw.book, "another book than your own")->type_name("FILE");
  if (action == "add") {
    app.add_option("--mesh", raw.mesh, "a mesh in place of the sheet's own")->type_name("FILE");
    app.add_option("--as-built", raw.as_built, "what the bench weighed and measured, TOML")
        ->type_name("FILE");
  }
  if (action == "add" || action == "find" || action == "ratios") {
    app.add_option("--kind", raw.kind, "of body, a word of your own")->type_name("WORD");
  }
  if (action == "add" || action == "tank") {
    app.add_option("--notes", raw.notes, "free words")->type_name("TEXT");
  }
  if (action == "add" || action == "tank" || action == "forget") {
    app.add_option("--date", raw.date, "when it was (default now)")->type_name("YYYY-MM-DD");
  }
  if (action == "tank") add_tank(app, raw);
  if (action == "find" || action == "ratios") {
    app.add_option("--wood", raw.wood, "in the wood's name")->type_name("WORD");
    app.add_option("--state", raw.state, "as float says")->type_name("floats|suspends|sinks");
  }
  if (action == "find") {
    app.add_option("--length", raw.length, "of the body, or a range A:B")->type_name("MM|A:B");
    app.add_option("--words", raw.words, "each in its title, notes or sheet")->type_name("WORD...");
  }
  if (action == "copy") {
    app.add_option("--write", raw.write, "where the new sheet goes; its mesh goes beside it")
        ->type_name("FILE.toml");
    app.add_option("--length", raw.length, "scales the design to so much")->type_name("MM");
  }
  if (action == "forget") app.add_flag("--yes", raw.yes, "without asking");
  if (action == "ratios") {
    app.add_option("--blank", raw.blank, "a bare blank's weight: how much weight is it to carry?")
        ->type_name("G");
  }
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
        name == "--woods" || name == "--hooks" || name == "--print" || name == "--fit-scale" ||
        name == "--yes") {
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

void declare(CLI::App& app, const std::string& verb, Raw& raw) {
  app.get_formatter()->column_width(34);
  app.set_version_flag("--version", "trueblank " + std::string(report::version()));
  app.allow_extras();
  if (const NotebookVerb* one = as_notebook_verb(verb)) {
    if (!one->input.empty()) {
      app.add_option(std::string(one->input), raw.input, "")->type_name("");
    }
    add_notebook(app, *one, raw.notebook);
  } else if (!takes_body(verb)) {
    app.add_option("SHEET", raw.input, "a build sheet (TOML)")->type_name("");
  } else {
    add_body(app, raw,
             verb == "mirror" ? "write the deviation as a coloured mesh"
                              : "write the mended mesh, made-up skin marked");
  }
  if (verb == "check") add_check(app, raw);
  if (verb == "weigh") add_weigh(app, raw);
  if (verb == "mirror") add_mirror(app, raw);
  if (verb == "compare") add_compare(app, raw);
  if (verb == "float" || verb == "ballast") add_draws(app, raw);
  if (verb == "float") add_float(app, raw);
  if (verb == "ballast") add_ballast(app, raw);
  add_common(app, raw);
}

const char* description(const std::string& verb) {
  if (const NotebookVerb* one = as_notebook_verb(verb)) return one->what;
  if (verb == "check") return "Reads a mesh, says whether it is sound, what was mended, its size.";
  if (verb == "weigh") return "Volume, surface, centroid and inertia of a body; mass or density.";
  if (verb == "mirror") return "The best mirror plane of a body, and where it is not true to it.";
  if (verb == "ballast") return "Which weight, where, for the lure to lie as its sheet wishes.";
  if (verb == "compare") return "Where copies of a body differ from it, and what that does.";
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
  if (verb == "mirror" || verb == "notebook tank") ready = with_joined_points(ready);
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
  const std::string input = input_of(verb);
  if (raw.input.empty() && !input.empty()) throw input_missing(verb, input);
  if (verb == "compare" && raw.others.empty()) throw input_missing(verb, "OTHER");
  return request_of(verb, raw);
}

Request parse_notebook(const Words& words) {
  if (words.empty()) throw no_action();
  if (words.front() == "--help" || words.front() == "-h") {
    return ShowText{notebook_help()};
  }
  if (words.front() == "--version") {
    return ShowText{"trueblank " + std::string(report::version()) + '\n'};
  }
  if (notebook_verb(words.front()) == nullptr) throw unknown_action(words.front());
  return parse_verb("notebook " + words.front(), Words(words.begin() + 1, words.end()));
}

}  // namespace

Request parse_command_line(const Words& arguments) {
  if (arguments.empty()) throw no_verb();
  const std::string& first = arguments.front();
  if (first == "--help" || first == "-h") return ShowText{main_help()};
  if (first == "--version") return ShowText{"trueblank " + std::string(report::version()) + '\n'};
  if (first.starts_with('-') && first.size() > 1) throw no_verb();
  if (first == "notebook") return parse_notebook(Words(arguments.begin() + 1, arguments.end()));
  if (std::ranges::find(verbs, first) == verbs.end()) throw unknown_verb(first);
  return parse_verb(first, Words(arguments.begin() + 1, arguments.end()));
}

}  // namespace trueblank::tools
