// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/build_sheet.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <system_error>
#include <utility>

#include "sheet/contents.h"
#include "sheet/messages.h"
#include "sheet/text_check.h"

namespace trueblank::sheet {

namespace {

// As much as tells whether a sheet is too big: a file that never ends is left in time.
std::string text_of(std::istream& from) {
  std::string text(largest_sheet_bytes + 1, '\0');
  from.read(text.data(), static_cast<std::streamsize>(text.size()));
  text.resize(static_cast<std::size_t>(from.gcount()));
  return text;
}

}  // namespace

Sheet::Sheet(std::unique_ptr<Contents> contents) : contents_(std::move(contents)) {}

Sheet::Sheet(Sheet&&) noexcept = default;
Sheet& Sheet::operator=(Sheet&&) noexcept = default;
Sheet::~Sheet() = default;

const std::string& Sheet::path() const { return contents_->path; }

const std::string& Sheet::title() const { return contents_->title; }

const std::string& Sheet::mesh_path() const { return contents_->mesh_path; }

body::Source Sheet::source() const {
  if (!contents_->drawn) return {.path = contents_->mesh_path};
  return {.path = contents_->path, .drawn = contents_->drawn};
}

const std::vector<std::string>& Sheet::files() const { return contents_->files; }

const body::BodyHints& Sheet::hints() const { return contents_->hints; }

const std::string& Sheet::wood_name() const { return contents_->wood.species; }

std::optional<double> Sheet::wood_weighed_g() const { return contents_->wood.weighed_g; }

const std::string& Sheet::line_hook() const { return contents_->line_eye.hook; }

const std::string& Sheet::text() const { return contents_->text; }

bool Sheet::has_target() const { return contents_->target.has_value(); }

bool Sheet::has_places() const { return !contents_->places.empty(); }

void require_target(const Sheet& sheet) {
  const Sheet::Contents& contents = sheet.contents();
  if (!contents.target) throw target_missing(where(contents.file, {}));
  if (!contents.places.empty()) return;
  if (std::ranges::none_of(contents.hooks, &WrittenHook::has_choice)) {
    throw nothing_to_vary(where(contents.file, contents.target->spot));
  }
}

Sheet read_sheet(const std::string& path) {
  if (path == "-") return parse_sheet(text_of(std::cin), "standard input");
  const std::string file = without_control_characters(path);
  std::error_code unknown;  // then the file can't be opened either, which is told below
  const std::filesystem::file_status status = std::filesystem::status(path, unknown);
  if (std::filesystem::is_directory(status)) throw sheet_is_folder(file);
  if (status.type() == std::filesystem::file_type::not_found) throw sheet_missing(file);
  std::ifstream from(path, std::ios::binary);
  const std::string text = text_of(from);
  if (!from.is_open() || from.bad()) throw sheet_not_readable(file);
  return parse_sheet(text, path);
}

}  // namespace trueblank::sheet
