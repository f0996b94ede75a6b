// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/error.h"

// The wording of everything that intake refuses or remarks on, in one place.
//
// `file` is the path as given ("-" becomes "standard input"), `place` is file:line for the text
// formats, and the file alone or "file, facet 12" for the binary ones.
namespace trueblank::intake {

using geometry::InputError;

[[nodiscard]] std::string shown_name(const std::string& path);
/// "1 facet", "12 facets".
[[nodiscard]] std::string counted(std::int64_t count, std::string_view thing);

// Files
[[nodiscard]] InputError file_missing(const std::string& file);
[[nodiscard]] InputError file_is_directory(const std::string& file);

/// The system's reason, and what to do about it.
struct Trouble {
  std::string reason;
  std::string mend;
};

[[nodiscard]] InputError file_not_readable(const std::string& file, const Trouble& trouble);
[[nodiscard]] InputError file_too_big(const std::string& file, std::int64_t limit_bytes);
[[nodiscard]] InputError file_empty(const std::string& file);
[[nodiscard]] InputError only_zeros(const std::string& file);
[[nodiscard]] InputError folder_missing(const std::string& file, const std::string& folder);
[[nodiscard]] InputError file_not_writable(const std::string& file, const Trouble& trouble);
[[nodiscard]] InputError written_twice(const std::string& file);

// What kind of file
[[nodiscard]] InputError unknown_format(const std::string& file);
[[nodiscard]] InputError other_format(const std::string& file, std::string_view format);
[[nodiscard]] InputError not_a_mesh(const std::string& file, std::string_view what);
[[nodiscard]] InputError wide_text(const std::string& file);

// Drawings
[[nodiscard]] InputError not_svg(const std::string& file);
[[nodiscard]] InputError svg_cut_short(const std::string& file);
[[nodiscard]] InputError svg_too_big(const std::string& file);
[[nodiscard]] InputError svg_too_deep(const std::string& file);
[[nodiscard]] InputError svg_too_long(const std::string& file);
[[nodiscard]] InputError svg_too_far(const std::string& file);
[[nodiscard]] InputError svg_transform_broken(const std::string& file);
[[nodiscard]] InputError svg_shape_broken(const std::string& file, std::string_view shape);
[[nodiscard]] InputError svg_without_outline(const std::string& file);

// STL
[[nodiscard]] InputError stl_count_too_high(const std::string& file, std::uint64_t facets,
                                            std::uint64_t needed_bytes, std::uint64_t bytes);
[[nodiscard]] InputError stl_count_too_low(const std::string& file, std::uint64_t facets,
                                           std::uint64_t bytes, std::uint64_t facets_by_length);
[[nodiscard]] InputError stl_ends_within_facet(const std::string& place, std::int64_t facet);
[[nodiscard]] InputError stl_word_expected(const std::string& place, std::string_view expected,
                                           std::string_view found);
[[nodiscard]] std::string trailing_bytes(std::uint64_t bytes);
[[nodiscard]] std::string endsolid_missing();

// Numbers and indices
[[nodiscard]] InputError not_a_number(const std::string& place, std::string_view found);
[[nodiscard]] InputError number_missing(const std::string& place, std::string_view of_what);
[[nodiscard]] InputError decimal_comma(const std::string& place);
[[nodiscard]] InputError number_too_large(const std::string& place, std::string_view found);
[[nodiscard]] InputError not_finite(const std::string& place, std::string_view of_what);
[[nodiscard]] InputError bad_index(const std::string& place, std::string_view found);
[[nodiscard]] InputError index_out_of_range(const std::string& place, std::int64_t index,
                                            std::int64_t lowest, std::int64_t highest);
[[nodiscard]] InputError no_facets(const std::string& file, std::int64_t vertices);
[[nodiscard]] InputError too_many(const std::string& file, std::string_view thing);
[[nodiscard]] InputError polygon_too_big(const std::string& file, std::int64_t corners);

// PLY
[[nodiscard]] InputError ply_header(const std::string& place, const std::string& trouble);
[[nodiscard]] InputError ply_count_lies(const std::string& file, std::string_view element,
                                        std::uint64_t count, std::uint64_t needed_bytes,
                                        std::uint64_t bytes);
[[nodiscard]] InputError ply_ends_within(const std::string& file, std::string_view element,
                                         std::int64_t number);
[[nodiscard]] InputError ply_list_length(const std::string& place);
[[nodiscard]] InputError ply_strips(const std::string& file);

// OFF
[[nodiscard]] InputError off_dimensions(const std::string& place);
[[nodiscard]] InputError off_binary(const std::string& place);
[[nodiscard]] InputError off_counts_lie(const std::string& file, std::uint64_t vertices,
                                        std::uint64_t facets, std::uint64_t needed_bytes,
                                        std::uint64_t bytes);
[[nodiscard]] InputError off_ends_within(const std::string& file, std::string_view thing,
                                         std::uint64_t number, std::uint64_t count);
[[nodiscard]] InputError off_corners_missing(const std::string& place, std::int64_t said,
                                             std::int64_t found);

// glTF and 3MF. `what` is a clause: "accessor 3 reaches beyond its buffer".
[[nodiscard]] InputError broken_file(const std::string& file, const std::string& what);
[[nodiscard]] InputError gltf_compressed(const std::string& file, std::string_view extension);
[[nodiscard]] InputError gltf_buffer_elsewhere(const std::string& file, const std::string& uri);
[[nodiscard]] InputError repeated_too_often(const std::string& file);
[[nodiscard]] InputError no_threemf(const std::string& file);
[[nodiscard]] std::string no_surfaces(std::int64_t primitives);

// Remarks of the readers
[[nodiscard]] std::string facets_too_short(std::int64_t count);
[[nodiscard]] std::string vertices_unused(std::int64_t count);

// Mending
[[nodiscard]] InputError encloses_nothing(const std::string& file);
[[nodiscard]] InputError one_sided(const std::string& file);
[[nodiscard]] InputError stays_open(const std::string& file, int open_loops);
[[nodiscard]] std::string turned_outward();
[[nodiscard]] std::string windings_agreed(int facets);
[[nodiscard]] std::string holes_filled(int holes, double percent_of_skin);
[[nodiscard]] std::string much_made_up(double percent_of_skin);
[[nodiscard]] std::string holes_left(int holes);
/// volumes of the other pieces, falling, as shares of the kept one's: the unit is not known yet
[[nodiscard]] std::string pieces_left_out(const std::vector<double>& percent_of_kept);
[[nodiscard]] std::string inner_piece_left_out(int count);
[[nodiscard]] std::string shells_were_united(int others);
[[nodiscard]] std::string crosses_too_often();
/// how much the volume changed, or would have
[[nodiscard]] std::string skin_was_wrapped(double percent_of_volume);
[[nodiscard]] std::string wrap_refused(double percent_of_volume);
/// no closed skin came of it, whatever its volume
[[nodiscard]] std::string wrap_failed();
[[nodiscard]] std::string table_cut_off(double percent_of_skin);
[[nodiscard]] std::string flat_side_kept(double percent_of_skin);

}  // namespace trueblank::intake
