// SPDX-License-Identifier: GPL-3.0-or-later
#include "given_body.h"

#include <algorithm>
#include <utility>

#include "intake/write_mesh.h"

namespace trueblank::tools {

bool ends_like(const std::string& path, const std::string& ending) {
  const auto lower = [](char c) { return c >= 'A' && c <= 'Z' ? char(c - 'A' + 'a') : c; };
  return path.size() >= ending.size() &&
         std::equal(ending.rbegin(), ending.rend(), path.rbegin(),
                    [&](char wanted, char c) { return lower(c) == wanted; });
}

bool is_sheet(const std::string& path) { return ends_like(path, ".toml"); }

GivenBody given_body(const BodyOptions& options) {
  if (!is_sheet(options.path)) {
    return {.source = {.path = options.path}, .hints = options.hints, .read = {options.path}};
  }
  sheet::Sheet sheet = sheet::read_sheet(options.path);
  GivenBody given{.source = sheet.source(), .hints = sheet.hints(), .read = {options.path}};
  const body::BodyHints& asked = options.hints;
  given.hints.smooth_mm = asked.smooth_mm;
  given.hints.thin_facets = asked.thin_facets;
  given.hints.kernel = asked.kernel;
  given.hints.plane = asked.plane;
  given.hints.split_line = asked.split_line;
  given.hints.eyes = asked.eyes;
  given.hints.best_sand = asked.best_sand;
  given.read.insert(given.read.end(), sheet.files().begin(), sheet.files().end());
  given.sheet = std::move(sheet);
  return given;
}

body::BodyHints hints_over_sheet(const body::BodyHints& told, const body::BodyHints& in_sheet) {
  body::BodyHints hints = told;
  // A unit or a length each settle the scale: what the command line has leaves no place for the
  // sheet's.
  if (!told.units && !told.length_mm && !told.dunk) {
    hints.units = in_sheet.units;
    hints.length_mm = in_sheet.length_mm;
  }
  if (!told.dunk) hints.dunk = in_sheet.dunk;
  if (!told.width_mm) hints.width_mm = in_sheet.width_mm;
  if (!told.height_mm) hints.height_mm = in_sheet.height_mm;
  if (!told.nose && !told.nose_point) {
    hints.nose = in_sheet.nose;
    hints.nose_point = in_sheet.nose_point;
  }
  if (!told.back) hints.back = in_sheet.back;
  if (!told.mend) hints.mend = in_sheet.mend;
  if (told.table == intake::Table::unsaid) hints.table = in_sheet.table;
  hints.coat_mm = in_sheet.coat_mm;
  hints.cavity = in_sheet.cavity;
  return hints;
}

ReadBody read_body(const GivenBody& given, const BodyOptions& options,
                   bool look_for_self_intersections, const geometry::ParallelFor& loop) {
  ReadBody read;
  if (options.aligned.empty()) {
    read.sound = body::load_body(given.source, given.hints, look_for_self_intersections, loop);
    return read;
  }
  body::FramedBody framed =
      body::load_framed_body(given.source, given.hints, loop, look_for_self_intersections);
  read.sound = std::move(framed.sound);
  read.frame = framed.frame;
  read.guessed = framed.guessed;
  read.aligned = std::move(framed.body);
  return read;
}

OutputFile mesh_file(const std::string& path, const geometry::TriangleMesh& mesh) {
  if (ends_like(path, ".ply")) return {path, intake::ply_bytes(mesh)};
  return {path, ends_like(path, ".obj") ? intake::obj_bytes(mesh) : intake::stl_bytes(mesh)};
}

}  // namespace trueblank::tools
