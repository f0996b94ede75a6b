// SPDX-License-Identifier: GPL-3.0-or-later
#include "messages.h"

#include "report/layout.h"

namespace trueblank::tools {

namespace {

std::string quoted(const std::string& text) { return '"' + text + '"'; }

std::string help_of(const std::string& verb) { return "see trueblank " + verb + " --help"; }

}  // namespace

InputError no_verb() {
  return {"no verb", "",
          "write trueblank check, weigh, mirror, float, ballast, compare or notebook, or trueblank "
          "--help"};
}

InputError unknown_verb(const std::string& word) {
  return {quoted(word) + " is not a verb", "",
          "the verbs are check, weigh, mirror, float, ballast, compare and notebook"};
}

InputError no_action() {
  return {"nothing for it to do", "notebook",
          "write notebook add, list, show or another, or trueblank notebook --help"};
}

InputError unknown_action(const std::string& word) {
  return {quoted(word) + " is nothing that a notebook does", "notebook",
          "see trueblank notebook --help"};
}

InputError nothing_to_keep() {
  return {"nothing that the water showed was given", "notebook tank",
          "give --state, --tail-down, --list, --sank-with, --before and --after, or --notes"};
}

InputError forget_asks(const std::string& build) {
  return {"nothing was forgotten: " + build + " would be gone for good", "notebook forget",
          "write --yes to forget it"};
}

InputError copy_needs_a_place() {
  return {"--write is missing", "notebook copy", "say where the new sheet goes: --write new.toml"};
}

InputError other_file_there(const std::string& path) {
  return {"another file is there already", path, "write the new sheet to another folder"};
}

InputError mesh_not_named() {
  return {"the sheet names no mesh that another could stand for", "--mesh",
          "leave it out, or name a mesh in the sheet"};
}

InputError no_page_of(const std::string& action) {
  return {"there is no page of that", "notebook " + action, "show, list and learn have one"};
}

InputError no_temporary_folder(const std::string& why) {
  return {"no folder for temporary files could be made: " + why, "",
          "free the disk, or name a folder in TMPDIR"};
}

InputError sheet_has_it_inside(const std::string& verb, const std::string& option,
                               const std::string& key) {
  return {option + " is not for a build sheet", verb, "the sheet has it inside: [body] " + key};
}

InputError body_option_for_sheet(const std::string& verb, const std::string& option) {
  return {option + " is not for a build sheet", verb,
          "it belongs to check, weigh, mirror and compare"};
}

InputError unknown_option(const std::string& verb, const std::string& option,
                          const std::string& likely) {
  return {option + " is not an option", verb,
          likely.empty() ? help_of(verb) : "did you mean " + likely + "?"};
}

InputError input_missing(const std::string& verb, const std::string& placeholder) {
  if (placeholder == "ID") {
    return {"the build's number is missing", verb, "trueblank notebook list tells it"};
  }
  if (placeholder == "FOLDER") return {"the folder is missing", verb, "give its name"};
  const bool sheet = placeholder == "SHEET";
  return {placeholder + " is missing", verb,
          sheet ? "give a build sheet, such as needle.toml"
                : "give a mesh file (STL, OBJ, PLY, OFF, glTF or 3MF), or - for standard input"};
}

InputError one_input_too_many(const std::string& verb, const std::string& word) {
  return {quoted(word) + " is one file too many", verb, "give one at a time"};
}

InputError value_missing(const std::string& verb, const std::string& option, int values) {
  return {option + " needs " + (values == 1 ? "a value" : std::to_string(values) + " values"), verb,
          help_of(verb)};
}

InputError given_twice(const std::string& verb, const std::string& option) {
  return {option + " is given more than once", verb, "give it once"};
}

InputError takes_no_value(const std::string& verb, const std::string& option) {
  return {option + " takes no value", verb, "write it alone"};
}

InputError not_both(const std::string& verb, const std::string& one, const std::string& other,
                    const std::string& why) {
  return {one + " and " + other + " can't both be given", verb, why};
}

InputError seed_without_draws(const std::string& verb) {
  return {"--seed is for --tolerances, which is not given", verb,
          "add --tolerances, or leave --seed out"};
}

InputError csv_without_sweep() {
  return {"--csv is for --sweep, which is not given", "float", "add --sweep, or leave --csv out"};
}

InputError bad_sweep(const std::string& option, const std::string& text, const std::string& why) {
  return {quoted(text) + " can't be swept: " + why, option,
          "write KEY=A:B:N, such as belly.x=50:90:41 or wood.density=0.3:0.45:16"};
}

InputError too_many_sweeps() {
  return {"--sweep is given more than twice", "float", "a map has two sides: leave one out"};
}

InputError swept_twice(const std::string& key) {
  return {quoted(key) + " is swept twice", "--sweep", "sweep another quantity, or one alone"};
}

InputError sweep_too_fine(long long builds, long long most) {
  return {"a map of " + std::to_string(builds) + " builds", "--sweep",
          "take fewer steps: " + std::to_string(most) + " builds at most"};
}

InputError no_such_part(const std::string& key, const std::string& part, const std::string& likely,
                        const std::string& all) {
  return {"no part of the sheet is called " + quoted(part), "--sweep " + key,
          likely.empty() ? (all.empty() ? "it has none" : "its parts are " + all)
                         : "did you mean " + likely + "?"};
}

InputError no_such_quantity(const std::string& key, const std::string& part) {
  return {quoted(part) + " has no such quantity", "--sweep " + key,
          "a pocket has x, y and z, a finish its mass, all else both"};
}

InputError swept_outside(const std::string& key) {
  return {"every build of the map has a part outside the body", "--sweep " + key,
          "take another range"};
}

InputError needs_print(const std::string& option) {
  return {option + " goes with --print", "check", "add --print, or leave " + option + " out"};
}

InputError push_without_mass() {
  return {"--push alone does not tell what the blank displaces", "weigh",
          "give --mass too, of the bare blank, or --displaced"};
}

InputError paper_without(const std::string& verb, const std::string& option) {
  return {"--paper is for " + option + ", which is not given", verb,
          "add " + option + ", or leave --paper out"};
}

InputError aligned_with_many() {
  return {"--aligned writes one copy, and several were given", "compare",
          "leave it out, or compare one at a time"};
}

InputError one_standard_input(const std::string& verb) {
  return {"only one of its files can come from standard input", verb, "give the others' names"};
}

InputError bad_value(const std::string& option, const std::string& value, const std::string& is_not,
                     const std::string& write) {
  return {quoted(value) + " is not " + is_not, option, "write " + write};
}

InputError wrong_ending(const std::string& option, const std::string& path,
                        const std::string& endings) {
  return {quoted(path) + " does not end in " + endings, option,
          "the ending says in which format it is written"};
}

InputError no_pages() {
  return {"this build can't write pages", "--page", "build it where node and npm are installed"};
}

InputError would_overwrite(const std::string& output, const std::string& input) {
  return {"writing it would overwrite " + quoted(input) + ", which is read", output,
          "give another name"};
}

InputError other_usage(const std::string& verb, const std::string& problem) {
  return {problem, verb, help_of(verb)};
}

InputError body_is_open(const std::string& path) {
  return {"the body stays open and encloses no volume", path == "-" ? "standard input" : path,
          "leave out --mend none, so that its holes are filled"};
}

InputError no_pose_to_explain(const std::string& sheet) {
  return {
      "by the sheet it comes to rest nowhere, so there is nothing to hold what was seen against",
      sheet, "look at it with trueblank float first"};
}

InputError not_with_seen(const std::string& option) {
  return {option + " goes with a plan, and --seen explains a lure that is built", "ballast",
          "leave one of them out"};
}

InputError too_many_stations(int most) {
  return {"more than " + std::to_string(most) + " stations", "--stations", "take a longer step"};
}

std::string error_line(const InputError& error) {
  return "trueblank: " + report::shown(one_line(error)) + '\n';
}

std::string out_of_memory_line() {
  return "trueblank: the memory does not suffice; thin the mesh, or give more memory\n";
}

std::string our_fault_line(const std::string& what) {
  return "trueblank: a fault of this program, not of your input: " + report::shown(what) +
         "; please report it with the file\n";
}

std::string open_is_not_printed() {
  return "Nothing is told of printing it: it stays open; leave --mend at holes.";
}

std::string choices_left_out(std::size_t count) {
  return "The sheet has more combinations of drills and hook sizes than are tried: " +
         std::to_string(count) + " were left out; name fewer diameters or sizes.";
}

}  // namespace trueblank::tools
