// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// Inside the room: how likely chance makes a statistic as great.
namespace trueblank::symmetry {

/// P(F ≥ f) for Fisher's F with d1 and d2 degrees of freedom, which need not be whole (DLMF 8.17).
[[nodiscard]] double chance_of_f(double f, double d1, double d2);

/// P(|T| ≥ |t|) for Student's t.
[[nodiscard]] double chance_of_t(double t, double freedom);

}  // namespace trueblank::symmetry
