// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string_view>

namespace trueblank::intake {

/// Walks over the tags of an XML text, one after the other, and keeps nothing. What stands between
/// tags, comments, declarations and character data are stepped over.
class XmlTags {
 public:
  explicit XmlTags(std::string_view text) : text_(text) {}

  enum class Kind { open, close, alone };  ///< <a>, </a>, <a/>

  struct Tag {
    Kind kind = Kind::open;
    std::string_view name;        ///< without what stands before a colon
    std::string_view attributes;  ///< as they stand

    /// An attribute's value as it stands, without its quotes; its name as written, or without what
    /// stands before a colon. Nothing where there is none.
    [[nodiscard]] std::optional<std::string_view> attribute(std::string_view name) const;
  };

  /// Nothing at the end of the text, or where what follows is no tag.
  [[nodiscard]] std::optional<Tag> next();

  /// Whether the text ended within a tag, a comment or the like.
  [[nodiscard]] bool broken() const { return broken_; }

  /// What of the text is left once next() has given nothing: from the beginning of what it ended
  /// within. A text that comes in parts goes on with it.
  [[nodiscard]] std::string_view rest() const { return text_.substr(broken_ ? begun_ : at_); }

 private:
  bool skip(std::string_view from, std::string_view to);

  std::string_view text_;
  std::size_t at_ = 0;
  std::size_t begun_ = 0;  ///< where the last tag began
  bool broken_ = false;
};

}  // namespace trueblank::intake
