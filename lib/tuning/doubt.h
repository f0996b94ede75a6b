// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <cmath>
#include <string_view>
#include <vector>

#include "rig/assembly.h"
#include "rig/in_water.h"
#include "rig/materials.h"
#include "tuning/explain.h"
#include "tuning/held_pose.h"
#include "water/may_be_off.h"

// What may be off in a sheet, and how likely. Inside the room.
namespace trueblank::tuning {

/// Of a metal that the table has.
[[nodiscard]] inline double density_of(std::string_view metal) {
  return rig::find_material(metal).value().density_g_cm3;
}

inline constexpr double lost_misfit = 50;  // where no pose is found

// What was seen as numbers, each in its own standard deviation.
class Sight {
 public:
  Sight(const Seen& seen, double water_g_cm3, const water::RestPose& nominal)
      : seen_(seen), lead_in_water_(1 - water_g_cm3 / density_of("lead")) {
    const Angles angles{.tail_down_deg = seen.tail_down_deg.value_or(nominal.tail_down_deg),
                        .list_deg = seen.list_deg.value_or(nominal.list_deg.value_or(0))};
    up_ = angles.up();
  }

  [[nodiscard]] const Vec3& up() const { return up_; }

  // Foretold less seen.
  [[nodiscard]] Eigen::VectorXd misfit(const Lies& foretold) const {
    std::vector<double> off;
    if (seen_.tail_down_deg) {
      off.push_back(foretold.tail_down_deg
                        ? (*foretold.tail_down_deg - *seen_.tail_down_deg) / seen_.angle_sd_deg
                        : lost_misfit);
    }
    if (seen_.list_deg) {
      off.push_back(foretold.list_deg ? std::remainder(*foretold.list_deg - *seen_.list_deg, 360) /
                                            seen_.angle_sd_deg
                                      : lost_misfit);
    }
    if (seen_.sank_with_g) {
      off.push_back((foretold.reserve_g - lead_in_water_ * *seen_.sank_with_g) /
                    (lead_in_water_ * seen_.sank_sd_g));
    }
    return Eigen::Map<Eigen::VectorXd>(off.data(), static_cast<Eigen::Index>(off.size()));
  }

 private:
  const Seen& seen_;
  double lead_in_water_;
  Vec3 up_;
};

// The problem of what is off, in standard deviations. What was seen is held against the rig in the
// water that it was seen in.
class Doubt {
 public:
  Doubt(const Workpiece& lure, const rig::Tolerances& tolerances, const water::RestPose& nominal,
        const Seen& seen)
      : body_(lure.cut),
        laid_(rig::assemble(lure.bare, lure.whole, lure.rig, lure.coated)),
        where_seen_(seen.water ? rig::assemble(lure.bare, lure.whole,
                                               rig::in_water(lure.rig, *seen.water), lure.coated)
                               : laid_),
        parameters_(water::may_be_off(laid_, tolerances)),
        sight_(seen, where_seen_.water_density_g_cm3, nominal) {}

  [[nodiscard]] const std::vector<water::MayBeOff>& parameters() const { return parameters_; }

  [[nodiscard]] const Sight& sight() const { return sight_; }

  /// In its own water, and in that in which it was seen.
  [[nodiscard]] const rig::Assembly& laid() const { return laid_; }

  [[nodiscard]] const rig::Assembly& where_seen() const { return where_seen_; }

  struct Build {
    rig::Assembly assembly;
    double scale = 1;
  };

  /// One of the two with what is off in it.
  [[nodiscard]] Build build(const rig::Assembly& laid, const Eigen::VectorXd& off) const {
    Build made{laid};
    for (std::size_t i = 0; i < parameters_.size(); ++i) {
      const double by = off[static_cast<Eigen::Index>(i)] * parameters_[i].sd;
      if (by != 0) parameters_[i].apply(made.assembly, by, made.scale);
    }
    return made;
  }

  [[nodiscard]] Lies lies_with(const Eigen::VectorXd& off) const {
    const Build made = build(where_seen_, off);
    return water::lies(body_, made.assembly, made.scale, sight_.up());
  }

  [[nodiscard]] Eigen::VectorXd misfit(const Eigen::VectorXd& off) const {
    return sight_.misfit(lies_with(off));
  }

  /// Of the misfit.
  [[nodiscard]] Eigen::MatrixXd slopes(const Eigen::VectorXd& off) const;

  /// Gauss-Newton with halved steps; only the parameters of `which` may move.
  [[nodiscard]] Eigen::VectorXd most_likely(const std::vector<Eigen::Index>& which) const;

  [[nodiscard]] std::vector<Eigen::Index> all() const;

 private:
  const water::CutBody& body_;
  rig::Assembly laid_;
  rig::Assembly where_seen_;
  std::vector<water::MayBeOff> parameters_;
  Sight sight_;
};

}  // namespace trueblank::tuning
