// SPDX-License-Identifier: GPL-3.0-or-later
#include <filesystem>
#include <map>
#include <system_error>

#include "intake/files.h"
#include "notebook/book.h"
#include "notebook/export_text.h"
#include "notebook/messages.h"
#include "notebook/store.h"

namespace trueblank::notebook {

namespace {

namespace fs = std::filesystem;

// A folder beside the wanted one, that gets its name when all is in it, or goes again.
class FolderInMaking {
 public:
  explicit FolderInMaking(const std::string& wanted) : shown_(wanted), wanted_(wanted) {
    wanted_ = fs::absolute(wanted_).lexically_normal();
    if (!wanted_.has_filename()) wanted_ = wanted_.parent_path();  // a slash at the end
    refuse_what_is_in_use();
    constexpr int most_attempts = 1000;
    for (int attempt = 0; attempt < most_attempts; ++attempt) {
      made_ = wanted_;
      made_ += ".part-" + std::to_string(attempt);
      std::error_code trouble;
      if (fs::create_directory(made_, trouble)) return;
      if (trouble) throw export_failed(shown_, trouble.message());
    }
    throw export_failed(shown_, "too many exports were broken off here");
  }

  ~FolderInMaking() {
    std::error_code ignored;
    if (!done_) fs::remove_all(made_, ignored);
  }

  FolderInMaking(const FolderInMaking&) = delete;
  FolderInMaking& operator=(const FolderInMaking&) = delete;

  void make(const std::string& folder) const {
    std::error_code trouble;
    fs::create_directories(made_ / folder, trouble);
    if (trouble) throw export_failed(shown_, trouble.message());
  }

  void write(const std::string& name, std::string_view bytes) const {
    intake::Outputs outputs;
    outputs.add((made_ / name).string(), bytes);
    outputs.commit();
  }

  void finish() {
    refuse_what_is_in_use();
    std::error_code trouble;
    fs::rename(made_, wanted_, trouble);
    if (trouble) throw export_failed(shown_, trouble.message());
    done_ = true;
  }

 private:
  void refuse_what_is_in_use() const {
    std::error_code trouble;
    if (!fs::exists(fs::symlink_status(wanted_, trouble))) return;
    if (!fs::is_directory(wanted_, trouble) || !fs::is_empty(wanted_, trouble) || trouble) {
      throw folder_in_use(shown_);
    }
  }

  std::string shown_;
  fs::path wanted_;
  fs::path made_;
  bool done_ = false;
};

class Exporter {
 public:
  Exporter(const Store& store, const FolderInMaking& folder) : store_(store), folder_(folder) {}

  void write(std::int64_t id) {
    const ShownBuild shown = store_.without_contents(id);
    const Build& build = shown.build;
    const std::string place = folder_of_build(id) + '/';
    folder_.make(place);
    ExportedBuild exported{.facts = build.facts,
                           .has_as_built = build.facts.as_built.has_value(),
                           .tank_records = static_cast<std::int64_t>(shown.tank.size())};
    for (const auto& [name, number] : store_.files(id)) {
      exported.files.push_back({.name = name, .kept_as = written(number, name)});
    }
    folder_.write(place + build_file, text_of(exported));
    folder_.write(place + sheet_file, build.sheet);
    if (!build.results_json.empty()) folder_.write(place + results_file, build.results_json);
    if (build.facts.as_built) folder_.write(place + as_built_file, build.facts.as_built->text);
    std::int64_t number = 0;
    for (const TankRecord& record : shown.tank) {
      folder_.write(place + tank_file(++number), text_of(record));
    }
  }

  void write(const Tombstone& stone) const {
    folder_.make(folder_of_build(stone.id));
    folder_.write(folder_of_build(stone.id) + '/' + tombstone_file, text_of(stone));
  }

 private:
  // Where a content is in the export; it is put there when it comes first.
  std::string written(std::int64_t content, const std::string& name) {
    const auto [found, is_new] = contents_.try_emplace(content);
    if (is_new) {
      found->second = name_of_content(contents_.size(), name);
      folder_.make("files");
      folder_.write(found->second, store_.content(content));
    }
    return found->second;
  }

  const Store& store_;
  const FolderInMaking& folder_;
  std::map<std::int64_t, std::string> contents_;
};

}  // namespace

void Book::export_to(const std::string& folder) const {
  const Transaction transaction(store_->database(), Transaction::Kind::look);
  FolderInMaking making(folder);
  Exporter exporter(*store_, making);
  ExportedContents contents;
  for (const ListedBuild& build : store_->list()) {
    contents.builds.push_back(build.facts.id);
    exporter.write(build.facts.id);
  }
  for (const Tombstone& stone : store_->tombstones()) {
    contents.forgotten.push_back(stone.id);
    exporter.write(stone);
  }
  making.write(contents_file, text_of(contents));
  making.finish();
}

}  // namespace trueblank::notebook
