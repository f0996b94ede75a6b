// SPDX-License-Identifier: GPL-3.0-or-later
#include "values.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "messages.h"
#include "rig/limits.h"
#include "rig/materials.h"
#include "sheet/quantity.h"

namespace trueblank::tools {

namespace {

using geometry::Vec3;
using sheet::Quantity;

constexpr int most_threads = 256;
constexpr int most_stations = 100000;
constexpr long long most_builds = 1'000'000;
constexpr long long most_facets = 100'000'000;
constexpr long long most_seed = (1LL << 53) - 1;  // what every reader of JSON gives back

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

// The number that `text` begins with; takes it off the text.
std::optional<double> take_number(std::string_view& text) {
  if (text.starts_with('+') && text.size() > 1 && text[1] != '-') text.remove_prefix(1);
  double value = 0;
  const auto result = std::from_chars(text.data(), text.data() + text.size(), value);
  if (result.ec != std::errc() || !std::isfinite(value)) return {};
  text.remove_prefix(static_cast<std::size_t>(result.ptr - text.data()));
  return value;
}

std::optional<double> whole_number(std::string_view text) {
  text = trimmed(text);
  const std::optional<double> value = take_number(text);
  return text.empty() ? value : std::nullopt;
}

// "14", "14 g", "1/2 oz": the value in the default unit; nothing where it is not one.
std::optional<double> quantity(std::string_view text, Quantity what) {
  using Fault = sheet::ReadQuantity::Fault;
  const sheet::ReadQuantity read = sheet::read_quantity(text, what);
  const bool good = read.fault == Fault::none || read.fault == Fault::no_unit;
  return good && std::isfinite(read.value) ? std::optional(read.value) : std::nullopt;
}

double positive(const std::string& option, const std::string& text, Quantity quantity_of,
                const std::string& what, const std::string& write) {
  const std::optional<double> value = quantity(text, quantity_of);
  if (!value || *value <= 0) throw bad_value(option, text, what, write);
  return *value;
}

// Numbers with commas between, exactly as many as asked for.
std::optional<std::vector<double>> numbers(std::string_view text, std::size_t count) {
  std::vector<double> values;
  while (true) {
    const std::size_t comma = text.find(',');
    const std::optional<double> value = whole_number(text.substr(0, comma));
    if (!value) return {};
    values.push_back(*value);
    if (comma == std::string_view::npos) break;
    text.remove_prefix(comma + 1);
  }
  if (values.size() != count) return {};
  return values;
}

// A whole number within bounds, digits alone.
long long count_value(const std::string& option, const std::string& text, long long least,
                      long long most, const std::string& what) {
  long long value = 0;
  const auto result = std::from_chars(text.data(), text.data() + text.size(), value);
  if (result.ec != std::errc() || result.ptr != text.data() + text.size() || value < least ||
      value > most) {
    throw bad_value(option, text, what,
                    "a whole number from " + std::to_string(least) + " to " + std::to_string(most));
  }
  return value;
}

Vec3 one_point(const std::string& option, const std::string& text, const std::string& then = "") {
  const std::optional<std::vector<double>> values = numbers(text, 3);
  if (!values) {
    throw bad_value(option, text, "a point", "X,Y,Z in mm, such as 12.5,0,-3" + then);
  }
  return {(*values)[0], (*values)[1], (*values)[2]};
}

// What was seen as it is written.
struct RawSeen {
  std::optional<std::string> tail_down, list, sank_with, water, temperature;
};

RawSeen split_seen(const std::string& option, const std::string& text) {
  constexpr const char* write =
      "KEY=VALUE with commas between, as in tail_down=14,list=-3,sank_with=5 or "
      "tail_down=14,water=fresh,temperature=18";
  RawSeen raw;
  const std::array<std::pair<std::string_view, std::optional<std::string>*>, 5> keys = {
      {{"tail_down", &raw.tail_down},
       {"list", &raw.list},
       {"sank_with", &raw.sank_with},
       {"water", &raw.water},
       {"temperature", &raw.temperature}}};
  for (std::string_view rest = text; !rest.empty();) {
    const std::size_t comma = std::min(rest.find(','), rest.size());
    const std::string_view pair = rest.substr(0, comma);
    rest.remove_prefix(std::min(comma + 1, rest.size()));
    const std::size_t equals = std::min(pair.find('='), pair.size());
    const auto key = std::ranges::find(keys, trimmed(pair.substr(0, equals)),
                                       [](const auto& known) { return known.first; });
    if (equals == pair.size() || key == keys.end() || *key->second) {
      throw bad_value(option, text, "what was seen", write);
    }
    *key->second = std::string(trimmed(pair.substr(equals + 1)));
  }
  if (!raw.tail_down && !raw.list && !raw.sank_with) {
    throw bad_value(option, text, "what was seen", write);
  }
  return raw;
}

std::optional<double> seen_angle(const std::string& option, const std::optional<std::string>& text,
                                 double most_deg) {
  if (!text) return {};
  const std::optional<double> deg = whole_number(*text);
  if (!deg || std::abs(*deg) > most_deg) {
    throw bad_value(option, *text, "such an angle", "degrees, such as 12.5");
  }
  return deg;
}

std::optional<rig::Water> seen_water(const std::string& option, const RawSeen& raw) {
  const bool kind = raw.water == "fresh" || raw.water == "sea";
  if (raw.temperature && !kind) {
    throw bad_value(option + " temperature", *raw.temperature, "of use here",
                    "water=fresh or water=sea beside it");
  }
  if (!raw.water) return {};
  return water_value(option + " water", *raw.water,
                     raw.temperature
                         ? water_temperature_value(option + " temperature", *raw.temperature)
                         : tub_temperature_c);
}

}  // namespace

int threads_value(const std::string& option, const std::string& text) {
  return static_cast<int>(count_value(option, text, 1, most_threads, "a number of threads"));
}

int builds_value(const std::string& option, const std::string& text) {
  return static_cast<int>(count_value(option, text, 1, most_builds, "a number of builds"));
}

int facets_value(const std::string& option, const std::string& text) {
  return static_cast<int>(count_value(option, text, 4, most_facets, "a number of facets"));
}

geometry::Vec3 point_value(const std::string& option, const std::string& text) {
  return one_point(option, text);
}

std::array<double, 3> bed_value(const std::string& option, const std::string& text) {
  const geometry::Vec3 bed = one_point(option, text);
  if (!(bed.minCoeff() > 0)) {
    throw bad_value(option, text, "the size of a bed",
                    "how wide, deep and high, such as 220,220,250");
  }
  return {bed.x(), bed.y(), bed.z()};
}

std::uint64_t seed_value(const std::string& option, const std::string& text) {
  return static_cast<std::uint64_t>(count_value(option, text, 0, most_seed, "a seed"));
}

double length_value(const std::string& option, const std::string& text) {
  return positive(option, text, Quantity::length, "a length above zero",
                  "millimetres, such as 165, or with a unit, such as \"6.5 in\"");
}

double limit_value(const std::string& option, const std::string& text) {
  const std::optional<double> value = quantity(text, Quantity::length);
  if (!value || *value < 0) throw bad_value(option, text, "a limit", "millimetres, such as 0.3");
  return *value;
}

double mass_value(const std::string& option, const std::string& text) {
  return positive(option, text, Quantity::mass, "a mass above zero",
                  "grams, such as 31.4, or with a unit, such as \"1.1 oz\"");
}

double density_value(const std::string& option, const std::string& text) {
  return positive(option, text, Quantity::density, "a density above zero",
                  "g/cm3, such as 0.37, or with a unit, such as \"370 kg/m3\"");
}

double plain_value(const std::string& option, const std::string& text, const std::string& what,
                   const std::string& write) {
  const std::optional<double> value = whole_number(text);
  if (!value) throw bad_value(option, text, what, write);
  return *value;
}

body::Unit unit_value(const std::string& option, const std::string& text) {
  const std::optional<body::Unit> unit = body::unit_named(text);
  if (!unit) throw bad_value(option, text, "a unit", "mm, cm, m or in");
  return *unit;
}

Vec3 direction_value(const std::string& option, const std::string& text) {
  const std::optional<Vec3> direction = body::direction_named(text);
  if (!direction) {
    throw bad_value(option, text, "a direction",
                    "an axis of the file, +x to -z, or a vector such as 0.3,-0.9,0.1");
  }
  return *direction;
}

geometry::Plane plane_value(const std::string& option, const std::string& text) {
  const std::string write = "NX,NY,NZ,OFFSET, such as 0,1,0,2.5 for the plane y = 2.5 mm";
  const std::optional<std::vector<double>> values = numbers(text, 4);
  if (!values) throw bad_value(option, text, "a plane", write);
  const Vec3 normal((*values)[0], (*values)[1], (*values)[2]);
  const double length = normal.stableNorm();
  if (length == 0 || !std::isfinite(length)) throw bad_value(option, text, "a plane", write);
  return {normal / length, (*values)[3] / length};
}

std::array<Vec3, 3> split_line_value(const std::string& option,
                                     const std::vector<std::string>& text) {
  std::array<Vec3, 3> points;
  for (std::size_t i = 0; i < 3; ++i) points[i] = one_point(option, text[i], ", three times");
  const Vec3 a = points[1] - points[0];
  const Vec3 b = points[2] - points[0];
  // Within a thousandth of a degree or so of one line they fix no plane.
  if (a.cross(b).norm() <= 1e-5 * a.norm() * b.norm()) {
    throw bad_value(option, text[0] + " " + text[1] + " " + text[2], "a plane",
                    "three points that are not on one line");
  }
  return points;
}

std::pair<Vec3, Vec3> eyes_value(const std::string& option, const std::vector<std::string>& text) {
  std::pair<Vec3, Vec3> eyes = {one_point(option, text[0], ", twice"),
                                one_point(option, text[1], ", twice")};
  if (eyes.first == eyes.second) {  // as written: the very same point
    throw bad_value(option, text[0] + " " + text[1], "a line", "two points that lie apart");
  }
  return eyes;
}

symmetry::StationSpacing stations_value(const std::string& option, const std::string& text) {
  const std::string write = "a number of slices, such as 20, or a step, such as 10mm";
  int count = 0;
  const auto result = std::from_chars(text.data(), text.data() + text.size(), count);
  if (result.ec == std::errc() && result.ptr == text.data() + text.size()) {
    if (count < 1) throw bad_value(option, text, "a number of stations", write);
    if (count > most_stations) throw too_many_stations(most_stations);
    return {.count = count};
  }
  if (whole_number(text)) throw bad_value(option, text, "a number of stations or a step", write);
  return {.step_mm =
              positive(option, text, Quantity::length, "a number of stations or a step", write)};
}

OtherWood wood_value(const std::string& option, const std::string& text) {
  if (const std::optional<rig::Wood> wood = rig::find_wood(text)) {
    return {.name = std::string(wood->name), .density_g_cm3 = wood->density_g_cm3};
  }
  if (text.find_first_of("0123456789") == std::string::npos) {
    throw bad_value(option, text, "a wood in the table",
                    "a name such as western redcedar, or a density in g/cm3");
  }
  return {.density_g_cm3 = density_value(option, text)};
}

double water_temperature_value(const std::string& option, const std::string& text) {
  const double c = plain_value(option, text, "a temperature", "degC, such as 20");
  if (c < rig::coldest_water_c || c > rig::warmest_water_c) {
    throw bad_value(option, text, "the temperature of a water", "-2 to 40 degC");
  }
  return c;
}

rig::Water water_value(const std::string& option, const std::string& text, double temperature_c) {
  if (text == "fresh") return rig::water_at(0, temperature_c);
  if (text == "sea") return rig::water_at(rig::sea_salinity, temperature_c);
  rig::Water water{.temperature_c = temperature_c, .density_given = true};
  water.density_g_cm3 = density_value(option, text);
  return water;
}

tuning::Seen seen_value(const std::string& option, const std::string& text) {
  const RawSeen raw = split_seen(option, text);
  tuning::Seen seen;
  seen.tail_down_deg = seen_angle(option + " tail_down", raw.tail_down, 90);
  seen.list_deg = seen_angle(option + " list", raw.list, 180);
  if (raw.sank_with) {
    seen.sank_with_g = quantity(*raw.sank_with, Quantity::mass);
    if (!seen.sank_with_g || *seen.sank_with_g <= 0) {
      throw bad_value(option + " sank_with", *raw.sank_with, "such a mass",
                      "grams, such as 4, or 4 g");
    }
  }
  seen.water = seen_water(option, raw);
  return seen;
}

void check_seen(const BallastRequest& request) {
  if (!request.seen) return;
  const auto refuse = [](const char* option, bool given) {
    if (given) throw not_with_seen(option);
  };
  refuse("--write", !request.write.empty());
  refuse("--plan", !request.plan.empty());
  refuse("--page", !request.common.page.empty());
  refuse("--wood", request.wood.has_value());
  refuse("--woods", request.woods);
  refuse("--hooks", request.hooks);
}

void check_stations(const symmetry::StationSpacing& spacing, double length_mm) {
  if (spacing.count == 0 && length_mm > most_stations * spacing.step_mm) {
    throw too_many_stations(most_stations);
  }
}

}  // namespace trueblank::tools
