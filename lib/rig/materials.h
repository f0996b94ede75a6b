// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>
#include <string_view>

namespace trueblank::rig {

/// A metal or other stuff that parts are made of.
struct Material {
  std::string_view name;
  double density_g_cm3 = 0;
  std::string_view source;
};

/// A wood at 12 % moisture.
struct Wood {
  std::string_view name;
  double density_g_cm3 = 0;
  std::string_view source;  ///< also says whether tabulated at 12 % or reckoned from green volume
};

[[nodiscard]] std::span<const Material> materials();
[[nodiscard]] std::span<const Wood> woods();

/// By name; capitals, hyphens and spaces are not minded, and "mahogany, true" is "true mahogany".
/// Nothing where there is none.
[[nodiscard]] std::optional<Material> find_material(std::string_view name);
[[nodiscard]] std::optional<Wood> find_wood(std::string_view name);

/// Wood Handbook: density in g/cm³ at `moisture_percent` from the basic specific gravity (oven-dry
/// mass over green volume); 0 ≤ moisture ≤ 30.
[[nodiscard]] double wood_density_g_cm3(double basic_gravity, double moisture_percent);

}  // namespace trueblank::rig
