// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/flat_side.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace trueblank::intake {
namespace {

using geometry::Mat3;
using geometry::Vec3;

#ifdef FUZZING_BUILD_MODE_UNSAFE_FOR_PRODUCTION
constexpr int most_samples = 200;  // a hundred bodies in the time of one
constexpr std::size_t most_seeds = 32;
#else
constexpr int most_samples = 4000;
constexpr std::size_t most_seeds = 160;
#endif

/// Parts of the diagonal: how far a seed looks about for its normal, and how far off a plane the
/// skin on it may be at first.
constexpr double seed_reach = 0.03;
constexpr double first_tolerance = 0.008;

/// Cosines: facets of a noisy plane keep within about 35° of it.
constexpr double faces_alike = 0.8;
constexpr double faces_apart = 0.94;

/// So little of the skin may lie on the wrong side of a plane.
constexpr double most_behind = 0.01;

bool on_plane(const SkinSample& s, const Plane& plane, double tolerance) {
  return std::abs(plane.height(s.position)) <= tolerance &&
         s.normal.dot(plane.normal) > faces_alike;
}

/// The plane of the skin about a sample.
Plane about(const std::vector<SkinSample>& samples, const SkinSample& seed, double reach) {
  Vec3 normal = Vec3::Zero();
  Vec3 middle = Vec3::Zero();
  int count = 0;
  for (const SkinSample& s : samples) {
    if ((s.position - seed.position).squaredNorm() > reach * reach) continue;
    if (s.normal.dot(seed.normal) < 0.5) continue;
    normal += s.normal;
    middle += s.position;
    ++count;
  }
  Plane out;
  out.normal = normal.normalized();
  out.offset = out.normal.dot(middle) / std::max(count, 1);
  return out;
}

/// How many samples lie on a plane; none where the skin lies on both sides of it.
int score(const std::vector<SkinSample>& samples, const Plane& plane, double tolerance,
          double diagonal, Facing facing) {
  // A table may have a plate's thickness below it; a side of the body has nothing beyond it.
  const double wrong_from =
      facing == Facing::the_rest ? -most_plate_thickness * diagonal : tolerance;
  int on = 0;
  int wrong = 0;
  for (const SkinSample& s : samples) {
    if (on_plane(s, plane, tolerance)) {
      ++on;
      continue;
    }
    const double height = plane.height(s.position);
    const bool behind = facing == Facing::the_rest ? height < wrong_from : height > wrong_from;
    wrong += behind ? 1 : 0;
  }
  return wrong > most_behind * static_cast<double>(samples.size()) ? 0 : on;
}

/// The best plane through the samples on one, again and again with a tolerance after their noise.
FlatSide refined(const std::vector<SkinSample>& samples, Plane plane, double diagonal) {
  constexpr int rounds = 8;
  double tolerance = first_tolerance * diagonal;
  int count = 0;
  for (int round = 0; round < rounds; ++round) {
    Vec3 sum = Vec3::Zero();
    Mat3 squares = Mat3::Zero();
    count = 0;
    for (const SkinSample& s : samples) {
      if (!on_plane(s, plane, tolerance)) continue;
      const Vec3 p = s.position - plane.offset * plane.normal;
      sum += p;
      squares += p * p.transpose();
      ++count;
    }
    if (count < 3) break;
    const Vec3 mean = sum / count;
    const Eigen::SelfAdjointEigenSolver<Mat3> axes(squares / count - mean * mean.transpose());
    const Vec3 normal = axes.eigenvectors().col(0);
    const double side = normal.dot(plane.normal) < 0 ? -1 : 1;
    const Vec3 origin = mean + plane.offset * plane.normal;
    plane.normal = side * normal;
    plane.offset = plane.normal.dot(origin);
    plane.noise = std::sqrt(std::max(axes.eigenvalues()(0), 0.0));
    tolerance = std::clamp(4 * plane.noise, 1e-4 * diagonal, first_tolerance * diagonal);
  }
  return {plane, static_cast<double>(count) / static_cast<double>(samples.size())};
}

}  // namespace

std::vector<SkinSample> samples_of_body(const Pieces& pieces) {
  SkinSampler sampler(pieces.body().area, most_samples);
  for (int f = 0; f < pieces.facet_count(); ++f) {
    if (pieces.piece_of[static_cast<std::size_t>(f)] != pieces.kept) continue;
    sampler.add(pieces.corner(f, 0), pieces.corner(f, 1), pieces.corner(f, 2));
  }
  return sampler.take();
}

std::optional<FlatSide> largest_flat_side(const std::vector<SkinSample>& samples, double diagonal,
                                          Facing facing, const Vec3* apart) {
  if (samples.empty()) return std::nullopt;
  const std::size_t step = std::max<std::size_t>(1, samples.size() / most_seeds);
  Plane best;
  int most = 0;
  for (std::size_t i = step / 2; i < samples.size(); i += step) {
    const Plane plane = about(samples, samples[i], seed_reach * diagonal);
    if (!(plane.normal.norm() > 0)) continue;
    if (apart != nullptr && plane.normal.dot(*apart) > faces_apart) continue;
    const int on = score(samples, plane, first_tolerance * diagonal, diagonal, facing);
    if (on <= most) continue;
    most = on;
    best = plane;
  }
  if (most == 0) return std::nullopt;
  return refined(samples, best, diagonal);
}

}  // namespace trueblank::intake
