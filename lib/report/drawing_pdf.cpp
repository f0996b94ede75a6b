// SPDX-License-Identifier: GPL-3.0-or-later
// PDF Reference, third edition (PDF 1.4), Adobe Systems, 2001: file structure 3.4, graphics 4,
// text 5, encodings D (from memory).
#include <cstdint>

#include "report/drawing.h"
#include "report/numbers.h"

namespace trueblank::report {
namespace {

constexpr double points_per_mm = 72 / 25.4;
constexpr int decimals = 4;

/// The code point that starts at `i`, which is moved behind it; the text is valid UTF-8.
std::uint32_t next_code_point(std::string_view text, std::size_t& i) {
  const auto byte = [&](std::size_t at) { return static_cast<unsigned char>(text[at]); };
  const std::uint32_t lead = byte(i++);
  if (lead < 0x80) return lead;
  std::uint32_t code = lead < 0xE0 ? lead & 0x1FU : lead < 0xF0 ? lead & 0x0FU : lead & 0x07U;
  for (; i < text.size() && (byte(i) & 0xC0U) == 0x80U; ++i) code = code << 6U | (byte(i) & 0x3FU);
  return code;
}

/// As WinAnsiEncoding has it; '?' where it has nothing.
unsigned char win_ansi(std::uint32_t code) {
  constexpr std::pair<std::uint32_t, unsigned char> apart[] = {
      {0x20AC, 0x80}, {0x2026, 0x85}, {0x0160, 0x8A}, {0x0152, 0x8C}, {0x017D, 0x8E},
      {0x2018, 0x91}, {0x2019, 0x92}, {0x201C, 0x93}, {0x201D, 0x94}, {0x2022, 0x95},
      {0x2013, 0x96}, {0x2014, 0x97}, {0x2122, 0x99}, {0x0161, 0x9A}, {0x0153, 0x9C},
      {0x017E, 0x9E}, {0x0178, 0x9F}};
  if (code < 0x80 || (code >= 0xA0 && code < 0x100)) return static_cast<unsigned char>(code);
  for (const auto& [known, byte] : apart) {
    if (code == known) return byte;
  }
  return '?';
}

std::string octal(unsigned char byte) {
  std::string text = "\\";
  for (const unsigned shift : {6U, 3U, 0U}) text += static_cast<char>('0' + (byte >> shift & 7U));
  return text;
}

std::string shown_string(std::string_view text) {
  std::string out = "(";
  for (std::size_t i = 0; i < text.size();) {
    const unsigned char byte = win_ansi(next_code_point(text, i));
    const bool plain = byte >= 0x20 && byte < 0x7F && byte != '(' && byte != ')' && byte != '\\';
    out += plain ? std::string(1, static_cast<char>(byte)) : octal(byte);
  }
  return out + ')';
}

/// For the document's own title: UTF-16, the higher byte first, with its mark.
std::string unicode_string(std::string_view text) {
  constexpr std::string_view digits = "0123456789ABCDEF";
  std::string out = "<FEFF";
  const auto add = [&](std::uint32_t unit) {
    for (const unsigned shift : {12U, 8U, 4U, 0U}) out += digits[unit >> shift & 0xFU];
  };
  for (std::size_t i = 0; i < text.size();) {
    const std::uint32_t code = next_code_point(text, i);
    if (code < 0x10000) {
      add(code);
    } else {
      add(0xD800 + ((code - 0x10000) >> 10U));
      add(0xDC00 + ((code - 0x10000) & 0x3FFU));
    }
  }
  return out + '>';
}

std::string coordinates(const PagePoint& p) {
  return fixed(p.x(), decimals) + ' ' + fixed(p.y(), decimals);
}

std::string operators(const Stroke& stroke) {
  const LineStyle& style = style_of(stroke.line);
  std::string text = fixed(style.width_mm, 2) + " w " + fixed(style.grey, 2) + " G [";
  if (style.dashes_mm[0] > 0) {
    for (const double dash : style.dashes_mm) text += fixed(dash, 0) + ' ';
  }
  text += "] 0 d\n";
  for (std::size_t i = 0; i < stroke.points.size(); ++i) {
    text += coordinates(stroke.points[i]) + (i == 0 ? " m\n" : " l\n");
  }
  return text + (stroke.closed ? "s\n" : "S\n");
}

std::string operators(const Words& words) {
  // The page is turned over so that y goes down; the words are turned back.
  return "BT /F1 " + fixed(words.size_mm, 2) + " Tf 1 0 0 -1 " + coordinates(words.at) + " Tm " +
         shown_string(words.text) + " Tj ET\n";
}

std::string content(const Sketch& page, double height_mm) {
  const std::string scale = fixed(points_per_mm, 8);
  std::string text = scale + " 0 0 -" + scale + " 0 " + fixed(height_mm * points_per_mm, 8) +
                     " cm\n0 J 1 j\n";  // ends cut off square, joins round
  for (const Stroke& stroke : page.strokes) text += operators(stroke);
  for (const Words& words : page.words) text += operators(words);
  return text;
}

/// Gathers numbered objects and where they begin.
class PdfFile {
 public:
  void object(const std::string& body) {
    starts_.push_back(bytes_.size());
    bytes_ += std::to_string(starts_.size()) + " 0 obj\n" + body + "\nendobj\n";
  }

  std::string finished(int root, int info) {
    const std::string count = std::to_string(starts_.size() + 1);
    const std::size_t table = bytes_.size();
    bytes_ += "xref\n0 " + count + "\n0000000000 65535 f \n";
    for (const std::size_t start : starts_) {
      const std::string digits = std::to_string(start);
      bytes_ += std::string(10 - digits.size(), '0') + digits + " 00000 n \n";
    }
    bytes_ += "trailer\n<< /Size " + count + " /Root " + std::to_string(root) + " 0 R /Info " +
              std::to_string(info) + " 0 R >>\nstartxref\n" + std::to_string(table) + "\n%%EOF\n";
    return std::move(bytes_);
  }

 private:
  std::string bytes_ = "%PDF-1.4\n%\xE2\xE3\xCF\xD3\n";  // the second line says: not only text
  std::vector<std::size_t> starts_;
};

// Objects 1 to 4 are the catalog, the page tree, the font and the title; each page is two more.
std::string page_number(std::size_t page) { return std::to_string(5 + 2 * page) + " 0 R"; }

}  // namespace

std::string drawing_pdf(const Drawing& drawing) {
  PdfFile file;
  // A viewer that knows it (since PDF 1.6) then prints at 100 % without being told.
  file.object("<< /Type /Catalog /Pages 2 0 R /ViewerPreferences << /PrintScaling /None >> >>");
  std::string kids;
  for (std::size_t i = 0; i < drawing.pages.size(); ++i) kids += page_number(i) + ' ';
  file.object("<< /Type /Pages /Kids [ " + kids + "] /Count " +
              std::to_string(drawing.pages.size()) + " /MediaBox [0 0 " +
              fixed(drawing.width_mm * points_per_mm, decimals) + ' ' +
              fixed(drawing.height_mm * points_per_mm, decimals) +
              "] /Resources << /Font << /F1 3 0 R >> >> >>");
  file.object("<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>");
  file.object("<< /Title " + unicode_string(drawing.title) + " >>");
  for (std::size_t i = 0; i < drawing.pages.size(); ++i) {
    const std::string stream = content(drawing.pages[i], drawing.height_mm);
    file.object("<< /Type /Page /Parent 2 0 R /Contents " + std::to_string(6 + 2 * i) + " 0 R >>");
    file.object("<< /Length " + std::to_string(stream.size()) + " >>\nstream\n" + stream +
                "endstream");
  }
  return file.finished(1, 4);
}

}  // namespace trueblank::report
