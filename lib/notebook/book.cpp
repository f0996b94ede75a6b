// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/book.h"

#include <algorithm>
#include <filesystem>
#include <string_view>
#include <system_error>
#include <utility>

#include "notebook/check_build.h"
#include "notebook/database.h"
#include "notebook/messages.h"
#include "notebook/schema.h"
#include "notebook/store.h"

namespace trueblank::notebook {

namespace {

namespace fs = std::filesystem;
using Access = Database::Access;

std::string absolute(const std::string& path) {
  std::error_code ignored;
  const fs::path whole = fs::absolute(path, ignored);
  return ignored ? path : whole.string();
}

// Those that are missing are made for their owner alone, as the XDG specification wants them.
void make_folder(const fs::path& folder) {
  std::error_code trouble;
  if (folder.empty() || fs::is_directory(folder, trouble)) return;
  make_folder(folder.parent_path());
  if (fs::create_directory(folder, trouble)) {
    fs::permissions(folder, fs::perms::owner_all, trouble);
  }
  std::error_code ignored;  // another program may have been quicker
  if (trouble && !fs::is_directory(folder, ignored)) {
    throw folder_not_made(folder.string(), trouble.message());
  }
}

// A log with something in it belongs to the file, and can't be left out.
bool has_log(const std::string& path) {
  std::error_code missing;
  const std::uintmax_t bytes = fs::file_size(path + "-wal", missing);
  return !missing && bytes > 0;
}

// What is older is brought up to date in memory, and the file left as it is.
std::unique_ptr<Database> opened_to_look(const std::string& path) {
  auto database = std::make_unique<Database>(path, Access::read);
  // Where nothing can be written beside the file, nobody else can change it either.
  if (!database->can_be_read() && !has_log(path)) {
    database = std::make_unique<Database>(path, Access::read_alone);
  }
  if (schema_of(*database) == newest_schema()) return database;
  auto copy = std::make_unique<Database>(path, Access::memory);
  copy->copy_from(*database);
  bring_up_to_date(*copy);
  return copy;
}

std::unique_ptr<Database> opened_to_change(const std::string& path) {
  auto database = std::make_unique<Database>(path, Access::write);
  if (database->is_read_only()) throw book_not_writable(path);
  // Before anything is changed: it may be another program's.
  const std::int64_t version = schema_of(*database);
  database->use_write_ahead_log();
  if (version < newest_schema()) bring_up_to_date(*database);
  return database;
}

char small_letter(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

bool same_letter(char a, char b) { return small_letter(a) == small_letter(b); }

bool holds(std::string_view text, std::string_view word) {
  return std::search(text.begin(), text.end(), word.begin(), word.end(), same_letter) !=
             text.end() ||
         word.empty();
}

bool has_word(const ListedBuild& build, const std::string& sheet, const std::string& word) {
  const BuildFacts& facts = build.facts;
  return holds(facts.title, word) || holds(facts.notes, word) || holds(sheet, word) ||
         (facts.as_built && holds(facts.as_built->text, word)) ||
         std::ranges::any_of(build.tank,
                             [&](const TankRecord& record) { return holds(record.notes, word); });
}

// All but the words.
bool fits(const BuildFacts& facts, const Query& query) {
  const Figures& figures = facts.figures;
  if (!holds(figures.wood, query.wood)) return false;
  if (!query.kind.empty() && !std::ranges::equal(facts.kind, query.kind, same_letter)) {
    return false;
  }
  if (query.state && figures.state != query.state) return false;
  const std::optional<double> length_mm = figures.length_mm;
  if (query.shortest_mm && !(length_mm && *length_mm >= *query.shortest_mm)) return false;
  return !query.longest_mm || (length_mm && *length_mm <= *query.longest_mm);
}

}  // namespace

std::string default_book_path(const std::optional<std::string>& xdg_data_home,
                              const std::optional<std::string>& home) {
  constexpr std::string_view below = "trueblank/notebook.db";
  if (xdg_data_home && fs::path(*xdg_data_home).is_absolute()) {
    return (fs::path(*xdg_data_home) / below).string();
  }
  if (!home || home->empty()) throw no_home();
  return (fs::path(*home) / ".local/share" / below).string();
}

Book Book::open(const std::string& path, Mode mode) {
  const std::string whole = absolute(path);
  std::error_code ignored;
  const fs::file_status status = fs::status(whole, ignored);
  if (fs::exists(status) && !fs::is_regular_file(status)) throw book_is_no_file(path);
  if (!fs::exists(status)) {
    if (mode == Mode::look) throw book_missing(path);
    make_folder(fs::path(whole).parent_path());
  }
  return Book(std::make_unique<Store>(mode == Mode::look ? opened_to_look(whole)
                                                         : opened_to_change(whole)));
}

Book::Book(std::unique_ptr<Store> store) : store_(std::move(store)) {}

Book::Book(Book&&) noexcept = default;
Book& Book::operator=(Book&&) noexcept = default;
Book::~Book() = default;

const std::string& Book::path() const { return store_->path(); }

std::int64_t Book::add(const Build& build) {
  check_build(build);
  Transaction transaction(store_->database(), Transaction::Kind::change);
  const std::int64_t id = store_->greatest_number() + 1;
  store_->insert(build, id);
  transaction.commit();
  return id;
}

std::int64_t Book::add_tank(std::int64_t id, const TankRecord& record) {
  check_record(record);
  Transaction transaction(store_->database(), Transaction::Kind::change);
  store_->require(id);
  const std::int64_t number = store_->insert_record(id, record);
  transaction.commit();
  return number;
}

void Book::forget(std::int64_t id, const std::string& date) {
  check_date(date);
  Transaction transaction(store_->database(), Transaction::Kind::change);
  const BuildFacts facts = store_->without_contents(id).build.facts;
  store_->remove(id);
  store_->insert(
      Tombstone{.id = id, .added = facts.added, .title = facts.title, .forgotten = date});
  transaction.commit();
}

std::vector<ListedBuild> Book::list() const {
  const Transaction transaction(store_->database(), Transaction::Kind::look);
  return store_->list();
}

std::vector<ListedBuild> Book::find(const Query& query) const {
  const Transaction transaction(store_->database(), Transaction::Kind::look);
  std::vector<ListedBuild> builds = store_->list();
  std::erase_if(builds, [&](const ListedBuild& build) {
    if (!fits(build.facts, query)) return true;
    if (query.words.empty()) return false;
    const std::string sheet = store_->sheet(build.facts.id);
    return !std::ranges::all_of(
        query.words, [&](const std::string& word) { return has_word(build, sheet, word); });
  });
  return builds;
}

ShownBuild Book::show(std::int64_t id) const {
  const Transaction transaction(store_->database(), Transaction::Kind::look);
  return store_->show(id);
}

std::vector<Tombstone> Book::tombstones() const {
  const Transaction transaction(store_->database(), Transaction::Kind::look);
  return store_->tombstones();
}

}  // namespace trueblank::notebook
