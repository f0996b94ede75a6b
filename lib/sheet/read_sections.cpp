// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/read_sections.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <optional>
#include <string>
#include <system_error>
#include <utility>

#include "body/outlines.h"
#include "sheet/allowed.h"
#include "sheet/messages.h"

namespace trueblank::sheet {
namespace {

// A section between the ends has at least that; thinner is no wood.
constexpr double least_extent_mm = 0.01;
constexpr std::size_t most_sections = 1000;
constexpr std::string_view by_sections_format = "sections";
// As near as a place is measured on a bench.
constexpr double worth_telling_mm = 0.2;

std::optional<double> fullness_of(const TableReader& table, std::string_view key) {
  const Node* node = table.find(key);
  if (node == nullptr) return {};
  if (node->kind != Node::Kind::number) {
    throw wrong_type(table.where_value(key), key, kind_name(node->kind), "a number");
  }
  if (!(node->number >= body::least_fullness && node->number <= 1)) {
    throw fullness_out_of_range(table.where_value(key), key);
  }
  return node->number;
}

struct Fullness {
  double above = body::ellipse_fullness;
  double below = body::ellipse_fullness;
};

Fullness fullness_of(const TableReader& table) {
  const std::string_view why = "keep fullness_above and fullness_below, each for its half";
  table.not_both("fullness", "fullness_above", why);
  table.not_both("fullness", "fullness_below", why);
  const double both = fullness_of(table, "fullness").value_or(body::ellipse_fullness);
  return {.above = fullness_of(table, "fullness_above").value_or(both),
          .below = fullness_of(table, "fullness_below").value_or(both)};
}

void check_sections(const std::vector<WrittenSection>& sections) {
  const WrittenSection& first = sections.front();
  const std::string& file = first.file;
  if (sections.size() < 2) throw section_alone(where(file, first.spot));
  if (sections.size() > most_sections) {
    throw too_many_sections(where(file, sections[most_sections].spot), most_sections);
  }
  for (std::size_t i = 1; i < sections.size(); ++i) {
    const double before_mm = sections[i - 1].section.station_mm;
    if (!(sections[i].section.station_mm > before_mm)) {
      throw stations_not_rising(where(file, sections[i].station_spot), before_mm);
    }
  }
  for (std::size_t i = 1; i + 1 < sections.size(); ++i) {
    const body::DrawnSection& section = sections[i].section;
    if (section.width_mm < least_extent_mm || section.height_mm() < least_extent_mm) {
      throw section_pinched(where(file, sections[i].spot));
    }
  }
}

body::DrawnBody of_sections(const std::vector<WrittenSection>& sections) {
  check_sections(sections);
  std::vector<body::DrawnSection> drawn;
  drawn.reserve(sections.size());
  for (const WrittenSection& written : sections) drawn.push_back(written.section);
  return {.mesh_mm = body::body_of_sections(drawn), .format = std::string(by_sections_format)};
}

/// The path of a drawing, relative to the sheet's folder, joined.
std::string drawing_path(const TableReader& body, std::string_view key, const std::string& sheet) {
  const std::string name = *body.text(key);
  if (name.empty()) throw text_empty(body.where_value(key), key);
  const std::filesystem::path path = std::filesystem::path(sheet).parent_path() / name;
  std::error_code unreadable;
  // Not a pipe or a device: those may have no end.
  if (!std::filesystem::is_regular_file(std::filesystem::status(path, unreadable))) {
    throw drawing_missing(body.where_key(key), key, path.string());
  }
  return path.string();
}

bool nose_at_right(const TableReader& body, const std::optional<Vec3>& nose) {
  if (!nose) return false;
  if (std::abs(nose->x()) < 1 - 1e-9) throw nose_of_drawing(body.where_value("nose"));
  return nose->x() > 0;
}

body::DrawnBody of_outlines(const TableReader& body, Sheet::Contents& sheet) {
  const std::string side_path = drawing_path(body, "side", sheet.path);
  const std::string top_path = drawing_path(body, "top", sheet.path);
  const Fullness fullness = fullness_of(body);
  body::Outlines outlines = body::read_outlines(side_path, top_path);
  outlines.side_file = without_control_characters(side_path);
  outlines.top_file = without_control_characters(top_path);
  outlines.nose_right = nose_at_right(body, sheet.hints.nose);
  outlines.size_known = outlines.size_known || sheet.hints.length_mm.has_value();
  outlines.fullness_above = fullness.above;
  outlines.fullness_below = fullness.below;
  body::OutlinedBody drawn = body::body_of_outlines(outlines);
  if (!sheet.hints.nose) drawn.warnings.push_back(nose_taken_at_left());
  sheet.files.push_back(side_path);
  sheet.files.push_back(top_path);
  return {.mesh_mm = std::move(drawn.mesh_mm),
          .format = "outlines",
          .warnings = std::move(drawn.warnings)};
}

// What only a scan has.
void refuse_keys_of_scans(const TableReader& body, bool by_sections) {
  for (const std::string_view key :
       {"units", "back", "nose_point", "scanned", "cavity", "mend", "table"}) {
    if (body.has(key)) throw drawn_not_scanned(body.where_key(key), key);
  }
  if (!by_sections) return;
  if (body.has("nose")) throw nose_at_first_section(body.where_key("nose"));
  for (const std::string_view key : {"fullness", "fullness_above", "fullness_below"}) {
    if (body.has(key)) throw fullness_of_outlines(body.where_key(key), key);
  }
}

}  // namespace

WrittenSection read_section(const TableReader& table) {
  const std::string_view mend =
      "write station, width, above and below, in mm, above and below from the line";
  WrittenSection written{.section = {},
                         .file = table.file(),
                         .spot = table.spot(),
                         .station_spot = table.spot_of_key("station")};
  body::DrawnSection& section = written.section;
  section.station_mm = table.required_number("station", any_length(), mend);
  section.width_mm = table.required_number("width", length_or_none(), mend);
  section.above_mm = table.required_number("above", any_length(), mend);
  section.below_mm = table.required_number("below", any_length(), mend);
  section.widest_mm = table.number("widest", any_length());
  const Fullness fullness = fullness_of(table);
  section.fullness_above = fullness.above;
  section.fullness_below = fullness.below;
  if (section.above_mm < -section.below_mm) throw section_upside_down(table.where_key("below"));
  if (section.widest_mm &&
      (*section.widest_mm > section.above_mm || *section.widest_mm < -section.below_mm)) {
    throw widest_outside(table.where_value("widest"), -section.below_mm, section.above_mm);
  }
  return written;
}

bool draws_body(const TableReader& body, const std::vector<WrittenSection>& sections) {
  const bool by_outlines = body.has("side") || body.has("top");
  const std::string_view one = body.has("side") ? "side" : "top";
  if (by_outlines) {
    body.not_both("mesh", one, "the body is either a mesh or drawn by its outlines");
    if (!sections.empty()) throw sections_and(body.where_key(one), one);
    const std::string_view other = body.has("side") ? "top" : "side";
    if (!body.has(other)) throw one_outline(body.where_key(one), one, other);
  }
  if (!sections.empty() && body.has("mesh")) throw sections_and(body.where_key("mesh"), "mesh");
  if (by_outlines || !sections.empty()) return true;
  for (const std::string_view key : {"fullness", "fullness_above", "fullness_below"}) {
    if (body.has(key)) throw fullness_of_outlines(body.where_key(key), key);
  }
  return false;
}

void draw_body(const TableReader& body, const std::vector<WrittenSection>& sections,
               Sheet::Contents& sheet) {
  const bool by_sections = !sections.empty();
  refuse_keys_of_scans(body, by_sections);
  body::DrawnBody drawn = by_sections ? of_sections(sections) : of_outlines(body, sheet);
  if (!geometry::closed_mesh(drawn.mesh_mm)) {
    throw drawing_encloses_nothing(by_sections ? where(sheet.file, sections.front().spot)
                                               : body.where_key("side"));
  }
  sheet.drawn = std::move(drawn);
  sheet.hints.nose = -Vec3::UnitX();
  sheet.hints.back = Vec3::UnitZ();
  sheet.hints.plane = geometry::Plane{Vec3::UnitY(), 0};
  if (!sheet.hints.length_mm) sheet.hints.units = body::Unit::mm;
}

std::optional<std::string> line_elsewhere(const Sheet::Contents& sheet,
                                          const body::FramedBody& body) {
  if (!sheet.drawn || sheet.drawn->format != by_sections_format) return {};
  const Vec3& nose_mm = body.frame.origin_mm;
  const Vec3 tail_mm = nose_mm + body.length_mm * body.frame.x;
  if (std::max(std::abs(nose_mm.z()), std::abs(tail_mm.z())) < worth_telling_mm) return {};
  return places_from_own_line(nose_mm.z(), tail_mm.z());
}

}  // namespace trueblank::sheet
