// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/sheet_pieces.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <utility>

#include "sheet/text_edits.h"
#include "sheet/toml_tree.h"

namespace trueblank::sheet {

namespace {

constexpr std::array<std::string_view, 8> tables = {"ballast", "wire", "pocket", "hook",
                                                    "outside", "wood", "finish", "water"};

// Of a TOML text that parses: a blank line, a comment, a heading, or a key with its value and the
// rest of its last line.
struct Statement {
  enum class Kind { blank, comment, heading, key };

  Kind kind = Kind::blank;
  std::size_t from = 0;  // whole lines
  std::size_t to = 0;
  std::string name = {};  // of a heading or a key: the first of its dotted names
  bool of_list = false;   // [[name]]
};

// What a dotted key begins with, and whether that is all. The parser knows how a key may be quoted.
std::pair<std::string, bool> first_name(std::string_view key) {
  const Node tree = parse_toml(std::string(key) + " = 0", "the sheet");
  const Entry& first = tree.entries.front();
  return {first.key, first.value.kind == Node::Kind::number};
}

class Scanner {
 public:
  explicit Scanner(std::string_view text) : text_(text), edits_(text) {}

  [[nodiscard]] std::vector<Statement> statements(std::size_t from) const {
    std::vector<Statement> all;
    while (from < text_.size()) {
      all.push_back(statement(from));
      from = all.back().to;
    }
    return all;
  }

 private:
  [[nodiscard]] Statement statement(std::size_t from) const {
    Statement found{.from = from};
    const std::size_t at = std::min(text_.find_first_not_of(" \t\r", from), text_.size());
    const char first = at < text_.size() ? text_[at] : '\n';
    std::size_t end = at;
    if (first == '#') {
      found.kind = Statement::Kind::comment;
    } else if (first == '[') {
      found.kind = Statement::Kind::heading;
      end = read_heading(at, found);
    } else if (first != '\n') {
      found.kind = Statement::Kind::key;
      const std::size_t equals = key_end(at, '=');
      found.name = first_name(text_.substr(at, equals - at)).first;
      end = edits_.end_of(std::min(text_.find_first_not_of(" \t", equals + 1), text_.size()));
    }
    const std::size_t line = text_.find('\n', end);
    found.to = line == std::string_view::npos ? text_.size() : line + 1;
    return found;
  }

  std::size_t read_heading(std::size_t at, Statement& found) const {
    const bool twice = text_.substr(at, 2) == "[[";
    const std::size_t from = at + (twice ? 2 : 1);
    const std::size_t end = key_end(from, ']');
    auto [name, whole] = first_name(text_.substr(from, end - from));
    found.name = std::move(name);
    found.of_list = twice && whole;
    return end;
  }

  // Where a key ends that begins at `at`: at `mark`, outside of quotes.
  [[nodiscard]] std::size_t key_end(std::size_t at, char mark) const {
    while (at < text_.size() && text_[at] != mark) {
      at = text_[at] == '"' || text_[at] == '\'' ? edits_.end_of(at) : at + 1;
    }
    return at;
  }

  std::string_view text_;
  TextEdits edits_;
};

// How many of the statements before `end`, and not before `begin`, are of a kind without a break.
std::size_t run_before(const std::vector<Statement>& all, std::size_t begin, std::size_t end,
                       Statement::Kind kind) {
  std::size_t count = 0;
  while (end - count > begin && all[end - count - 1].kind == kind) ++count;
  return count;
}

std::size_t run_from(const std::vector<Statement>& all, std::size_t begin, std::size_t end,
                     Statement::Kind kind) {
  std::size_t count = 0;
  while (begin + count < end && all[begin + count].kind == kind) ++count;
  return count;
}

class Cutter {
 public:
  explicit Cutter(std::string_view text) : text_(text) {}

  std::vector<SheetPiece> pieces() {
    // Throws where it isn't TOML: the rest counts on it.
    (void)parse_toml(text_, "the sheet");
    const std::size_t mark = text_.starts_with("\xEF\xBB\xBF") ? 3 : 0;
    put(text_.substr(0, mark), {}, -1);
    all_ = Scanner(text_).statements(mark);
    std::size_t next = next_heading(0);
    keys_of_sheet(next);
    while (next < all_.size()) {
      const std::size_t heading = next;
      next = next_heading(heading + 1);
      under_heading(heading, next);
    }
    return std::move(pieces_);
  }

 private:
  [[nodiscard]] std::size_t next_heading(std::size_t from) const {
    while (from < all_.size() && all_[from].kind != Statement::Kind::heading) ++from;
    return from;
  }

  // Where the comments right above a heading begin; the file's own first ones are none of them.
  [[nodiscard]] std::size_t with_comments(std::size_t heading) const {
    if (heading == all_.size()) return heading;
    const std::size_t first = heading - run_before(all_, 0, heading, Statement::Kind::comment);
    return first == 0 ? heading : first;
  }

  // All before the first heading.
  void keys_of_sheet(std::size_t heading) {
    const std::size_t end = with_comments(heading);
    for (std::size_t i = 0; i < end; ++i) {
      const bool is_key = all_[i].kind == Statement::Kind::key;
      put(i, i + 1, is_key ? all_[i].name : std::string(), -1);
    }
  }

  void under_heading(std::size_t heading, std::size_t next) {
    const std::string& name = all_[heading].name;
    const auto kind = std::ranges::find(tables, name);
    const std::size_t end = with_comments(next);
    const std::size_t begin = with_comments(heading);
    if (kind == tables.end()) return put(begin, end, {}, -1);
    int& count = counts_[static_cast<std::size_t>(kind - tables.begin())];
    if (all_[heading].of_list) ++count;
    // Its last line, what stands right below it, and the blank lines then.
    std::size_t own = end;
    while (all_[own - 1].kind == Statement::Kind::blank ||
           all_[own - 1].kind == Statement::Kind::comment) {
      --own;
    }
    own += run_from(all_, own, end, Statement::Kind::comment);
    own += run_from(all_, own, end, Statement::Kind::blank);
    put(begin, own, name, std::max(count, 1) - 1);
    put(own, end, {}, -1);
  }

  void put(std::size_t from, std::size_t to, const std::string& table, int index) {
    if (from == to) return;
    const std::size_t begin = all_[from].from;
    put(text_.substr(begin, all_[to - 1].to - begin), table, index);
  }

  // One that is of the same table as the last is joined to it.
  void put(std::string_view text, const std::string& table, int index) {
    if (text.empty()) return;
    const bool known = std::ranges::find(tables, table) != tables.end();
    const std::string& of = known ? table : nothing_;
    if (pieces_.empty() || pieces_.back().table != of || pieces_.back().index != index) {
      pieces_.push_back({.table = of, .index = index});
    }
    pieces_.back().text += text;
  }

  const std::string nothing_ = {};
  std::string_view text_;
  std::vector<Statement> all_;
  std::array<int, tables.size()> counts_ = {};
  std::vector<SheetPiece> pieces_;
};

}  // namespace

std::vector<SheetPiece> sheet_pieces(std::string_view text) { return Cutter(text).pieces(); }

}  // namespace trueblank::sheet
