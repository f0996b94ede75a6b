// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/float_report.h"

#include <cmath>

#include "report/input_text.h"
#include "report/layout.h"

namespace trueblank::report {

namespace {

// Angles from which on another word is used. Level and upright are what the eye takes for them in
// a tub; the flank begins half way between back up and on the side.
constexpr double level_deg = 0.5;
constexpr double flank_deg = 45;
constexpr double belly_deg = 135;
constexpr double upright_deg = 85;  // beyond it a list has no meaning
constexpr double steep_deg = 60;

// Up to 7.4 g of surface tension a metre of waterline, and a lure has about 0.4 m of it: below
// this a dry lure may float higher than told.
constexpr double skin_of_water_g = 3;

constexpr std::size_t poses_in_answer = 3;

std::string degrees(double deg) { return fixed(deg, 1) + "°"; }

std::string trim_words(double tail_down_deg) {
  if (std::abs(tail_down_deg) < level_deg) return "level";
  std::string text = tail_down_deg > 0 ? "tail " : "nose ";
  text += degrees(std::abs(tail_down_deg)) + " down";
  if (std::abs(tail_down_deg) > steep_deg) text += ", nearly upright";
  return text;
}

std::string list_words(double list_deg) {
  const bool right = list_deg > 0;
  const double list = std::abs(list_deg);
  const std::string side = right ? "right" : "left";
  if (list < level_deg) return "back up";
  if (list < flank_deg) return "back up but listing " + degrees(list) + " to the " + side;
  if (list <= belly_deg) return "on its " + side + " flank (list " + degrees(list) + ")";
  if (180 - list < level_deg) return "belly up";
  return "belly up, turned over to the " + side + " (list " + degrees(list) + ")";
}

std::string under_water(const FloatResult& result, const water::RestPose& pose) {
  return percent(pose.submerged_mm3 / result.volume_mm3);
}

// "71 % under water": only where there is a waterline to speak of.
std::string depth_words(const FloatResult& result, const water::RestPose& pose) {
  return pose.waterline_offset_mm ? ", " + under_water(result, pose) + " under water" : "";
}

std::string other_poses(const std::vector<water::RestPose>& poses) {
  if (poses.size() < 2) return "";
  std::string text = " It lies so from " + percent(poses[0].share) + " of all starts; it can also ";
  text += "lie ";
  for (std::size_t i = 1; i < poses.size() && i < poses_in_answer; ++i) {
    if (i > 1) text += ", or ";
    text += pose_words(poses[i]) + " (share " + percent(poses[i].share) + ")";
  }
  if (poses.size() > poses_in_answer) {
    text += ", and in " + std::to_string(poses.size() - poses_in_answer) + " more ways";
  }
  return text + ".";
}

std::string sinks_answer(const FloatResult& result, const TextStyle& style) {
  const water::Balance& balance = result.balance;
  std::string text = balance.state == water::State::suspends
                         ? "Suspends: " + mass_text(-balance.reserve_g, style) +
                               " in water, within 1 % of its mass"
                         : "Sinks: " + mass_text(-balance.reserve_g, style) + " in water";
  if (balance.poses.empty()) return text + ".";
  return text + "; set free under water it hangs " + pose_words(balance.poses[0]) +
         " before it gathers speed, which is not its angle while falling.";
}

std::string floats_answer(const FloatResult& result, const TextStyle& style) {
  const water::Balance& balance = result.balance;
  const bool suspends = balance.state == water::State::suspends;
  const std::string reserve = mass_text(balance.reserve_g, style) + " in reserve";
  if (balance.poses.empty()) {
    return "No rest: it turns without stopping anywhere; " + reserve + ".";
  }
  const water::RestPose& first = balance.poses[0];
  std::string text;
  if (suspends) text = "Suspends, " + reserve + ", within 1 % of its mass. At the surface it lies ";
  if (!suspends) text = "Lies ";
  text += pose_words(first) + depth_words(result, first);
  if (!suspends) text += "; " + reserve;
  if (result.list_per_1g_2mm_deg && !first.indifferent) {
    text += "; 1 g moved 2 mm sideways lists it by " + degrees(*result.list_per_1g_2mm_deg);
  }
  return text + "." + other_poses(balance.poses);
}

std::string water_text(const rig::Water& water) {
  const std::string density = fixed(water.density_g_cm3, 4) + " g/cm³";
  if (water.density_given) return density + ", as given";
  const std::string kind =
      water.salinity == 0 ? "fresh" : "salt (salinity " + figures(water.salinity, 3) + ")";
  return kind + ", " + figures(water.temperature_c, 3) + " °C: " + density;
}

std::string mass_table(const FloatResult& result, const TextStyle& style) {
  Table table;
  std::vector<std::string> names{"what weighs", "mass g", "x mm", "y mm", "z mm"};
  if (style.imperial) names.insert(names.begin() + 2, "oz");
  table.row(names);
  const auto add = [&](const std::string& name, double mass_g, const geometry::Vec3& at) {
    std::vector<std::string> cells{shown(name), fixed(mass_g, 2), fixed(at.x(), 1),
                                   fixed(at.y(), 1), fixed(at.z(), 1)};
    if (style.imperial) cells.insert(cells.begin() + 2, fixed(ounces(mass_g), 3));
    table.row(cells);
  };
  for (const rig::MassPart& part : result.lure.parts) add(part.name, part.mass_g, part.centre_mm);
  add("all", result.lure.mass_g, result.lure.centre_of_mass_mm);
  return table.text();
}

std::string maybe(const std::optional<double>& value, int decimals) {
  return value ? fixed(*value, decimals) : "–";
}

std::string pose_table(const FloatResult& result) {
  if (result.balance.poses.empty()) return "";
  Table table;
  table.row({"pose", "share", "tail down", "list", "under water", "roll", "pitch", "least",
             "GM roll", "GM pitch"});
  table.row({"", "%", "°", "°", "%", "g·mm/°", "g·mm/°", "g·mm/°", "mm", "mm"});
  int number = 0;
  for (const water::RestPose& pose : result.balance.poses) {
    table.row({std::to_string(++number) + (pose.indifferent ? " (rolls)" : ""),
               fixed(100 * pose.share, 0), fixed(pose.tail_down_deg, 1), maybe(pose.list_deg, 1),
               fixed(100 * pose.submerged_mm3 / result.volume_mm3, 0),
               maybe(pose.roll_stiffness_g_mm_per_deg, 2),
               maybe(pose.pitch_stiffness_g_mm_per_deg, 2),
               fixed(pose.least_stiffness_g_mm_per_deg, 2), maybe(pose.gm_roll_mm, 2),
               maybe(pose.gm_pitch_mm, 1)});
  }
  return table.text() +
         "  Stiffness in g·mm per degree: at 5, 1 g moved 5 mm sideways lists the lure by 1°.\n";
}

// What only --verbose wants: the frame and where each pose's forces act.
void add_details(Facts& facts, const FloatResult& result) {
  add_frame(facts, result.frame, result.guessed);
  int number = 0;
  for (const water::RestPose& pose : result.balance.poses) {
    facts.add("pose " + std::to_string(++number),
              "up " + point_text(pose.up, 5) + ", waterline at " +
                  maybe(pose.waterline_offset_mm, 2) + " mm along it, waterplane " +
                  fixed(pose.waterplane_mm2, 1) + " mm², centre of buoyancy " +
                  point_text(pose.centre_of_buoyancy_mm, 2) + " mm");
  }
}

std::string cautions(const FloatResult& result) {
  std::string text;
  if (std::abs(result.balance.reserve_g) < skin_of_water_g) {
    text += paragraph(
        "Little reserve: the skin of the water can hold up a dry lure by a gram or two, and that "
        "is left out here. Wet it well, with a drop of soap in the tub.");
  }
  if (result.has_lead) {
    text += paragraph(
        "Lead: wash your hands, keep it from children and food; local rules come first, and some "
        "ban it. Tin, bismuth or brass do it without lead, tungsten in less room.");
  }
  return text;
}

}  // namespace

std::string pose_words(const water::RestPose& pose) {
  if (pose.tail_down_deg > upright_deg) return "with the tail straight down";
  if (pose.tail_down_deg < -upright_deg) return "with the nose straight down";
  if (!pose.list_deg) {
    return "any side up (it rolls freely about its long axis), " + trim_words(pose.tail_down_deg);
  }
  return list_words(*pose.list_deg) + ", " + trim_words(pose.tail_down_deg) +
         (pose.indifferent ? ", one of a ring that it turns through freely" : "");
}

std::string answer(const FloatResult& result, const TextStyle& style) {
  return result.balance.reserve_g < 0 ? sinks_answer(result, style) : floats_answer(result, style);
}

std::string to_text(const FloatResult& result, const TextStyle& style) {
  Facts facts;
  facts.add("sheet",
            shown(result.sheet) + (result.title.empty() ? "" : ": " + shown(result.title)));
  add_input(facts, result.input);
  facts.add("length", length_text(result.length_mm, 1, style) + ", body " +
                          fixed(result.volume_mm3 / 1000, 2) + " cm³");
  facts.add("wood", (result.wood_name.empty() ? "" : result.wood_name + ", ") +
                        fixed(result.wood_density_g_cm3, 3) + " g/cm³");
  facts.add("water", water_text(result.water));
  facts.add("mass", mass_text(result.balance.mass_g, style) + "; wholly under water it displaces " +
                        mass_text(result.balance.displacement_full_g, style));
  facts.add("rig", figures(result.lure.ratio_g_per_100g_wood, 3) +
                       " g of wire, weights and hooks per 100 g of wood; " +
                       figures(result.lure.ratio_without_hooks_g_per_100g_wood, 3) +
                       " g without the hooks");
  if (style.verbose) add_details(facts, result);
  std::string text = paragraph(answer(result, style)) + '\n' + facts.text() + '\n' +
                     mass_table(result, style) + '\n' + pose_table(result);
  const std::string last = cautions(result) + notes(result.warnings);
  return last.empty() ? text : text + '\n' + last;
}

}  // namespace trueblank::report
