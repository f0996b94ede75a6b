// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/input_text.h"

namespace trueblank::report {

namespace {

// What is not counted as known has no ±.
std::string within(const body::BodyRecord& record) {
  const double sd = record.scale_sd_percent.value_or(0);
  return sd > 0 ? ", ± " + figures(sd, 2) + " %" : "";
}

}  // namespace

std::string scale_text(const body::InputFacts& input, const body::BodyRecord& record) {
  const std::string is = figures(input.length_in_file, 4) + " long";
  const std::string unit =
      " in the file, a unit being " + figures(input.scale_mm_per_unit, 6) + " mm";
  switch (input.scale_from) {
    case body::ScaleFrom::units:
      return is + unit + ", as --units or the sheet says";
    case body::ScaleFrom::length:
      return is + unit + ", from the measured length" + within(record);
    case body::ScaleFrom::format:
      return is + unit + ", as the file itself has it";
    case body::ScaleFrom::assumed:
      return is + ": taken as mm, since the file names no unit";
    case body::ScaleFrom::guessed:
      return is + unit + ": a guess from the size; --units or --length says for sure";
    case body::ScaleFrom::displaced:
      return is + unit + ", from what it displaced" + within(record);
    case body::ScaleFrom::push:
      return is + unit + ", from the push that held it under" + within(record);
  }
  return is;
}

void add_input(Facts& facts, const body::InputFacts& input, const body::BodyRecord& record) {
  const std::string file = input.file == "-" ? "standard input" : shown(input.file);
  facts.add("read", file + ", " + input.format + ", " +
                        grouped(static_cast<long long>(input.facets)) + " facets, " +
                        grouped(static_cast<long long>(input.vertices)) + " vertices");
  facts.add("scale", scale_text(input, record));
}

std::string size_text(const std::array<double, 3>& size_mm, const TextStyle& style) {
  std::string text =
      fixed(size_mm[0], 1) + " × " + fixed(size_mm[1], 1) + " × " + fixed(size_mm[2], 1) + " mm";
  if (style.imperial) {
    text += " (" + fixed(inches(size_mm[0]), 2) + " × " + fixed(inches(size_mm[1]), 2) + " × " +
            fixed(inches(size_mm[2]), 2) + " in)";
  }
  return text;
}

std::string point_text(const geometry::Vec3& p, int decimals) {
  return "(" + fixed(p.x(), decimals) + ", " + fixed(p.y(), decimals) + ", " +
         fixed(p.z(), decimals) + ")";
}

void add_frame(Facts& facts, const geometry::Frame& frame, bool guessed) {
  facts.add("frame",
            "nose at " + point_text(frame.origin_mm, 2) + " mm in the file's axes" +
                (guessed ? "; which end is the nose, or which side the back, is a guess" : ""));
  facts.add("to the tail", point_text(frame.x, 5));
  facts.add("to the right", point_text(frame.y, 5));
  facts.add("to the back", point_text(frame.z, 5));
}

}  // namespace trueblank::report
