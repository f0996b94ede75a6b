// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "report/drawing.h"
#include "report/templates.h"

// Pages of paper that drawings at true size are laid out on; no part of the room's interface.
namespace trueblank::report {

/// A drawing with its upper left corner at the origin, and what a page that it fills is headed.
struct Block {
  std::string name = {};
  PagePoint size_mm = PagePoint::Zero();
  Sketch sketch = {};
};

/// One under the other.
[[nodiscard]] Block stacked(const Block& upper, const Block& lower);

/// What stands on every page.
struct PageHead {
  std::string title = {};        ///< control characters and broken UTF-8 show as '?'
  std::string instruction = {};  ///< where the page has whole blocks
  std::string note = {};
  Paper paper = Paper::a4;
};

/// Lays blocks out on pages, the paper's long side across: each page with its title, a line on how
/// to use it, and a bar of 50 mm by which to check the print. What is larger than a page goes over
/// several with 20 mm in common and crosses to lay on each other.
class PaperPages {
 public:
  explicit PaperPages(const PageHead& head);

  /// Of what is there to be drawn on.
  [[nodiscard]] double width_mm() const { return field_.size.x(); }

  [[nodiscard]] double height_mm() const { return field_.size.y(); }

  /// Beside the block before it where there is room, else below, else on a page of its own.
  void add(const Block& block);

  /// What comes next begins a new row.
  void end_row();

  Drawing finished();

 private:
  struct Field {
    PagePoint upper_left = PagePoint::Zero();
    PagePoint size = PagePoint::Zero();
  };

  void start_row();
  void start_page(std::string part);
  void place(const Sketch& sketch, const PagePoint& from, const PagePoint& size,
             const PagePoint& at);
  [[nodiscard]] int parts_along(const Block& block, int k) const;
  void add_seams(const Block& block, int k, int parts, char& letter, Sketch& sketch) const;
  void add_in_parts(const Block& block);
  void frame(std::size_t page);
  [[nodiscard]] std::string instruction(std::size_t page) const;
  void add_bar(Sketch& sketch) const;

  PageHead head_;
  Drawing drawing_;
  std::vector<std::string> parts_;  // a page each: which part of what it is; empty: whole blocks
  Field field_;
  PagePoint at_ = PagePoint::Zero();  // where on the field the next block goes
  double row_mm_ = 0;                 // how high the row is that is being filled
  bool full_ = false;                 // the last page takes no more
};

/// Words of a size that fit into so much room, cut off with an ellipsis where they must be.
[[nodiscard]] std::string cut_to(const std::string& text, double size_mm, double room_mm);

}  // namespace trueblank::report
