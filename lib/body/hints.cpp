// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/hints.h"

#include <array>
#include <charconv>
#include <cmath>
#include <string_view>
#include <utility>

namespace trueblank::body {
namespace {

constexpr std::array<std::pair<Unit, std::string_view>, 4> kUnits = {
    {{Unit::mm, "mm"}, {Unit::cm, "cm"}, {Unit::m, "m"}, {Unit::in, "in"}}};

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

std::optional<double> number_in(std::string_view text) {
  text = trimmed(text);
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) return {};
  return value;
}

}  // namespace

double mm_per(Unit unit) {
  switch (unit) {
    case Unit::mm:
      return 1;
    case Unit::cm:
      return 10;
    case Unit::m:
      return 1000;
    case Unit::in:
      return 25.4;  // exactly, by the international yard and pound agreement of 1959
  }
  return 1;
}

std::string_view unit_name(Unit unit) {
  for (const auto& [known, its_name] : kUnits) {
    if (known == unit) return its_name;
  }
  return "mm";
}

std::optional<Unit> unit_named(std::string_view name) {
  for (const auto& [unit, its_name] : kUnits) {
    if (name == its_name) return unit;
  }
  return {};
}

std::optional<Vec3> direction_named(std::string_view text) {
  text = trimmed(text);
  std::string_view axis = text;
  double sign = 1;
  if (axis.starts_with('+') || axis.starts_with('-')) {
    sign = axis.front() == '-' ? -1 : 1;
    axis.remove_prefix(1);
  }
  if (axis == "x") return sign * Vec3::UnitX();
  if (axis == "y") return sign * Vec3::UnitY();
  if (axis == "z") return sign * Vec3::UnitZ();
  Vec3 vector = Vec3::Zero();
  for (int k = 0; k < 3; ++k) {
    const std::size_t comma = text.find(',');
    if ((comma == std::string_view::npos) != (k == 2)) return {};
    const std::optional<double> entry = number_in(text.substr(0, comma));
    if (!entry) return {};
    vector[k] = *entry;
    if (k < 2) text.remove_prefix(comma + 1);
  }
  const double length = vector.stableNorm();
  if (!(length > 0) || !std::isfinite(length)) return {};
  return vector.stableNormalized();
}

}  // namespace trueblank::body
