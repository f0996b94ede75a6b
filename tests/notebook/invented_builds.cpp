// SPDX-License-Identifier: GPL-3.0-or-later
#include "invented_builds.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <fstream>
#include <iterator>
#include <limits>

namespace trueblank::notebook {

namespace {

// SplitMix64. Source: G. Steele, D. Lea, C. Flood, Fast Splittable Pseudorandom Number Generators,
// OOPSLA 2014. One arithmetic everywhere, which the distributions of the library don't promise.
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : state_(seed) {}

  std::uint64_t bits() {
    std::uint64_t z = (state_ += 0x9E3779B97F4A7C15U);
    z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9U;
    z = (z ^ (z >> 27U)) * 0x94D049BB133111EBU;
    return z ^ (z >> 31U);
  }

  std::size_t below(std::size_t count) { return static_cast<std::size_t>(bits() % count); }

  bool one_in(std::size_t count) { return below(count) == 0; }

 private:
  std::uint64_t state_;
};

void append(std::string& text, std::uint32_t character) {
  const auto byte = [&](std::uint32_t value) { text += static_cast<char>(value); };
  if (character < 0x80) {
    byte(character);
  } else if (character < 0x800) {
    byte(0xC0U | character >> 6U);
    byte(0x80U | (character & 0x3FU));
  } else if (character < 0x10000) {
    byte(0xE0U | character >> 12U);
    byte(0x80U | ((character >> 6U) & 0x3FU));
    byte(0x80U | (character & 0x3FU));
  } else {
    byte(0xF0U | character >> 18U);
    byte(0x80U | ((character >> 12U) & 0x3FU));
    byte(0x80U | ((character >> 6U) & 0x3FU));
    byte(0x80U | (character & 0x3FU));
  }
}

// Any character that there is: control characters and the ends of ranges as often as letters.
std::uint32_t any_character(Dice& dice) {
  constexpr std::array<std::uint32_t, 18> edges = {
      0,    '\t',  '\n',  '\r',   '"',    '\\',   '\'',   0x7F,   0x80,
      0x85, 0x7FF, 0x800, 0x2028, 0xD7FF, 0xE000, 0xFEFF, 0xFFFF, 0x10FFFF};
  constexpr std::uint32_t surrogates = 0xD800;
  constexpr std::uint32_t surrogate_count = 0x800;
  constexpr std::size_t all = 0x110000 - surrogate_count;
  switch (dice.below(4)) {
    case 0:
      return edges[dice.below(edges.size())];
    case 1: {
      const auto value = static_cast<std::uint32_t>(dice.below(all));
      return value < surrogates ? value : value + surrogate_count;
    }
    default:
      return static_cast<std::uint32_t>(' ' + dice.below(95));
  }
}

std::string any_text(Dice& dice, std::size_t most_characters) {
  std::string text;
  for (std::size_t left = dice.below(most_characters + 1); left > 0; --left) {
    append(text, any_character(dice));
  }
  return text;
}

std::string any_bytes(Dice& dice, std::size_t most) {
  std::string bytes(dice.below(most + 1), '\0');
  for (char& c : bytes) c = static_cast<char>(dice.below(256));
  return bytes;
}

// Any finite double by its bits, or one such as stands in results.
std::optional<double> any_number(Dice& dice) {
  constexpr std::array edges = {0.0,
                                -0.0,
                                1e15,
                                1e16,
                                123456789012345680.0,
                                std::numeric_limits<double>::max(),
                                std::numeric_limits<double>::lowest(),
                                std::numeric_limits<double>::min(),
                                std::numeric_limits<double>::denorm_min()};
  switch (dice.below(4)) {
    case 0:
      return {};
    case 1:
      return edges[dice.below(edges.size())];
    case 2: {
      const auto value = std::bit_cast<double>(dice.bits());
      return std::isfinite(value) ? value : 0.1;
    }
    default:
      return static_cast<double>(dice.below(2'000'000)) / 1000 - 500;
  }
}

std::string two_digits(std::size_t value) {
  return {static_cast<char>('0' + value / 10), static_cast<char>('0' + value % 10)};
}

std::string any_day(Dice& dice) {
  return "20" + two_digits(dice.below(100)) + '-' + two_digits(1 + dice.below(12)) + '-' +
         two_digits(1 + dice.below(28));
}

std::string any_time(Dice& dice) {
  return any_day(dice) + 'T' + two_digits(dice.below(24)) + ':' + two_digits(dice.below(60)) + ':' +
         two_digits(dice.below(60)) + 'Z';
}

std::optional<water::State> any_state(Dice& dice) {
  constexpr std::array states = {water::State::floats, water::State::suspends, water::State::sinks};
  if (dice.one_in(4)) return {};
  return states[dice.below(states.size())];
}

rig::Water any_water(Dice& dice) {
  return {.salinity = any_number(dice).value_or(35),
          .temperature_c = any_number(dice).value_or(20),
          .density_g_cm3 = any_number(dice).value_or(1),
          .density_given = dice.one_in(2)};
}

Figures any_figures(Dice& dice) {
  Figures figures;
  figures.wood = any_text(dice, 20);
  for (std::optional<double>* value : {&figures.wood_density_g_cm3,
                                       &figures.length_mm,
                                       &figures.width_mm,
                                       &figures.height_mm,
                                       &figures.volume_mm3,
                                       &figures.mass_g,
                                       &figures.undrilled_wood_g,
                                       &figures.wood_g,
                                       &figures.finish_g,
                                       &figures.wire_g,
                                       &figures.ballast_g,
                                       &figures.pocket_g,
                                       &figures.hooks_g,
                                       &figures.outside_g,
                                       &figures.displacement_full_g,
                                       &figures.reserve_g,
                                       &figures.tail_down_deg,
                                       &figures.list_deg,
                                       &figures.least_stiffness_g_mm_per_deg,
                                       &figures.roll_stiffness_g_mm_per_deg}) {
    *value = any_number(dice);
  }
  if (!dice.one_in(4)) figures.water = any_water(dice);
  figures.state = any_state(dice);
  return figures;
}

PicturePoint any_point(Dice& dice) {
  return {.x = any_number(dice).value_or(0), .y = any_number(dice).value_or(0)};
}

TankRecord any_record(Dice& dice) {
  TankRecord record;
  record.date = dice.one_in(2) ? any_day(dice) : any_time(dice);
  record.state = any_state(dice);
  for (std::optional<double>* value :
       {&record.tail_down_deg, &record.tail_down_sd_deg, &record.list_deg, &record.list_sd_deg,
        &record.sank_with_g, &record.sank_sd_g, &record.mass_before_g, &record.mass_after_g}) {
    *value = any_number(dice);
  }
  if (dice.one_in(3)) {
    record.photograph = Photograph{.nose = any_point(dice),
                                   .tail = any_point(dice),
                                   .water_1 = any_point(dice),
                                   .water_2 = any_point(dice)};
  }
  if (dice.one_in(2)) record.water = any_water(dice);
  record.notes = any_text(dice, 60);
  return record;
}

AsBuilt any_as_built(Dice& dice) {
  const std::string text =
      "# weighed on the bench\ntotal = " + std::to_string(1 + dice.below(200)) +
      (dice.one_in(2) ? "\n" : ".25\r\n") +
      "[[part]]\nname = \"belly\"\nmass = \"9.1 g\"\nat = [70, -9]\n";
  return parse_as_built(text, "as-built.toml");
}

Build any_build(Dice& dice, const std::vector<std::string>& shared) {
  Build build;
  build.facts.added = any_time(dice);
  build.facts.title = any_text(dice, 40);
  build.facts.kind = dice.one_in(2) ? "slim" : any_text(dice, 10);
  build.facts.notes = any_text(dice, 200);
  build.facts.program_version = "0.1.0";
  build.facts.sheet_name = any_text(dice, 20);
  build.facts.figures = any_figures(dice);
  if (dice.one_in(3)) build.facts.as_built = any_as_built(dice);
  build.sheet = any_text(dice, 300);
  build.results_json = dice.one_in(4) ? "" : "{\"title\": \"" + any_text(dice, 100) + "\"}";
  for (std::size_t left = dice.below(4); left > 0; --left) {
    build.files.push_back(
        {.name = std::to_string(left) + any_text(dice, 30),
         .bytes = dice.one_in(2) ? shared[dice.below(shared.size())] : any_bytes(dice, 2000)});
  }
  return build;
}

// Of finite numbers == is the same bits, but for the sign of a zero.
bool same_number(const std::optional<double>& a, const std::optional<double>& b) { return a == b; }

bool same_water(const rig::Water& a, const rig::Water& b) {
  return same_number(a.salinity, b.salinity) && same_number(a.temperature_c, b.temperature_c) &&
         same_number(a.density_g_cm3, b.density_g_cm3) && a.density_given == b.density_given;
}

bool same_figures(const Figures& a, const Figures& b) {
  const bool waters =
      a.water.has_value() == b.water.has_value() && (!a.water || same_water(*a.water, *b.water));
  return a.wood == b.wood && a.state == b.state && waters &&
         same_number(a.wood_density_g_cm3, b.wood_density_g_cm3) &&
         same_number(a.length_mm, b.length_mm) && same_number(a.width_mm, b.width_mm) &&
         same_number(a.height_mm, b.height_mm) && same_number(a.volume_mm3, b.volume_mm3) &&
         same_number(a.mass_g, b.mass_g) && same_number(a.undrilled_wood_g, b.undrilled_wood_g) &&
         same_number(a.wood_g, b.wood_g) && same_number(a.finish_g, b.finish_g) &&
         same_number(a.wire_g, b.wire_g) && same_number(a.ballast_g, b.ballast_g) &&
         same_number(a.pocket_g, b.pocket_g) && same_number(a.hooks_g, b.hooks_g) &&
         same_number(a.outside_g, b.outside_g) &&
         same_number(a.displacement_full_g, b.displacement_full_g) &&
         same_number(a.reserve_g, b.reserve_g) && same_number(a.tail_down_deg, b.tail_down_deg) &&
         same_number(a.list_deg, b.list_deg) &&
         same_number(a.least_stiffness_g_mm_per_deg, b.least_stiffness_g_mm_per_deg) &&
         same_number(a.roll_stiffness_g_mm_per_deg, b.roll_stiffness_g_mm_per_deg);
}

}  // namespace

std::vector<InventedBuild> invented_builds(std::size_t count, std::uint64_t seed) {
  Dice dice(seed);
  std::vector<std::string> shared;
  constexpr std::size_t shared_files = 20;
  for (std::size_t i = 0; i < shared_files; ++i) shared.push_back(any_bytes(dice, 5000));
  std::vector<InventedBuild> builds;
  for (std::size_t i = 0; i < count; ++i) {
    builds.push_back({.build = any_build(dice, shared), .tank = {}});
    for (std::size_t left = dice.below(3); left > 0; --left) {
      builds.back().tank.push_back(any_record(dice));
    }
  }
  return builds;
}

void add_all(Book& book, const std::vector<InventedBuild>& builds) {
  for (const InventedBuild& invented : builds) {
    const std::int64_t id = book.add(invented.build);
    for (const TankRecord& record : invented.tank) book.add_tank(id, record);
  }
}

Scratch::Scratch() {
  namespace fs = std::filesystem;
  std::string pattern = (fs::temp_directory_path() / "notebook-XXXXXX").string();
  if (::mkdtemp(pattern.data()) == nullptr) ADD_FAILURE() << "no folder for the test";
  folder_ = pattern;
  // Thousands of files are written through to the disk: to memory, where that can be had. By a
  // link, since what is under /dev by name is taken for a device.
  std::string in_memory = "/dev/shm/notebook-XXXXXX";
  if (::mkdtemp(in_memory.data()) == nullptr) return;
  memory_ = in_memory;
  fs::remove(folder_);
  fs::create_directory_symlink(memory_, folder_);
}

Scratch::~Scratch() {
  std::error_code ignored;
  if (!memory_.empty()) std::filesystem::remove_all(memory_, ignored);
  std::filesystem::remove_all(folder_, ignored);
}

std::vector<std::pair<std::string, std::string>> all_files(const std::filesystem::path& folder) {
  std::vector<std::pair<std::string, std::string>> files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
    if (!entry.is_regular_file()) continue;
    std::ifstream in(entry.path(), std::ios::binary);
    files.emplace_back(entry.path().lexically_relative(folder).string(),
                       std::string(std::istreambuf_iterator<char>(in), {}));
  }
  std::ranges::sort(files);
  return files;
}

bool same_build(const Build& a, const Build& b) {
  return a.facts.added == b.facts.added && a.facts.title == b.facts.title &&
         a.facts.kind == b.facts.kind && a.facts.notes == b.facts.notes &&
         a.facts.program_version == b.facts.program_version &&
         a.facts.sheet_name == b.facts.sheet_name && a.facts.as_built == b.facts.as_built &&
         same_figures(a.facts.figures, b.facts.figures) && a.sheet == b.sheet &&
         a.files == b.files && a.results_json == b.results_json;
}

bool same_record(const TankRecord& a, const TankRecord& b) {
  return a.date == b.date && a.state == b.state && a.photograph == b.photograph &&
         same_number(a.tail_down_deg, b.tail_down_deg) &&
         same_number(a.tail_down_sd_deg, b.tail_down_sd_deg) &&
         same_number(a.list_deg, b.list_deg) && same_number(a.list_sd_deg, b.list_sd_deg) &&
         same_number(a.sank_with_g, b.sank_with_g) && same_number(a.sank_sd_g, b.sank_sd_g) &&
         same_water(a.water, b.water) && same_number(a.mass_before_g, b.mass_before_g) &&
         same_number(a.mass_after_g, b.mass_after_g) && a.notes == b.notes;
}

}  // namespace trueblank::notebook
