// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/ballast_words.h"

#include <algorithm>
#include <cmath>

#include "report/layout.h"
#include "report/numbers.h"
#include "report/pose_text.h"
#include "rig/materials.h"
#include "tuning/hole.h"

namespace trueblank::report {

namespace {

using Kind = tuning::WishResult::Kind;
using Limit = tuning::Concession::Limit;

constexpr std::size_t concessions_told = 3;
constexpr double on_the_line_mm = 0.05;  // a tenth of a millimetre is shown

std::string quoted(const std::string& name) { return '"' + shown(name) + '"'; }

std::string mm(double value, int decimals = 1) { return fixed(value, decimals) + " mm"; }

// What is asked of one kind, as it would be taken instead: "tail 16.0° down".
std::string as_taken(const BallastResult& result, Kind kind, double value) {
  const bool sinks = result.wishes.target.state == rig::WantedState::sinks;
  switch (kind) {
    case Kind::tail_down:
      return trim_words(value);
    case Kind::reserve:
      return fixed(value, 1) + (sinks ? " g in water" : " g in reserve");
    case Kind::least_stiffness:
      return "a least stiffness of " + fixed(value, 2) + " g·mm per degree";
    case Kind::wall:
      return mm(value) + " of wood around the holes";
    case Kind::list:
      return "a list of " + degrees(value);
    case Kind::sink_rate:
      return "a fall of " + fixed(value, 2) + " m/s";
    case Kind::state:
    case Kind::stands:
      break;
  }
  return "that";
}

bool unmet(const tuning::Plan& plan, Kind kind) {
  return std::ranges::any_of(
      plan.wishes, [&](const tuning::WishResult& wish) { return wish.kind == kind && !wish.met; });
}

bool gives_way(const std::vector<tuning::Concession>& all, Kind kind) {
  return std::ranges::any_of(all, [&](const tuning::Concession& one) {
    return one.limit == Limit::wish && one.kind == kind;
  });
}

// What is asked and can't be had together with the rest.
std::vector<std::string> clashing(const BallastResult& result) {
  const rig::Target& target = result.wishes.target;
  std::vector<std::string> words;
  const auto add = [&](Kind kind, const std::optional<double>& asked) {
    if (!unmet(result.found.plan, kind) && !gives_way(result.found.concessions, kind)) return;
    if (asked) words.push_back(as_taken(result, kind, *asked));
  };
  if (unmet(result.found.plan, Kind::state) && target.state) {
    words.push_back("that it " + wanted_state_name(*target.state));
  }
  add(Kind::tail_down, target.tail_down_deg);
  add(Kind::reserve, target.reserve_g);
  add(Kind::least_stiffness, target.least_stiffness_min_g_mm_per_deg);
  if (target.sink_rate_m_s) {
    add(Kind::sink_rate, (target.sink_rate_m_s->low + target.sink_rate_m_s->high) / 2);
  }
  add(Kind::wall,
      target.wall_min_mm > 0 ? std::optional<double>(target.wall_min_mm) : std::nullopt);
  if (unmet(result.found.plan, Kind::list)) words.emplace_back("no list");
  if (unmet(result.found.plan, Kind::stands)) words.emplace_back("that it stands up by itself");
  return words;
}

std::string bounds_words(const tuning::Concession& one) {
  switch (one.limit) {
    case Limit::x_low:
      return " with " + quoted(one.place) + " aft of " + mm(one.asked);
    case Limit::x_high:
      return " with " + quoted(one.place) + " ahead of " + mm(one.asked);
    case Limit::mass_high:
      return " with no more than " + fixed(one.asked, 1) + " g in " + quoted(one.place);
    case Limit::wish:
      break;
  }
  return "";
}

std::string way_out(const BallastResult& result, const tuning::Concession& one) {
  switch (one.limit) {
    case Limit::x_low:
      return "allow " + quoted(one.place) + " as far forward as " + mm(one.needed);
    case Limit::x_high:
      return "allow " + quoted(one.place) + " as far aft as " + mm(one.needed);
    case Limit::mass_high:
      return "allow " + fixed(one.needed, 1) + " g in " + quoted(one.place);
    case Limit::wish:
      break;
  }
  return "take " + as_taken(result, one.kind, one.needed);
}

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') {
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
  }
  return text;
}

std::string direction_words(rig::Mouth mouth) {
  switch (mouth) {
    case rig::Mouth::belly:
      return "straight up, towards the back";
    case rig::Mouth::back:
      return "straight down, towards the belly";
    case rig::Mouth::left:
      return "straight across, to the right";
    case rig::Mouth::right:
      return "straight across, to the left";
    case rig::Mouth::nose:
      return "straight aft, along the long axis";
    case rig::Mouth::tail:
      return "straight forward, along the long axis";
  }
  return "";
}

// Where on the skin the drill is set.
std::string start_words(const tuning::DrillPlan& hole, const Bench& bench, const TextStyle& style) {
  std::string text = "on the " + mouth_words(hole.from);
  switch (hole.from) {
    case rig::Mouth::belly:
    case rig::Mouth::back:
      return text + ", " + length_text(hole.start_mm.x(), 1, style) + " from the nose, " +
             aside_words(hole.start_mm.y());
    case rig::Mouth::left:
    case rig::Mouth::right:
      return text + ", " + length_text(hole.start_mm.x(), 1, style) + " from the nose, " +
             length_text(bench.above_belly_mm, 1, style) + " above the belly";
    case rig::Mouth::nose:
    case rig::Mouth::tail:
      break;
  }
  const double z = hole.start_mm.z();
  return text + ", " + aside_words(hole.start_mm.y()) + ", " +
         (std::abs(z) < on_the_line_mm
              ? "on the long axis"
              : mm(std::abs(z)) + (z > 0 ? " above" : " below") + " the long axis");
}

// "the skin", or a part by its name.
std::string neighbour(const std::string& name) { return name == "the skin" ? name : quoted(name); }

std::string wood_left(const tuning::DrillPlan& hole, const TextStyle& style) {
  std::string text;
  if (hole.wall_mm >= 0) {
    text = " Thinnest wood " + length_text(hole.wall_mm, 1, style) + ", to " +
           neighbour(hole.wall_to) + ", at " + mm(hole.wall_at_mm.x()) + '.';
  } else {
    text = " It meets " + neighbour(hole.wall_to) + " by " + mm(-hole.wall_mm) + ", at " +
           mm(hole.wall_at_mm.x()) + ": no wood is left there.";
  }
  if (hole.channel_wall_mm && *hole.channel_wall_mm < hole.wall_mm) {
    text += *hole.channel_wall_mm < 0
                ? " On its way in the drill meets " + neighbour(hole.channel_wall_to) + "."
                : " On its way in the drill leaves " + mm(*hole.channel_wall_mm) + " to " +
                      neighbour(hole.channel_wall_to) + ".";
  }
  if (hole.breaks_out) text += " The drill comes out on the far side.";
  return text;
}

std::string section_left(const tuning::DrillPlan& hole) {
  if (hole.area_left >= 1 && hole.second_moment_left >= 1) return "";
  return " Where it is weakest, at " + mm(hole.weakest_station_mm) + ", " +
         percent(hole.area_left) + " of the section is left and " +
         percent(hole.second_moment_left) + " of its second moment.";
}

}  // namespace

std::string listed(const std::vector<std::string>& words, std::string_view last) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) text += i + 1 == words.size() ? ' ' + std::string(last) + ' ' : ", ";
    text += words[i];
  }
  return text;
}

std::vector<std::string> all_warnings(const BallastResult& result) {
  std::vector<std::string> all = result.lies.warnings;
  const double asked_mm = result.wishes.target.wall_min_mm;
  for (std::size_t i = 0; i < result.found.plan.weights.size(); ++i) {
    const tuning::PlannedWeight& weight = result.found.plan.weights[i];
    const std::string whose = "The weight " + quoted(weight.ballast.name);
    if (weight.wire_wall_mm && *weight.wire_wall_mm < 0) {
      all.push_back(whose + " meets a wire by " + mm(-*weight.wire_wall_mm) +
                    ": lead the wire round it, or slot the weight.");
    } else if (weight.wire_wall_mm && *weight.wire_wall_mm < asked_mm) {
      all.push_back(whose + " has " + mm(*weight.wire_wall_mm) +
                    " of wood to the wire, less than " + "the " + mm(asked_mm) +
                    " asked for; a plan is not refused for that.");
    }
    if (result.holes[i] && result.holes[i]->breaks_out) {
      all.push_back("The hole of " + quoted(weight.ballast.name) + " comes out on the far side.");
    }
  }
  return all;
}

std::optional<std::string> metal_name(double density_g_cm3) {
  for (const rig::Material& one : rig::materials()) {
    if (one.density_g_cm3 == density_g_cm3) return std::string(one.name);  // by name: the same
  }
  return {};
}

std::string metal_words(double density_g_cm3) {
  return metal_name(density_g_cm3).value_or("a metal of " + fixed(density_g_cm3, 2) + " g/cm³");
}

bool is_lead(double density_g_cm3) {
  const std::optional<rig::Material> lead = rig::find_material("lead");
  return lead && lead->density_g_cm3 == density_g_cm3;
}

std::string mouth_name(rig::Mouth mouth) {
  switch (mouth) {
    case rig::Mouth::belly:
      return "belly";
    case rig::Mouth::back:
      return "back";
    case rig::Mouth::left:
      return "left";
    case rig::Mouth::right:
      return "right";
    case rig::Mouth::nose:
      return "nose";
    case rig::Mouth::tail:
      return "tail";
  }
  return "belly";
}

std::string mouth_words(rig::Mouth mouth) {
  const bool flank = mouth == rig::Mouth::left || mouth == rig::Mouth::right;
  const bool end = mouth == rig::Mouth::nose || mouth == rig::Mouth::tail;
  return mouth_name(mouth) + (flank ? " flank" : end ? " end" : "");
}

std::string aside_words(double y_mm) {
  if (std::abs(y_mm) < on_the_line_mm) return "on the middle line";
  return mm(std::abs(y_mm)) + " to the " + (y_mm > 0 ? "right" : "left");
}

std::string weights_words(const tuning::Plan& plan, const TextStyle& style) {
  if (plan.weights.empty()) return "no weight at all";
  std::vector<std::string> words;
  for (const tuning::PlannedWeight& weight : plan.weights) {
    words.push_back(mass_text(weight.ballast.mass_g, style) + " of " +
                    metal_words(weight.ballast.density_g_cm3) + " at " +
                    length_text(weight.ballast.at_mm.x(), 1, style));
  }
  return listed(words, "and");
}

std::string wish_name(Kind kind) {
  switch (kind) {
    case Kind::state:
      return "state";
    case Kind::reserve:
      return "reserve";
    case Kind::tail_down:
      return "tail_down";
    case Kind::list:
      return "list";
    case Kind::least_stiffness:
      return "least_stiffness";
    case Kind::sink_rate:
      return "sink_rate";
    case Kind::wall:
      return "wall";
    case Kind::stands:
      return "stands";
  }
  return "state";
}

std::string wanted_state_name(rig::WantedState state) {
  switch (state) {
    case rig::WantedState::floats:
      return "floats";
    case rig::WantedState::suspends:
      return "suspends";
    case rig::WantedState::sinks:
      return "sinks";
  }
  return "floats";
}

std::string concession_sentence(const BallastResult& result) {
  if (result.found.plan.met) return "";
  const std::vector<std::string> words = clashing(result);
  const std::vector<tuning::Concession>& ways = result.found.concessions;
  std::string text = words.empty() ? "What is asked" : capital(listed(words, "and"));
  text += words.size() == 2  ? " can't both be had"
          : words.size() > 2 ? " can't all be had"
                             : " can't be had";
  const auto bound = std::ranges::find_if(
      ways, [](const tuning::Concession& one) { return one.limit != Limit::wish; });
  if (bound != ways.end()) text += bounds_words(*bound);
  if (ways.empty()) return text + ", and to give way in one thing alone does not do.";
  std::vector<std::string> outs;
  for (std::size_t i = 0; i < ways.size() && i < concessions_told; ++i) {
    outs.push_back(way_out(result, ways[i]));
  }
  return text + ": " + listed(outs, "or") + '.';
}

std::string hole_sentences(const BallastResult& result, std::size_t weight,
                           const TextStyle& style) {
  const rig::Ballast& ballast = result.found.plan.weights[weight].ballast;
  const std::string metal =
      mass_text(ballast.mass_g, style) + " of " + metal_words(ballast.density_g_cm3);
  const std::optional<tuning::DrillPlan>& hole = result.holes[weight];
  if (!hole) {
    const double ball_mm = tuning::slug_of(ballast).length_mm();
    return metal + ", taken as a ball of " + mm(ball_mm) + ", its middle at " +
           mm(ballast.at_mm.x()) +
           ". How to drill for it is told once its [[place]] has a diameter.";
  }
  std::string text = "set the drill " + start_words(*hole, result.bench[weight], style) +
                     ", and drill " + direction_words(hole->from) + ", " +
                     length_text(hole->diameter_mm, 1, style) + " wide and " +
                     length_text(hole->depth_mm, 1, style) + " deep to the hole's flat end. ";
  text += capital(metal) + " fill " + mm(hole->length_mm) + " of it";
  text += hole->plug_mm > 0 ? ", and a plug of the same wood the " + mm(hole->plug_mm) + " over it."
                            : ", up to the skin.";
  return text + wood_left(*hole, style) + section_left(*hole);
}

std::string wire_sentences(const tuning::BendPlan& wire, const TextStyle& style) {
  std::string text = "cut " + length_text(wire.cut_mm, 1, style) + " of " +
                     length_text(wire.diameter_mm, 1, style) + " wire: " + mm(wire.straight_mm) +
                     " along its path and " + mm(wire.eye_mm) + " for each of " +
                     std::to_string(wire.eyes) + " eyes.";
  if (wire.bends.empty()) return text + " It is straight.";
  for (const tuning::BendPlan::Bend& bend : wire.bends) {
    text += " At " + mm(wire.eye_mm + bend.from_start_mm) + " from the cut end bend it by " +
            degrees(bend.angle_deg);
    const double twist = std::abs(bend.twist_deg);
    if (&bend == &wire.bends.front()) {
      text += '.';
    } else if (twist < 0.5) {
      text += ", to the same side.";
    } else if (twist > 179.5) {
      text += ", back to the other side.";
    } else {
      text += ", turned by " + degrees(bend.twist_deg) + " about the wire.";
    }
  }
  return text;
}

}  // namespace trueblank::report
