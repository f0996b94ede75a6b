// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/error.h"
#include "geometry/mesh.h"
#include "sheet/quantity.h"

// The wording of everything that a sheet is refused for, or remarked on, in one place.
//
// `place` is file:line:column. `key` is a key of the sheet, `heading` a table as the sheet writes
// it: "[body]", "[[hook]]". Texts of the sheet are shown without their control characters, cut to
// a length that fits a line.
namespace trueblank::sheet {

using geometry::InputError;
using geometry::Vec3;

/// A text with each control character made a space, so that it does nothing to a terminal.
[[nodiscard]] std::string without_control_characters(std::string_view text);
/// "a text" of the sheet, fit to be shown: control characters as spaces, all but the first 60
/// characters left out.
[[nodiscard]] std::string shown(std::string_view text);
/// The same in straight quotes.
[[nodiscard]] std::string quoted(std::string_view text);
/// 2.4, -11.6, 14: at most so many decimals, none that are nought.
[[nodiscard]] std::string plain(double value, int decimals);

// The file, and the text as such
[[nodiscard]] InputError sheet_missing(const std::string& file);
[[nodiscard]] InputError sheet_is_folder(const std::string& file);
[[nodiscard]] InputError sheet_not_readable(const std::string& file);
[[nodiscard]] InputError sheet_empty(const std::string& place);
[[nodiscard]] InputError sheet_too_big(const std::string& place);
[[nodiscard]] InputError wide_text(const std::string& place);
[[nodiscard]] InputError not_a_text(const std::string& place, char found);
[[nodiscard]] InputError not_utf8(const std::string& place);
[[nodiscard]] InputError nested_too_deeply(const std::string& place);

// TOML
[[nodiscard]] InputError string_not_closed(const std::string& place);
[[nodiscard]] InputError given_twice(const std::string& place, std::string_view name);
[[nodiscard]] InputError once_and_several(const std::string& place, std::string_view name);
[[nodiscard]] InputError one_value_a_line(const std::string& place);
[[nodiscard]] InputError quotes_missing(const std::string& place, std::string_view text);
[[nodiscard]] InputError curly_quotes(const std::string& place);
[[nodiscard]] InputError comma_in_number(const std::string& place, std::string_view text);
[[nodiscard]] InputError value_missing(const std::string& place, std::string_view key);
[[nodiscard]] InputError not_a_line(const std::string& place, std::string_view line);
[[nodiscard]] InputError heading_broken(const std::string& place);
[[nodiscard]] InputError list_broken(const std::string& place);
[[nodiscard]] InputError braces_broken(const std::string& place);
[[nodiscard]] InputError backslash_in_text(const std::string& place);
[[nodiscard]] InputError number_broken(const std::string& place, std::string_view text);
[[nodiscard]] InputError other_syntax(const std::string& place, std::string_view detail);

// Keys and tables
[[nodiscard]] InputError version_unknown(const std::string& place);
[[nodiscard]] InputError unknown_key(const std::string& place, std::string_view key,
                                     std::string_view nearest);
[[nodiscard]] InputError unknown_key_among(const std::string& place, std::string_view key,
                                           std::string_view heading, std::string_view known);
[[nodiscard]] InputError table_missing(const std::string& place, std::string_view heading,
                                       std::string_view mend);
[[nodiscard]] InputError table_wanted(const std::string& place, std::string_view heading);
[[nodiscard]] InputError list_of_tables_wanted(const std::string& place, std::string_view heading);
[[nodiscard]] InputError key_missing(const std::string& place, std::string_view heading,
                                     std::string_view key, std::string_view mend);
[[nodiscard]] InputError one_of_missing(const std::string& place, std::string_view heading,
                                        std::string_view keys);
[[nodiscard]] InputError not_together(const std::string& place, std::string_view one,
                                      std::string_view other, std::string_view why);
[[nodiscard]] InputError wrong_type(const std::string& place, std::string_view key,
                                    std::string_view found, std::string_view wanted);

// Values
[[nodiscard]] InputError not_finite(const std::string& place, std::string_view key);
[[nodiscard]] InputError bad_quantity(const std::string& place, std::string_view key,
                                      std::string_view text, const ReadQuantity& read,
                                      Quantity wanted);
[[nodiscard]] InputError out_of_range(const std::string& place, std::string_view key, double value,
                                      std::string_view range, std::string_view mend);
[[nodiscard]] InputError text_empty(const std::string& place, std::string_view key);
[[nodiscard]] InputError not_one_of(const std::string& place, std::string_view key,
                                    std::string_view text, std::string_view choices);
[[nodiscard]] InputError unknown_name(const std::string& place, std::string_view what,
                                      std::string_view text, std::string_view nearest,
                                      std::string_view others);
[[nodiscard]] InputError bad_direction(const std::string& place, std::string_view key);
[[nodiscard]] InputError bad_file_point(const std::string& place, std::string_view key);
[[nodiscard]] InputError bad_point(const std::string& place, std::string_view key);
[[nodiscard]] InputError station_needs_height(const std::string& place, std::string_view key);
[[nodiscard]] InputError path_too_short(const std::string& place);
[[nodiscard]] InputError path_stands_still(const std::string& place, int point);
[[nodiscard]] InputError name_taken(const std::string& place, std::string_view name,
                                    const std::string& first_place);
[[nodiscard]] InputError name_is_wood(const std::string& place);
[[nodiscard]] InputError name_is_finish(const std::string& place);
[[nodiscard]] InputError size_up_too_small(const std::string& place, double size_up_g,
                                           double mass_g);
[[nodiscard]] InputError line_eye_unknown(const std::string& place, std::string_view name,
                                          std::string_view nearest);
[[nodiscard]] InputError nose_eye_missing(const std::string& place);
/// A key that says something about another, which is not there.
[[nodiscard]] InputError alone(const std::string& place, std::string_view key,
                               std::string_view others);
[[nodiscard]] InputError push_without_weight(const std::string& place);
[[nodiscard]] InputError push_too_light(const std::string& place);
[[nodiscard]] InputError finished_without_finish(const std::string& place);
[[nodiscard]] InputError mesh_missing(const std::string& place, std::string_view path);
[[nodiscard]] InputError mesh_is_folder(const std::string& place, std::string_view path);

// A body that is drawn
[[nodiscard]] InputError fullness_out_of_range(const std::string& place, std::string_view key);
[[nodiscard]] InputError fullness_of_outlines(const std::string& place, std::string_view key);
[[nodiscard]] InputError section_alone(const std::string& place);
[[nodiscard]] InputError too_many_sections(const std::string& place, std::size_t most);
[[nodiscard]] InputError stations_not_rising(const std::string& place, double before_mm);
[[nodiscard]] InputError section_pinched(const std::string& place);
[[nodiscard]] InputError section_upside_down(const std::string& place);
[[nodiscard]] InputError widest_outside(const std::string& place, double least_mm, double most_mm);
[[nodiscard]] InputError sections_and(const std::string& place, std::string_view key);
[[nodiscard]] InputError one_outline(const std::string& place, std::string_view given,
                                     std::string_view missing);
[[nodiscard]] InputError drawing_missing(const std::string& place, std::string_view key,
                                         std::string_view path);
[[nodiscard]] InputError nose_of_drawing(const std::string& place);
[[nodiscard]] InputError nose_at_first_section(const std::string& place);
[[nodiscard]] InputError drawn_not_scanned(const std::string& place, std::string_view key);
[[nodiscard]] InputError drawing_encloses_nothing(const std::string& place);

// A target, places for weights, choices of a hook
[[nodiscard]] InputError target_missing(const std::string& place);
[[nodiscard]] InputError nothing_to_vary(const std::string& place);
[[nodiscard]] InputError target_of_nothing(const std::string& place);
[[nodiscard]] InputError bad_range(const std::string& place, std::string_view key);
[[nodiscard]] InputError range_empty(const std::string& place, std::string_view key, double low,
                                     double high);
[[nodiscard]] InputError choices_empty(const std::string& place, std::string_view key);
[[nodiscard]] InputError reserve_of_suspender(const std::string& place);
[[nodiscard]] InputError reserve_of_nothing(const std::string& place);
[[nodiscard]] InputError band_without_width(const std::string& place);
[[nodiscard]] InputError sink_rate_of_no_sinker(const std::string& place);
[[nodiscard]] InputError mass_of_nothing(const std::string& place);
[[nodiscard]] InputError stock_beyond_mass(const std::string& place, double low_g, double high_g);
[[nodiscard]] InputError no_whole_step(const std::string& place, double step_g, double low_g,
                                       double high_g);
[[nodiscard]] InputError mouth_off_axis(const std::string& place, std::string_view from,
                                        std::string_view axis);
[[nodiscard]] InputError too_many_places(const std::string& place, std::size_t most);
[[nodiscard]] InputError place_outside(const std::string& place, std::string_view name,
                                       double gap_mm, const Vec3& nearest_mm);
/// across  "wide" or "high"
[[nodiscard]] InputError hole_too_wide(const std::string& place, std::string_view name,
                                       double diameter_mm, double body_mm, std::string_view across);
[[nodiscard]] InputError eye_beyond_body(const std::string& place, double station_mm,
                                         double length_mm);

// Places on the body
[[nodiscard]] InputError station_outside(const std::string& place, double station_mm,
                                         double length_mm);
[[nodiscard]] InputError line_misses(const std::string& place, double station_mm, double right_mm);

/// How to bring a part's centre into the body.
struct WayIn {
  std::optional<double> up_to_z_mm = {};
  std::optional<double> down_to_z_mm = {};
  Vec3 nearest_mm = Vec3::Zero();  ///< of the skin, where neither is set
};

/// kind  "ballast" or "pocket"
[[nodiscard]] InputError part_outside(const std::string& place, std::string_view kind,
                                      std::string_view name, double gap_mm, const WayIn& way);
[[nodiscard]] InputError wire_misses(const std::string& place, std::string_view name);
[[nodiscard]] InputError baseline_too_short(const std::string& place);
[[nodiscard]] InputError balance_outside(const std::string& place, double station_mm,
                                         double length_mm);
/// side  "left" or "right"
[[nodiscard]] InputError half_missing(const std::string& place, std::string_view side);
[[nodiscard]] InputError coat_folds(const std::string& place, double thickness_mm);

// Warnings, whole sentences
[[nodiscard]] std::string cavity_taken_as_air(double cavity_mm3);
[[nodiscard]] std::string wood_density_unusual(double density_g_cm3);
[[nodiscard]] std::string blank_unlike_species(double density_g_cm3, std::string_view species,
                                               double table_g_cm3);
[[nodiscard]] std::string ballast_pokes_out(std::string_view name, double ball_mm, double wood_mm);
[[nodiscard]] std::string parts_exceed_wood(double parts_mm3, double body_mm3);
[[nodiscard]] std::string eye_far_away(std::string_view name, double distance_mm);
/// which  "The water" or "The tank's water"
[[nodiscard]] std::string water_unusual(std::string_view which, double density_g_cm3);
[[nodiscard]] std::string halves_differ(double left_g, double right_g);
[[nodiscard]] std::string pocket_reaches_out(std::string_view name);
[[nodiscard]] std::string outside_is_inside(std::string_view name, double depth_mm);
[[nodiscard]] std::string wire_unlike_weight(std::string_view name, double weighed_g,
                                             double by_diameter_g);
[[nodiscard]] std::string baseline_backwards();
[[nodiscard]] std::string places_left_empty(std::size_t count);
[[nodiscard]] std::string copy_not_rigged(const InputError& why);
[[nodiscard]] std::string copy_rigged_as_master(const InputError& why);
/// warning  a whole sentence
[[nodiscard]] std::string of_the_copy(const std::string& warning);
[[nodiscard]] std::string nose_taken_at_left();
/// How far it lies above the sections' line.
[[nodiscard]] std::string places_from_own_line(double at_nose_mm, double at_tail_mm);

}  // namespace trueblank::sheet
