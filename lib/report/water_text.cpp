// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/water_text.h"

#include <cmath>

#include "report/layout.h"
#include "report/pose_text.h"

namespace trueblank::report {

namespace {

std::string celsius(double temperature_c) {
  const bool whole = temperature_c == std::round(temperature_c);
  return fixed(temperature_c, whole ? 0 : 1) + " °C";
}

std::string salinity_words(double salinity) {
  const bool whole = salinity == std::round(salinity);
  return "salinity " + fixed(salinity, whole ? 0 : 2);
}

enum class Carries { always, never, when_cold };

// What one kind of water does from 4 to 28 °C.
struct Kind {
  Carries carries = Carries::always;
  double flips_at_c = 0;
};

Kind kind_of(const water::WatersTable& table, double salinity) {
  for (const water::Flip& flip : table.flips) {
    if (flip.salinity == salinity) return {Carries::when_cold, flip.temperature_c};
  }
  for (const water::InWater& one : table.waters) {
    if (one.salinity == salinity && one.reserve_g <= 0) return {Carries::never, 0};
  }
  return {};
}

// "tail 10° down", "nose 3° down", "level", to the whole degree.
std::string whole_trim(double tail_down_deg) {
  const double whole = std::round(tail_down_deg);
  if (whole == 0) return "level";
  return (whole > 0 ? "tail " : "nose ") + fixed(std::abs(whole), 0) + "° down";
}

std::string trim_band(const water::Band& tail_down_deg) {
  const double low = std::round(tail_down_deg.low);
  const double high = std::round(tail_down_deg.high);
  if (low == high) return whole_trim(low);
  if (low >= 0) return "tail " + fixed(low, 0) + "° to " + fixed(high, 0) + "° down";
  if (high <= 0) return "nose " + fixed(-high, 0) + "° to " + fixed(-low, 0) + "° down";
  return "anything from " + whole_trim(low) + " to " + whole_trim(high);
}

std::string rate_band(const water::Band& rate_m_s) {
  const std::string low = figures(rate_m_s.low, 2);
  const std::string high = figures(rate_m_s.high, 2);
  return low == high ? low + " m/s" : low + " to " + high + " m/s";
}

std::string state_word(double reserve_g) { return reserve_g > 0 ? "floats" : "sinks"; }

}  // namespace

std::string kind_words(const rig::Water& water) {
  if (water.density_given) return fixed(water.density_g_cm3, 4) + " g/cm³";
  const std::string kind = water.salinity == 0                   ? "fresh"
                           : water.salinity == rig::sea_salinity ? "sea"
                                                                 : salinity_words(water.salinity);
  return kind + ", " + celsius(water.temperature_c);
}

std::string water_text(const rig::Water& water) {
  const std::string density = fixed(water.density_g_cm3, 4) + " g/cm³";
  if (water.density_given) return density + ", as given";
  const std::string kind =
      water.salinity == 0 ? "fresh" : "salt (" + salinity_words(water.salinity) + ")";
  return kind + ", " + celsius(water.temperature_c) + ": " + density;
}

std::string tank_sentence(const FloatResult& result, const TextStyle& style) {
  const water::TankView& view = result.tank.view;
  const bool otherwise = (view.reserve_g > 0) != (result.balance.reserve_g > 0);
  std::string text = "In the tub (" + kind_words(result.tank.water) + ")";
  text += otherwise ? " it " + state_word(view.reserve_g) + ": " : ": ";
  text += reserve_words(view.reserve_g, style);
  if (!view.tail_down_deg) return text + "; it does not come to rest.";
  // Under water no way up is better than another, or one is.
  if (view.reserve_g <= 0 && view.indifferent) return text + "; it stays any way up.";
  text += view.reserve_g > 0 ? "; " : "; set free it hangs ";
  text += lie_words(*view.tail_down_deg, view.list_deg);
  if (view.pose_count > 1) {
    text += " (" + percent(view.share) +
            " of all starts; ways to lie: " + std::to_string(view.pose_count) + ")";
  }
  return text + ".";
}

std::string waters_sentence(const water::WatersTable& table) {
  const Kind fresh = kind_of(table, 0);
  const Kind sea = kind_of(table, rig::sea_salinity);
  if (fresh.carries == Carries::when_cold) {
    return "It floats in the sea, and in fresh water colder than " + fixed(fresh.flips_at_c, 1) +
           " °C; in warmer fresh water it sinks.";
  }
  if (sea.carries == Carries::when_cold) {
    return "It sinks in fresh water, and in sea water warmer than " + fixed(sea.flips_at_c, 1) +
           " °C; in colder sea water it floats.";
  }
  if (fresh.carries == sea.carries) {
    const std::string does = fresh.carries == Carries::always ? "floats" : "sinks";
    return "It " + does + " in fresh and in sea water, at 4 to 28 °C alike.";
  }
  return "It floats in the sea and sinks in fresh water, at 4 to 28 °C alike.";
}

std::string fall_words(const water::SinkEstimate& estimate) {
  return "an estimated " + rate_band(estimate.rate_m_s) + ", " + trim_band(estimate.tail_down_deg) +
         " while falling";
}

std::string line_sentence(const FloatResult& result) {
  if (!result.tight_line) return "";
  const water::TightLine& line = result.tight_line->line;
  return " On a tight line from the " + shown(result.tight_line->eye) +
         (line.holds_down ? ", held under by it, it lies " : " it hangs ") +
         lie_words(line.tail_down_deg, line.list_deg) + ".";
}

std::string hover_words(const FloatResult& result, const TextStyle& style) {
  if (result.to_hover.empty()) return "";
  const std::string change = result.to_hover.front().grams.add ? " more" : " less";
  std::string inside;
  std::string outside;
  for (const MetalToHover& one : result.to_hover) {
    const std::string of = change + ' ' + one.metal;
    inside += (inside.empty() ? "" : " or ") + mass_text(one.grams.in_wood_g, style) + of;
    outside += (outside.empty() ? "" : " or ") + mass_text(one.grams.outside_g, style);
  }
  return inside + " in its wood, or " + outside + " stuck on outside";
}

std::string waters_table_text(const water::WatersTable& table) {
  Table text;
  text.row({"water", "°C", "g/cm³", "reserve g", "it"});
  for (const water::InWater& one : table.waters) {
    text.row({one.salinity == 0 ? "fresh" : "sea", fixed(one.temperature_c, 0),
              fixed(one.density_g_cm3, 4), fixed(one.reserve_g, 2),
              one.state == water::State::suspends ? "suspends" : state_word(one.reserve_g)});
  }
  return text.text() + "  It would hang in water of " + fixed(table.hovers_in_g_cm3, 4) +
         " g/cm³. Swelling of the wood is left out.\n";
}

}  // namespace trueblank::report
