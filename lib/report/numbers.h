// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

// How numbers are written for reading. No locale: a point, and thin groups of three.
namespace trueblank::report {

struct TextStyle {
  bool imperial = false;  ///< inches and ounces beside, never instead
  bool verbose = false;
};

/// With that many decimals; "-0.0" is never written, "–" stands for a number that isn't finite.
[[nodiscard]] std::string fixed(double value, int decimals);

/// As fixed, with a plus too: "+1.20", "-1.20"; "0.00" has no sign
[[nodiscard]] std::string with_sign(double value, int decimals);

/// 33280 -> "33 280"
[[nodiscard]] std::string grouped(long long count);

/// As fixed, the whole part in groups: 53218.58 -> "53 218.6"
[[nodiscard]] std::string grouped(double value, int decimals);

/// With about that many figures that count, no exponent: 0.003456 (3) -> "0.00346"
[[nodiscard]] std::string figures(double value, int count);

/// "165.2 mm", imperial "165.2 mm (6.50 in)"
[[nodiscard]] std::string length_text(double mm, int decimals, const TextStyle& style);

/// "14.3 g", imperial "14.3 g (0.504 oz)"; two decimals below 1 g
[[nodiscard]] std::string mass_text(double g, const TextStyle& style);

[[nodiscard]] double inches(double mm);
[[nodiscard]] double ounces(double g);

/// "70.0 %" of a share in 0..1
[[nodiscard]] std::string percent(double share, int decimals = 0);

}  // namespace trueblank::report
