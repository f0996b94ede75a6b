// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "symmetry/comparison.h"

namespace trueblank::symmetry {

/// A connected area that lies outside the zone.
struct ProfilePlace {
  Place place = Place::flank;
  Side side = Side::middle;
  std::string name;  ///< as a patch's
  double from_station_mm = 0;
  double to_station_mm = 0;
  double area_mm2 = 0;     ///< of what is outside the zone
  double greatest_mm = 0;  ///< > 0: the copy has more, < 0: less
  geometry::Vec3 greatest_at_mm = geometry::Vec3::Zero();
  SeenOn seen_on = SeenOn::copy;   ///< whose vertices these are
  std::vector<int> vertices = {};  ///< rising
};

/// A copy held to a profile tolerance.
struct Profile {
  double limit_mm = 0;
  double largest_mm = 0;  ///< the deviation furthest from 0, of both skins; > 0: the copy has more
  geometry::Vec3 largest_at_mm = geometry::Vec3::Zero();
  SeenOn largest_on = SeenOn::copy;
  /// The greater of the two skins' 95th percentiles, as measured: noise and all.
  double p95_mm = 0;
  /// The 95th percentile that the two scans' noise would show on a perfect copy. Where it is above
  /// the limit the scans are too rough to hold it to.
  double noise_p95_mm = 0;
  std::vector<ProfilePlace> places;  ///< that fail; by falling size of the greatest
  bool passed = false;               ///< no place fails, and p95 is within the limit
};

/// Whether every place of a copy lies within ± limit of its master: profile of a surface in the
/// sense of ISO 1101, a zone 2·limit wide and even about the master, which is the datum as aligned.
///
/// Both skins are asked, so that what is missing fails as well as what is too much; what was not
/// measured says nothing. Of clean bodies a vertex outside the zone fails. Of scans a place fails
/// where it stands out of the zone by more than noise may explain, as a narrow place or as a wide
/// one on average (as find_patches tells it): noise alone makes no place fail. The
/// 95th percentile is as measured: where `noise_p95_mm` is above the limit, noise alone fails it.
///
/// master, copy, comparison  as given to and had from compared()
/// limit_mm                  > 0
/// threads                   the same bytes whatever `loop` does
[[nodiscard]] Profile held_to_profile(const ComparisonSkin& master, const ComparisonSkin& copy,
                                      const Comparison& comparison, double limit_mm,
                                      const geometry::ParallelFor& loop = geometry::serial_for);

}  // namespace trueblank::symmetry
