// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/messages.h"

namespace trueblank::intake {

InputError not_svg(const std::string& file) {
  return {"the file is no SVG drawing", shown_name(file), "export the outline as SVG"};
}

InputError svg_cut_short(const std::string& file) {
  return {"the drawing ends before its </svg>", shown_name(file), "export it again"};
}

InputError svg_too_big(const std::string& file) {
  return {"the drawing is bigger than 16 MB", shown_name(file),
          "keep the outline alone, without pictures"};
}

InputError svg_too_deep(const std::string& file) {
  return {"the drawing has groups within groups more than 256 deep", shown_name(file),
          "ungroup the outline"};
}

InputError svg_too_long(const std::string& file) {
  return {"the drawing has more than a million corners", shown_name(file),
          "simplify the outline, or keep it alone"};
}

InputError svg_too_far(const std::string& file) {
  return {"a shape of the drawing reaches beyond a kilometre", shown_name(file),
          "remove it, or draw the outline at its true size"};
}

InputError svg_transform_broken(const std::string& file) {
  return {"a transform of the drawing can't be read", shown_name(file),
          "export it again as plain SVG"};
}

InputError svg_shape_broken(const std::string& file, std::string_view shape) {
  return {"a <" + std::string(shape) + "> of the drawing can't be read", shown_name(file),
          "export it again as plain SVG"};
}

InputError svg_without_outline(const std::string& file) {
  return {"the drawing has no outline that encloses anything", shown_name(file),
          "draw the outline as one path, polygon, ellipse, circle or rectangle"};
}

}  // namespace trueblank::intake
