// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "body/load_body.h"
#include "geometry/parallel.h"

// What is to be known of a master before it is printed. Places are in the body frame, mm.
namespace trueblank::body {

/// What the least feature comes from.
enum class FeatureFrom { nozzle, voxel, assumed };
[[nodiscard]] std::string feature_from_name(FeatureFrom from);  ///< "nozzle", "voxel", "assumed"

/// The rule for walls and gaps, the same for both: what is under one nozzle width or one voxel
/// can't be printed, what is under two is weak (a gap: may close up). Common practice, no published
/// source.
struct PrintOptions {
  double feature_mm = 0.4;  ///< of the nozzle or the voxel; > 0
  FeatureFrom from = FeatureFrom::assumed;
  std::optional<double> wall_min_mm = {};            ///< instead of two features
  std::optional<std::array<double, 3>> bed_mm = {};  ///< wide, deep, high

  [[nodiscard]] double weak_mm() const { return wall_min_mm.value_or(2 * feature_mm); }

  /// What is just as thick as a limit is not under it, however a file rounds.
  [[nodiscard]] static bool under(double mm, double limit_mm) {
    constexpr double rounding = 1e-4;
    return mm < limit_mm * (1 - rounding);
  }
};

/// A place of the skin that is thin, or where a gap is narrow.
struct ThinPlace {
  std::string name;  ///< as patches are named: "tail, 137 to 140 mm from the nose, …"
  double from_station_mm = 0;
  double to_station_mm = 0;
  double least_mm = 0;  ///< the thinnest wall, the narrowest gap
  geometry::Vec3 least_at_mm = geometry::Vec3::Zero();
  double area_mm2 = 0;       ///< of skin that is under the weak limit, both sides of it
  double under_one_mm2 = 0;  ///< of it, under one feature
  /// The two skins run together in an edge or a tip (of a gap: at the root of a notch), and are
  /// thin there as every edge is.
  bool runs_out = false;
  /// How far it reaches back from such an edge to where one feature fits: what a print loses. 0
  /// where it doesn't run out.
  double lost_mm = 0;
};

/// The thickness of what is there, or of what is left open.
struct Thickness {
  std::vector<ThinPlace> places;  ///< what doesn't run out first, then by falling area
  int left_out = 0;               ///< so many more, the smallest ones
  /// The least in what doesn't run out; nothing where no such place is under the weak limit.
  std::optional<double> least_mm = {};
  /// Over the skin that other skin faces within what is measured, by area: a twentieth is under the
  /// first. Nothing where none does.
  std::optional<double> twentieth_mm = {};
  std::optional<double> median_mm = {};
};

/// Where left and right differ.
struct UntruePlace {
  std::string name;
  double greatest_mm = 0;  ///< the deviation furthest from 0; > 0 proud
  geometry::Vec3 greatest_at_mm = geometry::Vec3::Zero();
  double area_mm2 = 0;
};

enum class Trueness {
  exact,    ///< within a thousandth of a millimetre everywhere
  facets,   ///< its facets are not mirrored, and flat facets on a round skin explain what differs
  untrue,   ///< it differs by more than that
  no_plane  ///< the shape leaves the plane open
};
[[nodiscard]] std::string trueness_name(Trueness trueness);  ///< "exact", "facets", …

/// Left against right of a body that was drawn and should be true to the last digit.
struct MirrorTruth {
  static constexpr double limit_mm = 1e-3;

  Trueness is = Trueness::no_plane;
  double greatest_mm = 0;  ///< |deviation| at the vertices
  geometry::Vec3 greatest_at_mm = geometry::Vec3::Zero();
  double vertices_mirrored = 0;  ///< the part of them that stand over against a vertex
  /// What flat facets stand off a smooth skin, the root mean square where vertices don't stand over
  /// against each other; 0 where all do.
  double facets_mm = 0;
  std::vector<UntruePlace> places;  ///< by falling |greatest_mm|
  int left_out = 0;                 ///< so many more, the least ones
};

/// How it lies on the bed, and what box it takes up there.
struct BedRest {
  std::string name;                ///< "as in the file", "belly down", "on its flank", "upright"
  std::array<double, 3> box_mm{};  ///< along the bed's width, its depth, upward
  double turned_deg = 0;           ///< about the vertical, from along the bed's width
  double spare_mm = 0;             ///< the least room at a side, both ends together; < 0: too long
  bool fits = false;
};

/// An empty room in it.
struct Chamber {
  double from_station_mm = 0;
  double to_station_mm = 0;
  double volume_mm3 = 0;
  double bound_mm3 = 0;  ///< it is within ± this; 0: as exact as the facets
  geometry::Vec3 middle_mm = geometry::Vec3::Zero();

  /// Of one that is open: how wide its way out is where that is narrowest, and where. Nothing of
  /// one that is closed all round by a shell of its own: water-tight.
  struct Opening {
    double width_mm = 0;  ///< of the widest ball that comes in; 0: narrower than the grid shows
    std::optional<geometry::Vec3> at_mm = {};  ///< nothing where the grid shows none
    std::string name = {};                     ///< of that place, as patches are named
  };

  std::optional<Opening> opening = {};
};

struct Hollow {
  std::vector<Chamber> chambers;  ///< by falling volume
  double grid_mm = 0;             ///< that openings were sought on; 0: nothing to seek
  double narrowest_mm = 0;        ///< an opening narrower than this may be missed
};

struct PrintCheck {
  PrintOptions options;
  std::vector<std::string> unsound;  ///< what of the file as read had to be mended; sentences
  double sampled_every_mm = 0;       ///< walls and gaps were measured about this far apart
  double measured_to_mm = 0;         ///< where they are no more than this
  Thickness walls;
  Thickness gaps;
  MirrorTruth mirror;
  std::vector<BedRest> rests;  ///< those with most room first; without a bed, with the least box
  Hollow hollow;
  double material_mm3 = 0;
  double area_mm2 = 0;  ///< of all skins

  [[nodiscard]] bool walls_hold() const;  ///< none under the weak limit, save what runs out
  [[nodiscard]] bool fits_bed() const;    ///< true without a bed
};

/// Looks a body over before it is printed.
///
/// body     loaded with self-intersections looked for
/// threads  the same bytes whatever `loop` does
/// cost     some hundred thousand balls; where skin faces skin over air some nearest points for
///          each cell of a grid of half a million
[[nodiscard]] PrintCheck check_print(const FramedBody& body, const PrintOptions& options,
                                     const geometry::ParallelFor& loop);

}  // namespace trueblank::body
