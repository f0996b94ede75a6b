// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/messages.h"

#include <array>
#include <charconv>

#include "sheet/messages.h"

namespace trueblank::notebook {

namespace {

using sheet::without_control_characters;

constexpr std::string_view nothing_changed = ", what was kept before is as it was";

std::string in_quotes(std::string_view text) {
  return '"' + without_control_characters(text) + '"';
}

std::string whole(double value) {
  std::array<char, 32> digits{};
  const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value,
                                 std::chars_format::fixed, 0)
                       .ptr;
  return {digits.data(), end};
}

}  // namespace

InputError book_missing(const std::string& path) {
  return {.problem = "there is no notebook yet",
          .where = without_control_characters(path),
          .mend = "it is made by the first notebook add; or name another with --book"};
}

InputError book_is_no_file(const std::string& path) {
  return {.problem = "a notebook is a file of its own, and this is a folder or a device",
          .where = without_control_characters(path),
          .mend = "name a file with --book, as my-lures.db"};
}

InputError not_a_notebook(const std::string& path) {
  return {.problem = "is no notebook of this program, and is left alone",
          .where = without_control_characters(path),
          .mend = "name another file with --book"};
}

InputError book_newer(const std::string& path, std::int64_t version, std::int64_t known) {
  return {.problem = "is a notebook of version " + std::to_string(version) +
                     ", and this program knows versions up to " + std::to_string(known),
          .where = without_control_characters(path),
          .mend = "use the newer program that wrote it, nothing was changed"};
}

InputError book_not_writable(const std::string& path) {
  return {.problem = "the notebook may be read but not changed",
          .where = without_control_characters(path),
          .mend = "allow writing to the file and to its folder, or name another with --book" +
                  std::string(nothing_changed)};
}

InputError book_not_opened(const std::string& path, const std::string& why) {
  return {.problem = "the notebook can't be opened (" + why + ")",
          .where = without_control_characters(path),
          .mend =
              "see that the file and its folder may be read and written, or name another "
              "with --book"};
}

InputError folder_not_made(const std::string& path, const std::string& why) {
  return {.problem = "the folder of the notebook can't be made (" + why + ")",
          .where = without_control_characters(path),
          .mend = "make it, or name another file with --book"};
}

InputError disk_full(const std::string& path) {
  return {.problem = "there is no room left for the notebook on its disk",
          .where = without_control_characters(path),
          .mend = "make room and do it again" + std::string(nothing_changed)};
}

InputError book_busy(const std::string& path) {
  return {.problem = "another program has been changing the notebook for ten seconds",
          .where = without_control_characters(path),
          .mend = "let it finish and do it again" + std::string(nothing_changed)};
}

InputError book_io_failed(const std::string& path, const std::string& why) {
  return {.problem = "the notebook can't be read or written (" + why + ")",
          .where = without_control_characters(path),
          .mend = "see to the disk and do it again" + std::string(nothing_changed)};
}

InputError book_damaged(const std::string& path) {
  return {.problem = "the notebook is damaged",
          .where = without_control_characters(path),
          .mend = "put it aside, and import the last export into a new one"};
}

InputError book_unlike(const std::string& path, const std::string& why) {
  return {.problem = "the notebook is not as this program makes them (" +
                     without_control_characters(why) + ")",
          .where = without_control_characters(path),
          .mend = "put it aside, and import the last export into a new one"};
}

InputError too_big_to_keep(const std::string& what, std::int64_t most_bytes) {
  return {.problem = "is too big for a notebook, which keeps files of up to " +
                     std::to_string(most_bytes / 1'000'000) + " MB",
          .where = without_control_characters(what),
          .mend = "keep a thinner mesh"};
}

InputError no_home() {
  return {.problem =
              "there is no place for the notebook, since neither XDG_DATA_HOME nor HOME "
              "is set",
          .where = "",
          .mend = "name its file with --book"};
}

InputError no_such_build(const std::string& path, std::int64_t id) {
  return {.problem = "there is no build " + std::to_string(id) + " in the notebook",
          .where = without_control_characters(path),
          .mend = "notebook list shows the builds that there are"};
}

InputError build_forgotten(const std::string& path, std::int64_t id, const std::string& when) {
  return {.problem = "build " + std::to_string(id) + " was forgotten on " +
                     without_control_characters(when),
          .where = without_control_characters(path),
          .mend = "notebook list shows the builds that there are"};
}

InputError not_utf8(const std::string& what) {
  return {.problem = what + " is not text in UTF-8", .where = "", .mend = "save it as UTF-8"};
}

InputError no_date(const std::string& text) {
  return {.problem = in_quotes(text) + " is no date",
          .where = "",
          .mend = "write 2026-03-01, or with the time in UTC 2026-03-01T18:30:00Z"};
}

InputError not_finite(const std::string& what) {
  return {.problem = what + " is no number that can be kept", .where = "", .mend = "leave it out"};
}

InputError text_too_long(const std::string& what, std::size_t longest_bytes) {
  return {.problem = what + " is longer than " + std::to_string(longest_bytes) + " bytes",
          .where = "",
          .mend = "shorten it"};
}

InputError too_many_files(std::size_t most) {
  return {.problem = "a build has more than " + std::to_string(most) + " files",
          .where = "",
          .mend = "keep the mesh and the drawings only"};
}

InputError file_named_twice(const std::string& name) {
  return {.problem = "two files of one build are named " + in_quotes(name),
          .where = "",
          .mend = "keep one of them"};
}

InputError points_alike(std::string_view one, std::string_view other) {
  return {.problem = "the points of " + std::string(one) + " and " + std::string(other) +
                     " in the photograph are the same",
          .where = "",
          .mend = "mark them as far apart as the picture allows"};
}

InputError waterline_steep(double deg) {
  return {.problem = "the waterline stands " + whole(deg) +
                     "° steep in the photograph, so that down can't be told",
          .where = "",
          .mend = "turn the photograph until the water lies across it"};
}

InputError folder_in_use(const std::string& folder) {
  return {.problem = "an export needs a folder of its own, and there is something in this one",
          .where = without_control_characters(folder),
          .mend = "name a folder that is empty or not there yet"};
}

InputError export_failed(const std::string& folder, const std::string& why) {
  return {.problem = "the export can't be written (" + why + ")",
          .where = without_control_characters(folder),
          .mend = "see to the disk or name another folder"};
}

InputError no_export(const std::string& folder) {
  return {.problem = "is no folder that a notebook was exported to: it has no notebook.toml",
          .where = without_control_characters(folder),
          .mend = "name the folder that was given to notebook export"};
}

InputError export_newer(const std::string& where, std::int64_t version, std::int64_t known) {
  return {.problem = "is an export of version " + std::to_string(version) +
                     ", and this program knows versions up to " + std::to_string(known),
          .where = where,
          .mend = "import it with the newer program"};
}

InputError export_key_unknown(const std::string& where, const std::string& key) {
  return {.problem = "unknown key " + in_quotes(key),
          .where = where,
          .mend = "take it out, or import with the program that wrote it"};
}

InputError export_key_missing(const std::string& where, std::string_view key) {
  return {.problem = std::string(key) + " is missing",
          .where = where,
          .mend = "export the notebook anew"};
}

InputError export_value_wrong(const std::string& where, std::string_view key,
                              std::string_view wanted) {
  return {.problem = std::string(key) + " is not " + std::string(wanted),
          .where = where,
          .mend = "put it right, or export the notebook anew"};
}

InputError export_path_outside(const std::string& where, const std::string& path) {
  return {.problem = in_quotes(path) + " leads out of the export's folder",
          .where = where,
          .mend = "name a file below it"};
}

InputError export_number_twice(const std::string& where, std::int64_t id) {
  return {.problem = "build " + std::to_string(id) + " is there twice",
          .where = where,
          .mend = "take one of them out"};
}

InputError length_unknown() {
  return {.problem = "the old body's length is not known, so that its design can't be scaled",
          .where = "",
          .mend = "copy it as it is and scale the mesh by [body] length"};
}

InputError length_not_positive() {
  return {.problem = "a length is more than 0",
          .where = "--length",
          .mend = "write the new body's length in mm, as --length 200"};
}

std::string design_scaled(double factor) {
  return "The design is scaled by " + sheet::plain(factor, 4) +
         ", and so the water that it displaces by " + sheet::plain(factor * factor * factor, 3) +
         "; hooks, wire and weights are not: they keep their grams, diameters and hang, so find "
         "the weights anew.";
}

std::string density_for_weight(double density_g_cm3) {
  return "The wood's density, " + sheet::plain(density_g_cm3, 4) +
         " g/cm³, is what the old blank's weight made it.";
}

std::string species_for_weight() {
  return "The old blank's weight is left out, and the wood's density is the table's.";
}

std::string weight_of_old_blank() {
  return "The wood is still as heavy as the old blank: weigh the new one, or write the density.";
}

std::string weighed_parts_stay() {
  return "What was weighed of wire or finish is that of the old lure: weigh the new ones.";
}

std::string target_stays() { return "The target's grams and stiffness are those of the old lure."; }

std::string dunk_test_left_out() { return "The dunk test of the old body is left out."; }

std::string take_out_by_hand(const std::string& key) {
  return "Take " + key + " out of body: it contradicts the new length.";
}

}  // namespace trueblank::notebook
