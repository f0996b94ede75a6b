// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "geometry/mesh.h"
#include "geometry/moment_tree.h"
#include "geometry/moments.h"
#include "live/rig_array.h"
#include "rig/assembly.h"
#include "water/back_up.h"
#include "water/rest_poses.h"
#include "water/sensitivity.h"
#include "water/sweep.h"
#include "water/waterline.h"

// No part of the room's interface.
namespace trueblank::live {

/// What of one part is taken through places and masses.
struct MapWish {
  rig::PartKind kind = rig::PartKind::ballast;
  std::size_t index = 0;  ///< within its kind
  int axis = 0;           ///< of the place: 0 x, 1 y, 2 z
  double place_from_mm = 0;
  double place_to_mm = 0;
  int places = 2;
  double mass_from_g = 0;
  double mass_to_g = 0;
  int masses = 2;
};

/// A body and the rig that was laid on it last. Refers to itself, so it stays where it is.
class Lure {
 public:
  /// bare   body frame
  /// outer  all within its outer skin, where the water sees more than the body
  Lure(geometry::ClosedMesh bare, std::optional<geometry::ClosedMesh> outer);
  Lure(const Lure&) = delete;
  Lure& operator=(const Lure&) = delete;

  /// Sets the rig; where it can't, all stays as it was.
  [[nodiscard]] Fault lay(WrittenRig written);

  [[nodiscard]] bool laid() const { return laid_ != nullptr; }

  // Of the rig that was laid.
  [[nodiscard]] const rig::Rig& rig() const { return laid_->rig; }

  [[nodiscard]] const rig::RiggedLure& rigged() const { return laid_->rigged; }

  [[nodiscard]] const water::Floater& floater() const { return laid_->floater; }

  [[nodiscard]] const std::optional<rig::Baseline>& baseline() const { return laid_->baseline; }

  [[nodiscard]] const geometry::ClosedMesh& bare() const { return bare_; }

  [[nodiscard]] double bare_volume_mm3() const { return whole_.volume_mm3; }

  [[nodiscard]] double wet_volume_mm3() const { return skin_->whole.volume_mm3; }

  /// Kept until another rig is laid.
  const water::Balance& balance();

  /// Of the first pose of the balance; nothing where none was struck, or it has no pose.
  [[nodiscard]] std::optional<water::Sensitivity> sensitivity() const;

  /// Nothing where there is no such part, or nothing to sweep of it.
  [[nodiscard]] std::optional<water::Sweep> map(const MapWish& wish) const;

 private:
  /// What the water sees, with a coat of one thickness on (0: bare).
  struct Skin {
    double thickness_mm;
    geometry::Moments whole;
    geometry::Moments coated;  ///< as rig::assemble wants it
    geometry::MomentTree tree;
  };

  struct Laid {
    rig::Rig rig;
    rig::Assembly assembly;
    rig::RiggedLure rigged;
    water::Floater floater;
    std::optional<rig::Baseline> baseline;
    std::optional<water::Balance> balance = {};
  };

  [[nodiscard]] const geometry::ClosedMesh& wet() const { return outer_ ? *outer_ : bare_; }

  [[nodiscard]] std::unique_ptr<Skin> skin_under(double thickness_mm) const;
  [[nodiscard]] bool half_missing();
  [[nodiscard]] Fault first_outside(const rig::Rig& rig) const;
  [[nodiscard]] bool balances_off_the_body(const rig::Rig& rig) const;

  geometry::ClosedMesh bare_;
  std::optional<geometry::ClosedMesh> outer_;
  geometry::Moments whole_;
  std::optional<geometry::Moments> outer_whole_;
  rig::Layout layout_;
  std::unique_ptr<Skin> skin_;
  std::unique_ptr<Laid> laid_;
};

}  // namespace trueblank::live
