// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/print_walls.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <utility>

#include "body/groups.h"
#include "body/print_samples.h"
#include "geometry/moments.h"
#include "geometry/shells.h"
#include "symmetry/facing_skin.h"
#include "symmetry/nearest_surface.h"
#include "symmetry/patch_names.h"

namespace trueblank::body {

using geometry::Vec3;
using Ball = symmetry::FacingSkin::Ball;
using Side = symmetry::FacingSkin::Side;

namespace {

constexpr double usual_spacing_mm = 0.5;
constexpr double most_samples = 300000;  // by area
constexpr int run_length = 512;          // samples at a time
constexpr int most_places = 50;
// No wall or gap of more is measured; or than so many times the weak limit.
constexpr double usual_most_mm = 10;
constexpr double most_weak = 4;
// So many samples are enough to tell whether skin faces skin over any width of air.
constexpr std::size_t facing_samples = 500;
// A place runs out where its thin tenth is under half of its thick tenth, and its thinnest under a
// quarter of a feature.
constexpr double tenth = 0.1;
constexpr double runs_out_ratio = 0.5;
constexpr double runs_out_least = 0.25;

/// A sample where the skins are nearer together than the weak limit.
struct Thin {
  Vec3 at;
  Vec3 normal;
  double area_mm2 = 0;
  double mm = 0;
  double angle = 0;  // at which the two skins run together, radians
};

/// What was measured, a sample each; < 0: no skin faces it.
struct Measured {
  std::vector<double> mm;
  std::vector<int> facet;  // that was touched
};

struct Skin {
  const geometry::ClosedMesh& body;
  symmetry::FacingSkin facing;
  symmetry::NearestSurface surface;
  std::vector<SkinSample> samples;
  double most_mm = 0;
};

// A ball may have grown through skin that stands square to the place; then its middle lies on the
// wrong side. Only of thin places that matters.
bool lies_there(const Skin& skin, const SkinSample& sample, const Ball& ball, Side side) {
  const Vec3 outward = skin.facing.normal(sample.facet);
  const double radius = ball.diameter_mm / 2;
  const Vec3 middle = sample.at_mm + (side == Side::within ? -radius : radius) * outward;
  const double off = skin.surface.nearest(middle, sample.facet).signed_distance_mm;
  return (side == Side::within) == (off < 0);
}

Measured measured(const Skin& skin, Side side, double weak_mm, const geometry::ParallelFor& loop) {
  const int count = static_cast<int>(skin.samples.size());
  Measured result{std::vector<double>(skin.samples.size(), -1),
                  std::vector<int>(skin.samples.size(), -1)};
  loop((count + run_length - 1) / run_length, [&](int run) {
    int likely = -1;
    for (int i = run * run_length; i < std::min(count, (run + 1) * run_length); ++i) {
      const std::size_t at = static_cast<std::size_t>(i);
      const SkinSample& sample = skin.samples[at];
      const std::optional<Ball> ball =
          skin.facing.ball(sample.facet, sample.at_mm, side, skin.most_mm, likely);
      if (!ball) continue;
      likely = ball->facet;
      if (ball->diameter_mm < weak_mm && !lies_there(skin, sample, *ball, side)) continue;
      result.mm[at] = ball->diameter_mm;
      result.facet[at] = ball->facet;
    }
  });
  return result;
}

/// Puts what lies near together into one place: in the same or neighbouring cells of a grid.
class Places {
 public:
  Places(const std::vector<Thin>& thin, double cell_mm) : keys_(thin.size()) {
    Vec3 low = Vec3::Constant(1e300);
    for (const Thin& one : thin) low = low.cwiseMin(one.at);
    for (std::size_t i = 0; i < thin.size(); ++i) {
      const Vec3 cell = (thin[i].at - low) / cell_mm;
      keys_[i] =
          key(static_cast<std::int64_t>(cell.x()) + 1, static_cast<std::int64_t>(cell.y()) + 1,
              static_cast<std::int64_t>(cell.z()) + 1);
    }
    cells_ = keys_;
    std::ranges::sort(cells_);
    cells_.erase(std::unique(cells_.begin(), cells_.end()), cells_.end());
    groups_ = Groups(cells_.size());
    for (std::size_t c = 0; c < cells_.size(); ++c) join_neighbours(c);
  }

  [[nodiscard]] std::size_t of(std::size_t thin) { return groups_.of(*find(keys_[thin])); }

 private:
  // Twenty-one bits an axis.
  static constexpr int bits = 21;

  static std::int64_t key(std::int64_t x, std::int64_t y, std::int64_t z) {
    return (((x << bits) + y) << bits) + z;
  }

  [[nodiscard]] std::optional<std::size_t> find(std::int64_t wanted) const {
    const auto found = std::ranges::lower_bound(cells_, wanted);
    if (found == cells_.end() || *found != wanted) return {};
    return static_cast<std::size_t>(found - cells_.begin());
  }

  void join_neighbours(std::size_t c) {
    for (int dx = -1; dx <= 1; ++dx) {
      for (int dy = -1; dy <= 1; ++dy) {
        for (int dz = -1; dz <= 1; ++dz) {
          const std::int64_t next = cells_[c] + key(dx, dy, dz);
          if (next <= cells_[c]) continue;
          const std::optional<std::size_t> other = find(next);
          if (other) groups_.join(c, *other);
        }
      }
    }
  }

  std::vector<std::int64_t> keys_;   // a thin sample each
  std::vector<std::int64_t> cells_;  // rising
  Groups groups_{0};
};

/// The samples of a place, gathered.
struct Gathered {
  symmetry::PatchSpread spread;
  ThinPlace place;
  std::vector<double> all_mm;
  Vec3 low = Vec3::Constant(1e300);
  Vec3 high = Vec3::Constant(-1e300);
};

double at_part(std::vector<double>& values, double part) {
  const auto place = values.begin() + static_cast<std::ptrdiff_t>(
                                          part * static_cast<double>(values.size() - 1) + 0.5);
  std::nth_element(values.begin(), place, values.end());
  return *place;
}

void add(Gathered& all, const Thin& thin, const PrintOptions& options) {
  constexpr double no_area_mm2 = 1e-9;  // beside edges: only for the name
  all.spread.add(thin.at, thin.normal, std::max(thin.area_mm2, no_area_mm2));
  ThinPlace& place = all.place;
  if (all.all_mm.empty() || thin.mm < place.least_mm) {
    place.least_mm = thin.mm;
    place.least_at_mm = thin.at;
  }
  all.all_mm.push_back(thin.mm);
  all.low = all.low.cwiseMin(thin.at);
  all.high = all.high.cwiseMax(thin.at);
  place.area_mm2 += thin.area_mm2;
  if (!PrintOptions::under(thin.mm, options.feature_mm)) return;
  place.under_one_mm2 += thin.area_mm2;
  // Two flat skins at this angle are a feature apart so far from where they meet.
  const double reach = options.feature_mm / (2 * std::tan(std::max(thin.angle, 1e-6) / 2));
  place.lost_mm = std::max(place.lost_mm, reach);
}

ThinPlace finished(Gathered& all, const symmetry::BodyExtent& extent, const PrintOptions& options) {
  ThinPlace& place = all.place;
  symmetry::Patch patch;
  all.spread.describe(extent, patch);
  place.name = patch.name;
  place.from_station_mm = patch.from_station_mm;
  place.to_station_mm = patch.to_station_mm;
  const double thick = at_part(all.all_mm, 1 - tenth);
  const double thin = at_part(all.all_mm, tenth);
  place.runs_out =
      thin < runs_out_ratio * thick && place.least_mm < runs_out_least * options.feature_mm;
  place.lost_mm = place.runs_out ? std::min(place.lost_mm, (all.high - all.low).norm()) : 0.0;
  return place;
}

bool comes_first(const ThinPlace& a, const ThinPlace& b) {
  if (a.runs_out != b.runs_out) return b.runs_out;
  if (a.area_mm2 != b.area_mm2) return a.area_mm2 > b.area_mm2;
  return a.from_station_mm < b.from_station_mm;
}

std::vector<ThinPlace> places_of(const std::vector<Thin>& thin, double cell_mm,
                                 const symmetry::BodyExtent& extent, const PrintOptions& options) {
  if (thin.empty()) return {};
  Places near(thin, cell_mm);
  std::vector<Gathered> gathered;
  std::vector<int> place_of_root;
  for (std::size_t i = 0; i < thin.size(); ++i) {
    const std::size_t root = near.of(i);
    if (root >= place_of_root.size()) place_of_root.resize(root + 1, -1);
    if (place_of_root[root] < 0) {
      place_of_root[root] = static_cast<int>(gathered.size());
      gathered.emplace_back();
    }
    add(gathered[static_cast<std::size_t>(place_of_root[root])], thin[i], options);
  }
  std::vector<ThinPlace> places;
  for (Gathered& all : gathered) places.push_back(finished(all, extent, options));
  std::ranges::stable_sort(places, comes_first);
  return places;
}

// The thickness under which that part of the area lies.
std::optional<double> under(std::vector<std::pair<double, double>>& mm_and_area, double part) {
  double whole = 0;
  for (const auto& [mm, area] : mm_and_area) whole += area;
  if (!(whole > 0)) return {};
  double sum = 0;
  for (const auto& [mm, area] : mm_and_area) {
    sum += area;
    if (sum >= part * whole) return mm;
  }
  return mm_and_area.back().first;
}

Thickness thickness(const Skin& skin, const Measured& found, double spacing_mm,
                    const symmetry::BodyExtent& extent, const PrintOptions& options) {
  std::vector<Thin> thin;
  std::vector<std::pair<double, double>> mm_and_area;
  for (std::size_t i = 0; i < skin.samples.size(); ++i) {
    if (found.mm[i] < 0) continue;
    const SkinSample& sample = skin.samples[i];
    mm_and_area.emplace_back(found.mm[i], sample.area_mm2);
    if (!PrintOptions::under(found.mm[i], options.weak_mm())) continue;
    const Vec3 normal = skin.facing.normal(sample.facet);
    const double cosine = -normal.dot(skin.facing.normal(found.facet[i]));
    thin.push_back({sample.at_mm, normal, sample.area_mm2, found.mm[i],
                    std::acos(std::clamp(cosine, -1.0, 1.0))});
  }
  Thickness result;
  constexpr double beside = 1.5;  // neighbouring samples on a great facet lie so far apart
  result.places =
      places_of(thin, std::max(beside * spacing_mm, options.weak_mm()), extent, options);
  for (const ThinPlace& place : result.places) {
    if (place.runs_out) continue;
    result.least_mm = std::min(result.least_mm.value_or(place.least_mm), place.least_mm);
  }
  const int count = static_cast<int>(result.places.size());
  result.left_out = std::max(0, count - most_places);
  result.places.resize(static_cast<std::size_t>(count - result.left_out));
  std::ranges::sort(mm_and_area);
  result.twentieth_mm = under(mm_and_area, 0.05);
  result.median_mm = under(mm_and_area, 0.5);
  return result;
}

// Of the outer skin.
bool faces_over_air(const Skin& skin, double most_mm, const geometry::ParallelFor& loop) {
  const std::vector<std::uint8_t> outer = geometry::on_outer_skin(skin.body.mesh());
  std::vector<std::size_t> asked;
  const std::size_t every = skin.samples.size() / facing_samples + 1;
  for (std::size_t i = 0; i < skin.samples.size(); i += every) {
    const int corner = skin.body.facets()(0, skin.samples[i].facet);
    if (outer[static_cast<std::size_t>(corner)] != 0) asked.push_back(i);
  }
  std::vector<std::uint8_t> faces(asked.size(), 0);
  loop(static_cast<int>(asked.size()), [&](int i) {
    const SkinSample& sample = skin.samples[asked[static_cast<std::size_t>(i)]];
    const bool found =
        skin.facing.ball(sample.facet, sample.at_mm, Side::outside, most_mm).has_value();
    faces[static_cast<std::size_t>(i)] = found ? 1 : 0;
  });
  return std::ranges::count(faces, 1) > 0;
}

}  // namespace

WallsAndGaps measured_walls(const geometry::ClosedMesh& in_body_frame, const PrintOptions& options,
                            const geometry::ParallelFor& loop) {
  const symmetry::BodyExtent extent = symmetry::extent_of(in_body_frame);
  Skin skin{in_body_frame,
            symmetry::FacingSkin(in_body_frame.mesh(), loop),
            symmetry::NearestSurface(in_body_frame.mesh(), loop),
            {},
            std::max(usual_most_mm, most_weak * options.weak_mm())};
  const double finest = std::sqrt(geometry::area_mm2(in_body_frame.mesh()) / most_samples);
  WallsAndGaps result;
  result.sampled_every_mm = std::max(std::min(usual_spacing_mm, options.weak_mm()), finest);
  skin.samples = skin_samples(in_body_frame, skin.facing, skin.surface,
                              {result.sampled_every_mm, options.weak_mm()});
  const Measured walls = measured(skin, Side::within, options.weak_mm(), loop);
  result.walls = thickness(skin, walls, result.sampled_every_mm, extent, options);
  const Measured gaps = measured(skin, Side::outside, options.weak_mm(), loop);
  result.gaps = thickness(skin, gaps, result.sampled_every_mm, extent, options);
  result.measured_to_mm = skin.most_mm;
  result.faces_over_air = faces_over_air(skin, (extent.high_mm - extent.low_mm).norm(), loop);
  return result;
}

}  // namespace trueblank::body
