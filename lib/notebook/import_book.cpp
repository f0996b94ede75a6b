// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <filesystem>
#include <set>
#include <system_error>

#include "intake/files.h"
#include "notebook/book.h"
#include "notebook/check_build.h"
#include "notebook/export_text.h"
#include "notebook/messages.h"
#include "notebook/store.h"
#include "sheet/messages.h"

namespace trueblank::notebook {

namespace {

namespace fs = std::filesystem;

// An export, read piece by piece; what can't be kept is refused with the file that it is in.
class Exported {
 public:
  explicit Exported(std::string folder) : folder_(std::move(folder)) {
    std::error_code ignored;
    if (!fs::exists(fs::path(folder_) / contents_file, ignored)) throw no_export(folder_);
    contents_ = read_contents(bytes(contents_file), shown(contents_file));
  }

  [[nodiscard]] const ExportedContents& contents() const { return contents_; }

  [[nodiscard]] ShownBuild build(std::int64_t id) const {
    const std::string place = folder_of_build(id) + '/';
    const ExportedBuild read = read_build(bytes(place + build_file), shown(place + build_file));
    if (read.facts.id != id) throw number_unlike(place + build_file);
    ShownBuild whole;
    whole.build.facts = read.facts;
    whole.build.sheet = bytes(place + sheet_file);
    std::error_code ignored;
    if (fs::exists(fs::path(folder_) / (place + results_file), ignored)) {
      whole.build.results_json = bytes(place + results_file);
    }
    if (read.has_as_built) {
      whole.build.facts.as_built =
          parse_as_built(bytes(place + as_built_file), shown(place + as_built_file));
    }
    for (const ExportedFile& file : read.files) {
      whole.build.files.push_back({.name = file.name, .bytes = bytes(file.kept_as)});
    }
    checked(place + build_file, [&] { check_build(whole.build); });
    for (std::int64_t number = 1; number <= read.tank_records; ++number) {
      const std::string file = place + tank_file(number);
      whole.tank.push_back(read_record(bytes(file), shown(file)));
      checked(file, [&] { check_record(whole.tank.back()); });
    }
    return whole;
  }

  [[nodiscard]] Tombstone tombstone(std::int64_t id) const {
    const std::string file = folder_of_build(id) + '/' + tombstone_file;
    const Tombstone stone = read_tombstone(bytes(file), shown(file));
    if (stone.id != id) throw number_unlike(file);
    checked(file, [&] {
      check_date(stone.added);
      check_date(stone.forgotten);
    });
    return stone;
  }

 private:
  [[nodiscard]] std::string bytes(const std::string& name) const {
    return intake::read_file((fs::path(folder_) / name).string());
  }

  [[nodiscard]] std::string shown(const std::string& name) const {
    return sheet::without_control_characters((fs::path(folder_) / name).string());
  }

  [[nodiscard]] InputError number_unlike(const std::string& name) const {
    return export_value_wrong(shown(name), "id", "the number of its folder");
  }

  template <typename Check>
  void checked(const std::string& name, const Check& check) const {
    try {
      check();
    } catch (InputError& error) {
      if (error.where.empty()) error.where = shown(name);
      throw;
    }
  }

  std::string folder_;
  ExportedContents contents_;
};

bool alike(const Build& a, const Build& b) {
  const auto as_built = [](const Build& build) {
    return build.facts.as_built ? build.facts.as_built->text : std::string();
  };
  return text_of(a.facts) == text_of(b.facts) && as_built(a) == as_built(b) && a.sheet == b.sheet &&
         a.results_json == b.results_json && a.files == b.files;
}

class Importer {
 public:
  Importer(Store& store, const Exported& from) : store_(store), from_(from) {
    next_ = store.greatest_number() + 1;
    for (const auto* ids : {&from.contents().builds, &from.contents().forgotten}) {
      for (const std::int64_t id : *ids) next_ = std::max(next_, id + 1);
    }
  }

  Imported import() {
    std::vector<std::int64_t> ids = from_.contents().builds;
    std::ranges::sort(ids);
    for (const std::int64_t id : ids) import_build(id);
    ids = from_.contents().forgotten;
    std::ranges::sort(ids);
    const std::vector<Tombstone> here = store_.tombstones();
    for (const std::int64_t id : ids) import_tombstone(from_.tombstone(id), here);
    return result_;
  }

 private:
  void import_build(std::int64_t id) {
    const ShownBuild coming = from_.build(id);
    if (const std::optional<ShownBuild> same = same_as(coming.build)) {
      const std::int64_t here = same->build.facts.id;
      met_.insert(here);
      result_.already_here.push_back(here);
      add_missing(coming.tank, same->tank, here);
      return;
    }
    const std::int64_t number = store_.is_taken(id) ? next_++ : id;
    if (number != id) result_.renumbered.push_back({.from = id, .to = number});
    store_.insert(coming.build, number);
    for (const TankRecord& record : coming.tank) store_.insert_record(number, record);
    met_.insert(number);
    result_.added.push_back(number);
  }

  // Each build here stands for one of the export's, so that two that are alike stay two.
  [[nodiscard]] std::optional<ShownBuild> same_as(const Build& coming) const {
    std::vector<std::int64_t> ids = store_.added_at(coming.facts.added, coming.facts.title);
    // Its own number first. (clang 14 can't compile what the algorithm on ranges returns.)
    std::stable_partition(ids.begin(), ids.end(),
                          [&](std::int64_t id) { return id == coming.facts.id; });
    for (const std::int64_t id : ids) {
      if (met_.contains(id)) continue;
      ShownBuild here = store_.show(id);
      if (alike(here.build, coming)) return here;
    }
    return {};
  }

  void add_missing(const std::vector<TankRecord>& coming, const std::vector<TankRecord>& here,
                   std::int64_t id) {
    std::multiset<std::string> known;
    for (const TankRecord& record : here) known.insert(text_of(record));
    for (const TankRecord& record : coming) {
      if (const auto found = known.find(text_of(record)); found != known.end()) {
        known.erase(found);
        continue;
      }
      store_.insert_record(id, record);
      result_.tank_records += 1;
    }
  }

  void import_tombstone(Tombstone coming, const std::vector<Tombstone>& here) {
    const bool known = std::ranges::any_of(here, [&](const Tombstone& stone) {
      return stone.added == coming.added && stone.title == coming.title &&
             stone.forgotten == coming.forgotten;
    });
    if (known) return;
    if (store_.is_taken(coming.id)) {
      // What was forgotten there and is still kept here stays.
      const std::vector<std::int64_t> ids = store_.added_at(coming.added, coming.title);
      if (std::ranges::find(ids, coming.id) != ids.end()) return;
      result_.renumbered.push_back({.from = coming.id, .to = next_});
      coming.id = next_++;
    }
    store_.insert(coming);
    result_.tombstones += 1;
  }

  Store& store_;
  const Exported& from_;
  Imported result_;
  std::set<std::int64_t> met_;
  std::int64_t next_ = 1;
};

}  // namespace

Imported Book::import_from(const std::string& folder) {
  const Exported from(folder);
  Transaction transaction(store_->database(), Transaction::Kind::change);
  Importer importer(*store_, from);
  Imported result = importer.import();
  transaction.commit();
  return result;
}

}  // namespace trueblank::notebook
