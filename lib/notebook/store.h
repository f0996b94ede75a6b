// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "notebook/build.h"
#include "notebook/database.h"

namespace trueblank::notebook {

/// What stands in a notebook's tables, read and written piece by piece. Transactions are its
/// callers' own, and so are checks of what is to be kept.
class Store {
 public:
  explicit Store(std::unique_ptr<Database> database) : database_(std::move(database)) {}

  [[nodiscard]] Database& database() const { return *database_; }

  [[nodiscard]] const std::string& path() const { return database_->path(); }

  /// Numbers of builds and of tombstones: none is given twice.
  [[nodiscard]] std::int64_t greatest_number() const;
  [[nodiscard]] bool is_taken(std::int64_t id) const;
  /// throws  InputError where there is no such build, or no more
  void require(std::int64_t id) const;

  [[nodiscard]] std::vector<ListedBuild> list() const;
  [[nodiscard]] ShownBuild show(std::int64_t id) const;
  [[nodiscard]] std::string sheet(std::int64_t id) const;
  [[nodiscard]] std::vector<Tombstone> tombstones() const;
  /// Builds that were added then, under that title.
  [[nodiscard]] std::vector<std::int64_t> added_at(const std::string& added,
                                                   const std::string& title) const;
  /// The files of a build: name, and number of the content.
  [[nodiscard]] std::vector<std::pair<std::string, std::int64_t>> files(std::int64_t id) const;
  [[nodiscard]] std::string content(std::int64_t number) const;
  /// All but the files' bytes.
  [[nodiscard]] ShownBuild without_contents(std::int64_t id) const;

  void insert(const Build& build, std::int64_t id);
  /// returns  its number within the build
  std::int64_t insert_record(std::int64_t id, const TankRecord& record);
  void insert(const Tombstone& tombstone);
  /// With its records; contents that nobody has any more go too.
  void remove(std::int64_t id);

 private:
  [[nodiscard]] std::vector<TankRecord> records(std::int64_t id) const;
  std::int64_t keep(const std::string& bytes);

  std::unique_ptr<Database> database_;
};

}  // namespace trueblank::notebook
