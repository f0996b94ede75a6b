// SPDX-License-Identifier: GPL-3.0-or-later
// Woods: USDA Forest Products Laboratory, "Wood Handbook", FPL-GTR-190, 2010: chapter 4, equations
// 4-7 and 4-9 to 4-12 (density from basic specific gravity and moisture), tables 5-3 (domestic
// woods) and 5-5 (imported woods). Each row says how its figure came here: few of those tables
// could be read in the original.
#include "rig/materials.h"

#include <array>
#include <string>

namespace trueblank::rig {

namespace {

// Fibre saturation at 30 %; shrinkage of the volume from green in proportion to the basic gravity
// and to the water that is gone. The equations stand in the handbook as pictures: their form is
// from memory, the handbook's own worked white ash (0.55, 675 kg/m³ at 12 %) agrees.
constexpr double density_at_moisture(double basic_gravity, double moisture_percent) {
  const double shrinkage_percent = 26.5 * basic_gravity * (1 - moisture_percent / 30);
  const double gravity = basic_gravity / (1 - shrinkage_percent / 100);
  return gravity * (1 + moisture_percent / 100);
}

// G12 is oven-dry mass over volume at 12 %: the water is still to be added.
constexpr double from_g12(double g12) { return 1.12 * g12; }

constexpr double from_basic(double basic_gravity) { return density_at_moisture(basic_gravity, 12); }

constexpr std::array material_rows{
    Material{"lead", 11.34, "handbook of chemistry and physics, second-hand through lists"},
    Material{"tungsten", 19.3, "from memory; lists vary from 19.25 to 19.6"},
    Material{"tungsten alloy class 1", 17.075, "ASTM B777-15 table 1, middle of 16.85 to 17.30"},
    Material{"tungsten alloy class 2", 17.5, "ASTM B777-15 table 1, middle of 17.15 to 17.85"},
    Material{"tungsten alloy class 3", 18.05, "ASTM B777-15 table 1, middle of 17.75 to 18.35"},
    Material{"tungsten alloy class 4", 18.55, "ASTM B777-15 table 1, middle of 18.25 to 18.85"},
    Material{"steel", 7.85, "carbon steel, table of a mechanics-of-materials textbook"},
    Material{"stainless steel", 7.9, "1.4301 (304): EN 10088-1 annex, second-hand"},
    Material{"stainless steel 304", 7.9, "1.4301: EN 10088-1 annex, second-hand"},
    Material{"stainless steel 316", 8.0, "1.4401: EN 10088-1 annex, second-hand"},
    Material{"stainless spring wire", 7.9, "1.4310, from memory"},
    Material{"brass", 8.5, "two lists, which give 8.4 to 8.7"},
    Material{"zinc", 7.13, "second-hand through lists"},
    Material{"tin", 7.29, "second-hand through lists, which give 7.28 to 7.29"},
    Material{"bismuth", 9.79, "from memory"},
    Material{"bismuth-tin alloy", 8.56, "58 % bismuth, 42 % tin; from memory"},
    Material{"glass", 2.5, "soda-lime glass, from memory; tables give glass 2.4 to 2.8"},
    Material{"epoxy", 1.15, "cured, unfilled; second-hand and weak: 1.10 to 1.20"},
    Material{"polyurethane resin", 1.065, "solid casting resin, middle of 1.03 to 1.10; memory"},
    Material{"ABS", 1.05, "polymer table, typically 1.04 to 1.06 (1.02 to 1.21)"},
    Material{"PLA", 1.24, "from memory"},
};

constexpr std::array wood_rows{
    Wood{"western redcedar", from_g12(0.32),
         "Wood Handbook table 5-3, G12 0.32 from memory (basic 0.31 second-hand); at 12 %"},
    Wood{"American basswood", from_g12(0.37),
         "Wood Handbook table 5-3, G12 0.37 second-hand twice; at 12 %"},
    Wood{"yellow-poplar", from_g12(0.42), "Wood Handbook table 5-3, G12 0.42 from memory; at 12 %"},
    Wood{"eastern white pine", from_g12(0.35),
         "Wood Handbook table 5-3, G12 0.35 from memory; at 12 %"},
    Wood{"western white pine", from_g12(0.38),
         "Wood Handbook table 5-3, G12 0.38 from memory; at 12 %"},
    Wood{"sugar pine", from_g12(0.36), "Wood Handbook table 5-3, G12 0.36 from memory; at 12 %"},
    Wood{"northern white-cedar", from_g12(0.31),
         "Wood Handbook table 5-3, G12 0.31 second-hand; at 12 %"},
    Wood{"white ash", from_g12(0.60), "Wood Handbook table 5-3, G12 0.60 second-hand; at 12 %"},
    Wood{"sugar maple", from_g12(0.63),
         "Wood Handbook table 5-3, G12 0.63 second-hand twice; at 12 %"},
    Wood{"American beech", from_g12(0.64),
         "Wood Handbook table 5-3, G12 0.64 second-hand; at 12 %"},
    Wood{"white oak", from_g12(0.68), "Wood Handbook table 5-3, G12 0.68 second-hand; at 12 %"},
    Wood{"teak", from_basic(0.55),
         "Wood Handbook table 5-5, basic 0.55; reckoned to 12 % from green volume"},
    Wood{"Spanish-cedar", from_basic(0.41),
         "Wood Handbook table 5-5, basic 0.41; reckoned to 12 % from green volume"},
    Wood{"balsa", from_basic(0.16),
         "Wood Handbook table 5-5, basic 0.16 from memory; reckoned to 12 % from green volume; "
         "balsa is sold from 0.13 to 0.22 g/cm3 and lighter: weigh yours"},
    Wood{"jelutong", from_basic(0.36),
         "Wood Handbook table 5-5, basic 0.36 from memory; reckoned to 12 % from green volume"},
    Wood{"true mahogany", from_basic(0.45),
         "Wood Handbook table 5-5, basic 0.45 from memory; reckoned to 12 % from green volume"},
    Wood{"obeche", from_basic(0.30),
         "Wood Handbook table 5-5, basic 0.30 from memory; reckoned to 12 % from green volume"},
    Wood{"paulownia", from_basic(0.272),
         "Akyildiz & Kol, J. Environ. Biol. 31, 351-355, 2010 (abstract): basic 0.272; reckoned "
         "to 12 % from green volume; measured air-dry 0.317"},
};

// Other common names, and the names as an index has them.
struct Alias {
  std::string_view alias;
  std::string_view name;
};

constexpr std::array wood_aliases{
    Alias{"basswood", "American basswood"},
    Alias{"mahogany", "true mahogany"},
    Alias{"beech", "American beech"},
};

bool is_letter_or_digit(char c) {
  return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ||
         static_cast<unsigned char>(c) >= 0x80;  // parts of other alphabets' letters
}

// Letters and digits alone, small: so "Yellow  Poplar" is "yellow-poplar". A name as an index has
// it, "basswood, American", is turned round at its commas, one after the other: a sheet may hold a
// million of them.
std::string key_of(std::string_view name) {
  std::string key;
  for (;;) {
    const std::size_t comma = name.rfind(',');
    for (const char c : comma == std::string_view::npos ? name : name.substr(comma + 1)) {
      const char small = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
      if (is_letter_or_digit(small)) key += small;
    }
    if (comma == std::string_view::npos) return key;
    name = name.substr(0, comma);
  }
}

}  // namespace

std::span<const Material> materials() { return material_rows; }

std::span<const Wood> woods() { return wood_rows; }

std::optional<Material> find_material(std::string_view name) {
  const std::string key = key_of(name);
  for (const Material& row : material_rows) {
    if (key_of(row.name) == key) return row;
  }
  return std::nullopt;
}

std::optional<Wood> find_wood(std::string_view name) {
  std::string key = key_of(name);
  for (const Alias& row : wood_aliases) {
    if (key_of(row.alias) == key) key = key_of(row.name);
  }
  for (const Wood& row : wood_rows) {
    if (key_of(row.name) == key) return row;
  }
  return std::nullopt;
}

double wood_density_g_cm3(double basic_gravity, double moisture_percent) {
  return density_at_moisture(basic_gravity, moisture_percent);
}

}  // namespace trueblank::rig
