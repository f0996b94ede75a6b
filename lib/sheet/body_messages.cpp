// SPDX-License-Identifier: GPL-3.0-or-later
// What is said of a sheet once its body is there.
#include <cmath>

#include "sheet/messages.h"

namespace trueblank::sheet {

namespace {

std::string text_of(std::string_view text) { return std::string(text); }

std::string point_text(const Vec3& p) {
  return '[' + plain(p.x(), 1) + ", " + plain(p.y(), 1) + ", " + plain(p.z(), 1) + ']';
}

// Where it stands in the sheet, and what is wrong there.
std::string told_of(const InputError& why) {
  return why.where.empty() ? why.problem : why.where + ": " + why.problem;
}

}  // namespace

InputError station_outside(const std::string& place, double station_mm, double length_mm) {
  return {"station " + plain(station_mm, 3) + " is not on the body", place,
          "it reaches from 0 at the nose to " + plain(length_mm, 1) + " at the tail"};
}

InputError line_misses(const std::string& place, double station_mm, double right_mm) {
  return {"the body has no skin at station " + plain(station_mm, 3) + ", " +
              plain(std::abs(right_mm), 3) + " mm to the " + (right_mm < 0 ? "left" : "right"),
          place, "move the point towards the body, or write it as [x, y, z]"};
}

InputError part_outside(const std::string& place, std::string_view kind, std::string_view name,
                        double gap_mm, const WayIn& way) {
  std::string mend = "move its centre in past the skin at " + point_text(way.nearest_mm);
  if (way.up_to_z_mm) mend = "move its centre up to z = " + plain(*way.up_to_z_mm, 1);
  if (way.down_to_z_mm) mend = "move its centre down to z = " + plain(*way.down_to_z_mm, 1);
  const std::string gap = gap_mm < 0.05 ? "less than 0.1" : plain(gap_mm, 1);
  return {text_of(kind) + ' ' + quoted(name) + " is " + gap + " mm outside the body", place, mend};
}

InputError wire_misses(const std::string& place, std::string_view name) {
  return {"wire " + quoted(name) + " nowhere goes through the body", place,
          "its path is in the body frame: x from the nose, y to the right, z to the back"};
}

InputError baseline_too_short(const std::string& place) {
  return {"nose and tail of the baseline are the same point", place,
          "give its two ends, the nose eye and the tail eye"};
}

InputError balance_outside(const std::string& place, double station_mm, double length_mm) {
  return {"the bare blank can't balance at " + plain(station_mm, 3), place,
          "give the station, from 0 at the nose to " + plain(length_mm, 1) + " at the tail"};
}

InputError half_missing(const std::string& place, std::string_view side) {
  return {"the body has nothing on the " + text_of(side) + " of its mirror plane", place,
          "give density or weighed in place of halves, or mend the body's back"};
}

InputError coat_folds(const std::string& place, double thickness_mm) {
  return {"a coat of " + plain(thickness_mm, 3) + " mm folds in on itself on this body", place,
          "give a thinner one, or mend the mesh"};
}

std::string cavity_taken_as_air(double cavity_mm3) {
  return "The body has a cavity of " + plain(cavity_mm3 / 1000, 2) +
         " cm3, taken to hold air, closed in; write cavity = \"flooded\" in [body] if water gets "
         "in, "
         "or cavity = \"air\".";
}

std::string wood_density_unusual(double density_g_cm3) {
  return "The wood comes to " + plain(density_g_cm3, 3) +
         " g/cm3, and woods lie between 0.1 and 1.2: check the weighed mass, the density and the "
         "scale of the body.";
}

std::string blank_unlike_species(double density_g_cm3, std::string_view species,
                                 double table_g_cm3) {
  return "The weighed blank comes to " + plain(density_g_cm3, 3) + " g/cm3, where " +
         text_of(species) + " has " + plain(table_g_cm3, 3) +
         " in the table: check the mass and the scale of the body.";
}

std::string ballast_pokes_out(std::string_view name, double ball_mm, double wood_mm) {
  return "Ballast " + quoted(name) + " as a ball would be " + plain(ball_mm, 1) +
         " mm across, and its centre is " + plain(wood_mm, 1) +
         " mm under the skin: only a long or a flat one would stay inside.";
}

std::string parts_exceed_wood(double parts_mm3, double body_mm3) {
  return "The parts inside fill " + plain(parts_mm3 / 1000, 1) + " cm3, more than the body's " +
         plain(body_mm3 / 1000, 1) + " cm3: this lure can't be built.";
}

std::string eye_far_away(std::string_view name, double distance_mm) {
  return "The eye of " + quoted(name) + " is " + plain(distance_mm, 0) +
         " mm away from the body: check its point.";
}

std::string water_unusual(std::string_view which, double density_g_cm3) {
  return text_of(which) + " has " + plain(density_g_cm3, 3) +
         " g/cm3, and natural waters lie between 0.95 and 1.25: check its density.";
}

std::string halves_differ(double left_g, double right_g) {
  return "The halves weigh " + plain(left_g, 2) + " g (left) and " + plain(right_g, 2) +
         " g (right), more than a tenth apart: check which is which, and their masses.";
}

std::string pocket_reaches_out(std::string_view name) {
  return "Pocket " + quoted(name) +
         " reaches out of the body: what of it lies outside takes no wood away and is not filled.";
}

std::string outside_is_inside(std::string_view name, double depth_mm) {
  return "The outside part " + quoted(name) + " lies " + plain(depth_mm, 1) +
         " mm under the skin: a weight inside the body is a [[ballast]].";
}

std::string wire_unlike_weight(std::string_view name, double weighed_g, double by_diameter_g) {
  return "Wire " + quoted(name) + " was weighed at " + plain(weighed_g, 2) +
         " g, and its diameter, metal and path make " + plain(by_diameter_g, 2) + " g: check them.";
}

std::string baseline_backwards() {
  return "The baseline's nose lies nearer to the tail than its tail does: check which is which.";
}

std::string copy_not_rigged(const InputError& why) {
  return "The copy can't be rigged as the sheet says, so that the two are not compared in the "
         "water. On the copy, " +
         told_of(why) + '.';
}

std::string copy_rigged_as_master(const InputError& why) {
  return "The copy's parts are taken to lie where the master's do, since not all can be placed by "
         "its own skin. On the copy, " +
         told_of(why) + '.';
}

std::string of_the_copy(const std::string& warning) { return "On the copy: " + warning; }

}  // namespace trueblank::sheet
