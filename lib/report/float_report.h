// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "body/load_body.h"
#include "report/numbers.h"
#include "report/sweep_report.h"
#include "rig/mass_budget.h"
#include "rig/mass_model.h"
#include "rig/waters.h"
#include "water/casting.h"
#include "water/rest_poses.h"
#include "water/righting.h"
#include "water/sensitivity.h"
#include "water/sinking.h"
#include "water/tight_line.h"
#include "water/tolerances.h"
#include "water/waters_table.h"

namespace trueblank::report {

/// How the lure hangs on a line that is tied to an eye.
struct OnLine {
  std::string eye;  ///< its name
  geometry::Vec3 eye_mm = geometry::Vec3::Zero();
  water::TightLine line;
};

/// How much of a metal makes a floater hang in the water, or a sinker, where it is taken off.
struct MetalToHover {
  std::string metal;
  water::ToHover grams;
};

/// What the tub at home will show.
struct InTank {
  rig::Water water;
  water::TankView view;
};

/// How well a number of grams is known.
struct Doubt {
  double sd_g = 0;     ///< one standard deviation of what was measured
  double bound_g = 0;  ///< two of those and all bounds together
};

/// What `float` found; everything but `frame` in the body frame.
struct FloatResult {
  body::InputFacts input;        ///< of the sheet's mesh
  body::BodyRecord record = {};  ///< what was done to it, and how well it is known
  std::string sheet;             ///< path as given
  std::string title;             ///< of the sheet, may be empty
  geometry::Frame frame;         ///< file axes
  bool guessed = false;          ///< an end, a side or the turn is a guess
  double length_mm = 0;
  double volume_mm3 = 0;         ///< of the bare body
  double coated_volume_mm3 = 0;  ///< of what the water sees; the same where there is no finish
  std::string wood_name;         ///< may be empty
  double wood_density_g_cm3 = 0;
  bool wood_weighed = false;
  bool has_lead = false;
  rig::Water water;
  rig::RiggedLure lure;
  rig::MassBudget budget;
  water::Balance balance;
  Doubt displacement_doubt = {};  ///< of displacement_full_g
  Doubt reserve_doubt = {};       ///< of reserve_g: a weighed mass stays what it is
  /// How far the first pose lists when 1 g of the lure's own mass moves 2 mm to the side.
  std::optional<double> list_per_1g_2mm_deg = {};
  /// Of each pose, where the sheet has a baseline; else empty.
  std::vector<double> tail_down_baseline_deg = {};
  /// Of each pose; nothing where a list means nothing.
  std::vector<std::optional<water::Righting>> righting = {};
  std::optional<water::Sensitivity> sensitivity = {};  ///< of the first pose
  std::optional<water::ToleranceDraws> draws = {};     ///< about the first pose, where asked for
  std::optional<SweepResult> sweep = {};               ///< where asked for
  water::Casting casting = {};
  std::optional<water::SinkEstimate> sink = {};
  std::optional<OnLine> tight_line = {};
  water::WatersTable waters = {};
  std::vector<MetalToHover> to_hover = {};  ///< lead, and one without lead; none where wood or
                                            ///< water is as heavy as the metal
  InTank tank = {};
  std::vector<std::string> warnings = {};
};

[[nodiscard]] std::string answer(const FloatResult& result, const TextStyle& style);
[[nodiscard]] std::string to_text(const FloatResult& result, const TextStyle& style);
[[nodiscard]] std::string to_json(const FloatResult& result);

}  // namespace trueblank::report
