// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "rig/mass_model.h"
#include "water/cut_body.h"
#include "water/waterline.h"

// A lure held at chosen angles: what turns it, and how firmly it would stand. Inside the room.
namespace trueblank::tuning {

using geometry::Mat3;
using geometry::Vec3;

/// `up` by its angles, as the contract defines them, and its derivatives.
struct Angles {
  double tail_down_deg = 0;
  double list_deg = 0;

  [[nodiscard]] Vec3 up() const;
};

/// What a rig is to the water: its mass and how that lies, and what displaces outside the skin.
struct Load {
  double mass_g = 0;
  Vec3 moment_g_mm = Vec3::Zero();  ///< Σ m·p
  std::vector<rig::SpreadPart> outside = {};
};

/// A lure in water, held at angles. Turns are of tail_down and list, per degree.
struct Held {
  Eigen::Vector2d turning_g_mm_per_deg = Eigen::Vector2d::Zero();  ///< dE of tail_down, of list
  Eigen::Matrix2d per_angle = Eigen::Matrix2d::Zero();  ///< its derivative, per degree once more
  double least_stiffness_g_mm_per_deg = 0;              ///< as of a rest pose
  /// What dm of weight at p adds to turning: leverage · dm · (p − pivot)·(d up).
  Vec3 pivot_mm = Vec3::Zero();
  double leverage = 1;
  double displaced_full_g = 0;
  double offset_mm = 0;  ///< of the waterline; of one that is all under, its top
};

/// The two ways that a lure can be asked: at the surface, weight and buoyancy alike, or wholly
/// under water, where the surplus of either hangs on the centre of all mass.
enum class Where { afloat, under };

class Water {
 public:
  Water(const water::CutBody& body, double density_g_cm3)
      : body_(body), density_g_cm3_(density_g_cm3) {}

  /// start_mm  a guess of the waterline
  [[nodiscard]] Held hold(const Load& load, const Angles& angles, Where where,
                          std::optional<double> start_mm = {}) const;

  [[nodiscard]] double displaced_full_g(const Load& load) const;

 private:
  water::CutBody body_;
  double density_g_cm3_;
};

/// d up / d tail_down and d up / d list, per degree.
struct UpSlopes {
  Vec3 tail = Vec3::Zero();
  Vec3 list = Vec3::Zero();
};

[[nodiscard]] UpSlopes up_slopes(const Angles& angles);

}  // namespace trueblank::tuning
