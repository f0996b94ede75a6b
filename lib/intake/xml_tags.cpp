// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/xml_tags.h"

#include <algorithm>

namespace trueblank::intake {
namespace {

constexpr std::string_view blanks = " \t\r\n";

std::string_view without_prefix(std::string_view name) {
  const std::size_t colon = name.find(':');
  return colon == std::string_view::npos ? name : name.substr(colon + 1);
}

/// Where a tag that begins at `from` ends: its '>' outside of quotes.
std::size_t end_of_tag(std::string_view text, std::size_t from) {
  char quote = 0;
  for (std::size_t i = from; i < text.size(); ++i) {
    const char c = text[i];
    if (quote != 0) {
      if (c == quote) quote = 0;
    } else if (c == '"' || c == '\'') {
      quote = c;
    } else if (c == '>') {
      return i;
    }
  }
  return std::string_view::npos;
}

}  // namespace

bool XmlTags::skip(std::string_view from, std::string_view to) {
  if (!text_.substr(at_).starts_with(from)) return false;
  const std::size_t end = text_.find(to, at_ + from.size());
  broken_ = end == std::string_view::npos;
  at_ = broken_ ? text_.size() : end + to.size();
  return true;
}

std::optional<XmlTags::Tag> XmlTags::next() {
  for (;;) {
    at_ = std::min(text_.find('<', at_), text_.size());
    begun_ = at_;
    if (at_ == text_.size()) return {};
    if (skip("<!--", "-->") || skip("<![CDATA[", "]]>") || skip("<?", "?>") || skip("<!", ">")) {
      continue;
    }
    break;
  }
  const std::size_t end = end_of_tag(text_, at_ + 1);
  if (end == std::string_view::npos) {
    broken_ = true;
    at_ = text_.size();
    return {};
  }
  std::string_view inside = text_.substr(at_ + 1, end - at_ - 1);
  at_ = end + 1;
  Tag tag;
  if (inside.starts_with('/')) {
    tag.kind = Kind::close;
    inside.remove_prefix(1);
  } else if (inside.ends_with('/')) {
    tag.kind = Kind::alone;
    inside.remove_suffix(1);
  }
  const std::size_t name_end = std::min(inside.find_first_of(blanks), inside.size());
  tag.name = without_prefix(inside.substr(0, name_end));
  tag.attributes = inside.substr(name_end);
  return tag;
}

std::optional<std::string_view> XmlTags::Tag::attribute(std::string_view wanted) const {
  std::string_view rest = attributes;
  for (;;) {
    const std::size_t start = rest.find_first_not_of(blanks);
    if (start == std::string_view::npos) return {};
    rest.remove_prefix(start);
    const std::size_t equals = rest.find('=');
    if (equals == std::string_view::npos) return {};
    std::string_view found = rest.substr(0, equals);
    found = found.substr(0, std::min(found.find_first_of(blanks), found.size()));
    rest.remove_prefix(equals + 1);
    const std::size_t quote = rest.find_first_not_of(blanks);
    if (quote == std::string_view::npos || (rest[quote] != '"' && rest[quote] != '\'')) return {};
    const std::size_t end = rest.find(rest[quote], quote + 1);
    if (end == std::string_view::npos) return {};
    if (found == wanted || without_prefix(found) == wanted) {
      return rest.substr(quote + 1, end - quote - 1);
    }
    rest.remove_prefix(end + 1);
  }
}

}  // namespace trueblank::intake
