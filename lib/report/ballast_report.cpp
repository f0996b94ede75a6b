// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/ballast_report.h"

#include <algorithm>
#include <cmath>

#include "report/ballast_words.h"
#include "report/draws_text.h"
#include "report/layout.h"
#include "report/numbers.h"
#include "report/pose_text.h"
#include "report/water_text.h"
#include "rig/materials.h"

namespace trueblank::report {

namespace {

using Kind = tuning::WishResult::Kind;

// The poses of the finished rig are those of the plan: it is the same rig.
const water::RestPose* pose_meant(const BallastResult& result) {
  const int pose = result.found.plan.pose;
  const std::vector<water::RestPose>& poses = result.lies.balance.poses;
  if (pose < 0 || static_cast<std::size_t>(pose) >= poses.size()) return nullptr;
  return &poses[static_cast<std::size_t>(pose)];
}

// What of the hooks is not as the sheet has it.
std::string hooks_words(const BallastResult& result, const tuning::Plan& plan,
                        const TextStyle& style) {
  std::string text;
  for (const tuning::PlannedHook& hook : plan.hooks) {
    const HookBefore& before = result.hooks_before[hook.hook];
    text += ", with the " + shown(before.name) + " at " + mass_text(hook.mass_g, style);
    if (hook.eye_mm != before.eye_mm) {
      text += " hung at " + length_text(hook.eye_mm.x(), 1, style);
    }
  }
  return text;
}

std::string lies_so(const BallastResult& result, const TextStyle& style) {
  const tuning::Plan& plan = result.found.plan;
  const std::string reserve = reserve_words(plan.balance.reserve_g, style);
  const water::RestPose* pose = pose_meant(result);
  if (pose == nullptr) return "It then comes to rest nowhere near what is asked; " + reserve + ".";
  std::string text = "It then ";
  text += plan.balance.reserve_g < 0 ? "hangs, set free under water, " : "lies ";
  text += pose_words(*pose) + "; " + reserve + ".";
  if (plan.judged_falling && plan.falls_tail_down_deg) {
    text +=
        " It weighs more than 5 % of its mass in water, so the tail angle asked for is met in "
        "the middle of the band in which it falls: " +
        trim_words(*plan.falls_tail_down_deg) + ".";
  }
  return text;
}

// A row a wish: its name, what is wanted, what is reached.
struct Row {
  std::string what;
  std::string wanted;
  std::string reached;
};

std::string reached_text(const tuning::WishResult& wish, int decimals) {
  return wish.reached ? fixed(*wish.reached, decimals) : "–";
}

std::string around(const tuning::WishResult& wish, int decimals) {
  return fixed(wish.wanted, decimals) + " ± " + fixed(wish.tolerance, decimals);
}

Row row_of(const tuning::WishResult& wish, const BallastResult& result) {
  const rig::Target& target = result.wishes.target;
  switch (wish.kind) {
    case Kind::state:
      return {"it", target.state ? wanted_state_name(*target.state) : "", wish.name};
    case Kind::reserve:
      return {target.state == rig::WantedState::sinks ? "weight in water g" : "reserve g",
              around(wish, 2), reached_text(wish, 2)};
    case Kind::tail_down:
      return {result.found.plan.judged_falling ? "tail down as it falls °" : "tail down °",
              around(wish, 1), reached_text(wish, 1)};
    case Kind::list:
      return {"list °", around(wish, 1), reached_text(wish, 1)};
    case Kind::least_stiffness:
      return {"least stiffness g·mm/°", "≥ " + fixed(wish.wanted, 2), reached_text(wish, 2)};
    case Kind::sink_rate:
      return {"falls at m/s", around(wish, 2), reached_text(wish, 2)};
    case Kind::wall:
      return {"wood around " + shown(wish.name) + " mm", "≥ " + fixed(wish.wanted, 1),
              reached_text(wish, 1)};
    case Kind::stands:
      break;
  }
  return {"lies so from % of all starts", "more than otherwise",
          wish.reached ? fixed(100 * *wish.reached, 0) : "–"};
}

std::string wishes_table(const BallastResult& result) {
  Table table;
  table.row({"wish", "wanted", "reached", "met"});
  for (const tuning::WishResult& wish : result.found.plan.wishes) {
    Row row = row_of(wish, result);
    table.row({std::move(row.what), std::move(row.wanted), std::move(row.reached),
               wish.met ? "yes" : "no"});
  }
  return table.text();
}

std::string plan_table(const BallastResult& result) {
  const tuning::Plan& plan = result.found.plan;
  if (plan.weights.empty()) return "";
  Table table;
  table.row({"weight", "of", "g", "station mm", "above belly mm", "to the right mm"});
  for (std::size_t i = 0; i < plan.weights.size(); ++i) {
    const rig::Ballast& weight = plan.weights[i].ballast;
    table.row({shown(weight.name),
               metal_name(weight.density_g_cm3).value_or(fixed(weight.density_g_cm3, 2) + " g/cm³"),
               fixed(weight.mass_g, 2), fixed(weight.at_mm.x(), 2),
               fixed(result.bench[i].above_belly_mm, 2), fixed(weight.at_mm.y(), 2)});
  }
  return table.text() + "  Places are those of each weight's middle; all that is added: " +
         fixed(plan.added_g, 2) + " g.\n";
}

std::string drilling(const BallastResult& result, const TextStyle& style) {
  std::string text;
  for (std::size_t i = 0; i < result.found.plan.weights.size(); ++i) {
    text += paragraph(
        shown(result.found.plan.weights[i].ballast.name) + ": " + hole_sentences(result, i, style),
        2);
  }
  if (!text.empty()) {
    text += paragraph(
        "Shares of a section are there to compare plans by and are no reckoning of strength; nor "
        "is a wall's thickness a promise of it. A plug counts as wood, and as none there.");
  }
  for (const tuning::PlannedHook& hook : result.found.plan.hooks) {
    const HookBefore& before = result.hooks_before[hook.hook];
    std::string line = shown(before.name) + ":";
    if (hook.mass_g != before.mass_g) {
      line += " take one of " + mass_text(hook.mass_g, style) + " (in the sheet " +
              mass_text(before.mass_g, style) + ").";
    }
    if (hook.eye_mm != before.eye_mm) {
      line += " Hang it at " + length_text(hook.eye_mm.x(), 1, style) + " from the nose (in the " +
              "sheet " + length_text(before.eye_mm.x(), 1, style) + ").";
    }
    text += paragraph(line, 2);
  }
  for (const tuning::BendPlan& wire : result.wires) {
    text += paragraph(shown(wire.name) + ": " + wire_sentences(wire, style), 2);
  }
  if (!result.wires.empty()) {
    std::string eyes = "An eye is reckoned " + fixed(tuning::eye_inside_wires, 1) +
                       " wire diameters wide inside, with " + fixed(tuning::eye_wraps, 0) +
                       " turns round the standing wire, as is common practice.";
    double uncounted_g = 0;
    for (const tuning::BendPlan& wire : result.wires) uncounted_g += wire.eyes_uncounted_g;
    if (uncounted_g > 0) {
      eyes += " The eyes' " + mass_text(uncounted_g, style) +
              " is not counted, as the sheet tells the wire's path alone: weigh the bent wire, "
              "write that into [[wire]] as weighed, and ask again.";
    }
    text += paragraph(eyes);
  }
  return text;
}

std::string brief(const BallastResult& result, const tuning::Plan& plan, const TextStyle& style) {
  std::string text = weights_words(plan, style) + hooks_words(result, plan, style);
  if (plan.pose < 0) return text;
  const water::RestPose& pose = plan.balance.poses[static_cast<std::size_t>(plan.pose)];
  return text + ": " + trim_words(pose.tail_down_deg) + ", " +
         reserve_words(plan.balance.reserve_g, style) + ", least stiffness " +
         fixed(pose.least_stiffness_g_mm_per_deg, 2) + " g·mm/°";
}

std::string others(const BallastResult& result, const TextStyle& style) {
  if (result.found.others.empty()) return "";
  Facts facts;
  int number = 1;
  for (const tuning::Plan& plan : result.found.others) {
    facts.add(std::to_string(++number), brief(result, plan, style));
  }
  return "Other plans that meet every wish:\n" + facts.text();
}

std::string maybe(const std::optional<double>& value, int decimals) {
  return value ? fixed(*value, decimals) : "–";
}

std::string table_over(const std::vector<tuning::TableRow>& rows, const std::string& what,
                       const std::string& unit, int decimals) {
  if (rows.empty()) return "";
  Table table;
  table.row({what, "", "weight", "per 100 g", "reserve", "tail", "least", "1 mm aside", "met"});
  table.row({"", unit, "g", "of wood", "g", "down °", "g·mm/°", "list °", ""});
  for (const tuning::TableRow& row : rows) {
    table.row({shown(row.name), fixed(row.value, decimals), fixed(row.added_g, 2),
               fixed(row.ratio_g_per_100g_wood, 1), fixed(row.reserve_g, 2),
               maybe(row.tail_down_deg, 1), maybe(row.least_stiffness_g_mm_per_deg, 2),
               maybe(row.list_per_mm_deg, 2), row.met ? "yes" : "no"});
  }
  return table.text() +
         "  Aside: how far it lists where the heaviest weight lies 1 mm off the middle line.\n";
}

// What is worth measuring before it is built, of what the figures vary by.
std::string measure_first(const BallastResult& result) {
  constexpr std::size_t rows_told = 5;
  if (!result.varies_by || result.varies_by->of.empty()) return "";
  Table table;
  table.row({"varies by, of its variance %", "tail down", "list", "reserve", "measurable"});
  for (std::size_t i = 0; i < result.varies_by->of.size() && i < rows_told; ++i) {
    const tuning::VarianceShares::One& one = result.varies_by->of[i];
    table.row({shown(one.what), fixed(100 * one.tail_down, 0), fixed(100 * one.list, 0),
               fixed(100 * one.reserve, 0), one.measurable ? "yes" : "no"});
  }
  const auto first = std::ranges::find_if(
      result.varies_by->of, [](const tuning::VarianceShares::One& one) { return one.measurable; });
  std::string text = "Over builds within the sheet's tolerances the tail varies by ± " +
                     fixed(result.varies_by->tail_down_sd_deg, 2) + "°, the list by ± " +
                     fixed(result.varies_by->list_sd_deg, 2) + "°, the reserve by ± " +
                     fixed(result.varies_by->reserve_sd_g, 2) + " g (one standard deviation).";
  if (first != result.varies_by->of.end()) text += " Measure first: " + shown(first->what) + '.';
  return paragraph(text) + table.text();
}

std::string share_sentence(const BallastResult& result) {
  if (!result.found.plan.share_as_meant) return "";
  return "Of builds within the sheet's tolerances " + percent(*result.found.plan.share_as_meant) +
         " lie as meant.";
}

// Suspenders: what a degree of the water does.
std::string water_sentence(const BallastResult& result) {
  if (!result.reserve_per_degree_g) return "";
  return "In water of " + water_text(result.lies.water) + "; each degree warmer takes " +
         fixed(-*result.reserve_per_degree_g, 3) + " g of lift away.";
}

// How big a hole the same grams of other metals want.
std::string without_lead(const rig::Ballast& weight) {
  std::vector<std::string> words;
  for (const char* name : {"bismuth", "tungsten"}) {
    const std::optional<rig::Material> metal = rig::find_material(name);
    if (!metal) continue;
    words.push_back(fixed(weight.mass_g / metal->density_g_cm3, 2) + " cm³ of " + name);
  }
  return shown(weight.name) + ": " + fixed(weight.mass_g / weight.density_g_cm3, 2) +
         " cm³ of lead; of the same mass without lead " + listed(words, "or") + '.';
}

}  // namespace

std::string answer(const BallastResult& result, const TextStyle& style) {
  const tuning::Plan& plan = result.found.plan;
  std::string text = plan.met ? "Met: " : "Not met; the nearest is ";
  text += weights_words(plan, style);
  if (plan.weights.size() == 1) {
    text += ", " + length_text(result.bench[0].above_belly_mm, 1, style) + " above the belly";
  }
  text += hooks_words(result, plan, style) + ". " + lies_so(result, style);
  const std::string concession = concession_sentence(result);
  return concession.empty() ? text : text + ' ' + concession;
}

std::vector<std::string> ballast_cautions(const BallastResult& result) {
  std::vector<std::string> lines;
  std::string lead;
  for (const tuning::PlannedWeight& weight : result.found.plan.weights) {
    if (is_lead(weight.ballast.density_g_cm3)) lead += ' ' + without_lead(weight.ballast);
  }
  if (!lead.empty()) {
    lines.push_back(
        "Never pour molten lead into damp or unsealed wood: the steam throws it out at you. Dry "
        "and seal the hole first, or cast the weight apart and glue it in.");
    lines.push_back("Lead: wash your hands, keep it from children and food; some rules ban it." +
                    lead);
  }
  lines.emplace_back(
      "Clamp a small body to drill it; never hold it by hand. Wood dust harms the lungs: catch it "
      "at the tool and wear a mask that seals.");
  lines.emplace_back("Local rules and each product's own safety sheet come first.");
  return lines;
}

std::string to_text(const BallastResult& result, const TextStyle& style) {
  std::string text = paragraph(answer(result, style));
  const std::string more = share_sentence(result) + water_sentence(result);
  if (!more.empty()) text += paragraph(more);
  for (const std::string& part :
       {wishes_table(result), plan_table(result), drilling(result, style), others(result, style),
        table_over(result.woods, "wood", "g/cm³", 3), table_over(result.hook_sizes, "hook", "g", 1),
        pose_table(result.lies), measure_first(result), draws_text(result.lies)}) {
    if (!part.empty()) text += '\n' + part;
  }
  text += '\n';
  if (style.verbose) text += to_text(result.lies, style) + '\n';
  for (const std::string& line : ballast_cautions(result)) text += paragraph(line);
  return text + notes(all_warnings(result));
}

}  // namespace trueblank::report
