// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "raw_options.h"

namespace CLI {
class App;
}

// What the program can be asked, said once: reading a command line, --help, the manual page and the
// completions of shells all go by it.
namespace trueblank::tools {

/// All verbs but notebook, as --help lists them.
[[nodiscard]] std::span<const std::string_view> plain_verbs();

/// What a notebook does, each as a verb of its own: "notebook add".
struct NotebookVerb {
  std::string_view action;
  std::string_view input;  ///< empty: none
  const char* what;
};

/// Null where a notebook does no such thing.
[[nodiscard]] const NotebookVerb* notebook_verb(std::string_view action);
/// Of "notebook add"; null for another verb.
[[nodiscard]] const NotebookVerb* as_notebook_verb(const std::string& verb);

/// What stands first: a BODY, a SHEET, an ID; empty where nothing does.
[[nodiscard]] std::string input_of(const std::string& verb);

/// A verb in a sentence.
[[nodiscard]] const char* description(const std::string& verb);

/// What the program is for, in a line.
[[nodiscard]] std::string_view headline();

/// What trueblank --help and trueblank notebook --help show.
[[nodiscard]] std::string main_help(std::string_view version);
[[nodiscard]] std::string notebook_help();

/// Gives `app` the options of a verb; parsing it fills `raw`, which must outlive it.
/// version_line  what --version shows
void declare(CLI::App& app, const std::string& verb, Raw& raw, const std::string& version_line);

/// An option, or what stands without one: a BODY.
struct OptionText {
  std::vector<std::string> names;    ///< "-h", "--help"; "BODY"
  std::string value;                 ///< as --help shows it: "FILE", "mm|cm|m|in"; empty for a flag
  std::string what;                  ///< what it does
  std::vector<std::string> choices;  ///< the words among its values; empty where they are free
  bool in_brackets = false;          ///< it may stand without its value
  bool repeats = false;              ///< it may be given more than once, or with several values
};

struct VerbText {
  std::string verb;  ///< "check", "notebook add"
  std::string what;
  std::vector<OptionText> inputs;  ///< in their order
  std::vector<OptionText> options;
};

/// All that the program can be asked, in the order of its help.
[[nodiscard]] std::vector<VerbText> defined_verbs();

}  // namespace trueblank::tools
