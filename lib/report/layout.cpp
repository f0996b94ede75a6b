// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/layout.h"

#include <algorithm>
#include <cstddef>

namespace trueblank::report {

namespace {

bool continues(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

// The bytes of the code point that starts at `i`; 0 where the text is not UTF-8 there.
std::size_t code_point_bytes(std::string_view text, std::size_t i) {
  const auto lead = static_cast<unsigned char>(text[i]);
  std::size_t count = 0;
  if (lead < 0x80) count = 1;
  if (lead >= 0xC2 && lead < 0xE0) count = 2;
  if (lead >= 0xE0 && lead < 0xF0) count = 3;
  if (lead >= 0xF0 && lead < 0xF5) count = 4;
  if (count == 0 || i + count > text.size()) return 0;
  for (std::size_t k = 1; k < count; ++k) {
    if (!continues(text[i + k])) return 0;
  }
  return count;
}

// C0 and C1 controls: a terminal would act on them.
bool is_control(std::string_view code_point) {
  const auto first = static_cast<unsigned char>(code_point[0]);
  if (code_point.size() == 1) return first < 0x20 || first == 0x7F;
  return first == 0xC2 && static_cast<unsigned char>(code_point[1]) < 0xA0;
}

std::string padding(int count) {
  return std::string(static_cast<std::size_t>(std::max(count, 0)), ' ');
}

std::string trimmed(std::string line) {
  line.erase(line.find_last_not_of(' ') + 1);
  return line;
}

// The next word; a number takes what it counts along, so that no line breaks between the two.
std::string_view unbroken(std::string_view text) {
  std::size_t start = 0;
  for (;;) {
    const std::size_t end = std::min(text.find(' ', start), text.size());
    const std::string_view word = text.substr(start, end - start);
    const bool number = word.find_first_not_of("+-.0123456789±×") == std::string_view::npos;
    if (word.empty() || !number || end == text.size()) return text.substr(0, end);
    start = end + 1;
  }
}

// Words over lines; the first line has `used` columns taken already.
std::string wrapped(std::string_view text, int used, int later_indent) {
  std::string out;
  bool line_is_empty = true;
  while (!text.empty()) {
    const std::string_view word = unbroken(text);
    text.remove_prefix(std::min(word.size() + 1, text.size()));
    if (word.empty()) continue;
    const int needs = columns(word);
    if (!line_is_empty && used + 1 + needs > text_width) {
      out += '\n' + padding(later_indent);
      used = later_indent;
      line_is_empty = true;
    }
    if (!line_is_empty) {
      out += ' ';
      ++used;
    }
    out += word;
    used += needs;
    line_is_empty = false;
  }
  return out + '\n';
}

}  // namespace

int columns(std::string_view text) {
  return static_cast<int>(std::ranges::count_if(text, [](char c) { return !continues(c); }));
}

std::string paragraph(std::string_view text, int later_indent, int first_indent) {
  return padding(first_indent) + wrapped(text, first_indent, later_indent);
}

std::string notes(const std::vector<std::string>& warnings) {
  std::string out;
  for (const std::string& warning : warnings) out += paragraph("Note: " + shown(warning), 6);
  return out;
}

std::string shown(std::string_view name) {
  std::string out;
  for (std::size_t i = 0; i < name.size();) {
    const std::size_t bytes = code_point_bytes(name, i);
    if (bytes == 0 || is_control(name.substr(i, bytes))) {
      out += '?';
      i += std::max<std::size_t>(bytes, 1);
      continue;
    }
    out += name.substr(i, bytes);
    i += bytes;
  }
  return out;
}

std::string Table::text() const {
  std::vector<int> widths;
  for (const auto& cells : rows_) {
    widths.resize(std::max(widths.size(), cells.size()));
    for (std::size_t i = 0; i < cells.size(); ++i) {
      widths[i] = std::max(widths[i], columns(cells[i]));
    }
  }
  std::string out;
  for (const auto& cells : rows_) {
    std::string line;
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const std::string pad = padding(widths[i] - columns(cells[i]));
      line += "  " + (i == 0 ? cells[i] + pad : pad + cells[i]);
    }
    out += trimmed(line) + '\n';
  }
  return out;
}

std::string Facts::text() const {
  int width = 0;
  for (const auto& [name, value] : facts_) width = std::max(width, columns(name));
  std::string out;
  for (const auto& [name, value] : facts_) {
    const int indent = width + 5;
    out += "  " + name + padding(indent - 2 - columns(name)) + wrapped(value, indent, indent);
  }
  return out;
}

}  // namespace trueblank::report
