// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/messages.h"

#include <array>
#include <charconv>
#include <cmath>

namespace trueblank::sheet {

namespace {

constexpr int shown_characters = 60;

std::string text_of(std::string_view text) { return std::string(text); }

std::string example_of(Quantity wanted, double value) {
  switch (wanted) {
    case Quantity::length:
      return plain(value, 6) + " or \"" + plain(value, 6) + " mm\"";
    case Quantity::mass:
      return plain(value, 6) + " or \"" + plain(value, 6) + " g\"";
    case Quantity::percent:
      return plain(value, 6) + " or \"" + plain(value, 6) + " %\"";
    case Quantity::angle:
      return plain(value, 6) + " or \"" + plain(value, 6) + " deg\"";
    case Quantity::speed:
      return plain(value, 6) + " or \"" + plain(value, 6) + " m/s\"";
    case Quantity::density:
    case Quantity::temperature:
    case Quantity::salinity:
    case Quantity::stiffness:
      break;
  }
  return plain(value, 6);
}

}  // namespace

std::string without_control_characters(std::string_view text) {
  std::string clean;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    // U+0080 to U+009F are control characters as well: 0xC2 and one of 0x80 to 0x9F.
    if (byte >= 0x80 && byte < 0xA0 && !clean.empty() &&
        static_cast<unsigned char>(clean.back()) == 0xC2) {
      clean.back() = ' ';
    } else {
      clean += byte < 0x20 || byte == 0x7F ? ' ' : c;
    }
  }
  return clean;
}

std::string shown(std::string_view text) {
  std::string clean = without_control_characters(text);
  int characters = 0;
  for (std::size_t i = 0; i < clean.size(); ++i) {
    const bool begins_character = (static_cast<unsigned char>(clean[i]) & 0xC0U) != 0x80U;
    if (begins_character && ++characters > shown_characters) return clean.substr(0, i) + "...";
  }
  return clean;
}

std::string quoted(std::string_view text) { return '"' + shown(text) + '"'; }

std::string plain(double value, int decimals) {
  std::array<char, 400> buffer{};  // 1.8e308 has 309 digits before the point
  const auto [end, error] = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                          std::chars_format::fixed, decimals);
  std::string text(buffer.data(), end);
  if (text.find('.') != std::string::npos) {
    while (text.back() == '0') text.pop_back();
    if (text.back() == '.') text.pop_back();
  }
  return text == "-0" ? "0" : text;
}

InputError sheet_missing(const std::string& file) {
  return {"there is no such file", file, "check the name and the folder"};
}

InputError sheet_is_folder(const std::string& file) {
  return {"this is a folder, not a file", file, "name the build sheet in it"};
}

InputError sheet_not_readable(const std::string& file) {
  return {"the file can't be read", file, "check that you may open it"};
}

InputError sheet_empty(const std::string& place) {
  return {"the sheet is empty", place, "it needs at least [body] with mesh, and [wood]"};
}

InputError sheet_too_big(const std::string& place) {
  return {"this is too big for a build sheet (over 1 MB)", place,
          "give the sheet, not the mesh that it names"};
}

InputError wide_text(const std::string& place) {
  return {"the text is UTF-16", place, "save it as UTF-8"};
}

InputError not_a_text(const std::string& place, char found) {
  std::array<char, 8> hex{};
  const auto [end, error] =
      std::to_chars(hex.data(), hex.data() + hex.size(),
                    static_cast<unsigned>(static_cast<unsigned char>(found)), 16);
  const std::string digits(hex.data(), end);
  return {"byte 0x" + std::string(digits.size() < 2 ? "0" : "") + digits + " is no text", place,
          "a build sheet is a text file"};
}

InputError not_utf8(const std::string& place) {
  return {"the text is not UTF-8", place, "save it as UTF-8"};
}

InputError nested_too_deeply(const std::string& place) {
  return {"brackets or dotted keys are nested too deeply", place, "a sheet needs three levels"};
}

InputError string_not_closed(const std::string& place) {
  return {"a text begins here and is not closed", place,
          "put the same quote at its end, on the same line"};
}

InputError given_twice(const std::string& place, std::string_view name) {
  return {quoted(name) + " is given twice", place, "keep one of them"};
}

InputError once_and_several(const std::string& place, std::string_view name) {
  return {quoted(name) + " stands in single and in double brackets", place,
          "write [[" + shown(name) + "]] each time"};
}

InputError one_value_a_line(const std::string& place) {
  return {"something follows the value on its line", place, "write one key = value a line"};
}

InputError quotes_missing(const std::string& place, std::string_view text) {
  return {"a text needs quotes", place, "write \"" + shown(text) + "\""};
}

InputError curly_quotes(const std::string& place) {
  return {"a text needs straight quotes", place, "write \" in place of the curly ones"};
}

InputError comma_in_number(const std::string& place, std::string_view text) {
  return {"a number has a decimal comma", place, "write " + shown(text)};
}

InputError value_missing(const std::string& place, std::string_view key) {
  return {quoted(key) + " has no value", place, "write one after the =, or remove the line"};
}

InputError not_a_line(const std::string& place, std::string_view line) {
  return {quoted(line) + " is no line of a sheet", place,
          "write key = value, a heading such as [body], or # before a remark"};
}

InputError heading_broken(const std::string& place) {
  return {"this heading can't be read", place, "write it as [body] or [[hook]], alone on its line"};
}

InputError list_broken(const std::string& place) {
  return {"this list can't be read", place,
          "put commas between its values and a ] at its end, as in [70, -9]"};
}

InputError braces_broken(const std::string& place) {
  return {"these braces can't be read", place,
          "write them on one line, as in { station = 70, above_belly = 6 }"};
}

InputError backslash_in_text(const std::string& place) {
  return {"a backslash in double quotes has a meaning of its own", place,
          "write / in file names, or put the text in single quotes"};
}

InputError number_broken(const std::string& place, std::string_view text) {
  return {quoted(text) + " is no number", place,
          "write it as 14 or 0.5, or with its unit in quotes, as \"14 g\""};
}

InputError other_syntax(const std::string& place, std::string_view detail) {
  return {"the sheet can't be read here (" + shown(detail) + ")", place,
          "write key = value, texts in quotes"};
}

InputError version_unknown(const std::string& place) {
  return {"the sheet is of a version that is not known here", place, "write sheet = 1"};
}

InputError unknown_key(const std::string& place, std::string_view key, std::string_view nearest) {
  return {"unknown key " + quoted(key), place, "did you mean \"" + text_of(nearest) + "\"?"};
}

InputError unknown_key_among(const std::string& place, std::string_view key,
                             std::string_view heading, std::string_view known) {
  return {"unknown key " + quoted(key), place, text_of(heading) + " knows " + text_of(known)};
}

InputError table_missing(const std::string& place, std::string_view heading,
                         std::string_view mend) {
  return {text_of(heading) + " is missing", place, text_of(mend)};
}

InputError table_wanted(const std::string& place, std::string_view heading) {
  return {text_of(heading) + " stands once, as a table", place,
          "write " + text_of(heading) + " on a line of its own, its keys below it"};
}

InputError list_of_tables_wanted(const std::string& place, std::string_view heading) {
  return {text_of(heading) + " may stand several times", place,
          "write " + text_of(heading) + " in double brackets, its keys below it"};
}

InputError key_missing(const std::string& place, std::string_view heading, std::string_view key,
                       std::string_view mend) {
  return {text_of(heading) + " has no " + text_of(key), place, text_of(mend)};
}

InputError one_of_missing(const std::string& place, std::string_view heading,
                          std::string_view keys) {
  return {text_of(heading) + " needs " + text_of(keys), place, "give one of them"};
}

InputError not_together(const std::string& place, std::string_view one, std::string_view other,
                        std::string_view why) {
  return {text_of(one) + " and " + text_of(other) + " can't both be given", place, text_of(why)};
}

InputError wrong_type(const std::string& place, std::string_view key, std::string_view found,
                      std::string_view wanted) {
  return {text_of(key) + " is " + text_of(found), place, text_of(wanted) + " is wanted here"};
}

InputError not_finite(const std::string& place, std::string_view key) {
  return {text_of(key) + " is not a finite number", place, "write a plain number"};
}

InputError bad_quantity(const std::string& place, std::string_view key, std::string_view text,
                        const ReadQuantity& read, Quantity wanted) {
  using Fault = ReadQuantity::Fault;
  const std::string given = text_of(key) + " = " + quoted(text);
  const std::string wanted_here =
      text_of(quantity_name(wanted)) + " is wanted here" +
      (quantity_units(wanted).empty() ? std::string(", a plain number")
                                      : " (" + text_of(quantity_units(wanted)) + ")");
  switch (read.fault) {
    case Fault::decimal_comma:
      return {given + " has a decimal comma", place, "write a point"};
    case Fault::no_unit:
      return {given + " has no unit", place, "write " + example_of(wanted, read.value)};
    case Fault::unknown_unit:
      return {given + " has an unknown unit " + quoted(read.unit), place, wanted_here};
    case Fault::other_quantity:
      return {given + " is " + text_of(quantity_name(read.is)), place, wanted_here};
    case Fault::zero_denominator:
      return {given + " divides by nought", place, wanted_here};
    case Fault::not_a_number:
    case Fault::none:
      break;
  }
  return {given + " is no number with a unit", place, wanted_here};
}

InputError out_of_range(const std::string& place, std::string_view key, double value,
                        std::string_view range, std::string_view mend) {
  // A number beyond all measure is not spelt out in its 300 digits.
  const std::string given = std::abs(value) < 1e12 ? "is " + plain(value, 6) : "is beyond measure";
  const std::string must = text_of(key) + " must be " + text_of(range);
  return {text_of(key) + ' ' + given, place, mend.empty() ? must : must + ": " + text_of(mend)};
}

InputError text_empty(const std::string& place, std::string_view key) {
  return {text_of(key) + " is empty", place, "write something between its quotes, or remove it"};
}

InputError not_one_of(const std::string& place, std::string_view key, std::string_view text,
                      std::string_view choices) {
  return {text_of(key) + " = " + quoted(text) + " is not known", place,
          "write one of " + text_of(choices)};
}

InputError unknown_name(const std::string& place, std::string_view what, std::string_view text,
                        std::string_view nearest, std::string_view others) {
  const std::string mend = nearest.empty() ? "give density in g/cm3, or one of: " + text_of(others)
                                           : "did you mean \"" + text_of(nearest) +
                                                 "\"? otherwise give density in g/cm3";
  return {"unknown " + text_of(what) + ' ' + quoted(text), place, mend};
}

InputError bad_direction(const std::string& place, std::string_view key) {
  return {text_of(key) + " is no direction", place,
          "write an axis of the file, \"+x\" to \"-z\", or a vector such as \"0.3,-0.9,0.1\""};
}

InputError bad_file_point(const std::string& place, std::string_view key) {
  return {text_of(key) + " is no point of the mesh file", place,
          "write [x, y, z] in the file's axes, in mm"};
}

InputError bad_point(const std::string& place, std::string_view key) {
  return {text_of(key) + " is no point", place,
          "write [x, y, z], [x, z] or { station = 70, above_belly = 6 }"};
}

InputError station_needs_height(const std::string& place, std::string_view key) {
  return {text_of(key) + " has a station, and not exactly one height", place,
          "give one of above_belly, below_belly, below_back, above_back"};
}

InputError path_too_short(const std::string& place) {
  return {"a path has fewer than two points", place, "give the points from one end to the other"};
}

InputError path_stands_still(const std::string& place, int point) {
  return {"points " + std::to_string(point) + " and " + std::to_string(point + 1) +
              " of the path are the same",
          place, "remove one of them"};
}

InputError name_taken(const std::string& place, std::string_view name,
                      const std::string& first_place) {
  return {"the name " + quoted(name) + " is taken already, at " + first_place, place,
          "give each part a name of its own"};
}

InputError name_is_wood(const std::string& place) {
  return {"\"wood\" is the body's own name", place, "give this part another"};
}

InputError name_is_finish(const std::string& place) {
  return {"\"finish\" is the coat's own name", place, "give this part another"};
}

InputError size_up_too_small(const std::string& place, double size_up_g, double mass_g) {
  return {"size_up is " + plain(size_up_g, 6) + ", and mass is " + plain(mass_g, 6), place,
          "size_up must be more than mass: it is what the next larger size weighs"};
}

InputError line_eye_unknown(const std::string& place, std::string_view name,
                            std::string_view nearest) {
  const std::string mend = nearest.empty() ? std::string(
                                                 "write a point, the name of a hook, or "
                                                 "\"nose\" for the wire's foremost end")
                                           : "did you mean \"" + shown(nearest) + "\"?";
  return {"no hook is named " + quoted(name), place, mend};
}

InputError nose_eye_missing(const std::string& place) {
  return {"eye = \"nose\" is the foremost end of a wire, and there is no wire", place,
          "write eye as a point or as the name of a hook"};
}

InputError alone(const std::string& place, std::string_view key, std::string_view others) {
  return {text_of(key) + " says nothing by itself", place,
          "give " + text_of(others) + ", or remove it"};
}

InputError push_without_weight(const std::string& place) {
  return {"push alone does not tell what the blank displaces", place,
          "weigh the bare blank and give weighed or halves in [wood], or give displaced"};
}

InputError push_too_light(const std::string& place) {
  return {"the push and the blank's weight come to nothing", place,
          "push is in grams, what holds the blank just under"};
}

InputError finished_without_finish(const std::string& place) {
  return {"scanned = \"finished\" needs to know how thick the coat is", place,
          "write [finish] with thickness, or remove scanned"};
}

InputError mesh_missing(const std::string& place, std::string_view path) {
  return {"there is no file " + quoted(path), place,
          "mesh is looked for beside the sheet: mend its name or its folder"};
}

InputError mesh_is_folder(const std::string& place, std::string_view path) {
  return {quoted(path) + " is a folder", place, "name the mesh file in it"};
}

}  // namespace trueblank::sheet
