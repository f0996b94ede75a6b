// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "notebook/build.h"

// The TOML of an export:
//
//     notebook.toml              export = 1, builds = [1, 3], forgotten = [2]
//     builds/1/build.toml        the facts; which files there are
//     builds/1/sheet.toml        the sheet, results.json and as-built.toml, byte for byte
//     builds/1/tank-1.toml       what the water showed
//     builds/2/forgotten.toml
//     files/1-needle-165.stl     each content once, numbered as they come first
namespace trueblank::notebook {

inline constexpr std::int64_t export_version = 1;
inline constexpr const char* contents_file = "notebook.toml";
inline constexpr const char* build_file = "build.toml";
inline constexpr const char* sheet_file = "sheet.toml";
inline constexpr const char* results_file = "results.json";
inline constexpr const char* as_built_file = "as-built.toml";
inline constexpr const char* tombstone_file = "forgotten.toml";

[[nodiscard]] std::string folder_of_build(std::int64_t id);  ///< "builds/12"
[[nodiscard]] std::string tank_file(std::int64_t number);    ///< "tank-1.toml"
/// "files/7-needle-165.stl": of the name what any file system takes.
[[nodiscard]] std::string name_of_content(std::size_t number, std::string_view name);

struct ExportedContents {
  std::vector<std::int64_t> builds = {};
  std::vector<std::int64_t> forgotten = {};
};

struct ExportedFile {
  std::string name = {};     ///< as the sheet writes it
  std::string kept_as = {};  ///< below the export's folder, with "/"
};

/// A build.toml. The sheet, the results and the as-built text are in files of their own.
struct ExportedBuild {
  BuildFacts facts = {};  ///< without as_built
  bool has_as_built = false;
  std::int64_t tank_records = 0;
  std::vector<ExportedFile> files = {};
};

/// The facts alone, without number and as-built figures: alike for what is alike.
[[nodiscard]] std::string text_of(const BuildFacts& facts);
/// Without its number.
[[nodiscard]] std::string text_of(const TankRecord& record);
[[nodiscard]] std::string text_of(const ExportedContents& contents);
[[nodiscard]] std::string text_of(const ExportedBuild& build);
[[nodiscard]] std::string text_of(const Tombstone& tombstone);

/// Each reads what text_of wrote. `file` is for messages.
/// throws  InputError with file:line:column
[[nodiscard]] ExportedContents read_contents(std::string_view text, const std::string& file);
[[nodiscard]] ExportedBuild read_build(std::string_view text, const std::string& file);
[[nodiscard]] TankRecord read_record(std::string_view text, const std::string& file);
[[nodiscard]] Tombstone read_tombstone(std::string_view text, const std::string& file);

}  // namespace trueblank::notebook
