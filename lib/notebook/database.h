// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

struct sqlite3;
struct sqlite3_stmt;

// SQLite as this room uses it: every failure is an InputError that names the file and what to do.
namespace trueblank::notebook {

/// A connection. Its pragmas: foreign keys on, every commit on the disk before it returns, deleted
/// bytes overwritten, ten seconds of patience with other writers.
class Database {
 public:
  enum class Access {
    read,  ///< the last to close it tidies its log away, as ever
    write,
    read_alone,  ///< of a file that nobody changes meanwhile: where no file may be made beside it
    memory
  };

  Database(const std::string& path, Access access);
  ~Database();
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;

  [[nodiscard]] const std::string& path() const { return path_; }

  [[nodiscard]] sqlite3* handle() const { return handle_; }

  /// One or more statements without parameters and without results.
  void run(const std::string& sql);
  [[nodiscard]] std::int64_t number(const std::string& sql);
  /// False where SQLite would have to make a file beside it and may not.
  [[nodiscard]] bool can_be_read();
  /// Opened for writing, but the file may only be read.
  [[nodiscard]] bool is_read_only() const;
  /// Journal to a write-ahead log, tried again while others are at it.
  void use_write_ahead_log();
  /// Everything that another one holds, whatever was here.
  void copy_from(Database& other);
  /// The longest text or file that can be kept.
  [[nodiscard]] std::int64_t most_bytes() const;

  /// Throws what SQLite's last result code means.
  [[noreturn]] void fail(int code) const;

 private:
  std::string path_;
  sqlite3* handle_ = nullptr;
};

/// A statement; parameters from 1, columns from 0, as SQLite counts them.
class Statement {
 public:
  Statement(Database& database, const std::string& sql);
  ~Statement();
  Statement(const Statement&) = delete;
  Statement& operator=(const Statement&) = delete;

  /// What is bound must live until done() or the last row().
  void bind(int place, std::int64_t value);
  void bind(int place, std::optional<double> value);
  void bind_text(int place, std::string_view value);
  void bind_bytes(int place, std::string_view value);
  void bind_nothing(int place);

  /// The next row, if there is one.
  [[nodiscard]] bool row();
  /// Runs one that gives no rows, and makes it ready for other values.
  void done();
  /// Ready for other values.
  void again();

  [[nodiscard]] bool is_null(int column) const;
  [[nodiscard]] std::int64_t whole(int column) const;
  [[nodiscard]] std::optional<double> real(int column) const;
  [[nodiscard]] std::string bytes(int column) const;

 private:
  void check(int code);

  Database& database_;
  sqlite3_stmt* handle_ = nullptr;
};

/// All or nothing: taken back where it isn't committed.
class Transaction {
 public:
  enum class Kind { look, change };

  Transaction(Database& database, Kind kind);
  ~Transaction();
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;

  void commit();

 private:
  Database& database_;
  bool open_ = true;
};

}  // namespace trueblank::notebook
