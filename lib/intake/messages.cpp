// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/messages.h"

#include <charconv>
#include <cmath>

namespace trueblank::intake {
namespace {

std::string text(std::int64_t value) { return std::to_string(value); }

std::string text(std::uint64_t value) { return std::to_string(value); }

/// Two significant digits, without an exponent, of a percentage.
std::string percent(double value) {
  char buffer[64];
  if (value < 0.005) return "0 %";
  const int decimals = value >= 9.95 ? 0 : value >= 0.95 ? 1 : 2;
  const auto end =
      std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::fixed, decimals).ptr;
  return std::string(buffer, end) + " %";
}

/// What was found in a file, short, in quotes, and without bytes that a terminal would act on.
std::string quoted(std::string_view found) {
  constexpr std::size_t longest = 24;
  std::string out = "\"";
  for (const char c : found.substr(0, longest)) out += (c >= 32 && c < 127) ? c : '?';
  if (found.size() > longest) out += "…";
  return out + "\"";
}

const char* const export_again = "copy or export the file again";

}  // namespace

std::string shown_name(const std::string& path) { return path == "-" ? "standard input" : path; }

std::string counted(std::int64_t count, std::string_view thing) {
  std::string out = text(count) + " ";
  if (count == 1) return out.append(thing);
  if (thing.ends_with("vertex")) return out.append(thing.substr(0, thing.size() - 2)) + "ices";
  return out.append(thing) + "s";
}

InputError file_missing(const std::string& file) {
  return {"there is no such file", shown_name(file), "check the name and the folder"};
}

InputError file_is_directory(const std::string& file) {
  return {"this is a folder, not a file", shown_name(file), "name a file in it"};
}

InputError file_not_readable(const std::string& file, const Trouble& trouble) {
  return {"the file can't be read (" + trouble.reason + ")", shown_name(file), trouble.mend};
}

InputError file_too_big(const std::string& file, std::int64_t limit_bytes) {
  return {"the file is bigger than " + text(limit_bytes >> 30) + " GiB", shown_name(file),
          "thin the mesh out before export"};
}

InputError file_empty(const std::string& file) {
  return {"the file is empty", shown_name(file), export_again};
}

InputError only_zeros(const std::string& file) {
  return {"the file holds nothing but zeros", shown_name(file),
          "a copy or a download was probably cut off: copy or export it again"};
}

InputError folder_missing(const std::string& file, const std::string& folder) {
  return {"can't be written: there is no folder \"" + folder + "\"", shown_name(file),
          "make the folder first"};
}

InputError file_not_writable(const std::string& file, const Trouble& trouble) {
  return {"can't be written (" + trouble.reason + ")", file == "-" ? "standard output" : file,
          trouble.mend};
}

InputError written_twice(const std::string& file) {
  return {"two results would go to the same file", shown_name(file), "give each its own file name"};
}

InputError unknown_format(const std::string& file) {
  return {"the file is neither STL, OBJ, PLY, OFF, glTF nor 3MF", shown_name(file),
          "export the mesh as one of these"};
}

InputError other_format(const std::string& file, std::string_view format) {
  return {std::string(format) + " files are not in this version", shown_name(file),
          "export STL, OBJ, PLY or GLB"};
}

InputError not_a_mesh(const std::string& file, std::string_view what) {
  return {"this is " + std::string(what) + ", not a mesh", shown_name(file),
          "export the mesh as STL, OBJ, PLY or GLB"};
}

InputError wide_text(const std::string& file) {
  return {"the text is in UTF-16, which mesh files never are", shown_name(file),
          "save it as plain text (UTF-8)"};
}

InputError stl_count_too_high(const std::string& file, std::uint64_t facets,
                              std::uint64_t needed_bytes, std::uint64_t bytes) {
  return {"as a binary STL it says " + text(facets) + " facets, which needs " + text(needed_bytes) +
              " bytes; the file has " + text(bytes),
          shown_name(file), export_again};
}

InputError stl_count_too_low(const std::string& file, std::uint64_t facets, std::uint64_t bytes,
                             std::uint64_t facets_by_length) {
  return {"as a binary STL it says " + text(facets) + " facets, but its " + text(bytes) +
              " bytes are those of " + text(facets_by_length),
          shown_name(file), export_again};
}

InputError stl_ends_within_facet(const std::string& place, std::int64_t facet) {
  return {"the file ends within facet " + text(facet), place, export_again};
}

InputError stl_word_expected(const std::string& place, std::string_view expected,
                             std::string_view found) {
  return {"\"" + std::string(expected) + "\" expected, found " + quoted(found), place,
          export_again};
}

std::string trailing_bytes(std::uint64_t bytes) {
  return counted(static_cast<std::int64_t>(bytes), "byte") +
         " after the last facet of the STL file left out.";
}

std::string endsolid_missing() {
  return "The STL file ends without \"endsolid\": it may have been cut off.";
}

InputError not_a_number(const std::string& place, std::string_view found) {
  return {"a number expected, found " + quoted(found), place, export_again};
}

InputError number_missing(const std::string& place, std::string_view of_what) {
  return {"a number of the " + std::string(of_what) + " is missing", place, export_again};
}

InputError decimal_comma(const std::string& place) {
  return {"a decimal comma", place, "export with decimal points (1.5, not 1,5)"};
}

InputError number_too_large(const std::string& place, std::string_view found) {
  return {"the number " + quoted(found) + " is too large", place, export_again};
}

InputError not_finite(const std::string& place, std::string_view of_what) {
  return {"a coordinate of the " + std::string(of_what) +
              " is not a finite number (NaN or "
              "infinity)",
          place, "mend the mesh where it was made and export it again"};
}

InputError bad_index(const std::string& place, std::string_view found) {
  return {"a vertex number expected, found " + quoted(found), place, export_again};
}

InputError index_out_of_range(const std::string& place, std::int64_t index, std::int64_t lowest,
                              std::int64_t highest) {
  return {"vertex " + text(index) + " does not exist (" +
              (highest < lowest ? "there are none"
                                : "they go from " + text(lowest) + " to " + text(highest)) +
              ")",
          place, export_again};
}

InputError no_facets(const std::string& file, std::int64_t vertices) {
  if (vertices == 0) return {"no facets in the file", shown_name(file), export_again};
  return {counted(vertices, "vertex") + " but no facets in the file", shown_name(file),
          "export the surface (mesh), not the points alone"};
}

InputError too_many(const std::string& file, std::string_view thing) {
  return {"more " + std::string(thing) + " than can be counted", shown_name(file),
          "thin the mesh out before export"};
}

InputError polygon_too_big(const std::string& file, std::int64_t corners) {
  return {"a polygon of " + text(corners) + " corners", shown_name(file),
          "have polygons cut into triangles at export"};
}

InputError ply_header(const std::string& place, const std::string& trouble) {
  return {"PLY header: " + trouble, place, export_again};
}

InputError ply_count_lies(const std::string& file, std::string_view element, std::uint64_t count,
                          std::uint64_t needed_bytes, std::uint64_t bytes) {
  return {"says " + text(count) + " of \"" + std::string(element) + "\", which needs at least " +
              text(needed_bytes) + " bytes; the file has " + text(bytes) + " after its header",
          shown_name(file), export_again};
}

InputError ply_ends_within(const std::string& file, std::string_view element, std::int64_t number) {
  return {"the file ends within " + std::string(element) + " " + text(number), shown_name(file),
          export_again};
}

InputError off_dimensions(const std::string& place) {
  return {"this OFF has other than three coordinates a vertex", place, "export it in three"};
}

InputError off_binary(const std::string& place) {
  return {"this OFF is binary, which is not read", place, "export it as text, or as STL"};
}

InputError off_counts_lie(const std::string& file, std::uint64_t vertices, std::uint64_t facets,
                          std::uint64_t needed_bytes, std::uint64_t bytes) {
  return {"says " + text(vertices) + " vertices and " + text(facets) +
              " facets, which need at least " + text(needed_bytes) + " bytes; the file has " +
              text(bytes) + " after its counts",
          shown_name(file), export_again};
}

InputError off_ends_within(const std::string& file, std::string_view thing, std::uint64_t number,
                           std::uint64_t count) {
  return {"the file ends before " + std::string(thing) + " " + text(number) + " of " + text(count),
          shown_name(file), export_again};
}

InputError off_corners_missing(const std::string& place, std::int64_t said, std::int64_t found) {
  return {"a facet says " + text(said) + " corners and has " + text(found), place, export_again};
}

InputError broken_file(const std::string& file, const std::string& what) {
  return {what, shown_name(file), export_again};
}

InputError gltf_compressed(const std::string& file, std::string_view extension) {
  return {"its mesh is compressed (" + std::string(extension) + "), which is not read",
          shown_name(file), "export it without compression"};
}

InputError gltf_buffer_elsewhere(const std::string& file, const std::string& uri) {
  return {"its data lie elsewhere, in \"" + uri + "\", where they can't be read", shown_name(file),
          "export one GLB file, or keep its .bin file beside it"};
}

InputError repeated_too_often(const std::string& file) {
  return {"it repeats the same parts more often than its size lets one believe", shown_name(file),
          "export the one body alone"};
}

InputError no_threemf(const std::string& file) {
  return {"this program was built without 3MF", shown_name(file), "export STL, OBJ, PLY or GLB"};
}

std::string no_surfaces(std::int64_t primitives) {
  return counted(primitives, "part") + " without a surface (points or lines) left out.";
}

InputError ply_list_length(const std::string& place) {
  return {"a list of impossible length", place, export_again};
}

InputError ply_strips(const std::string& file) {
  return {"facets given as triangle strips are not in this version", shown_name(file),
          "export PLY with faces, or STL"};
}

std::string facets_too_short(std::int64_t count) {
  return counted(count, "facet") + " with fewer than three corners left out.";
}

std::string vertices_unused(std::int64_t count) {
  return counted(count, "vertex") + " that no facet uses left out.";
}

InputError encloses_nothing(const std::string& file) {
  return {"the surface encloses nothing (a flat sheet)", shown_name(file),
          "export the whole body, closed all round"};
}

InputError one_sided(const std::string& file) {
  return {
      "the surface has one side only (it is twisted like a Möbius strip), so it encloses "
      "nothing",
      shown_name(file), "mend the mesh where it was made and export it again"};
}

InputError stays_open(const std::string& file, int open_loops) {
  return {counted(open_loops, "hole") + " could not be filled", shown_name(file),
          "mend the mesh where it was made and export it again"};
}

std::string turned_outward() {
  return "The mesh was inside out (its facets faced inward): turned.";
}

std::string windings_agreed(int facets) {
  return counted(facets, "facet") + " wound against the others turned.";
}

std::string holes_filled(int holes, double percent_of_skin) {
  return "The mesh was open: " + counted(holes, "hole") + " filled, " + percent(percent_of_skin) +
         " of the skin is made up.";
}

std::string much_made_up(double percent_of_skin) {
  return percent(percent_of_skin) +
         " of the skin was not in the file: volume and balance are rough; a fuller scan would be "
         "better.";
}

std::string holes_left(int holes) {
  return "The mesh is open (" + counted(holes, "hole") + ") and stays so: it has no volume.";
}

std::string pieces_left_out(const std::vector<double>& percent_of_kept) {
  constexpr std::size_t most_named = 5;
  const std::size_t count = percent_of_kept.size();
  std::string out = counted(static_cast<std::int64_t>(count), "other piece") + " left out, of ";
  const std::size_t named = count <= most_named + 1 ? count : most_named;
  for (std::size_t i = 0; i < named; ++i) {
    if (i > 0) out += (i + 1 == count) ? " and " : ", ";
    out += percent(percent_of_kept[i]);
  }
  if (named < count) out += " and less";
  return out + " of the kept one's volume.";
}

std::string inner_piece_left_out(int count) {
  if (count == 1) {
    return "One of them lies inside the body and faces outward, so it was not taken for a cavity; "
           "if it is one, turn its facets inward.";
  }
  return text(std::int64_t{count}) +
         " of them lie inside the body and face outward, so they were not taken for cavities; if "
         "they are, turn their facets inward.";
}

std::string shells_were_united(int others) {
  return counted(others, "overlapping shell") + " united with the body.";
}

std::string crosses_too_often() {
  return "The skin crosses itself too often to be taken apart: what overlaps counts twice in the "
         "volume; --mend wrap puts one skin around it.";
}

std::string skin_was_wrapped(double percent_of_volume) {
  return "The skin was wrapped anew, which made the volume " +
         percent(std::abs(percent_of_volume)) + (percent_of_volume < 0 ? " smaller." : " greater.");
}

std::string wrap_refused(double percent_of_volume) {
  return "Not wrapped: a wrap would make the volume " + percent(std::abs(percent_of_volume)) +
         (percent_of_volume < 0 ? " smaller" : " greater") +
         ", so it is not the body that it finds; the holes are filled and no more.";
}

std::string wrap_failed() {
  return "Not wrapped: no closed skin came of it; the holes are filled and no more.";
}

std::string table_cut_off(double percent_of_skin) {
  return "The body stands on a flat sheet or plate that goes on beyond it: taken as a table, " +
         percent(percent_of_skin) + " of the skin cut off; --table keep leaves it.";
}

std::string flat_side_kept(double percent_of_skin) {
  return "A flat side of " + percent(percent_of_skin) +
         " of the skin is taken as the body's own; --table cut takes it off if it is a table.";
}

}  // namespace trueblank::intake
