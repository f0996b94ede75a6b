// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "notebook/build.h"

namespace trueblank::notebook {

class Store;

/// Where a maker's notebook is: $XDG_DATA_HOME/trueblank/notebook.db where that is set to an
/// absolute path, else $HOME/.local/share/trueblank/notebook.db.
///
/// source  XDG Base Directory Specification 0.8 (a path that is not absolute is to be ignored)
/// throws  InputError where there is neither
[[nodiscard]] std::string default_book_path(const std::optional<std::string>& xdg_data_home,
                                            const std::optional<std::string>& home);

/// Which builds are looked for; what is not set does not matter.
struct Query {
  std::string wood = {};  ///< in the wood's name, capitals of A to Z not minded
  std::string kind = {};  ///< the whole of it, likewise
  std::optional<double> shortest_mm = {};
  std::optional<double> longest_mm = {};
  std::optional<water::State> state = {};
  /// Each must be in the title, the notes, the sheet, the as-built text or a tank record's notes.
  std::vector<std::string> words = {};
};

/// What an import brought.
struct Imported {
  struct Renumbered {
    std::int64_t from = 0;
    std::int64_t to = 0;
  };

  std::vector<std::int64_t> added = {};         ///< as they are numbered here
  std::vector<Renumbered> renumbered = {};      ///< builds and tombstones whose number was taken
  std::vector<std::int64_t> already_here = {};  ///< as they are numbered here; nothing was done
  std::size_t tank_records = 0;                 ///< that builds already here did not have
  std::size_t tombstones = 0;
};

/// A notebook: one SQLite file. Every change is one transaction, on the disk before the call
/// returns; killed at any moment, the file opens again with all that was confirmed. Other programs
/// may read and change it at the same time; a change waits for up to ten seconds for its turn.
///
/// Everything throws InputError: not found, not readable or writable, a full disk, another program
/// that does not finish, a damaged file. What was kept before stays as it was.
class Book {
 public:
  enum class Mode {
    look,    ///< nothing is made or changed; the file must be there
    change,  ///< made with its folders where it is missing; an older schema is brought up to date
  };

  /// throws  InputError also where the file is no notebook, or of a newer version of this program
  [[nodiscard]] static Book open(const std::string& path, Mode mode);

  Book(Book&&) noexcept;
  Book& operator=(Book&&) noexcept;
  ~Book();

  [[nodiscard]] const std::string& path() const;

  /// Keeps a build; facts.id is not looked at. A file whose bytes are here already is not kept
  /// twice.
  /// returns  its number
  /// throws   also: a text that is no UTF-8, a date that is none, a file named twice, a number that
  ///          is not finite
  std::int64_t add(const Build& build);
  /// Keeps what the water showed; record.number is not looked at.
  /// returns  its number within the build
  std::int64_t add_tank(std::int64_t id, const TankRecord& record);
  /// Leaves a tombstone; files that no other build has are dropped with it.
  void forget(std::int64_t id, const std::string& date);

  /// By rising number.
  [[nodiscard]] std::vector<ListedBuild> list() const;
  [[nodiscard]] std::vector<ListedBuild> find(const Query& query) const;
  [[nodiscard]] ShownBuild show(std::int64_t id) const;
  [[nodiscard]] std::vector<Tombstone> tombstones() const;

  /// Writes everything into a folder of plain TOML and files, which must be missing or empty: whole
  /// or not at all. The same book gives the same bytes.
  void export_to(const std::string& folder) const;
  /// Adds what an export holds and this book doesn't, all of it or nothing. A build keeps its
  /// number where that is free here. A build that is here already (all but its number alike) gets
  /// the tank records that it lacks.
  Imported import_from(const std::string& folder);

 private:
  explicit Book(std::unique_ptr<Store> store);

  std::unique_ptr<Store> store_;
};

}  // namespace trueblank::notebook
