// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/store.h"

#include <algorithm>
#include <bit>

#include "notebook/content_hash.h"
#include "notebook/fields.h"
#include "notebook/messages.h"
#include "notebook/state_word.h"

namespace trueblank::notebook {

namespace {

// The names of the fields, as columns.
struct Columns {
  static constexpr bool reads = false;
  std::string names;
  int count = 0;

  template <typename Value>
  void operator()(const char* name, const Value&) {
    if (count > 0) names += ", ";
    names += name;
    count += 1;
  }
};

Columns columns_of_facts() {
  Columns columns;
  BuildFacts facts;
  visit_facts(columns, facts);
  return columns;
}

Columns columns_of_record() {
  Columns columns;
  TankRecord record;
  visit_record(columns, record);
  return columns;
}

// Of what is kept of a build beside its columns, each with its length before it.
std::uint64_t texts_hash(const Build& build) {
  const std::string as_built = build.facts.as_built ? build.facts.as_built->text : "";
  std::string all;
  for (const std::string* text : {&build.sheet, &build.results_json, &as_built}) {
    all += std::to_string(text->size()) + ':' + *text;
  }
  return content_hash(all);
}

std::string question_marks(int count) {
  std::string marks;
  for (int i = 0; i < count; ++i) marks += i == 0 ? "?" : ", ?";
  return marks;
}

class Binder {
 public:
  static constexpr bool reads = false;

  Binder(Statement& statement, int first) : statement_(statement), next_(first) {}

  void operator()(const char*, const std::string& text) { statement_.bind_text(next_++, text); }

  void operator()(const char*, const std::optional<double>& value) {
    // SQLite keeps no sign of a zero; so that none is lost, there is none.
    statement_.bind(next_++, value ? std::optional<double>(*value + 0.0) : value);
  }

  void operator()(const char*, const std::optional<water::State>& state) {
    if (state) {
      statement_.bind_text(next_++, word_of(*state));
    } else {
      statement_.bind_nothing(next_++);
    }
  }

 private:
  Statement& statement_;
  int next_;
};

class Loader {
 public:
  static constexpr bool reads = true;

  Loader(const Statement& statement, int first) : statement_(statement), next_(first) {}

  void operator()(const char*, std::string& text) { text = statement_.bytes(next_++); }

  void operator()(const char*, std::optional<double>& value) { value = statement_.real(next_++); }

  void operator()(const char*, std::optional<water::State>& state) {
    state = state_of_word(statement_.bytes(next_++));
  }

 private:
  const Statement& statement_;
  int next_;
};

// From columns: number, as-built text, facts.
BuildFacts loaded_facts(const Statement& row) {
  BuildFacts facts;
  facts.id = row.whole(0);
  if (!row.is_null(1)) facts.as_built = parse_as_built(row.bytes(1), "as-built.toml");
  Loader loader(row, 2);
  visit_facts(loader, facts);
  return facts;
}

// From columns: number, record.
TankRecord loaded_record(const Statement& row, int first) {
  TankRecord record;
  record.number = row.whole(first);
  Loader loader(row, first + 1);
  visit_record(loader, record);
  return record;
}

}  // namespace

std::int64_t Store::greatest_number() const {
  return database_->number(
      "SELECT max(coalesce((SELECT max(id) FROM build), 0), "
      "coalesce((SELECT max(id) FROM tombstone), 0))");
}

bool Store::is_taken(std::int64_t id) const {
  Statement query(*database_,
                  "SELECT 1 FROM build WHERE id = ?1 UNION SELECT 1 FROM tombstone WHERE id = ?1");
  query.bind(1, id);
  return query.row();
}

void Store::require(std::int64_t id) const {
  Statement build(*database_, "SELECT 1 FROM build WHERE id = ?");
  build.bind(1, id);
  if (build.row()) return;
  Statement stone(*database_, "SELECT forgotten FROM tombstone WHERE id = ?");
  stone.bind(1, id);
  if (stone.row()) throw build_forgotten(path(), id, stone.bytes(0));
  throw no_such_build(path(), id);
}

std::vector<ListedBuild> Store::list() const {
  std::vector<ListedBuild> builds;
  Statement query(*database_,
                  "SELECT id, as_built, " + columns_of_facts().names + " FROM build ORDER BY id");
  while (query.row()) builds.push_back({.facts = loaded_facts(query)});
  Statement tank(*database_, "SELECT build, number, " + columns_of_record().names +
                                 " FROM tank ORDER BY build, number");
  auto build = builds.begin();
  while (tank.row()) {
    const std::int64_t id = tank.whole(0);
    while (build != builds.end() && build->facts.id < id) ++build;
    if (build == builds.end() || build->facts.id != id) throw book_damaged(path());
    build->tank.push_back(loaded_record(tank, 1));
  }
  return builds;
}

std::vector<TankRecord> Store::records(std::int64_t id) const {
  std::vector<TankRecord> records;
  Statement query(*database_, "SELECT number, " + columns_of_record().names +
                                  " FROM tank WHERE build = ? ORDER BY number");
  query.bind(1, id);
  while (query.row()) records.push_back(loaded_record(query, 0));
  return records;
}

ShownBuild Store::without_contents(std::int64_t id) const {
  require(id);
  const Columns columns = columns_of_facts();
  Statement query(*database_, "SELECT id, as_built, " + columns.names +
                                  ", sheet, results_json, texts_hash FROM build WHERE id = ?");
  query.bind(1, id);
  if (!query.row()) throw no_such_build(path(), id);
  ShownBuild shown;
  shown.build.facts = loaded_facts(query);
  shown.build.sheet = query.bytes(2 + columns.count);
  shown.build.results_json = query.bytes(3 + columns.count);
  const int hash_column = 4 + columns.count;
  if (!query.is_null(hash_column) &&
      std::bit_cast<std::uint64_t>(query.whole(hash_column)) != texts_hash(shown.build)) {
    throw book_damaged(path());
  }
  shown.tank = records(id);
  return shown;
}

ShownBuild Store::show(std::int64_t id) const {
  ShownBuild shown = without_contents(id);
  for (const auto& [name, number] : files(id)) {
    shown.build.files.push_back({.name = name, .bytes = content(number)});
  }
  return shown;
}

std::string Store::sheet(std::int64_t id) const {
  Statement query(*database_, "SELECT sheet FROM build WHERE id = ?");
  query.bind(1, id);
  return query.row() ? query.bytes(0) : std::string();
}

std::vector<Tombstone> Store::tombstones() const {
  std::vector<Tombstone> stones;
  Statement query(*database_, "SELECT id, added, title, forgotten FROM tombstone ORDER BY id");
  while (query.row()) {
    stones.push_back({.id = query.whole(0),
                      .added = query.bytes(1),
                      .title = query.bytes(2),
                      .forgotten = query.bytes(3)});
  }
  return stones;
}

std::vector<std::int64_t> Store::added_at(const std::string& added,
                                          const std::string& title) const {
  std::vector<std::int64_t> ids;
  Statement query(*database_, "SELECT id FROM build WHERE added = ? AND title = ? ORDER BY id");
  query.bind_text(1, added);
  query.bind_text(2, title);
  while (query.row()) ids.push_back(query.whole(0));
  return ids;
}

std::vector<std::pair<std::string, std::int64_t>> Store::files(std::int64_t id) const {
  std::vector<std::pair<std::string, std::int64_t>> files;
  Statement query(*database_, "SELECT name, content FROM file WHERE build = ? ORDER BY position");
  query.bind(1, id);
  while (query.row()) files.emplace_back(query.bytes(0), query.whole(1));
  return files;
}

std::string Store::content(std::int64_t number) const {
  Statement query(*database_, "SELECT hash, bytes FROM content WHERE id = ?");
  query.bind(1, number);
  if (!query.row()) throw book_damaged(path());
  std::string bytes = query.bytes(1);
  if (std::bit_cast<std::uint64_t>(query.whole(0)) != content_hash(bytes)) {
    throw book_damaged(path());
  }
  return bytes;
}

std::int64_t Store::keep(const std::string& bytes) {
  const auto hash = std::bit_cast<std::int64_t>(content_hash(bytes));
  Statement query(*database_, "SELECT id, bytes FROM content WHERE hash = ?");
  query.bind(1, hash);
  while (query.row()) {
    if (query.bytes(1) == bytes) return query.whole(0);
  }
  Statement insertion(*database_, "INSERT INTO content (hash, bytes) VALUES (?, ?)");
  insertion.bind(1, hash);
  insertion.bind_bytes(2, bytes);
  insertion.done();
  return database_->number("SELECT last_insert_rowid()");
}

void Store::insert(const Build& build, std::int64_t id) {
  BuildFacts facts = build.facts;
  const Columns columns = columns_of_facts();
  constexpr int own_columns = 6;
  Statement insertion(
      *database_,
      "INSERT INTO build (id, as_built, as_built_total_g, sheet, results_json, texts_hash, " +
          columns.names + ") VALUES (" + question_marks(own_columns + columns.count) + ")");
  insertion.bind(1, id);
  if (facts.as_built) {
    insertion.bind_bytes(2, facts.as_built->text);
    insertion.bind(3, facts.as_built->total_g);
  } else {
    insertion.bind_nothing(2);
    insertion.bind_nothing(3);
  }
  insertion.bind_bytes(4, build.sheet);
  insertion.bind_bytes(5, build.results_json);
  insertion.bind(own_columns, std::bit_cast<std::int64_t>(texts_hash(build)));
  Binder binder(insertion, own_columns + 1);
  visit_facts(binder, facts);
  insertion.done();
  Statement file(*database_,
                 "INSERT INTO file (build, position, name, content) VALUES (?, ?, ?, ?)");
  std::int64_t position = 0;
  for (const KeptFile& kept : build.files) {
    file.bind(1, id);
    file.bind(2, ++position);
    file.bind_text(3, kept.name);
    file.bind(4, keep(kept.bytes));
    file.done();
  }
}

std::int64_t Store::insert_record(std::int64_t id, const TankRecord& record) {
  Statement last(*database_, "SELECT coalesce(max(number), 0) FROM tank WHERE build = ?");
  last.bind(1, id);
  const std::int64_t number = last.row() ? last.whole(0) + 1 : 1;
  const Columns columns = columns_of_record();
  Statement insertion(*database_, "INSERT INTO tank (build, number, " + columns.names +
                                      ") VALUES (" + question_marks(2 + columns.count) + ")");
  insertion.bind(1, id);
  insertion.bind(2, number);
  TankRecord copy = record;
  Binder binder(insertion, 3);
  visit_record(binder, copy);
  insertion.done();
  return number;
}

void Store::insert(const Tombstone& tombstone) {
  Statement insertion(*database_,
                      "INSERT INTO tombstone (id, added, title, forgotten) VALUES (?, ?, ?, ?)");
  insertion.bind(1, tombstone.id);
  insertion.bind_text(2, tombstone.added);
  insertion.bind_text(3, tombstone.title);
  insertion.bind_text(4, tombstone.forgotten);
  insertion.done();
}

void Store::remove(std::int64_t id) {
  const auto contents = files(id);
  Statement removal(*database_, "DELETE FROM build WHERE id = ?");
  removal.bind(1, id);
  removal.done();
  Statement unused(*database_,
                   "DELETE FROM content WHERE id = ?1 AND NOT EXISTS "
                   "(SELECT 1 FROM file WHERE content = ?1)");
  for (const auto& [name, number] : contents) {
    unused.bind(1, number);
    unused.done();
  }
}

}  // namespace trueblank::notebook
