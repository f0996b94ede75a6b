// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstring>
#include <string>
#include <string_view>

#include "intake/decimal.h"
#include "intake/messages.h"

namespace trueblank::intake {

/// Walks over the bytes of a text file, never past their end. Lines are counted only when a
/// message needs one.
class TextScanner {
 public:
  TextScanner(std::string_view bytes, const std::string& name)
      : begin_(bytes.data()), at_(begin_), end_(begin_ + bytes.size()), name_(name) {}

  /// To the next part of a text that comes in parts; lines are counted from its start.
  void move_to(std::string_view bytes) {
    begin_ = at_ = bytes.data();
    end_ = begin_ + bytes.size();
  }

  [[nodiscard]] bool at_end() const { return at_ == end_; }

  [[nodiscard]] const char* position() const { return at_; }

  [[nodiscard]] std::size_t passed() const { return static_cast<std::size_t>(at_ - begin_); }

  [[nodiscard]] std::size_t remaining() const { return static_cast<std::size_t>(end_ - at_); }

  [[nodiscard]] char peek() const { return at_ == end_ ? '\n' : *at_; }

  void step(std::size_t bytes = 1) { at_ += bytes; }

  /// Blanks within a line; a backslash before a line's end is one too.
  void skip_blanks() {
    while (at_ != end_) {
      if (is_blank(*at_)) {
        ++at_;
      } else if (const std::ptrdiff_t bytes = continuation(at_); bytes > 0) {
        at_ += bytes;
      } else {
        return;
      }
    }
  }

  /// Blanks and line ends.
  void skip_space() {
    while (at_ != end_ && is_gap(*at_)) ++at_;
  }

  /// Whether only blanks are left in this line; skips them.
  [[nodiscard]] bool at_line_end() {
    skip_blanks();
    return at_ == end_ || *at_ == '\n';
  }

  /// To the first byte of the next line.
  void skip_line() {
    const void* found = std::memchr(at_, '\n', remaining());
    at_ = found == nullptr ? end_ : static_cast<const char*>(found) + 1;
  }

  /// The next line after `at`, where what is left of this one ends and has neither of two letters;
  /// else null.
  [[nodiscard]] static const char* past_line_without(char a, char b, const char* at,
                                                     const char* end) {
    const void* found = std::memchr(at, '\n', static_cast<std::size_t>(end - at));
    if (found == nullptr) return nullptr;
    const auto length = static_cast<std::size_t>(static_cast<const char*>(found) - at);
    if (std::memchr(at, a, length) != nullptr || std::memchr(at, b, length) != nullptr) {
      return nullptr;
    }
    return at + length + 1;
  }

  /// As skip_line, where the rest of the line has neither of two letters; else stays.
  [[nodiscard]] bool skip_line_without(char a, char b) {
    const char* const next = past_line_without(a, b, at_, end_);
    if (next != nullptr) at_ = next;
    return next != nullptr;
  }

  /// As skip_line, over all lines that a backslash joins.
  void skip_joined_lines() {
    for (;;) {
      skip_line();
      if (at_ == end_) return;
      const char* last = at_ - 1;
      while (last != begin_ && is_blank(last[-1])) --last;
      if (last == begin_ || last[-1] != '\\') return;
    }
  }

  /// The bytes up to the next blank or line end; empty at the end of the text.
  [[nodiscard]] std::string_view word() {
    const char* from = at_;
    while (at_ != end_ && !is_gap(*at_)) ++at_;
    return {from, static_cast<std::size_t>(at_ - from)};
  }

  /// To the end of the word that stands here, which the continuation of a line ends too.
  void skip_rest_of_word() {
    while (at_ != end_ && !is_gap(*at_) && continuation(at_) == 0) ++at_;
  }

  /// Steps over a word if it is the one that stands here.
  [[nodiscard]] bool skip_word(std::string_view wanted) {
    if (remaining() <= wanted.size() || !is_gap(at_[wanted.size()]) ||
        std::memcmp(at_, wanted.data(), wanted.size()) != 0) {
      return false;
    }
    at_ += wanted.size();
    return true;
  }

  /// A number that starts here; `of_what` names it in messages. Any number but NaN and infinity.
  /// throws  InputError
  [[nodiscard]] double number(std::string_view of_what) {
    double value = 0;
    const char* const after = read_decimal(at_, end_, value);
    if (after == nullptr || (after != end_ && !ends_here(after))) return slow_number(of_what);
    at_ = after;
    return value;
  }

  /// A whole number that starts here and ends at a blank, a line's end or a slash.
  /// throws  InputError
  [[nodiscard]] long long index() {
    const char* from = at_;
    const bool negative = at_ != end_ && *at_ == '-';
    if (negative || (at_ != end_ && *at_ == '+')) ++at_;
    long long value = 0;
    int digits = 0;
    for (; at_ != end_ && is_digit(*at_) && digits < 18; ++at_, ++digits) {
      value = 10 * value + (*at_ - '0');
    }
    if (digits == 0 || (at_ != end_ && *at_ != '/' && !ends_here(at_))) {
      at_ = from;
      throw bad_index(where(from), word());
    }
    return negative ? -value : value;
  }

  /// file:line of a byte.
  [[nodiscard]] std::string where(const char* byte) const;

  [[nodiscard]] std::string where() const { return where(at_); }

  [[nodiscard]] static bool is_blank(char c) {
    return c == ' ' || c == '\t' || c == '\r' || c == '\v' || c == '\f';
  }

  /// A blank or a line's end; nearly all other bytes are told by the first comparison.
  [[nodiscard]] static bool is_gap(char c) {
    return static_cast<unsigned char>(c) <= ' ' && (is_blank(c) || c == '\n');
  }

  [[nodiscard]] static bool is_digit(char c) { return c >= '0' && c <= '9'; }

 private:
  /// How many bytes a backslash here and the line's end after it take up; 0 where there is no such.
  [[nodiscard]] std::ptrdiff_t continuation(const char* here) const {
    if (*here != '\\') return 0;
    const char* p = here + 1;
    while (p != end_ && is_blank(*p)) ++p;
    return p != end_ && *p == '\n' ? p + 1 - here : 0;
  }

  /// Whether a number may end before this byte.
  [[nodiscard]] bool ends_here(const char* byte) const {
    return is_gap(*byte) || continuation(byte) > 0;
  }

  [[nodiscard]] double slow_number(std::string_view of_what);

  const char* begin_;
  const char* at_;
  const char* end_;
  const std::string& name_;
};

}  // namespace trueblank::intake
