// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "body/sections.h"
#include "sheet/contents.h"
#include "sheet/table_reader.h"

// A body that the sheet draws, by sections or by outlines. All throw InputError.
namespace trueblank::sheet {

inline constexpr std::array<std::string_view, 8> section_keys{
    "station", "width", "above", "below", "widest", "fullness", "fullness_above", "fullness_below"};

/// A [[section]], with the places of what its neighbours may contradict.
struct WrittenSection {
  body::DrawnSection section;
  std::string file;  ///< as messages show it
  Spot spot;
  Spot station_spot;
};

[[nodiscard]] WrittenSection read_section(const TableReader& table);

/// Whether [body] or [[section]] draws the body. Refuses two ways at once.
[[nodiscard]] bool draws_body(const TableReader& body, const std::vector<WrittenSection>& sections);

/// Draws the body and sets what follows for its hints: nose, back and mirror plane are known, and
/// so is the scale where no length is given. Once [body]'s own keys are read.
void draw_body(const TableReader& body, const std::vector<WrittenSection>& sections,
               Sheet::Contents& sheet);

/// What to say where the body's own line, from which places count, isn't the one that its sections
/// were measured from.
[[nodiscard]] std::optional<std::string> line_elsewhere(const Sheet::Contents& sheet,
                                                        const body::FramedBody& body);

}  // namespace trueblank::sheet
