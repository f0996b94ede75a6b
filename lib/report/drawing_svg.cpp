// SPDX-License-Identifier: GPL-3.0-or-later
// Scalable Vector Graphics 1.1, W3C Recommendation, 2011.
#include "report/drawing.h"
#include "report/numbers.h"

namespace trueblank::report {
namespace {

constexpr int decimals = 3;  // of a mm

std::string escaped(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    switch (text[i]) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      default:
        // U+FFFE and U+FFFF may not stand in XML, not even escaped.
        if (text.substr(i, 2) == "\xEF\xBF" && i + 2 < text.size() && text[i + 2] >= '\xBE') {
          out += '?';
          i += 2;
        } else {
          out += text[i];
        }
    }
  }
  return out;
}

std::string coordinates(const PagePoint& p) {
  return fixed(p.x(), decimals) + ',' + fixed(p.y(), decimals);
}

std::string grey_name(double grey) {
  const std::string part = fixed(100 * grey, 0) + '%';
  return "rgb(" + part + ',' + part + ',' + part + ')';
}

std::string style_sheet() {
  std::string text = "<style>\n";
  for (const LineStyle& style : line_styles()) {
    text += '.' + std::string(style.name) + "{fill:none;stroke:" + grey_name(style.grey) +
            ";stroke-width:" + fixed(style.width_mm, 2);
    if (style.dashes_mm[0] > 0) {
      text += ";stroke-dasharray:";
      for (std::size_t i = 0; i < style.dashes_mm.size(); ++i) {
        text += (i > 0 ? "," : "") + fixed(style.dashes_mm[i], 0);
      }
    }
    text += "}\n";
  }
  return text + "text{font-family:Helvetica,Arial,sans-serif}\n</style>\n";
}

std::string element(const Stroke& stroke) {
  std::string text = stroke.closed ? "<polygon class=\"" : "<polyline class=\"";
  text += style_of(stroke.line).name;
  text += "\" points=\"";
  for (std::size_t i = 0; i < stroke.points.size(); ++i) {
    if (i > 0) text += ' ';
    text += coordinates(stroke.points[i]);
  }
  return text + "\"/>\n";
}

std::string element(const Words& words) {
  return "<text x=\"" + fixed(words.at.x(), decimals) + "\" y=\"" + fixed(words.at.y(), decimals) +
         "\" font-size=\"" + fixed(words.size_mm, 2) + "\">" + escaped(words.text) + "</text>\n";
}

}  // namespace

std::string drawing_svg(const Drawing& drawing) {
  const std::string width = fixed(drawing.width_mm, decimals);
  const std::string page_height = fixed(drawing.height_mm, decimals);
  const std::string height =
      fixed(drawing.height_mm * static_cast<double>(drawing.pages.size()), decimals);
  std::string text = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
  text += "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" + width + "mm\" height=\"" + height +
          "mm\" viewBox=\"0 0 " + width + ' ' + height + "\">\n";
  text += "<title>" + escaped(drawing.title) + "</title>\n" + style_sheet();
  const std::string paper = "<rect x=\"0\" y=\"0\" width=\"" + width + "\" height=\"" +
                            page_height +
                            "\" fill=\"#fff\" stroke=\"#ccc\" stroke-width=\"0.1\"/>\n";
  for (std::size_t i = 0; i < drawing.pages.size(); ++i) {
    const double down = drawing.height_mm * static_cast<double>(i);
    text += "<g id=\"page-" + std::to_string(i + 1) + "\" transform=\"translate(0 " +
            fixed(down, decimals) + ")\">\n";
    text += paper;
    for (const Stroke& stroke : drawing.pages[i].strokes) text.append(element(stroke));
    for (const Words& words : drawing.pages[i].words) text.append(element(words));
    text += "</g>\n";
  }
  return text + "</svg>\n";
}

}  // namespace trueblank::report
