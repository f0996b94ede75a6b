// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

#include "geometry/error.h"
#include "sheet/build_sheet.h"

namespace trueblank::sheet {

/// Runs in a folder of its own, in which there is a file "needle.stl".
class InAFolder : public ::testing::Test {
 protected:
  InAFolder() {
    std::filesystem::create_directories(folder_);
    std::filesystem::current_path(folder_);
    std::ofstream("needle.stl") << "solid";
  }

  ~InAFolder() override {
    std::filesystem::current_path(before_);
    std::filesystem::remove_all(folder_);
  }

  InAFolder(const InAFolder&) = delete;
  InAFolder& operator=(const InAFolder&) = delete;

 private:
  std::filesystem::path before_ = std::filesystem::current_path();
  std::filesystem::path folder_ = std::filesystem::path(::testing::TempDir()) /
                                  ("trueblank_sheet_" + std::to_string(::getpid()));
};

/// The line that a sheet is refused with; "accepted" where it is not.
inline std::string refusal(std::string_view text) {
  try {
    const Sheet sheet = parse_sheet(text, "needle.toml");
  } catch (const geometry::InputError& error) {
    return geometry::one_line(error);
  }
  return "accepted";
}

/// A sheet that is right but for `more`, which begins on line 5.
inline std::string sheet_with(std::string_view more) {
  return "[body]\nmesh = \"needle.stl\"\n[wood]\ndensity = 0.4\n" + std::string(more);
}

inline std::string refusal_with(std::string_view more) { return refusal(sheet_with(more)); }

inline Sheet parsed_with(std::string_view more) {
  return parse_sheet(sheet_with(more), "needle.toml");
}

}  // namespace trueblank::sheet
