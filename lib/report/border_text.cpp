// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/border_text.h"

#include "report/layout.h"
#include "report/pose_text.h"

namespace trueblank::report {

namespace {

constexpr double turns_over_deg = 45;
constexpr double still_deg = 10;  // up to there it lies as it did

using Figure = std::optional<double> water::Slope::*;

// A figure of a slope: "lost" where the pose does not outlast the step, "–" where there is none.
std::string figure(const std::optional<water::Slope>& slope, Figure which, int decimals) {
  if (!slope) return "–";
  if (slope->at_border) return "lost";
  const std::optional<double>& value = (*slope).*which;
  return value ? with_sign(*value, decimals) : "–";
}

std::optional<water::Slope> along(const water::PartSlopes& part, std::size_t axis) {
  return part.per_mm ? std::optional((*part.per_mm)[axis]) : std::nullopt;
}

std::string reserve_figure(const std::optional<water::Slope>& slope) {
  return slope ? with_sign(slope->reserve_g, 2) : "–";
}

// What a maker acts on: a gram for trim, reserve and firmness; a millimetre aft for trim, up for
// firmness, to the side for list.
std::string short_table(const water::Sensitivity& all) {
  constexpr Figure tail = &water::Slope::tail_down_deg;
  constexpr Figure list = &water::Slope::list_deg;
  constexpr Figure least = &water::Slope::least_stiffness_g_mm_per_deg;
  Table table;
  table.row({"a little more", "1 g", "1 g", "1 g", "1 mm aft", "1 mm up", "1 mm right"});
  table.row({"", "tail °", "reserve g", "least", "tail °", "least", "list °"});
  const auto add = [&](const std::string& name, const std::optional<water::Slope>& per_g,
                       const water::PartSlopes* part) {
    const auto moved = [&](std::size_t axis) {
      return part == nullptr ? std::nullopt : along(*part, axis);
    };
    table.row({name, figure(per_g, tail, 2), reserve_figure(per_g), figure(per_g, least, 3),
               figure(moved(0), tail, 2), figure(moved(2), least, 3), figure(moved(1), list, 2)});
  };
  add("wood", all.wood_per_g, nullptr);
  for (const water::PartSlopes& part : all.parts) add(shown(part.name), part.per_g, &part);
  return table.text();
}

void add_row(Table& table, const std::string& what, const std::optional<water::Slope>& slope) {
  table.row({what, figure(slope, &water::Slope::tail_down_deg, 3),
             figure(slope, &water::Slope::list_deg, 3), reserve_figure(slope),
             figure(slope, &water::Slope::least_stiffness_g_mm_per_deg, 4)});
}

std::string whole_table(const water::Sensitivity& all) {
  Table table;
  table.row({"a little more", "tail °", "list °", "reserve g", "least"});
  add_row(table, "wood, 1 g", all.wood_per_g);
  add_row(table, "wood, 1 % denser", all.wood_per_percent);
  for (const water::PartSlopes& part : all.parts) {
    add_row(table, shown(part.name) + ", 1 g", part.per_g);
    if (!part.per_mm) continue;
    add_row(table, "  1 mm aft", along(part, 0));
    add_row(table, "  1 mm to the right", along(part, 1));
    add_row(table, "  1 mm up", along(part, 2));
  }
  return table.text();
}

std::string wood_sentence(const water::Slope& slope) {
  std::string text = "1 % denser wood: reserve " + with_sign(slope.reserve_g, 2) + " g";
  if (slope.at_border) return text + ", and this pose is lost.";
  if (slope.tail_down_deg) text += ", tail " + with_sign(*slope.tail_down_deg, 2) + "°";
  if (slope.least_stiffness_g_mm_per_deg) {
    text += ", least stiffness " + with_sign(*slope.least_stiffness_g_mm_per_deg, 3) + " g·mm/°";
  }
  return text + ".";
}

// How it then lies, beside how it lay.
std::string outcome_words(const water::HookChange& change, double reserve_before_g) {
  if (!change.pose) return "comes to no rest that was found";
  const bool floats = change.reserve_g > 0;
  const std::string pose = (floats ? "lies " : "hangs ") + pose_words(*change.pose);
  if (floats != (reserve_before_g > 0)) return (floats ? "floats, and " : "sinks, and ") + pose;
  if (change.rolls) return "rolls, and " + pose;
  if (change.turns_deg.value_or(0) > turns_over_deg) return "turns over, and " + pose;
  return (change.turns_deg.value_or(0) <= still_deg ? "still " : "") + pose;
}

}  // namespace

std::string hook_sentence(const water::HookChange& change, double reserve_before_g,
                          const TextStyle& style) {
  std::string text = "If the " + shown(change.name) + " is ";
  if (change.change == water::Hooked::lost) {
    text += "lost";
  } else {
    text += "one size up (" + mass_text(change.mass_g, style) +
            (change.assumed ? ", taken as a quarter heavier" : "") + ")";
  }
  return text + " it " + outcome_words(change, reserve_before_g) + "; " +
         reserve_words(change.reserve_g, style) + ".";
}

std::string border_text(const FloatResult& result, const TextStyle& style) {
  if (!result.sensitivity) return "";
  const water::Sensitivity& all = *result.sensitivity;
  std::string text = style.verbose ? whole_table(all) : short_table(all);
  text += paragraph("Least: least stiffness, g·mm/°. " + wood_sentence(all.wood_per_percent), 2, 2);
  for (const water::HookChange& change : all.changes) {
    text += paragraph(hook_sentence(change, result.balance.reserve_g, style), 4, 2);
  }
  return text;
}

}  // namespace trueblank::report
