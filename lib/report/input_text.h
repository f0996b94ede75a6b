// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "body/load_body.h"
#include "report/layout.h"
#include "report/numbers.h"

namespace trueblank::report {

/// What was read: file and format, how many facets, and how its unit was found.
void add_input(Facts& facts, const body::InputFacts& input, const body::BodyRecord& record);

/// "165.2 long: taken as mm, since the file names no unit"
[[nodiscard]] std::string scale_text(const body::InputFacts& input, const body::BodyRecord& record);

/// "165.2 × 24.1 × 28.0 mm", imperial with "(6.50 × 0.95 × 1.10 in)" after it.
[[nodiscard]] std::string size_text(const std::array<double, 3>& size_mm, const TextStyle& style);

/// "(12.1, -0.3, 4.0)"
[[nodiscard]] std::string point_text(const geometry::Vec3& p, int decimals);

/// Lines that say where the body frame lies in the file's axes.
void add_frame(Facts& facts, const geometry::Frame& frame, bool guessed);

}  // namespace trueblank::report
