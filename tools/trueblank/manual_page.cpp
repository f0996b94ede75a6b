// SPDX-License-Identifier: GPL-3.0-or-later
// manual_page FILE VERSION FOLDER : writes trueblank(1), in the macros of man(7). What a verb and
// its options do comes from the program's own definition; FOLDER is where the guide and the demo
// bodies are installed.
#include <cstdio>
#include <fstream>
#include <string>
#include <string_view>

#include "definition.h"

namespace trueblank::tools {

namespace {

// Text as it is to be read: no sign of it is one of roff's, and a minus stays a minus.
std::string escaped(std::string_view text) {
  std::string page;
  for (const char c : text) {
    switch (c) {
      case '\\':
        page += "\\e";
        break;
      case '-':
        page += "\\-";
        break;
      case '\'':
        page += "\\(aq";
        break;
      case '"':
        page += "\\(dq";
        break;
      case '^':
        page += "\\(ha";
        break;
      case '~':
        page += "\\(ti";
        break;
      case '`':
        page += "\\(ga";
        break;
      default:
        page += c;
    }
  }
  return page.starts_with('.') ? "\\&" + page : page;
}

std::string bold(std::string_view text) { return "\\fB" + escaped(text) + "\\fR"; }

std::string italic(std::string_view text) { return "\\fI" + escaped(text) + "\\fR"; }

std::string paragraph(std::string_view text) { return ".PP\n" + escaped(text) + '\n'; }

std::string heading(std::string_view text) { return ".SH " + std::string(text) + '\n'; }

std::string entry(const std::string& term, std::string_view text) {
  return ".TP\n" + term + '\n' + escaped(text) + '\n';
}

std::string command(std::string_view words) {
  return ".PP\n.RS 4\n.nf\n" + bold(words) + "\n.fi\n.RE\n";
}

std::string term_of(const OptionText& option) {
  std::string term;
  for (const std::string& name : option.names) {
    if (!term.empty()) term += ", ";
    term += name.starts_with('-') ? bold(name) : italic(name);
  }
  if (!option.value.empty()) term += ' ' + italic(option.value);
  if (option.repeats) term += " \\&...";
  return term;
}

std::string call_of(const VerbText& verb) {
  std::string call = bold("trueblank " + verb.verb);
  for (const OptionText& input : verb.inputs) {
    call += ' ' + italic(input.names.front()) + (input.repeats ? "\\&..." : "");
  }
  return call + " [" + italic("OPTION") + "...]";
}

std::string section_of(const VerbText& verb) {
  std::string section = ".SS " + escaped("trueblank " + verb.verb) + "\n";
  section += call_of(verb) + '\n' + paragraph(verb.what);
  for (const OptionText& input : verb.inputs) {
    if (!input.what.empty()) section += entry(term_of(input), input.what);
  }
  for (const OptionText& option : verb.options) section += entry(term_of(option), option.what);
  return section;
}

std::string synopsis(const std::vector<VerbText>& verbs) {
  std::string text = heading("SYNOPSIS");
  bool first = true;
  for (const VerbText& verb : verbs) {
    text += (first ? "" : ".br\n") + call_of(verb) + '\n';
    first = false;
  }
  return text + ".br\n" + bold("trueblank --help") + '\n' + ".br\n" + bold("trueblank --version") +
         '\n';
}

std::string what_it_does() {
  return heading("DESCRIPTION") +
         paragraph(
             "trueblank is for people who carve, print or cast fishing-lure bodies one at a "
             "time. It reads a body's mesh and a page of notes about its wood, wire, hooks "
             "and weights, and tells whether the blank is true left to right, what it "
             "weighs, and how the rigged lure will lie in the water.") +
         paragraph(
             "A BODY is a mesh: STL, OBJ, PLY, OFF, glTF or 3MF, told apart by its content; "
             "- is standard input. A build sheet, a TOML file, stands for the body in it.") +
         paragraph("A SHEET is a build sheet: what is on and in the blank.") +
         paragraph("An ID is the number of a build in the notebook.") +
         paragraph(
             "Lengths are in millimetres, masses in grams. Files are written whole or not "
             "at all, and no file that is read is written over. Nothing is sent anywhere.");
}

std::string exit_status() {
  return heading("EXIT STATUS") + entry(bold("0"), "Done.") +
         entry(bold("1"),
               "Done, but a limit that you set is not met, or a file of many was skipped.") +
         entry(bold("2"),
               "The input or the command line can't be used: one line on standard error says "
               "what, where and how to mend it, and nothing is written.");
}

std::string files(const std::string& folder) {
  return heading("FILES") +
         entry(italic("$XDG_DATA_HOME/trueblank/notebook.db"),
               "Your own notebook; in ~/.local/share/trueblank where XDG_DATA_HOME is not set to "
               "an absolute path. --book names another.") +
         entry(italic(folder + "/GUIDE.md"), "One blank from its scan to the tank.") +
         entry(italic(folder + "/REFERENCE.md"),
               "The words, the keys of a build sheet, how right it is.") +
         entry(italic(folder + "/examples"),
               "Demo bodies and build sheets, all of them invented.") +
         heading("ENVIRONMENT") +
         entry(bold("XDG_DATA_HOME") + ", " + bold("HOME"), "Where the notebook is.") +
         entry(bold("TMPDIR"), "Where files stand that are needed for a moment.");
}

std::string examples_in(const std::string& folder) {
  const std::string pencil = folder + "/examples/pencil-140";
  return heading("EXAMPLES") + paragraph("What does a blank of western redcedar weigh?") +
         command("trueblank weigh " + pencil + ".stl --density 0.358") +
         paragraph("Is it true, left to right? With a page to look at:") +
         command("trueblank mirror " + pencil + ".stl --nose -x --back +z --page true.html") +
         paragraph("How will it lie, rigged as its sheet says?") +
         command("trueblank float " + pencil + ".toml") +
         paragraph("Which weight, where, for it to lie as wished? With a plan for the drill:") +
         command("trueblank ballast " + pencil + "-wanted.toml --plan plan.pdf");
}

std::string copyright() {
  return heading("COPYRIGHT") +
         paragraph(
             "trueblank is free software, under the GNU General Public License, version 3 "
             "or, as you wish, any later one (GPL-3.0-or-later). There is no warranty, as "
             "far as the law permits.");
}

std::string manual_page(const std::string& version, const std::string& folder) {
  const std::vector<VerbText> verbs = defined_verbs();
  std::string page =
      ".\\\" SPDX-License-Identifier: GPL-3.0-or-later\n"
      ".\\\" Made from the program's own definition when it is built.\n"
      ".TH TRUEBLANK 1 \"\" \"trueblank " +
      version +
      "\" \"User Commands\"\n"
      ".nh\n.ad l\n";
  page += heading("NAME") + "trueblank \\- " + escaped(headline()) + '\n';
  page += synopsis(verbs) + what_it_does() + heading("VERBS");
  for (const VerbText& verb : verbs) page += section_of(verb);
  return page + exit_status() + files(folder) + examples_in(folder) + copyright();
}

}  // namespace

}  // namespace trueblank::tools

int main(int argc, char** argv) {
  if (argc != 4) {
    std::fputs("call it as: manual_page FILE VERSION FOLDER\n", stderr);
    return 2;
  }
  std::ofstream file(argv[1], std::ios::binary);
  file << trueblank::tools::manual_page(argv[2], argv[3]);
  file.close();
  if (file) return 0;
  std::fprintf(stderr, "%s can't be written\n", argv[1]);
  return 2;
}
