// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/check_build.h"

#include <chrono>
#include <cmath>
#include <optional>
#include <set>
#include <string_view>

#include "notebook/fields.h"
#include "notebook/messages.h"
#include "notebook/toml_text.h"

namespace trueblank::notebook {

namespace {

void check_text(const std::string& what, const std::string& text, std::size_t longest) {
  if (!is_utf8(text)) throw not_utf8(what);
  if (text.size() > longest) throw text_too_long(what, longest);
}

void check_number(const std::string& what, const std::optional<double>& value) {
  if (value && !std::isfinite(*value)) throw not_finite(what);
}

struct Checker {
  static constexpr bool reads = false;

  void operator()(const std::string& name, const std::string& text) const {
    check_text(name, text, name == "notes" ? longest_note_bytes : longest_text_bytes);
  }

  void operator()(const std::string& name, const std::optional<double>& value) const {
    check_number(name, value);
  }

  void operator()(const std::string&, const std::optional<water::State>&) const {}
};

// Digits alone, `count` of them.
std::optional<int> digits(std::string_view text, std::size_t from, std::size_t count) {
  int value = 0;
  for (const char c : text.substr(from, count)) {
    if (c < '0' || c > '9') return {};
    value = 10 * value + (c - '0');
  }
  return value;
}

bool is_day(std::string_view text) {
  const std::optional<int> year = digits(text, 0, 4);
  const std::optional<int> month = digits(text, 5, 2);
  const std::optional<int> day = digits(text, 8, 2);
  if (!year || !month || !day || text[4] != '-' || text[7] != '-') return false;
  return std::chrono::year_month_day(std::chrono::year(*year),
                                     std::chrono::month(static_cast<unsigned>(*month)),
                                     std::chrono::day(static_cast<unsigned>(*day)))
      .ok();
}

// "T18:30:00Z"
bool is_time(std::string_view text) {
  const std::optional<int> hour = digits(text, 1, 2);
  const std::optional<int> minute = digits(text, 4, 2);
  const std::optional<int> second = digits(text, 7, 2);
  if (!hour || !minute || !second) return false;
  return text[0] == 'T' && text[3] == ':' && text[6] == ':' && text[9] == 'Z' && *hour < 24 &&
         *minute < 60 && *second <= 60;
}

}  // namespace

void check_date(const std::string& text) {
  constexpr std::size_t day_bytes = 10;
  constexpr std::size_t whole_bytes = 20;
  const std::string_view all = text;
  const bool day = all.size() >= day_bytes && is_day(all.substr(0, day_bytes));
  if (day && all.size() == day_bytes) return;
  if (!day || all.size() != whole_bytes || !is_time(all.substr(day_bytes))) throw no_date(text);
}

void check_build(const Build& build) {
  BuildFacts facts = build.facts;
  Checker checker;
  visit_facts(checker, facts);
  check_date(facts.added);
  // Its text alone is kept, and read again whenever the build is.
  if (facts.as_built) (void)parse_as_built(facts.as_built->text, "as-built.toml");
  if (!is_utf8(build.sheet)) throw not_utf8("the sheet");
  if (!is_utf8(build.results_json)) throw not_utf8("the results");
  if (build.files.size() > most_files) throw too_many_files(most_files);
  std::set<std::string_view> names;
  for (const KeptFile& file : build.files) {
    check_text("the name of a file", file.name, longest_text_bytes);
    if (!names.insert(file.name).second) throw file_named_twice(file.name);
  }
}

void check_record(const TankRecord& record) {
  TankRecord copy = record;
  Checker checker;
  visit_record(checker, copy);
  check_date(record.date);
}

}  // namespace trueblank::notebook
