// SPDX-License-Identifier: GPL-3.0-or-later
// completion BASH ZSH : writes what completes trueblank's command line in these two shells, from
// the program's own definition, into two files.
#include <algorithm>
#include <cstdio>
#include <fstream>
#include <map>
#include <string>
#include <string_view>

#include "definition.h"

namespace trueblank::tools {

namespace {

constexpr std::string_view notebook = "notebook ";
constexpr const char* of_a_notebook = "The record of builds, and how the water agreed.";

// What may stand for a value, as far as a shell can know.
enum class Kind { words, files, folders, free };

Kind kind_of(const OptionText& option) {
  if (!option.choices.empty()) return Kind::words;
  const std::string& word = option.value.empty() ? option.names.front() : option.value;
  for (const std::string_view file : {"FILE", "SHEET", "SCAN", "BODY", "OTHER"}) {
    if (word.starts_with(file)) return Kind::files;
  }
  return word.starts_with("FOLDER") ? Kind::folders : Kind::free;
}

bool is_flag(const OptionText& option) { return option.value.empty(); }

std::string action_of(const VerbText& verb) {
  return verb.verb.starts_with(notebook) ? verb.verb.substr(notebook.size()) : "";
}

// Within '…' of a shell.
std::string quoted(std::string_view text) {
  std::string word = "'";
  for (const char c : text) {
    if (c == '\'') {
      word += "'\\''";
    } else {
      word += c;
    }
  }
  return word + '\'';
}

std::string joined(const std::vector<std::string>& words, std::string_view between) {
  std::string text;
  for (const std::string& word : words) {
    if (!text.empty()) text += between;
    text += word;
  }
  return text;
}

std::vector<std::string> verb_words(const std::vector<VerbText>& verbs) {
  std::vector<std::string> words;
  for (const VerbText& verb : verbs) {
    if (action_of(verb).empty()) words.push_back(verb.verb);
  }
  words.emplace_back("notebook");
  return words;
}

std::vector<std::string> action_words(const std::vector<VerbText>& verbs) {
  std::vector<std::string> words;
  for (const VerbText& verb : verbs) {
    if (!action_of(verb).empty()) words.push_back(action_of(verb));
  }
  return words;
}

std::vector<std::string> option_words(const VerbText& verb) {
  std::vector<std::string> words;
  for (const OptionText& option : verb.options) {
    words.insert(words.end(), option.names.begin(), option.names.end());
  }
  return words;
}

// What follows an option, as bash does it.
std::string bash_values(const OptionText& option) {
  switch (kind_of(option)) {
    case Kind::words:
      return "_trueblank_words " + quoted(joined(option.choices, " "));
    case Kind::files:
      return "_trueblank_paths -f";
    case Kind::folders:
      return "_trueblank_paths -d";
    case Kind::free:
      break;
  }
  return ":";
}

// Which verbs want what behind an option.
using Wanted = std::map<std::string, std::vector<std::string>>;

// Where all verbs that have an option want the same behind it, its name is enough.
std::vector<std::string> bash_patterns(const std::string& option, const Wanted& wanted,
                                       const std::string& what) {
  if (wanted.size() == 1) return {"*" + quoted(' ' + option)};
  std::vector<std::string> patterns;
  for (const std::string& verb : wanted.at(what)) patterns.push_back(quoted(verb + ' ' + option));
  return patterns;
}

std::string bash_cases(const std::vector<VerbText>& verbs) {
  std::map<std::string, Wanted> of_option;
  for (const VerbText& verb : verbs) {
    for (const OptionText& option : verb.options) {
      // One that may stand alone is as often followed by another.
      if (is_flag(option) || option.in_brackets) continue;
      for (const std::string& name : option.names) {
        of_option[name][bash_values(option)].push_back(verb.verb);
      }
    }
  }
  Wanted after;
  for (const auto& [option, wanted] : of_option) {
    for (const auto& [what, unused] : wanted) {
      for (const std::string& pattern : bash_patterns(option, wanted, what)) {
        after[what].push_back(pattern);
      }
    }
  }
  std::string cases;
  for (const auto& [what, patterns] : after) {
    cases += "    " + joined(patterns, " | \\\n      ") + ")\n      " + what +
             "\n      return\n      ;;\n";
  }
  return cases;
}

std::string bash_completion(const std::vector<VerbText>& verbs) {
  std::string options;
  std::string inputs;
  for (const VerbText& verb : verbs) {
    options += "      " + quoted(verb.verb) + ") _trueblank_words " +
               quoted(joined(option_words(verb), " ")) + " ;;\n";
    if (verb.inputs.empty()) continue;
    inputs += "    " + quoted(verb.verb) + ") " + bash_values(verb.inputs.front()) + " ;;\n";
  }
  return R"bash(# SPDX-License-Identifier: GPL-3.0-or-later
# Completes the command line of trueblank in bash; made from the program's own definition.

_trueblank_words() {
  mapfile -t COMPREPLY < <(compgen -W "$1" -- "$word")
}

_trueblank_paths() {
  compopt -o filenames 2>/dev/null
  mapfile -t COMPREPLY < <(compgen "$1" -- "$word")
}

_trueblank() {
  local word=${COMP_WORDS[COMP_CWORD]} option=${COMP_WORDS[COMP_CWORD - 1]}
  local verb=${COMP_WORDS[1]} first=2 i
  COMPREPLY=()
  if ((COMP_CWORD == 1)); then
    _trueblank_words )bash" +
         quoted(joined(verb_words(verbs), " ") + " -h --help --version") + R"bash(
    return
  fi
  if [[ $verb == notebook ]]; then
    if ((COMP_CWORD == 2)); then
      _trueblank_words )bash" +
         quoted(joined(action_words(verbs), " ") + " -h --help --version") + R"bash(
      return
    fi
    verb="notebook ${COMP_WORDS[2]}"
    first=3
  fi
  # bash takes --units=mm for three words.
  if [[ $word == = ]]; then
    word=
  elif [[ $option == = ]]; then
    option=${COMP_WORDS[COMP_CWORD - 2]}
  fi
  for ((i = first; i < COMP_CWORD; ++i)); do
    # Behind it all are inputs.
    [[ ${COMP_WORDS[i]} == -- ]] && option= first=-1
  done
  case "$verb $option" in
)bash" + bash_cases(verbs) +
         R"bash(  esac
  if [[ $word == -* && $first != -1 ]]; then
    case $verb in
)bash" + options +
         R"bash(    esac
    return
  fi
  case $verb in
)bash" + inputs +
         R"bash(  esac
}

complete -F _trueblank trueblank
)bash";
}

// Within a specification of zsh's _arguments.
std::string specified(std::string_view text, std::string_view special) {
  std::string word;
  for (const char c : text) {
    if (c == '\\' || special.find(c) != std::string_view::npos) word += '\\';
    word += c;
  }
  return word;
}

std::string zsh_action(const OptionText& option) {
  switch (kind_of(option)) {
    case Kind::words:
      return '(' + joined(option.choices, " ") + ')';
    case Kind::files:
      return "_files";
    case Kind::folders:
      return "_files -/";
    case Kind::free:
      break;
  }
  return " ";
}

// A message and an action for each value: three for X,Y,Z X,Y,Z X,Y,Z.
std::string zsh_values(const OptionText& option) {
  const std::string action = zsh_action(option);
  if (option.in_brackets) return "::" + specified(option.value, ":") + ':' + action;
  const auto spaces = std::ranges::count(option.value, ' ');
  std::string values;
  for (std::size_t start = 0, i = 0; i <= static_cast<std::size_t>(spaces); ++i) {
    const std::size_t end = std::min(option.value.find(' ', start), option.value.size());
    values += ':' + specified(option.value.substr(start, end - start), ":") + ':' + action;
    start = end + 1;
  }
  return values;
}

std::string zsh_option(const OptionText& option) {
  const std::string what = '[' + specified(option.what, "[]") + ']';
  std::string names;
  for (const std::string& name : option.names) {
    // Each as a specification of its own; one is enough.
    const std::string others = option.repeats ? "*" : '(' + joined(option.names, " ") + ')';
    const std::string value = is_flag(option) ? "" : zsh_values(option);
    // = or a space before the value; where it may be left out, = alone.
    const std::string sign = is_flag(option) ? "" : option.in_brackets ? "=-" : "=";
    names += " \\\n        " + quoted(others + name + sign + what + value);
  }
  return names;
}

std::string zsh_arguments(const VerbText& verb) {
  std::string text = "_arguments -S :";
  for (const OptionText& option : verb.options) text += zsh_option(option);
  for (const OptionText& input : verb.inputs) {
    text += " \\\n        " +
            quoted((input.repeats ? "*:" : ":") + input.names.front() + ':' + zsh_action(input));
  }
  return text;
}

std::string zsh_described(const std::string& word, std::string_view what) {
  return "\n    " + quoted(word + ':' + std::string(what));
}

std::string zsh_completion(const std::vector<VerbText>& verbs) {
  std::string plain;
  std::string actions;
  std::string plain_cases;
  std::string action_cases;
  for (const VerbText& verb : verbs) {
    const std::string action = action_of(verb);
    const std::string& word = action.empty() ? verb.verb : action;
    (action.empty() ? plain : actions) += zsh_described(word, verb.what);
    (action.empty() ? plain_cases : action_cases) +=
        "    " + word + ")\n      " + zsh_arguments(verb) + "\n      ;;\n";
  }
  plain += zsh_described("notebook", of_a_notebook);
  const std::string head =
      "  local curcontext=$curcontext state state_descr line\n"
      "  typeset -A opt_args\n"
      "  _arguments -C '(- *)-h[what it can be asked]' '(- *)--help[what it can be asked]' \\\n"
      "    '(- *)--version[which version it is]' ";
  return R"zsh(#compdef trueblank
# SPDX-License-Identifier: GPL-3.0-or-later
# Completes the command line of trueblank in zsh; made from the program's own definition.

_trueblank_notebook() {
  local -a actions=()zsh" +
         actions + "\n  )\n" + head + R"zsh('1:action:->action' '*::argument:->argument' && return
  if [[ $state == action ]]; then
    _describe -t actions action actions
    return
  fi
  case $line[1] in
)zsh" + action_cases +
         R"zsh(  esac
}

_trueblank() {
  local -a verbs=()zsh" +
         plain + "\n  )\n" + head + R"zsh('1:verb:->verb' '*::argument:->argument' && return
  if [[ $state == verb ]]; then
    _describe -t verbs verb verbs
    return
  fi
  case $line[1] in
)zsh" + plain_cases +
         R"zsh(    notebook)
      _trueblank_notebook
      ;;
  esac
}

_trueblank "$@"
)zsh";
}

bool written(const char* path, const std::string& text) {
  std::ofstream file(path, std::ios::binary);
  file << text;
  file.close();
  if (!file) std::fprintf(stderr, "%s can't be written\n", path);
  return static_cast<bool>(file);
}

}  // namespace

}  // namespace trueblank::tools

int main(int argc, char** argv) {
  using namespace trueblank::tools;
  if (argc != 3) {
    std::fputs("call it as: completion BASH ZSH\n", stderr);
    return 2;
  }
  const std::vector<VerbText> verbs = defined_verbs();
  const bool bash = written(argv[1], bash_completion(verbs));
  return written(argv[2], zsh_completion(verbs)) && bash ? 0 : 2;
}
