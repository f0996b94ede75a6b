// SPDX-License-Identifier: GPL-3.0-or-later
// Steps by the exponential Euler method (Hochbruck & Ostermann, Exponential integrators, Acta
// Numerica 19, 209-286, 2010, section 2.1), exact where the energy is quadratic.
#include "water/shares.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <utility>

#include "water/stationary.h"

namespace trueblank::water {
namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double catch_rad = 1.5 * degree;
constexpr double step_rad = 2 * degree;
constexpr double still_rad = 1e-5;
constexpr int most_steps = 1000;
constexpr int coarse_level = 4;
constexpr int faces_a_chunk = 64;

// Six places of a triangle, all turns and mirror images of one: a face that is its own mirror image
// has none of them on its line of symmetry, where ridges of symmetric bodies lie.
constexpr std::array<std::array<double, 3>, 6> six_places = {{{0.55, 0.3, 0.15},
                                                              {0.15, 0.55, 0.3},
                                                              {0.3, 0.15, 0.55},
                                                              {0.55, 0.15, 0.3},
                                                              {0.3, 0.55, 0.15},
                                                              {0.15, 0.3, 0.55}}};

// How far a start with slope g and curvature k has come after the time t of steepest descent.
double descended(double g, double k, double time) {
  const double exponent = -k * time;
  if (std::abs(exponent) < 1e-8) return -g * time;
  return g * std::expm1(exponent) / k;
}

}  // namespace

Vec3 descent_step(const Vec3& up, const Vec3& gradient_g_mm, const Mat3& hessian_g_mm,
                  double length_rad) {
  const Curvatures k = curvatures(up, hessian_g_mm);
  const double g_soft = gradient_g_mm.dot(k.soft_towards);
  const double g_stiff = gradient_g_mm.dot(k.stiff_towards);
  const double slope = std::sqrt(g_soft * g_soft + g_stiff * g_stiff);
  if (!(slope > 0)) return Vec3::Zero();
  double soft = 0;
  double stiff = 0;
  const auto after = [&](double time) {
    soft = descended(g_soft, k.soft_g_mm, time);
    stiff = descended(g_stiff, k.stiff_g_mm, time);
    return std::sqrt(soft * soft + stiff * stiff);
  };
  if (k.soft_g_mm > 0) {
    Vec3 to_rest =
        -g_soft / k.soft_g_mm * k.soft_towards - g_stiff / k.stiff_g_mm * k.stiff_towards;
    if (to_rest.squaredNorm() <= length_rad * length_rad) return to_rest;
  }
  // Off a ridge the model grows without bound: no more than twentyfold in a step.
  const double longest = k.soft_g_mm < 0 ? 3 / -k.soft_g_mm : HUGE_VAL;
  double time = std::min(length_rad / slope, longest);
  double length = after(time);
  for (int i = 0; i < 12; ++i) {
    if (length <= length_rad && (length > 0.7 * length_rad || time >= longest)) break;
    time = std::min(time * std::min(8.0, 0.9 * length_rad / length), longest);
    length = after(time);
  }
  const double shorten = std::min(1.0, length_rad / length);
  return shorten * (soft * k.soft_towards + stiff * k.stiff_towards);
}

Vec3 descend_truly(const Floater& lure, const Vec3& start, double length_rad) {
  Vec3 up = start;
  std::optional<double> offset_mm;
  for (int i = 0; i < 2000; ++i) {
    const Waterline line = waterline_at(lure, up, offset_mm, 1e-6);
    const Vec3 step = descent_step(up, line.gradient_g_mm, line.hessian_g_mm, length_rad);
    const Vec3 next = turned(up, step);
    offset_mm = line.offset_mm + line.offset_slope_mm.dot(next - up);
    up = next;
    if (step.norm() < still_rad) break;
  }
  return up;
}

ShareCount::ShareCount(const EnergyField& field, std::vector<Ending> endings)
    : field_(&field), endings_(std::move(endings)) {
  const SphereGrid& grid = field.grid();
  near_face_.resize(static_cast<std::size_t>(grid.face_count()));
  for (std::size_t e = 0; e < endings_.size(); ++e) {
    double radius = catch_rad;
    for (std::size_t other = 0; other < endings_.size(); ++other) {
      if (other == e) continue;
      for (const Vec3& theirs : endings_[other].points) {
        for (const Vec3& ours : endings_[e].points) {
          radius = std::min(radius, 0.3 * (theirs - ours).norm());
        }
      }
    }
    catch_cosine_.push_back(std::cos(radius));
  }
  for (int f = 0; f < grid.face_count(); ++f) {
    const std::array<int, 3>& corners = grid.face(f);
    const Vec3 middle =
        (grid.node(corners[0]) + grid.node(corners[1]) + grid.node(corners[2])).normalized();
    const double face_radius = std::acos(std::min(1.0, middle.dot(grid.node(corners[0]))));
    const double reach = std::cos(catch_rad + 1.5 * face_radius);
    for (std::size_t e = 0; e < endings_.size(); ++e) {
      const bool near = std::any_of(endings_[e].points.begin(), endings_[e].points.end(),
                                    [&](const Vec3& point) { return point.dot(middle) >= reach; });
      if (near) near_face_[static_cast<std::size_t>(f)].push_back(static_cast<int>(e));
    }
  }
}

int ShareCount::caught_at(const Vec3& up, int face) const {
  for (const int e : near_face_[static_cast<std::size_t>(face)]) {
    const double cosine = catch_cosine_[static_cast<std::size_t>(e)];
    for (const Vec3& point : endings_[static_cast<std::size_t>(e)].points) {
      if (point.dot(up) >= cosine) return e;
    }
  }
  return -1;
}

Descent ShareCount::descend(const Vec3& start) const {
  Descent way;
  way.last = start;
  int face = field_->grid().locate(start).face;
  for (int i = 0; i < most_steps; ++i) {
    const EnergyField::Value value = field_->at(way.last, face);
    face = value.face;
    way.ending = caught_at(way.last, face);
    if (way.ending >= 0) return way;
    const Vec3 step = descent_step(way.last, value.gradient_g_mm, value.hessian_g_mm, step_rad);
    way.last = turned(way.last, step);
    if (step.norm() < still_rad) return way;
  }
  return way;
}

namespace {

// Descents from many starts; those that were not caught are settled one after the other.
std::vector<int> endings_from(const ShareCount& count, const std::vector<Vec3>& starts,
                              const geometry::ParallelFor& loop,
                              const std::function<int(const Vec3&)>& settle_stalled) {
  std::vector<Descent> ways(starts.size());
  const int n = static_cast<int>(starts.size());
  loop((n + faces_a_chunk - 1) / faces_a_chunk, [&](int chunk) {
    for (int i = chunk * faces_a_chunk; i < std::min((chunk + 1) * faces_a_chunk, n); ++i) {
      ways[static_cast<std::size_t>(i)] = count.descend(starts[static_cast<std::size_t>(i)]);
    }
  });
  std::vector<int> endings;
  endings.reserve(starts.size());
  for (const Descent& way : ways) {
    endings.push_back(way.ending >= 0 ? way.ending : settle_stalled(way.last));
  }
  return endings;
}

Vec3 place_in(const std::array<Vec3, 3>& corners, const std::array<double, 3>& weights) {
  return (weights[0] * corners[0] + weights[1] * corners[1] + weights[2] * corners[2]).normalized();
}

}  // namespace

ShareCount::Result ShareCount::count(const geometry::ParallelFor& loop,
                                     const std::function<int(const Vec3&)>& settle_stalled) const {
  const SphereGrid coarse(coarse_level);
  const int faces = coarse.face_count();
  std::vector<std::array<Vec3, 3>> corners;
  std::vector<Vec3> middles;
  for (int f = 0; f < faces; ++f) {
    const std::array<int, 3>& face = coarse.face(f);
    corners.push_back({coarse.node(face[0]), coarse.node(face[1]), coarse.node(face[2])});
    middles.push_back(place_in(corners.back(), {1, 1, 1}));
  }
  const std::vector<int> first = endings_from(*this, middles, loop, settle_stalled);

  std::vector<int> mixed;
  std::vector<Vec3> starts;
  for (int f = 0; f < faces; ++f) {
    const std::array<int, 3>& across = coarse.across(f);
    const int here = first[static_cast<std::size_t>(f)];
    const bool alike = std::all_of(across.begin(), across.end(), [&](int other) {
      return first[static_cast<std::size_t>(other)] == here;
    });
    if (alike && here >= 0) continue;
    mixed.push_back(f);
    for (const std::array<double, 3>& place : six_places) {
      starts.push_back(place_in(corners[static_cast<std::size_t>(f)], place));
    }
  }
  const std::vector<int> finer = endings_from(*this, starts, loop, settle_stalled);

  Result result;
  result.shares.assign(endings_.size(), 0.0);
  const auto credit = [&](int ending, double share) {
    (ending >= 0 ? result.shares[static_cast<std::size_t>(ending)] : result.unresolved) += share;
  };
  std::size_t next_mixed = 0;
  for (int f = 0; f < faces; ++f) {
    const std::array<Vec3, 3>& c = corners[static_cast<std::size_t>(f)];
    const double share = solid_angle(c[0], c[1], c[2]) / (4 * std::numbers::pi);
    if (next_mixed < mixed.size() && mixed[next_mixed] == f) {
      for (std::size_t k = 0; k < six_places.size(); ++k) {
        credit(finer[next_mixed * six_places.size() + k], share / 6);
      }
      ++next_mixed;
    } else {
      credit(first[static_cast<std::size_t>(f)], share);
    }
  }
  return result;
}

}  // namespace trueblank::water
