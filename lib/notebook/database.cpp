// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/database.h"

#include <sqlite3.h>

#include <cassert>
#include <cerrno>
#include <cstring>

#include "notebook/messages.h"

namespace trueblank::notebook {

namespace {

constexpr int patience_ms = 10'000;
constexpr int between_tries_ms = 10;

// A name that SQLite takes for its file and nothing else: no ":memory:", no "file:…?mode=…".
std::string uri_of(const std::string& path, bool alone) {
  constexpr std::string_view digits = "0123456789ABCDEF";
  std::string uri = "file:";
  for (const char c : path) {
    const auto byte = static_cast<unsigned char>(c);
    const bool plain = (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') ||
                       c == '/' || c == '.' || c == '_' || c == '-';
    if (plain) {
      uri += c;
    } else {
      uri += '%';
      uri += digits[byte >> 4U];
      uri += digits[byte & 0xFU];
    }
  }
  return alone ? uri + "?immutable=1" : uri;
}

}  // namespace

Database::Database(const std::string& path, Access access) : path_(path) {
  int flags = SQLITE_OPEN_READWRITE;
  if (access == Access::memory) flags |= SQLITE_OPEN_MEMORY;
  if (access == Access::write) flags |= SQLITE_OPEN_CREATE;
  if (access == Access::read_alone) flags = SQLITE_OPEN_READONLY;
  const std::string name =
      access == Access::memory ? ":memory:" : uri_of(path, access == Access::read_alone);
  const int code = sqlite3_open_v2(name.c_str(), &handle_,
                                   flags | SQLITE_OPEN_URI | SQLITE_OPEN_EXRESCODE, nullptr);
  try {
    if (code != SQLITE_OK) fail(code);
    sqlite3_busy_timeout(handle_, patience_ms);
    // What a strange file might have SQLite do on its own account is not done.
    sqlite3_db_config(handle_, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    sqlite3_db_config(handle_, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    run("PRAGMA foreign_keys = ON; PRAGMA cell_size_check = ON;");
    if (access == Access::read) run("PRAGMA query_only = ON");
    if (access == Access::write) run("PRAGMA synchronous = FULL; PRAGMA secure_delete = ON;");
  } catch (...) {
    sqlite3_close_v2(handle_);
    throw;
  }
}

Database::~Database() { sqlite3_close_v2(handle_); }

void Database::run(const std::string& sql) {
  const int code = sqlite3_exec(handle_, sql.c_str(), nullptr, nullptr, nullptr);
  if (code != SQLITE_OK) fail(code);
}

std::int64_t Database::number(const std::string& sql) {
  Statement statement(*this, sql);
  return statement.row() ? statement.whole(0) : 0;
}

bool Database::can_be_read() {
  const int code =
      sqlite3_exec(handle_, "SELECT count(*) FROM sqlite_schema", nullptr, nullptr, nullptr);
  const int kind = code & 0xFF;
  return kind != SQLITE_CANTOPEN && kind != SQLITE_READONLY;
}

bool Database::is_read_only() const { return sqlite3_db_readonly(handle_, "main") == 1; }

void Database::use_write_ahead_log() {
  // Where two change the journal at once, SQLite gives up on one of them at once.
  for (int waited_ms = 0;; waited_ms += between_tries_ms) {
    const int code = sqlite3_exec(handle_, "PRAGMA journal_mode = WAL", nullptr, nullptr, nullptr);
    if (code == SQLITE_OK) return;
    if ((code & 0xFF) != SQLITE_BUSY || waited_ms >= patience_ms) fail(code);
    sqlite3_sleep(between_tries_ms);
  }
}

void Database::copy_from(Database& other) {
  sqlite3_backup* backup = sqlite3_backup_init(handle_, "main", other.handle_, "main");
  if (backup == nullptr) fail(sqlite3_extended_errcode(handle_));
  const int code = sqlite3_backup_step(backup, -1);
  sqlite3_backup_finish(backup);
  if (code != SQLITE_DONE) other.fail(code);
}

std::int64_t Database::most_bytes() const {
  return sqlite3_limit(handle_, SQLITE_LIMIT_LENGTH, -1);
}

void Database::fail(int code) const {
  const int kind = code & 0xFF;
  const int number = handle_ == nullptr ? 0 : sqlite3_system_errno(handle_);
  const std::string why = number != 0 ? std::strerror(number) : sqlite3_errstr(code);
  const bool no_room = number == ENOSPC || number == EDQUOT;
  if (no_room && (kind == SQLITE_IOERR || kind == SQLITE_CANTOPEN)) throw disk_full(path_);
  switch (kind) {
    case SQLITE_NOTADB:
      throw not_a_notebook(path_);
    case SQLITE_CORRUPT:
      throw book_damaged(path_);
    case SQLITE_FULL:
      throw disk_full(path_);
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      throw book_busy(path_);
    case SQLITE_READONLY:
    case SQLITE_PERM:
      throw book_not_writable(path_);
    case SQLITE_CANTOPEN:
      throw book_not_opened(path_, why);
    case SQLITE_TOOBIG:
      throw too_big_to_keep(path_, most_bytes());
    case SQLITE_NOMEM:
      throw book_not_opened(path_, "not enough memory");
    case SQLITE_IOERR:
      throw book_io_failed(path_, why);
    default:
      break;
  }
  // What is left are mistakes of ours, or tables that are not as this program made them.
  throw book_unlike(path_, handle_ == nullptr ? why : sqlite3_errmsg(handle_));
}

Statement::Statement(Database& database, const std::string& sql) : database_(database) {
  check(sqlite3_prepare_v2(database.handle(), sql.c_str(), static_cast<int>(sql.size()), &handle_,
                           nullptr));
}

Statement::~Statement() { sqlite3_finalize(handle_); }

void Statement::check(int code) {
  if (code != SQLITE_OK) database_.fail(code);
}

void Statement::bind(int place, std::int64_t value) {
  check(sqlite3_bind_int64(handle_, place, value));
}

void Statement::bind(int place, std::optional<double> value) {
  check(value ? sqlite3_bind_double(handle_, place, *value) : sqlite3_bind_null(handle_, place));
}

// A text of no length is not a text that is missing: SQLite tells them by the pointer.
void Statement::bind_text(int place, std::string_view value) {
  check(sqlite3_bind_text64(handle_, place, value.empty() ? "" : value.data(), value.size(),
                            SQLITE_STATIC, SQLITE_UTF8));
}

void Statement::bind_bytes(int place, std::string_view value) {
  check(sqlite3_bind_blob64(handle_, place, value.empty() ? "" : value.data(), value.size(),
                            SQLITE_STATIC));
}

void Statement::bind_nothing(int place) { check(sqlite3_bind_null(handle_, place)); }

bool Statement::row() {
  const int code = sqlite3_step(handle_);
  if (code == SQLITE_ROW) return true;
  if (code != SQLITE_DONE) database_.fail(code);
  return false;
}

void Statement::done() {
  [[maybe_unused]] const bool any = row();
  assert(!any);
  again();
}

void Statement::again() {
  sqlite3_reset(handle_);  // tells once more what row() has told
  sqlite3_clear_bindings(handle_);
}

bool Statement::is_null(int column) const {
  return sqlite3_column_type(handle_, column) == SQLITE_NULL;
}

std::int64_t Statement::whole(int column) const { return sqlite3_column_int64(handle_, column); }

std::optional<double> Statement::real(int column) const {
  if (is_null(column)) return {};
  return sqlite3_column_double(handle_, column);
}

std::string Statement::bytes(int column) const {
  const void* from = sqlite3_column_blob(handle_, column);
  const auto size = static_cast<std::size_t>(sqlite3_column_bytes(handle_, column));
  return from == nullptr ? std::string() : std::string(static_cast<const char*>(from), size);
}

Transaction::Transaction(Database& database, Kind kind) : database_(database) {
  database.run(kind == Kind::look ? "BEGIN" : "BEGIN IMMEDIATE");
}

Transaction::~Transaction() {
  // SQLite has taken it back itself after some failures; then there is nothing left to do.
  if (open_) (void)sqlite3_exec(database_.handle(), "ROLLBACK", nullptr, nullptr, nullptr);
}

void Transaction::commit() {
  database_.run("COMMIT");
  open_ = false;
}

}  // namespace trueblank::notebook
