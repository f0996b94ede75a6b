// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/profile.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <optional>
#include <utility>

#include "symmetry/beyond_noise.h"
#include "symmetry/facing_places.h"
#include "symmetry/patch_areas.h"
#include "symmetry/patch_names.h"
#include "symmetry/skin_sums.h"

namespace trueblank::symmetry {
namespace {

using geometry::Vec3;

// Of a normal deviate 95 % lie within so many standard deviations.
constexpr double normal_p95 = 1.959963984540054;

/// A skin, and by what its signs become the copy's.
struct OneSkin {
  const ComparisonSkin& skin;
  const DeviationField& field;
  SeenOn name;
  double sign;
};

// The deviations that lie outside the zone, in this skin's signs; 0 elsewhere.
struct Outside {
  std::vector<double> deviation_mm;
  double correlation_mm = 0;
};

Outside outside_as_it_is(const OneSkin& on, double limit_mm) {
  Outside result{on.field.deviation_mm, 0};
  for (double& deviation : result.deviation_mm) {
    if (!(std::abs(deviation) > limit_mm)) deviation = 0;
  }
  return result;
}

// What stands out of one of the zone's two faces by more than noise explains: the deviation from
// that face is a deviation like any other, and only what is beyond it is looked at.
void add_beyond_face(const OneSkin& on, double face_mm, const ScanNoise& noise,
                     const geometry::ParallelFor& loop, Outside& result) {
  DeviationField from_face = on.field;
  for (double& deviation : from_face.deviation_mm) deviation -= face_mm;
  const BeyondNoise beyond =
      beyond_noise(on.skin.body(), from_face, on.skin.facet_measured(), noise, loop);
  result.correlation_mm = beyond.correlation_mm;
  for (std::size_t v = 0; v < beyond.deviation_mm.size(); ++v) {
    if (on.field.counted[v] == 0 || !(beyond.deviation_mm[v] * face_mm > 0)) continue;
    result.deviation_mm[v] = beyond.deviation_mm[v] + face_mm;
  }
}

Outside outside(const OneSkin& on, double limit_mm, const ScanNoise& noise,
                const geometry::ParallelFor& loop) {
  if (!(noise.sigma_mm > 0)) return outside_as_it_is(on, limit_mm);
  Outside result{std::vector<double>(on.field.deviation_mm.size(), 0.0), 0};
  add_beyond_face(on, limit_mm, noise, loop, result);
  add_beyond_face(on, -limit_mm, noise, loop, result);
  return result;
}

ProfilePlace place_of(const OneSkin& on, const Outside& outside, const Eigen::Matrix3Xd& normals,
                      std::vector<int> vertices) {
  PatchSpread spread;
  ProfilePlace place;
  for (const int v : vertices) {
    const std::size_t at = static_cast<std::size_t>(v);
    const double area = on.skin.vertex_areas_mm2()[at];
    spread.add(on.skin.body().positions_mm().col(v), normals.col(v), area);
    place.area_mm2 += area;
    const double deviation = on.sign * outside.deviation_mm[at];
    if (std::abs(deviation) > std::abs(place.greatest_mm)) {
      place.greatest_mm = deviation;
      place.greatest_at_mm = on.skin.body().positions_mm().col(v);
    }
  }
  Patch words;
  spread.describe(extent_of(on.skin.body()), words);
  place.place = words.place;
  place.side = words.side;
  place.name = std::move(words.name);
  place.from_station_mm = words.from_station_mm;
  place.to_station_mm = words.to_station_mm;
  place.seen_on = on.name;
  place.vertices = std::move(vertices);
  return place;
}

std::vector<ProfilePlace> places_on(const OneSkin& on, double limit_mm, const ScanNoise& noise,
                                    const geometry::ParallelFor& loop) {
  const Outside found = outside(on, limit_mm, noise, loop);
  const Eigen::Matrix3Xd normals = vertex_normals(on.skin.body());
  const double least_mm2 = found.correlation_mm * found.correlation_mm;
  std::vector<ProfilePlace> places;
  for (std::vector<int>& vertices :
       areas_of_one_sign(on.skin.body(), found.deviation_mm, found.correlation_mm)) {
    ProfilePlace place = place_of(on, found, normals, std::move(vertices));
    if (place.area_mm2 >= least_mm2) places.push_back(std::move(place));
  }
  return places;
}

PlacesOnSkin of_sign(const OneSkin& on, const std::vector<ProfilePlace>& places) {
  PlacesOnSkin result{on.skin, on.field, {}};
  for (const ProfilePlace& place : places) result.vertices.push_back(place.vertices);
  return result;
}

double greatest(const std::vector<ProfilePlace>& places, const std::vector<int>& indices) {
  double most = 0;
  for (const int i : indices) {
    most = std::max(most, std::abs(places[static_cast<std::size_t>(i)].greatest_mm));
  }
  return most;
}

std::vector<ProfilePlace> with_sign(const std::vector<ProfilePlace>& places, double sign) {
  std::vector<ProfilePlace> result;
  for (const ProfilePlace& place : places) {
    if (place.greatest_mm * sign > 0) result.push_back(place);
  }
  return result;
}

// Of places that face each other those are told which stand out further.
void add_places(const OneSkin& copy, const std::vector<ProfilePlace>& on_copy,
                const OneSkin& master, const std::vector<ProfilePlace>& on_master,
                std::vector<ProfilePlace>& result) {
  for (const FacingPlaces& group :
       facing_places(of_sign(copy, on_copy), of_sign(master, on_master))) {
    const bool of_master = greatest(on_master, group.second) > greatest(on_copy, group.first);
    const std::vector<ProfilePlace>& seen = of_master ? on_master : on_copy;
    for (const int i : of_master ? group.second : group.first) {
      result.push_back(seen[static_cast<std::size_t>(i)]);
    }
  }
}

void take_largest(const SkinComparison& seen, SeenOn name, double sign, Profile& profile) {
  for (const std::optional<Spot>& spot : {seen.extremes.proudest, seen.extremes.shyest}) {
    if (!spot || std::abs(spot->deviation_mm) <= std::abs(profile.largest_mm)) continue;
    profile.largest_mm = sign * spot->deviation_mm;
    profile.largest_at_mm = spot->at_mm;
    profile.largest_on = name;
  }
}

}  // namespace

Profile held_to_profile(const ComparisonSkin& master, const ComparisonSkin& copy,
                        const Comparison& comparison, double limit_mm,
                        const geometry::ParallelFor& loop) {
  Profile profile;
  profile.limit_mm = limit_mm;
  take_largest(comparison.copy, SeenOn::copy, 1, profile);
  take_largest(comparison.master, SeenOn::master, -1, profile);
  profile.p95_mm = std::max(comparison.copy.statistics.p95, comparison.master.statistics.p95);
  profile.noise_p95_mm = normal_p95 * std::numbers::sqrt2 * comparison.noise.sigma_mm;
  const OneSkin on_copy{copy, comparison.copy.field, SeenOn::copy, 1};
  const OneSkin on_master{master, comparison.master.field, SeenOn::master, -1};
  const std::vector<ProfilePlace> of_copy = places_on(on_copy, limit_mm, comparison.noise, loop);
  const std::vector<ProfilePlace> of_master =
      places_on(on_master, limit_mm, comparison.noise, loop);
  for (const double sign : {1.0, -1.0}) {
    add_places(on_copy, with_sign(of_copy, sign), on_master, with_sign(of_master, sign),
               profile.places);
  }
  std::stable_sort(profile.places.begin(), profile.places.end(),
                   [](const ProfilePlace& a, const ProfilePlace& b) {
                     return std::abs(a.greatest_mm) > std::abs(b.greatest_mm);
                   });
  profile.passed = profile.places.empty() && profile.p95_mm <= limit_mm;
  return profile;
}

}  // namespace trueblank::symmetry
