// SPDX-License-Identifier: GPL-3.0-or-later
// Beside command_line.cpp the only file that includes CLI11, which costs the compiler several
// seconds.
#include "definition.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>

namespace trueblank::tools {

namespace {

constexpr std::array<std::string_view, 6> all_plain_verbs = {"check", "weigh",   "mirror",
                                                             "float", "ballast", "compare"};

constexpr std::array<NotebookVerb, 11> all_notebook_verbs = {
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
                 "tail_down=DEG,list=DEG,sank_with=G; in water other than the sheet's: "
                 "water=fresh|sea|G/CM3,temperature=DEGC")
      ->type_name("KEY=VALUE,...");
  app.add_option("--write", raw.write, "write the sheet with the found weights in it")
      ->type_name("FILE.toml");
  app.add_option("--plan", raw.plan, "write the drilling plan at true size, to print")
      ->type_name("FILE.svg|FILE.pdf");
  app.add_option("--paper", raw.paper, "what the plan is printed on (default a4)")
      ->type_name("a4|letter");
}

// The words among "mm|cm|m|in", or "fresh|sea|DENSITY": what is not a word is a placeholder.
std::vector<std::string> choices_of(const std::string& value) {
  // A direction may be written as three numbers too, and mostly is one of these.
  if (value == "DIR") return {"+x", "-x", "+y", "-y", "+z", "-z"};
  std::vector<std::string> choices;
  if (value.find('|') == std::string::npos) return choices;
  for (std::size_t start = 0; start <= value.size();) {
    const std::size_t end = std::min(value.find('|', start), value.size());
    const std::string piece = value.substr(start, end - start);
    if (piece.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") == std::string::npos) {
      choices.push_back(piece);
    }
    start = end + 1;
  }
  return choices;
}

OptionText text_of(const CLI::Option& option) {
  OptionText text;
  for (const std::string& name : option.get_snames()) text.names.push_back('-' + name);
  for (const std::string& name : option.get_lnames()) text.names.push_back("--" + name);
  if (option.get_positional()) text.names = {option.get_name(true)};
  // What stands without a name is told by its own, "BODY"; a flag has no value.
  const bool valued = !option.get_positional() && option.get_type_size() != 0;
  text.value = valued ? option.get_type_name() : "";
  text.what = option.get_description();
  text.choices = choices_of(text.value);
  text.in_brackets = text.value.starts_with('[');
  text.repeats = option.get_expected_max() == CLI::detail::expected_max_vector_size;
  return text;
}

VerbText verb_text(const std::string& verb) {
  CLI::App app(description(verb), "trueblank " + verb);
  Raw raw;
  declare(app, verb, raw, "");
  VerbText text{.verb = verb, .what = description(verb), .inputs = {}, .options = {}};
  for (const CLI::Option* option : app.get_options()) {
    (option->get_positional() ? text.inputs : text.options).push_back(text_of(*option));
  }
  return text;
}

}  // namespace

std::span<const std::string_view> plain_verbs() { return all_plain_verbs; }

const NotebookVerb* notebook_verb(std::string_view action) {
  const auto found = std::ranges::find(all_notebook_verbs, action, &NotebookVerb::action);
  return found == all_notebook_verbs.end() ? nullptr : &*found;
}

const NotebookVerb* as_notebook_verb(const std::string& verb) {
  constexpr std::string_view before = "notebook ";
  return verb.starts_with(before) ? notebook_verb(verb.substr(before.size())) : nullptr;
}

std::string input_of(const std::string& verb) {
  if (const NotebookVerb* one = as_notebook_verb(verb)) return std::string(one->input);
  return takes_body(verb) ? "BODY" : "SHEET";
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

std::string_view headline() {
  return "how true a lure body is, what it weighs, how it lies in the water";
}

std::string main_help(std::string_view version) {
  return "trueblank " + std::string(version) + ": " + std::string(headline()) +
         "\n"
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
         "Exit code: 0 done; 1 done, but a limit that you set is not met, or a file of many was\n"
         "skipped; 2 the input or the command line can't be used, one line says why, and nothing\n"
         "is written.\n";
}

std::string notebook_help() {
  std::string text = "trueblank notebook: the record of builds, kept on your own disk\n\n";
  for (const NotebookVerb& one : all_notebook_verbs) {
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

void declare(CLI::App& app, const std::string& verb, Raw& raw, const std::string& version_line) {
  app.get_formatter()->column_width(34);
  app.set_version_flag("--version", version_line);
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
             verb == "mirror"    ? "write the deviation as a coloured mesh"
             : verb == "compare" ? "write the copy as a mesh coloured by its deviation"
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

std::vector<VerbText> defined_verbs() {
  std::vector<VerbText> texts;
  for (const std::string_view verb : all_plain_verbs) texts.push_back(verb_text(std::string(verb)));
  for (const NotebookVerb& one : all_notebook_verbs) {
    texts.push_back(verb_text("notebook " + std::string(one.action)));
  }
  return texts;
}

}  // namespace trueblank::tools
