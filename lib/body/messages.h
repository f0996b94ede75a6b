// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

#include "geometry/error.h"
#include "geometry/mesh.h"

// The wording of what the room of bodies refuses or remarks on, in one place.
namespace trueblank::body {

using geometry::InputError;
using geometry::Vec3;

/// A direction of a file in words: "+x", "-z", or "(0.30, -0.95, 0.10)" where it is more than 5°
/// off every axis.
[[nodiscard]] std::string direction_text(const Vec3& direction);

// Refusals
[[nodiscard]] InputError stays_open(const std::string& file, int open_loops);
[[nodiscard]] InputError no_extent(const std::string& file);
[[nodiscard]] InputError length_not_positive(const std::string& file);
[[nodiscard]] InputError back_along_long_axis(const std::string& file, double degrees);
[[nodiscard]] InputError nose_across_long_axis(const std::string& file, double degrees);
[[nodiscard]] InputError nose_point_at_middle(const std::string& file);
[[nodiscard]] InputError plane_without_normal(const std::string& file);
[[nodiscard]] InputError split_line_straight(const std::string& file);
[[nodiscard]] InputError eyes_without_back(const std::string& file);
[[nodiscard]] InputError back_along_wire(const std::string& file);
[[nodiscard]] InputError coat_too_thick(const std::string& file, double coat_mm);

[[nodiscard]] InputError outline_without_length(const std::string& file);
[[nodiscard]] InputError outline_pinched(const std::string& file, double station_mm);

/// What the scan at its scale and the dunk test each say.
struct DunkAgainstScan {
  std::string scale_from;       ///< "the length"
  double scan_displaces_g = 0;  ///< of the bucket's water
  double dunk_displaces_g = 0;
  double skin_mm = 0;  ///< that all of the skin would have to go out
};

[[nodiscard]] InputError dunk_far_off(const std::string& file, const DunkAgainstScan& apart);

// Remarks, whole sentences
[[nodiscard]] std::string outlines_unlike_long(const std::string& side_file, double side_mm,
                                               const std::string& top_file, double top_mm);
[[nodiscard]] std::string outline_sides_differ(const std::string& file, double most_mm,
                                               double station_mm);
[[nodiscard]] std::string outline_doubles_back(const std::string& file, double back_mm);
[[nodiscard]] std::string outline_without_size(const std::string& file, double length_mm);
[[nodiscard]] std::string not_reshaped(const std::string& what);
[[nodiscard]] std::string format_and_dunk_differ(double format_mm, double dunk_mm);
/// which  "wide" or "high"
[[nodiscard]] std::string calliper_differs(std::string_view which, double found_mm, double told_mm,
                                           double volume_mm3);
[[nodiscard]] std::string unit_guessed(std::string_view unit, double as_mm, double as_unit_mm);
[[nodiscard]] std::string size_unlikely(double longest_mm);
/// share  of the length that the true one may be off, at most
[[nodiscard]] std::string end_made_up(bool nose, bool tail, double share);
[[nodiscard]] std::string units_and_length_differ(double found_mm, double told_mm);
[[nodiscard]] std::string nose_and_back_guessed(const Vec3& nose, const Vec3& back);
[[nodiscard]] std::string nose_guessed(const Vec3& nose);
[[nodiscard]] std::string back_guessed(const Vec3& back);
[[nodiscard]] std::string round_body(const Vec3& back);
[[nodiscard]] std::string round_body_with_back();
[[nodiscard]] std::string unclear_plane_with_back();
[[nodiscard]] std::string several_planes(const Vec3& back);
[[nodiscard]] std::string back_off_plane(double degrees);

// What of a file does not stand as it is, for one who prints it
[[nodiscard]] std::string print_open(int open_loops);
[[nodiscard]] std::string print_windings();
[[nodiscard]] std::string print_inside_out();
[[nodiscard]] std::string print_crossings(int pairs);
/// what  as intake::Mended has it
[[nodiscard]] std::string print_mended(const std::string& what, int count);

}  // namespace trueblank::body
