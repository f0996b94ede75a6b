// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

// The one place that talks to the file system; its .cpp holds all POSIX calls of the project.
namespace trueblank::intake {

/// The whole of a file, or of standard input where the path is "-".
/// throws  InputError: missing, a directory, not readable, too big for the memory that is sensible
[[nodiscard]] std::string read_file(const std::string& path);

/// Files to be written whole or not at all, together: everything goes to temporary names beside
/// the targets first; commit() renames them. Dropped without commit, nothing is left behind.
class Outputs {
 public:
  Outputs() = default;
  ~Outputs();
  Outputs(const Outputs&) = delete;
  Outputs& operator=(const Outputs&) = delete;

  /// throws InputError: a folder that is missing or can't be written, a full disk
  void add(const std::string& path, std::string_view bytes);
  /// throws InputError
  void commit();

 private:
  std::vector<std::pair<std::string, std::string>> pending_;  ///< temporary name, target
};

[[nodiscard]] bool stderr_is_terminal();
[[nodiscard]] int terminal_width();

}  // namespace trueblank::intake
