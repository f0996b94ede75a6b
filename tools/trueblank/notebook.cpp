// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <iostream>
#include <utility>

#include "intake/files.h"
#include "kept_build.h"
#include "messages.h"
#include "notebook/book.h"
#include "notebook/copied_sheet.h"
#include "notebook/kind_of_body.h"
#include "notebook_learning.h"
#include "page_file.h"
#include "report/layout.h"
#include "report/notebook_report.h"
#include "report/version.h"
#include "sheet/rewritten.h"
#include "verbs.h"

namespace trueblank::tools {

namespace {

namespace fs = std::filesystem;
using Action = NotebookAction;
using notebook::Book;

std::optional<std::string> in_environment(const char* name) {
  const char* const value = std::getenv(name);
  return value != nullptr ? std::optional<std::string>(value) : std::nullopt;
}

std::string book_path(const NotebookRequest& request) {
  if (!request.book.empty()) return request.book;
  return notebook::default_book_path(in_environment("XDG_DATA_HOME"), in_environment("HOME"));
}

std::string two_digits(unsigned value) { return (value < 10 ? "0" : "") + std::to_string(value); }

// UTC, to the second.
std::string now() {
  using namespace std::chrono;
  const auto seconds_now = floor<seconds>(system_clock::now());
  const auto day = floor<days>(seconds_now);
  const year_month_day date(day);
  const hh_mm_ss time(seconds_now - day);
  const auto count = [](auto part) { return two_digits(static_cast<unsigned>(part.count())); };
  return std::to_string(static_cast<int>(date.year())) + '-' +
         two_digits(static_cast<unsigned>(date.month())) + '-' +
         two_digits(static_cast<unsigned>(date.day())) + 'T' + count(time.hours()) + ':' +
         count(time.minutes()) + ':' + count(time.seconds()) + 'Z';
}

std::string date_of(const NotebookRequest& request) {
  return request.date.empty() ? now() : request.date;
}

std::string file_name_of(const std::string& path) {
  return path == "-" ? "sheet.toml" : fs::path(path).filename().string();
}

// Everything that an action has to hand over.
struct Deed {
  report::NotebookResult result;
  std::vector<OutputFile> files;
  std::vector<std::string> read;
  std::optional<report::Page> page;
};

notebook::ListedBuild listed(const notebook::ShownBuild& shown) {
  return {.facts = shown.build.facts, .tank = shown.tank};
}

// The sheet with another mesh in place of its own, and that mesh.
std::pair<std::string, notebook::KeptFile> with_other_mesh(const std::string& sheet,
                                                           const std::string& mesh) {
  const std::vector<std::string> names = sheet::file_names(sheet);
  notebook::KeptFile file{.name = file_name_of(mesh), .bytes = intake::read_file(mesh)};
  if (names.size() != 1) throw mesh_not_named();
  const std::vector<std::pair<std::string, std::string>> renamed = {{names.front(), file.name}};
  return {sheet::with_file_names(sheet, renamed), std::move(file)};
}

// read  the paths of all that it is made of are added
notebook::Build build_of(const NotebookRequest& request, std::vector<std::string>& read) {
  notebook::Build build;
  read.push_back(request.path);
  build.sheet = intake::read_file(request.path);
  // Before its files are looked for: what is wrong with it has its line and column.
  if (request.mesh.empty()) {
    const sheet::Sheet parsed = sheet::parse_sheet(build.sheet, request.path);
    read.insert(read.end(), parsed.files().begin(), parsed.files().end());
    build.files = kept_files(build.sheet, request.path);
  } else {
    read.push_back(request.mesh);
    auto [text, file] = with_other_mesh(build.sheet, request.mesh);
    build.sheet = std::move(text);
    build.files.push_back(std::move(file));
  }
  build.facts.added = date_of(request);
  build.facts.notes = request.notes;
  build.facts.program_version = std::string(report::version());
  build.facts.sheet_name = file_name_of(request.path);
  if (!request.as_built.empty()) {
    read.push_back(request.as_built);
    build.facts.as_built =
        notebook::parse_as_built(intake::read_file(request.as_built), request.as_built);
  }
  return build;
}

void reckon(notebook::Build& build, const std::string& kind, const Workshop& workshop,
            std::optional<body::InputFacts>& input) {
  workshop.progress.step("letting it float ...");
  const LaidOut laid_out(build.sheet, build.files);
  const ReadLure lure(laid_out.sheet_path(), workshop.loop);
  report::FloatResult result = float_result(lure.lure(), {}, workshop);
  // As they are called in the book, not in the folder that they were laid out in.
  result.sheet = build.facts.sheet_name;
  if (!build.files.empty()) result.input.file = build.files.front().name;
  input = result.input;
  build.facts.title = result.title;
  build.facts.figures = figures_of(result, lure.framed());
  const notebook::Figures& figures = build.facts.figures;
  build.facts.kind = !kind.empty() ? kind
                                   : notebook::kind_of_body(figures.length_mm.value_or(1),
                                                            figures.width_mm.value_or(1),
                                                            figures.height_mm.value_or(1));
  build.results_json = to_json(result);
}

void add_lessons(report::NotebookResult& result, const Book& book,
                 std::optional<std::int64_t> wanted, const Workshop& workshop) {
  const BookLessons lessons(book, wanted, workshop);
  result.learned = lessons.learned();
  if (wanted) result.foretold = lessons.foretold(*result.learned);
  result.warnings.insert(result.warnings.end(), lessons.warnings().begin(),
                         lessons.warnings().end());
}

// Nothing that is read may be written over; to be asked before the book is changed.
void refuse_overwriting(const NotebookRequest& request, const std::vector<std::string>& read) {
  for (const std::string* output : {&request.common.json, &request.common.page}) {
    if (output->empty() || *output == "-") continue;
    for (const std::string& input : read) {
      std::error_code missing;
      if (fs::equivalent(*output, input, missing)) throw would_overwrite(*output, input);
    }
  }
}

bool was_tried(const std::vector<notebook::ListedBuild>& builds) {
  return std::ranges::any_of(builds, [](const auto& build) { return !build.tank.empty(); });
}

void add(Deed& deed, const NotebookRequest& request, const Workshop& workshop) {
  notebook::Build build = build_of(request, deed.read);
  refuse_overwriting(request, deed.read);
  reckon(build, request.kind, workshop, deed.result.input);
  Book book = Book::open(deed.result.book, Book::Mode::change);
  const std::int64_t id = book.add(build);
  deed.result.builds = {listed(book.show(id))};
  if (was_tried(book.list())) add_lessons(deed.result, book, id, workshop);
}

void tank(Deed& deed, const NotebookRequest& request) {
  Book book = Book::open(deed.result.book, Book::Mode::change);
  notebook::TankRecord record = request.tank;
  record.date = date_of(request);
  deed.result.tank_record = book.add_tank(request.id, record);
  deed.result.builds = {listed(book.show(request.id))};
}

// The pages of one build and of the book.
void show(Deed& deed, const NotebookRequest& request, const Workshop& workshop) {
  const Book book = Book::open(deed.result.book, Book::Mode::look);
  deed.result.shown = book.show(request.id);
  const notebook::Build& build = deed.result.shown->build;
  add_lessons(deed.result, book, request.id, workshop);
  if (request.common.page.empty()) return;
  report::Page page{.verb = "notebook", .title = build.facts.title};
  const LaidOut laid_out(build.sheet, build.files);
  const ReadLure lure(laid_out.sheet_path(), workshop.loop);
  page.skin = skin_in_body_frame(lure.framed());
  page.rig = lure.resolved().rig;
  page.has_lead = has_lead(lure.resolved().rig);
  deed.page = std::move(page);
}

void list(Deed& deed, const NotebookRequest& request, const Workshop& workshop) {
  const Book book = Book::open(deed.result.book, Book::Mode::look);
  deed.result.builds = book.list();
  deed.result.tombstones = book.tombstones();
  if (request.common.page.empty()) return;
  std::vector<notebook::BuildFacts> facts;
  for (const notebook::ListedBuild& build : deed.result.builds) facts.push_back(build.facts);
  deed.result.ratios = notebook::ratio_groups(facts);
  if (was_tried(deed.result.builds)) add_lessons(deed.result, book, {}, workshop);
  deed.page = report::Page{.verb = "notebook", .title = "The book"};
}

void find(Deed& deed, const NotebookRequest& request) {
  const Book book = Book::open(deed.result.book, Book::Mode::look);
  deed.result.builds = book.find(request.query);
}

// The mesh beside the new sheet, unless the very same file is there.
void add_beside(Deed& deed, const std::string& sheet_path,
                const std::vector<notebook::KeptFile>& files) {
  const fs::path folder = fs::path(sheet_path).parent_path();
  for (const notebook::KeptFile& file : files) {
    const std::string path = (folder / fs::path(file.name).filename()).string();
    std::error_code missing;
    if (fs::exists(path, missing)) {
      if (intake::read_file(path) != file.bytes) throw other_file_there(path);
      continue;
    }
    deed.files.push_back({path, file.bytes});
  }
}

void copy(Deed& deed, const NotebookRequest& request) {
  const Book book = Book::open(deed.result.book, Book::Mode::look);
  const notebook::ShownBuild shown = book.show(request.id);
  const notebook::Build& build = shown.build;
  const std::string origin = "copied from build " + std::to_string(request.id) + ", \"" +
                             report::shown(build.facts.title) + '"';
  std::vector<std::pair<std::string, std::string>> names;
  for (const notebook::KeptFile& file : build.files) {
    names.emplace_back(file.name, fs::path(file.name).filename().string());
  }
  const notebook::Figures& figures = build.facts.figures;
  notebook::CopiedSheet copied =
      notebook::copied_sheet(sheet::with_file_names(build.sheet, names),
                             {.origin = origin,
                              .new_length_mm = request.length_mm,
                              .old_length_mm = figures.length_mm,
                              .wood_density_g_cm3 = figures.wood_density_g_cm3});
  add_beside(deed, request.write, build.files);
  deed.files.push_back({request.write, std::move(copied.text)});
  deed.result.written = request.write;
  deed.result.builds = {listed(shown)};
  deed.result.warnings = std::move(copied.warnings);
}

void export_to(Deed& deed, const NotebookRequest& request) {
  const Book book = Book::open(deed.result.book, Book::Mode::look);
  book.export_to(request.path);
  deed.result.builds = book.list();
  deed.result.folder = request.path;
}

void import_from(Deed& deed, const NotebookRequest& request) {
  Book book = Book::open(deed.result.book, Book::Mode::change);
  deed.result.imported = book.import_from(request.path);
  deed.result.folder = request.path;
}

// On a terminal it asks; elsewhere it wants to be told.
bool agreed(const std::string& build, Progress& progress) {
  if (!intake::stderr_is_terminal()) return false;
  progress.step("");
  std::cerr << "Forget " << report::shown(build) << "? Its sheet, mesh and trials will be gone. "
            << "Type yes: " << std::flush;
  std::string word;
  return std::getline(std::cin, word) && word == "yes";
}

void forget(Deed& deed, const NotebookRequest& request, const Workshop& workshop) {
  Book book = Book::open(deed.result.book, Book::Mode::change);
  const notebook::ShownBuild shown = book.show(request.id);
  const std::string name =
      "build " + std::to_string(request.id) + ", \"" + shown.build.facts.title + '"';
  if (!request.yes && !agreed(name, workshop.progress)) throw forget_asks(name);
  book.forget(request.id, date_of(request));
  deed.result.builds = {listed(shown)};
}

void ratios(Deed& deed, const NotebookRequest& request) {
  const Book book = Book::open(deed.result.book, Book::Mode::look);
  deed.result.builds = book.list();
  std::vector<notebook::BuildFacts> facts;
  for (const notebook::ListedBuild& build : deed.result.builds) facts.push_back(build.facts);
  deed.result.ratios = notebook::ratio_groups(facts);
  if (!request.blank) return;
  deed.result.blank = request.blank;
  deed.result.suggestion = notebook::suggestion(facts, *request.blank);
}

void learn(Deed& deed, const NotebookRequest& request, const Workshop& workshop) {
  const Book book = Book::open(deed.result.book, Book::Mode::look);
  add_lessons(deed.result, book, {}, workshop);
  if (!request.common.page.empty()) {
    deed.result.builds = book.list();
    deed.page = report::Page{.verb = "notebook", .title = "What the builds teach"};
  }
}

const char* action_name(Action action) {
  switch (action) {
    case Action::add:
      return "add";
    case Action::tank:
      return "tank";
    case Action::list:
      return "list";
    case Action::show:
      return "show";
    case Action::find:
      return "find";
    case Action::copy:
      return "copy";
    case Action::export_to:
      return "export";
    case Action::import_from:
      return "import";
    case Action::forget:
      return "forget";
    case Action::ratios:
      return "ratios";
    case Action::learn:
      return "learn";
  }
  return "list";
}

bool has_page(Action action) {
  return action == Action::show || action == Action::list || action == Action::learn;
}

// Before the book is changed: what can't be written later must not leave it changed.
void check_outputs(const NotebookRequest& request, const std::string& book) {
  if (!request.common.page.empty() && !has_page(request.action)) {
    throw no_page_of(action_name(request.action));
  }
  refuse_overwriting(request, {book});
  intake::Outputs probe;  // dropped, with nothing left behind
  for (const std::string* path : {&request.common.json, &request.common.page}) {
    if (!path->empty() && *path != "-") probe.add(*path, "");
  }
}

void act(Deed& deed, const NotebookRequest& request, const Workshop& workshop) {
  switch (request.action) {
    case Action::add:
      return add(deed, request, workshop);
    case Action::tank:
      return tank(deed, request);
    case Action::list:
      return list(deed, request, workshop);
    case Action::show:
      return show(deed, request, workshop);
    case Action::find:
      return find(deed, request);
    case Action::copy:
      return copy(deed, request);
    case Action::export_to:
      return export_to(deed, request);
    case Action::import_from:
      return import_from(deed, request);
    case Action::forget:
      return forget(deed, request, workshop);
    case Action::ratios:
      return ratios(deed, request);
    case Action::learn:
      return learn(deed, request, workshop);
  }
}

}  // namespace

Outcome run(const NotebookRequest& request, const Workshop& workshop) {
  Deed deed;
  deed.result.action = action_name(request.action);
  deed.result.book = book_path(request);
  check_outputs(request, deed.result.book);
  act(deed, request, workshop);
  Outcome outcome;
  outcome.read = std::move(deed.read);
  outcome.read.push_back(deed.result.book);
  outcome.files = std::move(deed.files);
  outcome.text = to_text(deed.result, request.common.style);
  outcome.answer = answer(deed.result, request.common.style);
  outcome.json = to_json(deed.result);
  if (deed.page) add_page(outcome, request.common, std::move(*deed.page));
  return outcome;
}

}  // namespace trueblank::tools
