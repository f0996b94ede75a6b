// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>
#include <cstdint>
#include <random>
#include <span>
#include <string>
#include <vector>

#include "notebook/learning.h"

// Books of invented builds whose figures are formulas, so that what is off in them is known.
namespace trueblank::tests {

inline constexpr double lead_g_cm3 = 11.34;

/// A lure as a formula has it, in fresh water of 1 g/cm³.
struct FormulaLure {
  double volume_cm3 = 60;
  double wood_g_cm3 = 0.35;
  double fixed_g = 20;  ///< wire and weights
  int hooks = 2;
  double hook_g = 5;
  double hook_lever = 0.4;  ///< degrees of tail_down for a gram on each hook
  double wood_lever = 0.2;  ///< degrees for a percent of wood
  std::string wood = "balsa";
};

/// Its figures, were each cause as much as given: masses as they add up, angles in proportion.
inline notebook::FigureSet formula_figures(const FormulaLure& lure,
                                           std::span<const notebook::Cause> causes,
                                           std::span<const double> amounts, double soaked_share) {
  double scale_percent = 0;
  double wood_percent = 0;
  double water_percent = 0;
  double hook_g = 0;
  for (std::size_t i = 0; i < amounts.size(); ++i) {
    if (causes[i].wood && *causes[i].wood != lure.wood) continue;
    switch (causes[i].kind) {
      case notebook::CauseKind::scale_percent:
        scale_percent += amounts[i];
        break;
      case notebook::CauseKind::wood_density_percent:
        wood_percent += amounts[i];
        break;
      case notebook::CauseKind::water_taken_up_percent:
        water_percent += amounts[i];
        break;
      case notebook::CauseKind::hook_mass_g:
        hook_g += amounts[i];
        break;
    }
  }
  const double volume_cm3 = lure.volume_cm3 * std::pow(1 + scale_percent / 100, 3);
  const double wood_g = volume_cm3 * lure.wood_g_cm3 * (1 + wood_percent / 100);
  const double gain_g = wood_g * water_percent / 100;
  const double mass_g = wood_g + lure.fixed_g + lure.hooks * (lure.hook_g + hook_g);
  notebook::FigureSet figures;
  figures[0] = volume_cm3 - mass_g - soaked_share * gain_g;
  figures[1] = 8 + lure.wood_lever * (wood_percent + soaked_share * water_percent) +
               lure.hook_lever * hook_g - 0.3 * scale_percent;
  figures[2] = 0;
  figures[3] = mass_g;
  figures[4] = gain_g;
  return figures;
}

/// Normal numbers from a seed.
class Normal {
 public:
  explicit Normal(std::uint64_t seed) : engine_(seed) {}

  double operator()(double sd) { return sd * normal_(engine_); }

 private:
  std::mt19937_64 engine_;
  std::normal_distribution<double> normal_;
};

/// What the tub is to show of a book, and how well it is read.
struct Tub {
  double sank_sd_g = 0.2;
  double angle_sd_deg = 1;
  double weighed_sd_g = 0.1;
  bool sank = true;
  bool angles = true;
  bool soak = true;
  double noise = 1;  ///< how much worse the readings are than is stated
};

struct InventedBook {
  std::vector<FormulaLure> lures;
  std::vector<notebook::ListedBuild> builds;
  std::vector<notebook::Cause> causes;
  notebook::LearningOptions options = {};

  [[nodiscard]] notebook::Foretelling foretelling() const {
    return {.figures =
                [this](std::size_t build, const rig::Water&, std::span<const double> amounts) {
                  return formula_figures(lures[build], causes, amounts, options.soaked_share);
                },
            .scatter = {}};
  }

  [[nodiscard]] notebook::Learned learn() const {
    return notebook::learn(builds, causes, foretelling(), options);
  }
};

inline std::vector<notebook::Cause> four_causes() {
  return {{.kind = notebook::CauseKind::scale_percent, .prior_sd = 0.5},
          {.kind = notebook::CauseKind::wood_density_percent, .prior_sd = 3},
          {.kind = notebook::CauseKind::water_taken_up_percent, .prior_sd = 2},
          {.kind = notebook::CauseKind::hook_mass_g, .prior_sd = 0.1}};
}

inline rig::Water plain_water() { return {.density_g_cm3 = 1, .density_given = true}; }

/// One trial of a lure of which `amounts` are truly off.
inline notebook::TankRecord tried(const FormulaLure& lure, const InventedBook& book,
                                  std::span<const double> amounts, const Tub& tub, Normal& normal) {
  const notebook::FigureSet truth =
      formula_figures(lure, book.causes, amounts, book.options.soaked_share);
  const double in_water = 1 - 1 / lead_g_cm3;
  notebook::TankRecord record{.number = 1, .water = plain_water()};
  if (tub.sank) {
    record.sank_with_g = *truth[0] / in_water + normal(tub.noise * tub.sank_sd_g);
    record.sank_sd_g = tub.sank_sd_g;
  }
  if (tub.angles) {
    record.tail_down_deg = *truth[1] + normal(tub.noise * tub.angle_sd_deg);
    record.tail_down_sd_deg = tub.angle_sd_deg;
    record.list_deg = *truth[2] + normal(tub.noise * tub.angle_sd_deg);
    record.list_sd_deg = tub.angle_sd_deg;
  }
  if (tub.soak) {
    record.mass_before_g = *truth[3] + normal(tub.noise * tub.weighed_sd_g);
    // The gain's own error, so that the two readings are independent as learn() takes them to be.
    record.mass_after_g =
        *record.mass_before_g + *truth[4] + normal(tub.noise * std::sqrt(2.0) * tub.weighed_sd_g);
  }
  return record;
}

/// A book of lures of many sizes, woods and hooks, each tried once.
inline InventedBook invented_book(int builds, std::span<const double> amounts, const Tub& tub,
                                  std::uint64_t seed) {
  InventedBook book;
  book.causes = four_causes();
  book.options.weighed_sd_g = tub.weighed_sd_g;
  Normal normal(seed);
  std::mt19937_64 engine(seed + 1000003);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(engine);
  };
  for (int i = 0; i < builds; ++i) {
    FormulaLure lure;
    lure.volume_cm3 = between(30, 120);
    lure.wood_g_cm3 = between(0.15, 0.6);
    lure.hooks = static_cast<int>(between(1, 4));
    lure.fixed_g = between(0.3, 0.5) * lure.volume_cm3 * (1 - lure.wood_g_cm3);
    lure.hook_lever = between(-0.6, 0.6);
    lure.wood_lever = between(-0.3, 0.3);
    notebook::ListedBuild build;
    build.facts.id = i + 1;
    build.facts.figures.wood = lure.wood;
    build.tank.push_back(tried(lure, book, amounts, tub, normal));
    book.lures.push_back(lure);
    book.builds.push_back(build);
  }
  return book;
}

}  // namespace trueblank::tests
