// SPDX-License-Identifier: GPL-3.0-or-later
// Beside definition.cpp the only file that includes CLI11, which costs the compiler several
// seconds.
#include "command_line.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <string_view>

#include "definition.h"
#include "messages.h"
#include "raw_options.h"
#include "report/version.h"
#include "requests.h"
#include "version.h"

namespace trueblank::tools {

namespace {

constexpr const char* draws_unless_said = "1000";

std::string name_part(const std::string& word) { return word.substr(0, word.find('=')); }

// Options that exist, but not here, get a better answer than "unknown".
void refuse_known(const std::string& verb, const Words& words) {
  for (const std::string& word : words) {
    if (word == "--") return;
    const std::string name = name_part(word);
    for (const SheetKey& known : body_options()) {
      if (takes_body(verb) || as_notebook_verb(verb) != nullptr || name != known.option) continue;
      if (known.key.empty()) throw body_option_for_sheet(verb, name);
      throw sheet_has_it_inside(verb, name, std::string(known.key));
    }
  }
}

// How many letters must be changed, put in or left out (Levenshtein's distance).
std::size_t letters_apart(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 0; i < a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i + 1;
    for (std::size_t j = 0; j < b.size(); ++j) {
      const std::size_t changed = diagonal + (a[i] == b[j] ? 0 : 1);
      diagonal = row[j + 1];
      row[j + 1] = std::min({changed, row[j] + 1, diagonal + 1});
    }
  }
  return row[b.size()];
}

std::string likely_option(const CLI::App& app, const std::string& name) {
  std::string best;
  std::size_t least = 3;  // more than two letters off is another word
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& known : option->get_lnames()) {
      const std::size_t apart = letters_apart("--" + known, name);
      if (apart < least) {
        least = apart;
        best = "--" + known;
      }
    }
  }
  return best;
}

// CLI11 words a few errors for programmers; these are for makers.
InputError reworded(const std::string& verb, const CLI::ParseError& error) {
  const std::string what = error.what();
  const std::string option = what.substr(0, what.find_first_of(": "));
  if (what.find("At Most") != std::string::npos) return given_twice(verb, option);
  if (const int points = points_wanted(option)) return value_missing(verb, option, points);
  if (what.find("missing") != std::string::npos || what.find("required") != std::string::npos) {
    return value_missing(verb, option, 1);
  }
  return other_usage(verb, what);
}

void refuse_remaining(const CLI::App& app, const std::string& verb) {
  Words remaining = app.remaining();
  std::erase(remaining, "--");  // CLI11 keeps the mark itself
  for (const std::string& word : remaining) {
    if (word.size() > 1 && word.starts_with('-')) {
      throw unknown_option(verb, name_part(word), likely_option(app, name_part(word)));
    }
  }
  if (!remaining.empty()) throw one_input_too_many(verb, remaining.front());
}

// Flags are counted by CLI11, not refused, when they come twice: that does no harm.
void refuse_flag_values(const std::string& verb, const Words& words) {
  for (const std::string& word : words) {
    const std::string name = name_part(word);
    if (name == word) continue;
    if (name == "--best-sand" || name == "--imperial" || name == "--quiet" || name == "--verbose" ||
        name == "--woods" || name == "--hooks" || name == "--print" || name == "--fit-scale" ||
        name == "--yes") {
      throw takes_no_value(verb, name);
    }
  }
}

void refuse_empty(const CLI::App& app) {
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& value : option->results()) {
      if (value.empty()) {
        throw bad_value(option->get_name(), value, "a value", "something, or leave it out");
      }
    }
  }
}

// The points of --split-line or --eyes as one word. CLI11 would take "-.5,0,0", where it is not the
// first of several values, for an option.
Words with_joined_points(const Words& words) {
  Words joined;
  int open = 0;  // points that are still to come
  int wanted = 0;
  for (const std::string& word : words) {
    const bool a_point = open > 0 && !word.starts_with("--");
    if (a_point && open < wanted) {
      joined.back() += ' ' + word;
    } else {
      joined.push_back(word);
    }
    open = a_point ? open - 1 : 0;
    if (a_point || points_wanted(name_part(word)) == 0) continue;
    wanted = points_wanted(name_part(word));
    open = word == name_part(word) ? wanted : wanted - 1;
  }
  return joined;
}

// Meant for a number, right or wrong, and not for a sheet's name.
bool looks_like_number(const std::string& word) {
  return word.find_first_of("0123456789") != std::string::npos &&
         word.find_first_not_of("0123456789.,+-eE") == std::string::npos;
}

// --tolerances may stand without its number, and then the sheet after it is none of its business.
Words with_told_draws(const Words& words) {
  Words told;
  bool just_named = false;
  for (const std::string& word : words) {
    if (just_named && looks_like_number(word)) {
      told.back() = "--tolerances=" + word;
      just_named = false;
      continue;
    }
    just_named = word == "--tolerances";
    told.push_back(just_named ? word + '=' + draws_unless_said : word);
  }
  return told;
}

// All words but files that begin with a minus, which stand after "--".
Words prepared(const std::string& verb, const Words& words) {
  const auto end = std::ranges::find(words, "--");
  Words ready(words.begin(), end);
  if (verb == "mirror" || verb == "notebook tank") ready = with_joined_points(ready);
  if (!takes_body(verb)) ready = with_told_draws(ready);
  ready.insert(ready.end(), end, words.end());
  return ready;
}

Request parse_verb(const std::string& verb, const Words& all_words) {
  const Words words = prepared(verb, all_words);
  CLI::App app(description(verb), "trueblank " + verb);
  Raw raw;
  declare(app, verb, raw, version_line());
  try {
    app.parse(Words(words.rbegin(), words.rend()));  // CLI11 takes them last first
  } catch (const CLI::CallForHelp&) {
    return ShowText{app.help()};
  } catch (const CLI::CallForVersion& version_asked) {
    return ShowText{std::string(version_asked.what()) + '\n'};
  } catch (const CLI::ParseError& error) {
    refuse_known(verb, words);
    throw reworded(verb, error);
  }
  refuse_known(verb, words);
  refuse_flag_values(verb, words);
  refuse_remaining(app, verb);
  refuse_empty(app);
  const std::string input = input_of(verb);
  if (raw.input.empty() && !input.empty()) throw input_missing(verb, input);
  if (verb == "compare" && raw.others.empty()) throw input_missing(verb, "OTHER");
  return request_of(verb, raw);
}

Request parse_notebook(const Words& words) {
  if (words.empty()) throw no_action();
  if (words.front() == "--help" || words.front() == "-h") {
    return ShowText{notebook_help()};
  }
  if (words.front() == "--version") {
    return ShowText{version_line() + '\n'};
  }
  if (notebook_verb(words.front()) == nullptr) throw unknown_action(words.front());
  return parse_verb("notebook " + words.front(), Words(words.begin() + 1, words.end()));
}

}  // namespace

Request parse_command_line(const Words& arguments) {
  if (arguments.empty()) throw no_verb();
  const std::string& first = arguments.front();
  if (first == "--help" || first == "-h") return ShowText{main_help(report::version())};
  if (first == "--version") return ShowText{version_line() + '\n'};
  if (first.starts_with('-') && first.size() > 1) throw no_verb();
  if (first == "notebook") return parse_notebook(Words(arguments.begin() + 1, arguments.end()));
  if (std::ranges::find(plain_verbs(), first) == plain_verbs().end()) throw unknown_verb(first);
  return parse_verb(first, Words(arguments.begin() + 1, arguments.end()));
}

}  // namespace trueblank::tools
