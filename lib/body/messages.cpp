// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/messages.h"

#include <array>
#include <charconv>
#include <cmath>
#include <numbers>

namespace trueblank::body {
namespace {

std::string number(double value, int decimals) {
  std::array<char, 64> text{};
  const auto end = std::to_chars(text.data(), text.data() + text.size(), value,
                                 std::chars_format::fixed, decimals);
  if (end.ec != std::errc()) return "a very large number";
  std::string result(text.data(), end.ptr);
  // No "-0.00".
  if (result.starts_with('-') && result.find_first_not_of("-0.") == std::string::npos) {
    result.erase(0, 1);
  }
  return result;
}

// Lengths over the whole range of wrong units: three figures at least.
std::string length(double mm) { return number(mm, mm < 1 ? 4 : mm < 100 ? 2 : 1) + " mm"; }

}  // namespace

std::string direction_text(const Vec3& direction) {
  const Vec3 unit = direction.normalized();
  const double near_axis = std::cos(5 * std::numbers::pi / 180);
  for (int k = 0; k < 3; ++k) {
    if (std::abs(unit[k]) < near_axis) continue;
    return std::string(unit[k] < 0 ? "-" : "+") +
           std::string("xyz").substr(static_cast<std::size_t>(k), 1);
  }
  return "(" + number(unit.x(), 2) + ", " + number(unit.y(), 2) + ", " + number(unit.z(), 2) + ")";
}

InputError stays_open(const std::string& file, int open_loops) {
  const std::string count =
      open_loops == 1 ? "1 open loop" : std::to_string(open_loops) + " open loops";
  return {"the body stays open (" + count + "), so it has no volume", file,
          "leave --mend at holes"};
}

InputError no_extent(const std::string& file) {
  return {"the body has no length along its long axis", file, "check the mesh"};
}

InputError length_not_positive(const std::string& file) {
  return {"the length must be more than 0 mm", file,
          "give the length over all, square to its ends"};
}

InputError back_along_long_axis(const std::string& file, double degrees) {
  return {"the back's direction is only " + number(degrees, 0) + "° off the long axis", file,
          "give --back square to the long axis, to 45° at most"};
}

InputError nose_across_long_axis(const std::string& file, double degrees) {
  return {"the nose's direction is " + number(degrees, 0) + "° off the long axis", file,
          "give --nose along the long axis, to 45° at most"};
}

InputError nose_point_at_middle(const std::string& file) {
  return {"the nose point lies at the middle of the body", file,
          "give a point near the nose, in file axes and mm"};
}

InputError plane_without_normal(const std::string& file) {
  return {"the plane's normal has no length", file, "give NX,NY,NZ that are not all zero"};
}

InputError split_line_straight(const std::string& file) {
  return {"the three points of the split line lie in one straight line", file,
          "give one of them off that line, on the back or the belly"};
}

InputError eyes_without_back(const std::string& file) {
  return {"two eyes alone leave the turn about their line open", file,
          "give --back, or a third point with --split-line"};
}

InputError back_along_wire(const std::string& file) {
  return {"the back's direction is nearly along the line of the two eyes", file,
          "give --back square to it, to 45° at most, and two eyes that lie apart"};
}

InputError coat_too_thick(const std::string& file, double coat_mm) {
  return {"nothing is left of the body when a coat of " + number(coat_mm, 2) + " mm comes off",
          file, "check thickness in [finish]"};
}

InputError dunk_far_off(const std::string& file, const DunkAgainstScan& apart) {
  const double off_mm = std::abs(apart.skin_mm);
  return {apart.scale_from + " makes the body displace " + number(apart.scan_displaces_g, 1) +
              " g of the bucket's water and the dunk test " + number(apart.dunk_displaces_g, 1) +
              " g: the skin would have to go " + (apart.skin_mm < 0 ? "in" : "out") + " by " +
              number(off_mm, 2) + " mm all over, more than 0.5 mm",
          file, "check the length or the unit, the reading, and that no bubbles clung to it"};
}

std::string not_reshaped(const std::string& what) {
  return "The body could not be " + what + "; it was left as it is.";
}

std::string format_and_dunk_differ(double format_mm, double dunk_mm) {
  return "By the file's own unit the body is " + length(format_mm) + " long, by the dunk test " +
         length(dunk_mm) + "; the dunk test was believed.";
}

std::string calliper_differs(std::string_view which, double found_mm, double told_mm,
                             double volume_mm3) {
  const double share = told_mm / found_mm - 1;
  const std::string change = share < 0 ? "less" : "more";
  return "The body is " + length(found_mm) + ' ' + std::string(which) + ", and by calliper " +
         length(told_mm) + ": if it is off by as much all along, it has " +
         number(std::abs(share) * 100, 1) + " % " + change + " volume (" +
         number(std::abs(share) * volume_mm3 / 1000, 2) + " cm³).";
}

std::string unit_guessed(std::string_view unit, double as_mm, double as_unit_mm) {
  return "The file names no unit: read as mm the body would be " + length(as_mm) +
         " long, so it is taken to be in " + std::string(unit == "in" ? "inches" : unit) + ", " +
         length(as_unit_mm) + " long; --units or --length says for sure.";
}

std::string size_unlikely(double longest_mm) {
  return "The body is " + length(longest_mm) +
         " long if the file is in mm, and no other unit makes a likely lure of it; --units or "
         "--length sets its scale.";
}

std::string end_made_up(bool nose, bool tail, double share) {
  const std::string which = nose && tail ? "Both ends are"
                            : nose       ? "The nose end is"
                                         : "The tail end is";
  const double volume = std::pow(1 + share, 3) - 1;
  return which + " made up, so the length sets the scale only within " + number(100 * share, 1) +
         " % (" + number(100 * volume, 1) + " % of the volume): scan " +
         (nose && tail ? "the ends" : "that end") +
         ", or give the unit or the dunk test in place of the length; --width and --height are "
         "checks.";
}

std::string units_and_length_differ(double found_mm, double told_mm) {
  return "With the unit that was given the body is " + length(found_mm) + " long, not " +
         length(told_mm) + "; the unit was kept, and the length that was given was not used.";
}

std::string nose_and_back_guessed(const Vec3& nose, const Vec3& back) {
  return "The nose is taken to point along " + direction_text(nose) +
         " of the file and the back along " + direction_text(back) +
         ", a guess from the shape; --nose or --nose-point and --back set them.";
}

std::string nose_guessed(const Vec3& nose) {
  return "The nose is taken to point along " + direction_text(nose) +
         " of the file, a guess from the shape; --nose or --nose-point sets it.";
}

std::string back_guessed(const Vec3& back) {
  return "The back is taken to point along " + direction_text(back) +
         " of the file, a guess from the shape; --back sets it.";
}

std::string round_body(const Vec3& back) {
  return "The body is round: its shape does not say where back and belly are. Any turn will do, "
         "the belly is where you drill; " +
         direction_text(back) + " of the file is taken as the back, and --back sets it.";
}

std::string round_body_with_back() {
  return "The body is round: its shape does not fix the mirror plane, so the back that was given "
         "is taken as exact.";
}

std::string unclear_plane_with_back() {
  return "The shape does not fix the mirror plane clearly enough, so the back that was given is "
         "taken as exact.";
}

std::string several_planes(const Vec3& back) {
  return "The body is about as true about one plane as about another, and its shape does not say "
         "which is the mirror plane: give --back or --split-line. For now " +
         direction_text(back) + " of the file is taken as the back.";
}

std::string back_off_plane(double degrees) {
  return "The back that was given is " + number(degrees, 0) +
         "° off the nearest mirror plane of the shape; check --back.";
}

InputError outline_without_length(const std::string& file) {
  return {"the outline has no length from left to right", file,
          "draw the body along the drawing's x axis"};
}

InputError outline_pinched(const std::string& file, double station_mm) {
  return {"the outline is pinched to nothing at station " + number(station_mm, 1) + " mm", file,
          "draw one closed outline that has some width everywhere but at its ends"};
}

std::string outlines_unlike_long(const std::string& side_file, double side_mm,
                                 const std::string& top_file, double top_mm) {
  return "The outline in " + side_file + " is " + length(side_mm) + " long, the one in " +
         top_file + " " + length(top_mm) + ": that from above was fitted to that from the side.";
}

std::string outline_sides_differ(const std::string& file, double most_mm, double station_mm) {
  return "The two sides of the outline in " + file + " differ by up to " + length(most_mm) +
         " in half width, at station " + number(station_mm, 1) +
         " mm; each side was given the mean.";
}

std::string outline_doubles_back(const std::string& file, double back_mm) {
  return "The outline in " + file + " goes back along the body, by " + length(back_mm) +
         " in all; its outermost edges were taken.";
}

std::string outline_without_size(const std::string& file, double length_mm) {
  return "The drawing " + file +
         " doesn't say how big it is; with 96 of its units to the inch the body is " +
         length(length_mm) + " long; length in [body] says for sure.";
}

std::string print_open(int open_loops) {
  return "it is open, in " +
         (open_loops == 1 ? std::string("1 loop") : std::to_string(open_loops) + " loops");
}

std::string print_windings() { return "neighbouring facets are wound against each other"; }

std::string print_inside_out() { return "it is inside out"; }

std::string print_crossings(int pairs) {
  return pairs == 1 ? "1 pair of facets cross each other"
                    : std::to_string(pairs) + " pairs of facets cross each other";
}

std::string print_mended(const std::string& what, int count) {
  return "mended here, not in the file: " + what + " (" + std::to_string(count) + ")";
}

}  // namespace trueblank::body
