// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "symmetry/half_sections.h"

namespace trueblank::report {

enum class Paper { a4, letter };

/// What is drawn at true size, to be cut out and held against the blank.
struct Templates {
  std::string title = {};  ///< on every page; control characters and broken UTF-8 show as '?'
  Paper paper = Paper::a4;
  std::string note = "The lesser of both flanks is drawn: wood only comes off.";  ///< on every page
  std::vector<symmetry::HalfSection> sections = {};  ///< a card each; empty ones are left out
  symmetry::Profiles profiles = {};  ///< drawn whole, with marks at the sections' stations
};

/// The templates as one picture: 1 unit is 1 mm, the pages one under the other, each as large as
/// the paper lies (its long side across), with a title and a bar of 50 mm by which to check the
/// print.
///
/// A card is the paper round half a section, its straight edge the mirror plane: it fits over one
/// flank and, turned over, over the other. The side and top profiles are drawn whole. What is
/// larger than a page goes over several with 20 mm in common and crosses to lay on each other.
///
/// returns  the same bytes for the same input
[[nodiscard]] std::string templates_svg(const Templates& templates);

/// The same pages as PDF 1.4, ready to print: nothing compressed, no font but the viewer's own
/// Helvetica (characters beyond western European ones show as '?').
[[nodiscard]] std::string templates_pdf(const Templates& templates);

}  // namespace trueblank::report
