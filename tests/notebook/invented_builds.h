// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "geometry/error.h"
#include "notebook/book.h"

// Builds that nobody made: titles, figures and files are drawn from a seeded generator. They are
// to be kept to the last byte, whatever is in them, and mean nothing beside.
namespace trueblank::notebook {

struct InventedBuild {
  Build build;
  std::vector<TankRecord> tank;
};

/// The same seed, the same builds. Texts hold every kind of character that UTF-8 has, files every
/// byte; some builds share a file.
[[nodiscard]] std::vector<InventedBuild> invented_builds(std::size_t count, std::uint64_t seed);

/// Adds them all, in their order.
void add_all(Book& book, const std::vector<InventedBuild>& builds);

/// A folder of its own, gone with its test.
class Scratch {
 public:
  Scratch();
  ~Scratch();
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;

  [[nodiscard]] std::string path(const std::string& name) const {
    return (folder_ / name).string();
  }

  [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }

 private:
  std::filesystem::path folder_;
  std::filesystem::path memory_;  ///< where folder_ is a link to
};

/// Every file below a folder, by its relative name.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> all_files(
    const std::filesystem::path& folder);

/// All that two builds, or two records, hold, but for their numbers.
[[nodiscard]] bool same_build(const Build& a, const Build& b);
[[nodiscard]] bool same_record(const TankRecord& a, const TankRecord& b);

/// The whole line of the InputError that `what` throws; "" where it throws none.
template <typename What>
[[nodiscard]] std::string refusal(const What& what) {
  try {
    what();
  } catch (const geometry::InputError& error) {
    return geometry::one_line(error);
  }
  return "";
}

}  // namespace trueblank::notebook
