// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "sheet/messages.h"

namespace trueblank::sheet {

InputError fullness_out_of_range(const std::string& place, std::string_view key) {
  return {std::string(key) + " must be between 0.5 and 1", place,
          "it is the share of its box that the section fills: 0.5 a diamond, 0.785 an ellipse, 1 a "
          "box"};
}

InputError fullness_of_outlines(const std::string& place, std::string_view key) {
  return {std::string(key) + " in [body] is for a body drawn by side and top", place,
          "in a [[section]] it stands with the section; of a mesh the file knows"};
}

InputError section_alone(const std::string& place) {
  return {"one [[section]] alone makes no body", place, "write two or more, from nose to tail"};
}

InputError too_many_sections(const std::string& place, std::size_t most) {
  return {"more than " + std::to_string(most) + " sections", place, "write fewer"};
}

InputError stations_not_rising(const std::string& place, double before_mm) {
  return {"the section does not lie behind the one before it, at station " + plain(before_mm, 6),
          place, "write the sections from nose to tail"};
}

InputError section_pinched(const std::string& place) {
  return {"the section has no width or no height", place,
          "only the first and the last may come to a point or an edge"};
}

InputError section_upside_down(const std::string& place) {
  return {"the section's belly lies above its back", place,
          "above is measured up from the line, below down from it; below = -2 is 2 mm above it"};
}

InputError widest_outside(const std::string& place, double least_mm, double most_mm) {
  return {"widest lies outside the section", place,
          "it is the height of the widest place above the line, here between " +
              plain(least_mm, 6) + " and " + plain(most_mm, 6)};
}

InputError sections_and(const std::string& place, std::string_view key) {
  return {std::string(key) + " and [[section]] can't both be given", place,
          "the body is a mesh, or drawn by sections, or by side and top"};
}

InputError one_outline(const std::string& place, std::string_view given, std::string_view missing) {
  return {std::string(given) + " is given without " + std::string(missing), place,
          "a body takes an outline from the side and one from above"};
}

InputError drawing_missing(const std::string& place, std::string_view key, std::string_view path) {
  return {"there is no file " + quoted(path), place,
          std::string(key) + " is an SVG file beside the sheet: mend its name or its folder"};
}

InputError nose_of_drawing(const std::string& place) {
  return {"nose of a drawing is \"-x\" (left) or \"+x\" (right)", place,
          "draw the body along the drawing's x axis, the back up"};
}

InputError nose_at_first_section(const std::string& place) {
  return {"nose is not for a body drawn by sections", place,
          "its nose is at the first section, its back above the line; remove nose"};
}

InputError drawn_not_scanned(const std::string& place, std::string_view key) {
  return {std::string(key) + " is for a mesh, and this body is drawn", place,
          "remove it; sections and outlines say where nose and back are"};
}

InputError drawing_encloses_nothing(const std::string& place) {
  return {"the drawing encloses nothing", place, "give some section width and height"};
}

std::string nose_taken_at_left() {
  return "The nose is taken to be at the left of the drawings; nose = \"-x\" in [body] says so, "
         "nose = \"+x\" puts it at the right.";
}

std::string places_from_own_line(double at_nose_mm, double at_tail_mm) {
  const auto height = [](double mm) {
    return plain(std::abs(mm), 1) + " mm " + (mm < 0 ? "below" : "above");
  };
  return "Places count from the body's own long axis, not from the line of the sections: it lies " +
         height(at_nose_mm) + " that line at the nose and " + height(at_tail_mm) +
         " it at the tail. above_belly and below_back count from the skin.";
}

}  // namespace trueblank::sheet
