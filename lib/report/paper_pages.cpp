// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/paper_pages.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "report/layout.h"

namespace trueblank::report {
namespace {

// ISO 216 and ANSI/ASME Y14.1, lying.
constexpr double a4_mm[] = {297, 210};
constexpr double letter_mm[] = {279.4, 215.9};
// What common printers leave white, and then some.
constexpr double margin_mm = 10;
constexpr double head_mm = 16;
constexpr double foot_mm = 14;
constexpr double between_blocks_mm = 6;
constexpr double overlap_mm = 20;
constexpr double cross_mm = 3;
constexpr double bar_mm = 50;

}  // namespace

PaperPages::PaperPages(const PageHead& head) : head_(head) {
  head_.title = shown(head.title);
  head_.note = shown(head.note);
  const double(&paper)[2] = head.paper == Paper::a4 ? a4_mm : letter_mm;
  drawing_.title = head_.title;
  drawing_.width_mm = paper[0];
  drawing_.height_mm = paper[1];
  field_ = {{margin_mm, margin_mm + head_mm},
            {paper[0] - 2 * margin_mm, paper[1] - 2 * margin_mm - head_mm - foot_mm}};
}

/// Beside the block before it where there is room, else below, else on a page of its own.
void PaperPages::add(const Block& block) {
  if (!(block.size_mm.array() > 0).all()) return;
  if ((block.size_mm.array() > field_.size.array()).any()) {
    add_in_parts(block);
    return;
  }
  if (at_.x() + block.size_mm.x() > field_.size.x()) start_row();
  if (drawing_.pages.empty() || full_ || at_.y() + block.size_mm.y() > field_.size.y()) {
    start_page("");
  }
  place(block.sketch, PagePoint::Zero(), block.size_mm, at_);
  at_.x() += block.size_mm.x() + between_blocks_mm;
  row_mm_ = std::max(row_mm_, block.size_mm.y());
}

/// What comes next begins a new row.
void PaperPages::end_row() {
  if (at_.x() > 0) start_row();
}

Drawing PaperPages::finished() {
  if (drawing_.pages.empty()) start_page("");
  for (std::size_t i = 0; i < drawing_.pages.size(); ++i) frame(i);
  return std::move(drawing_);
}

void PaperPages::start_row() {
  at_ = {0, at_.y() + row_mm_ + between_blocks_mm};
  row_mm_ = 0;
}

void PaperPages::start_page(std::string part) {
  drawing_.pages.emplace_back();
  parts_.push_back(std::move(part));
  at_ = PagePoint::Zero();
  row_mm_ = 0;
  full_ = false;
}

void PaperPages::place(const Sketch& sketch, const PagePoint& from, const PagePoint& size,
                       const PagePoint& at) {
  append(clipped(sketch, from, size, field_.upper_left + at), drawing_.pages.back());
}

/// How many pages it takes along one direction.
int PaperPages::parts_along(const Block& block, int k) const {
  const double fresh_mm = field_.size[k] - overlap_mm;
  return std::max(1, static_cast<int>(std::ceil((block.size_mm[k] - overlap_mm) / fresh_mm)));
}

/// Dashed lines where the next page begins and this one ends, and two crosses in what is common.
void PaperPages::add_seams(const Block& block, int k, int parts, char& letter,
                           Sketch& sketch) const {
  const int other = 1 - k;
  for (int i = 1; i < parts; ++i) {
    const double begins = i * (field_.size[k] - overlap_mm);
    const auto point = [&](double along, double across) {
      PagePoint p;
      p[k] = begins + along;
      p[other] = across;
      return p;
    };
    const double length = block.size_mm[other];
    for (const double along : {0.0, overlap_mm}) {
      sketch.strokes.push_back(
          {.line = Line::seam, .points = {point(along, 0), point(along, length)}});
    }
    for (const double across : {2 * cross_mm, length - 2 * cross_mm}) {
      const PagePoint middle = point(overlap_mm / 2, across);
      for (const PagePoint& arm : {PagePoint(cross_mm, 0), PagePoint(0, cross_mm)}) {
        sketch.strokes.push_back({.line = Line::edge, .points = {middle - arm, middle + arm}});
      }
      sketch.words.push_back(
          {.at = middle + PagePoint(1, -1), .size_mm = 3, .text = std::string(1, letter)});
    }
    letter = letter == 'Z' ? 'A' : static_cast<char>(letter + 1);
  }
}

void PaperPages::add_in_parts(const Block& block) {
  const int columns = parts_along(block, 0);
  const int rows = parts_along(block, 1);
  Sketch sketch = block.sketch;
  char letter = 'A';
  add_seams(block, 0, columns, letter, sketch);
  add_seams(block, 1, rows, letter, sketch);
  for (int row = 0; row < rows; ++row) {
    for (int column = 0; column < columns; ++column) {
      start_page(block.name + ", part " + std::to_string(row * columns + column + 1) + " of " +
                 std::to_string(rows * columns) + ": lay the crosses of one letter on each other");
      const PagePoint fresh = field_.size - PagePoint::Constant(overlap_mm);
      place(sketch, {column * fresh.x(), row * fresh.y()}, field_.size, PagePoint::Zero());
    }
  }
  full_ = true;
}

/// What every page has: its title, how to use it, and the bar.
void PaperPages::frame(std::size_t page) {
  Sketch& sketch = drawing_.pages[page];
  const std::string number =
      "page " + std::to_string(page + 1) + " of " + std::to_string(drawing_.pages.size());
  const double right = drawing_.width_mm - margin_mm;
  const double number_mm = words_width_mm(number, 3);
  sketch.words.push_back({.at = {right - number_mm, margin_mm + 4}, .size_mm = 3, .text = number});
  sketch.words.push_back({.at = {margin_mm, margin_mm + 4},
                          .size_mm = 4.5,
                          .text = cut_to(head_.title, 4.5, field_.size.x() - number_mm - 10)});
  sketch.words.push_back(
      {.at = {margin_mm, margin_mm + 8.5}, .size_mm = 2.6, .text = instruction(page)});
  sketch.words.push_back({.at = {margin_mm, margin_mm + 12.5},
                          .size_mm = 2.6,
                          .text = cut_to(head_.note, 2.6, field_.size.x())});
  add_bar(sketch);
}

std::string PaperPages::instruction(std::size_t page) const {
  if (!parts_[page].empty()) return parts_[page];
  return head_.instruction;
}

std::string cut_to(const std::string& text, double size_mm, double room_mm) {
  // Capitals are wider than what words_width_mm reckons with.
  constexpr double capitals = 1.3;
  if (capitals * words_width_mm(text, size_mm) <= room_mm) return text;
  std::string start = text;
  while (!start.empty() && capitals * words_width_mm(start + "…", size_mm) > room_mm) {
    while (start.size() > 1 && (static_cast<unsigned char>(start.back()) & 0xC0U) == 0x80U) {
      start.pop_back();
    }
    start.pop_back();
  }
  return start + "…";
}

/// Its ends are those of one broad line, cut off square: there is no tick to measure from
/// wrongly.
void PaperPages::add_bar(Sketch& sketch) const {
  const PagePoint from(margin_mm, drawing_.height_mm - margin_mm - 5);
  const PagePoint to = from + PagePoint(bar_mm, 0);
  sketch.strokes.push_back({.line = Line::bar, .points = {from, to}});
  for (int cm = 1; 10 * cm < bar_mm; ++cm) {
    const PagePoint tick = from + PagePoint(10 * cm, 0);
    sketch.strokes.push_back({.line = Line::mark, .points = {tick, tick + PagePoint(0, 2.2)}});
  }
  sketch.words.push_back({.at = to + PagePoint(3, 1),
                          .size_mm = 3,
                          .text = "50 mm. Print at 100 % and measure this bar first."});
}

Block stacked(const Block& upper, const Block& lower) {
  Block both = upper;
  both.name = "Outlines";
  both.size_mm = {std::max(upper.size_mm.x(), lower.size_mm.x()),
                  upper.size_mm.y() + lower.size_mm.y()};
  const PagePoint down(0, upper.size_mm.y());
  append(clipped(lower.sketch, PagePoint::Zero(), lower.size_mm, down), both.sketch);
  return both;
}

}  // namespace trueblank::report
