// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/text_check.h"

#include "sheet/messages.h"
#include "sheet/spot.h"

namespace trueblank::sheet {

namespace {

// A sheet needs three (a list of points in an inline table). The parser and the tree's destructor
// call themselves once a level: these bounds keep them far from the end of the stack.
constexpr int deepest_brackets = 32;
constexpr int longest_dotted_key = 32;

bool is_continuation(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

// Walks a text and knows where it is.
class Walker {
 public:
  Walker(std::string_view text, const std::string& file) : text_(text), file_(file) {}

  [[nodiscard]] bool at_end() const { return at_ >= text_.size(); }

  [[nodiscard]] char now() const { return at_end() ? '\0' : text_[at_]; }

  [[nodiscard]] std::string_view rest() const { return text_.substr(at_); }

  [[nodiscard]] bool sees(std::string_view what) const {
    return text_.substr(at_, what.size()) == what;
  }

  void step() {
    if (now() == '\n') {
      spot_.line += 1;
      spot_.column = 1;
    } else if (!is_continuation(now())) {
      spot_.column += 1;
    }
    at_ += 1;
  }

  void step(std::size_t count) {
    for (std::size_t i = 0; i < count && !at_end(); ++i) step();
  }

  [[nodiscard]] std::string place() const { return where(file_, spot_); }

 private:
  std::string_view text_;
  const std::string& file_;
  std::size_t at_ = 0;
  Spot spot_;
};

void skip_one_line_string(Walker& walker, char quote) {
  const std::string start = walker.place();
  walker.step();
  while (walker.now() != quote) {
    if (quote == '"' && walker.now() == '\\') walker.step();
    if (walker.at_end() || walker.now() == '\n') throw string_not_closed(start);
    walker.step();
  }
  walker.step();
}

void skip_long_string(Walker& walker, std::string_view quotes) {
  const std::string start = walker.place();
  walker.step(3);
  while (!walker.sees(quotes)) {
    if (quotes[0] == '"' && walker.now() == '\\') walker.step();
    if (walker.at_end()) throw string_not_closed(start);
    walker.step();
  }
  while (walker.now() == quotes[0]) walker.step();  // a long string may end in five quotes
}

void skip_string(Walker& walker) {
  if (walker.sees("\"\"\"")) return skip_long_string(walker, "\"\"\"");
  if (walker.sees("'''")) return skip_long_string(walker, "'''");
  skip_one_line_string(walker, walker.now());
}

void check_strings_and_depth(std::string_view text, const std::string& file) {
  Walker walker(text, file);
  int brackets = 0;
  int dots = 0;
  while (!walker.at_end()) {
    const char c = walker.now();
    if (c == '"' || c == '\'') {
      skip_string(walker);
      continue;
    }
    if (c == '#') {
      while (!walker.at_end() && walker.now() != '\n') walker.step();
      continue;
    }
    if (c == '[' || c == '{') brackets += 1;
    if (c == ']' || c == '}') brackets -= brackets > 0 ? 1 : 0;
    dots = c == '.' ? dots + 1 : (c == '=' || c == ',' || c == '\n' ? 0 : dots);
    if (brackets > deepest_brackets || dots > longest_dotted_key) {
      throw nested_too_deeply(walker.place());
    }
    walker.step();
  }
}

// How many bytes the character at the front of `text` has by its first byte and by its followers;
// 0 where they do not agree. (What is left, such as overlong forms, the parser refuses.)
std::size_t character_bytes(std::string_view text) {
  const auto first = static_cast<unsigned char>(text[0]);
  if (first < 0x80) return 1;
  if (first < 0xC2 || first > 0xF4) return 0;
  const std::size_t count = first < 0xE0 ? 2 : (first < 0xF0 ? 3 : 4);
  if (text.size() < count) return 0;
  for (std::size_t i = 1; i < count; ++i) {
    if (!is_continuation(text[i])) return 0;
  }
  return count;
}

void check_characters(std::string_view text, const std::string& file) {
  Walker walker(text, file);
  while (!walker.at_end()) {
    const char c = walker.now();
    const bool harmless = c == '\n' || c == '\t' || c == '\r';
    if ((static_cast<unsigned char>(c) < 0x20 && !harmless) || c == 0x7F) {
      throw not_a_text(walker.place(), c);
    }
    const std::size_t bytes = character_bytes(walker.rest());
    if (bytes == 0) throw not_utf8(walker.place());
    walker.step(bytes);
  }
}

}  // namespace

void check_text(std::string_view text, const std::string& file) {
  const std::string start = where(file, Spot{});
  if (text.size() > largest_sheet_bytes) throw sheet_too_big(start);
  if (text.find_first_not_of(" \t\r\n") == std::string_view::npos) throw sheet_empty(start);
  if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF")) throw wide_text(start);
  check_characters(text, file);
  check_strings_and_depth(text, file);
}

}  // namespace trueblank::sheet
