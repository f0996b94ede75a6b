// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <string>

#include "notebook/build.h"

// What can't be kept without loss is refused before anything is written. Everything here throws
// InputError.
namespace trueblank::notebook {

/// So long may a text be, of a note and of anything else: far more than is ever written by hand,
/// and little enough for an export's TOML to be read back.
inline constexpr std::size_t longest_note_bytes = 20'000;
inline constexpr std::size_t longest_text_bytes = 1'000;
inline constexpr std::size_t most_files = 100;

/// All but the number.
void check_build(const Build& build);
void check_record(const TankRecord& record);
/// "2026-03-01" or "2026-03-01T18:30:00Z", a day that there is.
void check_date(const std::string& text);

}  // namespace trueblank::notebook
