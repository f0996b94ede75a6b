// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/text_edits.h"

#include <algorithm>
#include <utility>

namespace trueblank::sheet {

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

bool is_continuation(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

// Past the text that begins at `at`.
std::size_t string_end(std::string_view text, std::size_t at) {
  const char quote = text[at];
  const std::string three(3, quote);
  const bool is_long = text.substr(at, 3) == three;
  std::size_t i = at + (is_long ? 3 : 1);
  while (i < text.size()) {
    if (quote == '"' && text[i] == '\\') {
      i += 2;
    } else if (is_long ? text.substr(i, 3) == three : text[i] == quote) {
      i += is_long ? 3 : 1;
      while (is_long && i < text.size() && text[i] == quote) ++i;  // it may end in five quotes
      return i;
    } else {
      ++i;
    }
  }
  return text.size();
}

// Past the list or table in braces that begins at `at`.
std::size_t brackets_end(std::string_view text, std::size_t at) {
  int depth = 0;
  for (std::size_t i = at; i < text.size();) {
    const char c = text[i];
    if (c == '"' || c == '\'') {
      i = string_end(text, i);
      continue;
    }
    if (c == '#') {
      i = std::min(text.find('\n', i), text.size());
      continue;
    }
    if (c == '[' || c == '{') depth += 1;
    if (c == ']' || c == '}') depth -= 1;
    ++i;
    if (depth == 0) return i;
  }
  return text.size();
}

}  // namespace

TextEdits::TextEdits(std::string_view text) : text_(text) {
  lines_.push_back(text.starts_with(byte_order_mark) ? byte_order_mark.size() : 0);
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\n') lines_.push_back(i + 1);
  }
  line_end_ = text.find("\r\n") == std::string_view::npos ? "\n" : "\r\n";
}

std::size_t TextEdits::byte_of(const Spot& spot) const {
  std::size_t byte = lines_[static_cast<std::size_t>(spot.line - 1)];
  for (int column = 1; column < spot.column && byte < text_.size(); ++column) {
    ++byte;
    while (byte < text_.size() && is_continuation(text_[byte])) ++byte;
  }
  return byte;
}

std::size_t TextEdits::end_of(const Node& value) const { return end_of(byte_of(value.spot)); }

std::size_t TextEdits::end_of(std::size_t from) const {
  const char first = at(from);
  if (first == '[' || first == '{') return brackets_end(text_, from);
  if (first == '"' || first == '\'') return string_end(text_, from);
  return std::min(text_.find_first_of(" \t\r\n,]}#", from), text_.size());
}

bool TextEdits::is_in_braces(const Node& table) const { return at(byte_of(table.spot)) == '{'; }

bool TextEdits::has_heading(const Node& table) const { return at(byte_of(table.spot)) == '['; }

void TextEdits::replace(std::size_t from, std::size_t to, std::string by) {
  edits_.push_back({from, to, std::move(by)});
}

void TextEdits::insert_line_before(const Spot& spot, std::string_view line) {
  insert(line_start(byte_of(spot)), std::string(line) + line_end_);
}

void TextEdits::insert_line_after(const Spot& spot, std::string_view line) {
  const std::size_t end = text_.find('\n', byte_of(spot));
  if (end == std::string_view::npos) {
    append(std::string(line) + '\n');
  } else {
    insert(end + 1, std::string(line) + line_end_);
  }
}

void TextEdits::keep_as_comment(const Spot& at, std::size_t from, std::size_t to) {
  std::string lines;
  for (std::size_t start = line_start(from); start < to;) {
    const std::size_t end = std::min(text_.find_first_of("\r\n", start), text_.size());
    lines += "# " + std::string(text_.substr(start, end - start)) + line_end_;
    start = std::min(text_.find('\n', end), text_.size() - 1) + 1;
  }
  insert(line_start(byte_of(at)), lines);
}

void TextEdits::comment_out(const Entry& entry) {
  const Node& value = entry.value;
  const bool tables = value.kind == Node::Kind::list && !value.items.empty() &&
                      value.items[0].kind == Node::Kind::table && has_heading(value.items[0]);
  if (tables) {
    for (const Node& table : value.items) comment_out_table(table);
  } else if (value.kind == Node::Kind::table && !is_in_braces(value)) {
    comment_out_table(value);
  } else {
    comment_out_lines(byte_of(entry.start()), end_of(value));
  }
}

void TextEdits::comment_out_table(const Node& table) {
  if (has_heading(table)) {
    const std::size_t heading = byte_of(table.spot);
    comment_out_lines(heading, heading + 1);
  }
  for (const Entry& entry : table.entries) comment_out(entry);
}

void TextEdits::append(std::string_view lines) {
  std::string own = with_own_line_ends(lines);
  if (!text_.empty() && text_.back() != '\n') own.insert(0, line_end_);
  insert(text_.size(), std::move(own));
}

std::string TextEdits::done() const {
  std::vector<Edit> edits = edits_;
  std::ranges::stable_sort(edits, {}, &Edit::from);
  std::string text;
  std::size_t at = 0;
  for (const Edit& edit : edits) {
    text += text_.substr(at, edit.from - at);
    text += edit.by;
    at = edit.to;
  }
  return text += text_.substr(at);
}

std::size_t TextEdits::line_start(std::size_t byte) const {
  return *std::prev(std::ranges::upper_bound(lines_, byte));
}

void TextEdits::comment_out_lines(std::size_t from, std::size_t to) {
  for (std::size_t start = line_start(from); start < to;) {
    insert(start, "# ");
    const std::size_t end = text_.find('\n', start);
    if (end == std::string_view::npos) return;
    start = end + 1;
  }
}

std::string TextEdits::with_own_line_ends(std::string_view lines) const {
  std::string own;
  for (const char c : lines) {
    if (c == '\n') {
      own += line_end_;
    } else {
      own += c;
    }
  }
  return own;
}

}  // namespace trueblank::sheet
