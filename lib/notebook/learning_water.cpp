// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/learning_water.h"

#include <algorithm>

#include "notebook/learning_trials.h"
#include "water/may_be_off.h"

namespace trueblank::notebook {
namespace {

constexpr double least_part_of_mass = 0.02;
constexpr double least_density_factor = 0.1;

/// A build that is off from its sheet, in its sheet's lengths.
struct Made {
  rig::Assembly assembly = {};
  double scale = 1;          ///< how much longer it is
  double water_percent = 0;  ///< taken up by its wood in an hour
};

void put_off(Made& made, const Cause& cause, double amount) {
  switch (cause.kind) {
    case CauseKind::scale_percent:
      made.scale *= 1 + amount / 100;
      break;
    case CauseKind::wood_density_percent:
      if (made.assembly.wood_weighed) break;
      made.assembly =
          rig::with_wood_times(made.assembly, std::max(least_density_factor, 1 + amount / 100));
      break;
    case CauseKind::water_taken_up_percent:
      made.water_percent += amount;
      break;
    case CauseKind::hook_mass_g:
      for (rig::LaidPart& part : made.assembly.parts) {
        if (part.kind != rig::PartKind::hook) continue;
        part = rig::heavier(part, std::max(amount, (least_part_of_mass - 1) * part.mass_g));
      }
      break;
  }
}

// Lets a build go as it was foretold to lie, wet as it is when it is looked at.
FigureSet figures_of(const RebuiltLure& lure, Made made, double soaked_share) {
  const double cubed = made.scale * made.scale * made.scale;
  const rig::RiggedLure dry = rig::add_up(rig::on_scaled_body(made.assembly, made.scale));
  const rig::MassPart& wood = dry.parts.front();
  const double soak_gain_g = made.water_percent / 100 * wood.mass_g * cubed;
  const double taken_up_g = soaked_share * soak_gain_g;
  made.assembly.parts.push_back({.name = "water in the wood",
                                 .kind = rig::PartKind::pocket,
                                 .mass_g = taken_up_g,
                                 .centre_mm = wood.centre_mm * made.scale,
                                 .water_g = taken_up_g});
  const water::Lies lies = water::lies(lure.body, made.assembly, made.scale, lure.up);
  FigureSet figures;
  of(figures, Figure::reserve_g) = lies.reserve_g;
  of(figures, Figure::tail_down_deg) = lies.tail_down_deg;
  of(figures, Figure::list_deg) = lies.list_deg;
  of(figures, Figure::mass_g) = dry.dry_mass_g * cubed;
  of(figures, Figure::soak_gain_g) = soak_gain_g;
  return figures;
}

// What the figures change from one side of a build to the other; nil where one of them is lost.
Eigen::Matrix<double, 5, 1> change(const FigureSet& less, const FigureSet& more) {
  Eigen::Matrix<double, 5, 1> change;
  for (std::size_t i = 0; i < figure_kinds; ++i) {
    change[static_cast<Eigen::Index>(i)] =
        less[i] && more[i] ? apart(static_cast<Figure>(i), *more[i], *less[i]) : 0;
  }
  return change;
}

FigureScatter own_scatter(const RebuiltLure& lure, const rig::Tolerances& tolerances,
                          double soaked_share) {
  const Made nominal{.assembly = in_water(lure.laid, TankRecord{}.water.density_g_cm3)};
  FigureScatter scatter = FigureScatter::Zero();
  const auto add = [&](const auto& put_off_by) {
    Made less = nominal;
    Made more = nominal;
    put_off_by(less, -slope_step);
    put_off_by(more, slope_step);
    const Eigen::Matrix<double, 5, 1> one_sd =
        change(figures_of(lure, std::move(less), soaked_share),
               figures_of(lure, std::move(more), soaked_share)) /
        (2 * slope_step);
    scatter += one_sd * one_sd.transpose();
  };
  for (const water::MayBeOff& one : water::may_be_off(nominal.assembly, tolerances)) {
    add([&](Made& made, double sds) { one.apply(made.assembly, sds * one.sd, made.scale); });
  }
  add([](Made& made, double sds) { made.water_percent += sds * own_water_sd_percent; });
  return scatter;
}

// [x, z] is on the mirror plane, as in a build sheet.
std::optional<geometry::Vec3> point_of(const AsBuiltPart& part) {
  const std::vector<double>& at = part.at_mm;
  if (at.size() == 2) return geometry::Vec3(at[0], 0, at[1]);
  if (at.size() == 3) return geometry::Vec3(at[0], at[1], at[2]);
  return {};
}

}  // namespace

AsBuiltRig as_built_rig(const rig::Assembly& sheet, const AsBuilt& built) {
  AsBuiltRig found{.laid = sheet};
  if (built.blank_g) {
    found.laid = rig::with_wood_times(sheet, *built.blank_g / sheet.undrilled_wood_g);
    found.laid.wood_weighed = true;
  }
  for (const AsBuiltPart& one : built.parts) {
    const auto part = std::ranges::find(found.laid.parts, one.name, &rig::LaidPart::name);
    if (part == found.laid.parts.end()) {
      found.unknown.push_back(one.name);
      continue;
    }
    if (one.mass_g) *part = rig::heavier(*part, *one.mass_g - part->mass_g);
    // A wire is measured by its path, a coat is where the skin is.
    if (part->kind == rig::PartKind::wire || part->kind == rig::PartKind::finish) continue;
    if (const std::optional<geometry::Vec3> at = point_of(one)) {
      *part = rig::moved(*part, *at - part->centre_mm);
    }
  }
  return found;
}

rig::Assembly in_water(const rig::Assembly& assembly, double water_g_cm3) {
  rig::Assembly changed = assembly;
  const double factor = water_g_cm3 / assembly.water_density_g_cm3;
  changed.water_density_g_cm3 = water_g_cm3;
  for (rig::LaidPart& part : changed.parts) {
    part.mass_g += part.water_g * (factor - 1);
    part.water_g *= factor;
  }
  return changed;
}

Foretelling foretelling_of(std::span<const RebuiltLure> lures, std::span<const Cause> causes,
                           const rig::Tolerances& tolerances, const LearningOptions& options) {
  const double soaked_share = options.soaked_share;
  Foretelling made;
  made.figures = [lures, causes, soaked_share](std::size_t build, const rig::Water& water,
                                               std::span<const double> amounts) {
    const RebuiltLure& lure = lures[build];
    Made off{.assembly = in_water(lure.laid, water.density_g_cm3)};
    for (std::size_t i = 0; i < amounts.size(); ++i) {
      if (amounts[i] == 0) continue;  // exactly as the sheet says
      if (causes[i].wood && *causes[i].wood != lure.wood) continue;
      put_off(off, causes[i], amounts[i]);
    }
    return figures_of(lure, std::move(off), soaked_share);
  };
  made.scatter = [lures, tolerances, soaked_share](std::size_t build) {
    return own_scatter(lures[build], tolerances, soaked_share);
  };
  return made;
}

}  // namespace trueblank::notebook
