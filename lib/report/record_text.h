// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "body/load_body.h"
#include "report/layout.h"
#include "report/numbers.h"

namespace trueblank::report {

/// Of fresh water at 15 °C, g/cm³ by EOS-80: what lift is told in where no sheet says otherwise.
inline constexpr double usual_water_g_cm3 = 0.999102;

/// "seams sewn: 12; holes filled: 1, ± 120 mm³"; "nothing".
[[nodiscard]] std::string mended_text(const std::vector<intake::Mended>& mended);

/// Lines on what was made up, what was moved, smoothed or thinned, what is in a cavity, and how
/// well the volume is known; none where there is nothing to say.
void add_record(Facts& facts, const body::BodyRecord& record, double water_g_cm3,
                const TextStyle& style);

/// "4.1 g", and "4.1 ± 0.6 g" where the doubt shows.
[[nodiscard]] std::string mass_within(double g, double bound_g, const TextStyle& style);

}  // namespace trueblank::report
