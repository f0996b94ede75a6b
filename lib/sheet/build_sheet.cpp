// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/build_sheet.h"

#include <utility>

#include "intake/files.h"
#include "sheet/contents.h"

namespace trueblank::sheet {

Sheet::Sheet(std::unique_ptr<Contents> contents) : contents_(std::move(contents)) {}

Sheet::Sheet(Sheet&&) noexcept = default;
Sheet& Sheet::operator=(Sheet&&) noexcept = default;
Sheet::~Sheet() = default;

const std::string& Sheet::path() const { return contents_->path; }

const std::string& Sheet::title() const { return contents_->title; }

const std::string& Sheet::mesh_path() const { return contents_->mesh_path; }

const body::BodyHints& Sheet::hints() const { return contents_->hints; }

const std::string& Sheet::wood_name() const { return contents_->wood.species; }

Sheet read_sheet(const std::string& path) { return parse_sheet(intake::read_file(path), path); }

}  // namespace trueblank::sheet
