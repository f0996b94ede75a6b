// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/casting.h"

#include <cmath>

#include "geometry/silhouette.h"

namespace trueblank::water {
namespace {

struct Whole {
  double mass_g = 0;
  Vec3 centre_mm = Vec3::Zero();
};

Whole whole_of(std::span<const SpreadMass> masses) {
  Whole whole;
  Vec3 moment_g_mm = Vec3::Zero();
  for (const SpreadMass& part : masses) {
    whole.mass_g += part.mass_g;
    moment_g_mm += part.mass_g * part.centre_mm;
  }
  whole.centre_mm = moment_g_mm / whole.mass_g;
  return whole;
}

/// ∫ q qᵀ dm per gram of an even line through the points, q from its own centre.
Mat3 spread_along(std::span<const Vec3> path_mm) {
  double length_mm = 0;
  Vec3 first = Vec3::Zero();
  Mat3 second = Mat3::Zero();
  for (std::size_t i = 0; i + 1 < path_mm.size(); ++i) {
    const Vec3 step = path_mm[i + 1] - path_mm[i];
    const Vec3 middle = path_mm[i] + step / 2;
    length_mm += step.norm();
    first += step.norm() * middle;
    second += step.norm() * (middle * middle.transpose() + step * step.transpose() / 12);
  }
  if (!(length_mm > 0)) return Mat3::Zero();
  return second / length_mm - first * first.transpose() / (length_mm * length_mm);
}

/// Likewise of the skin between a body and the same body coated.
Mat3 spread_of_coat(const geometry::Moments& bare, const geometry::Moments& coated) {
  const double volume_mm3 = coated.volume_mm3 - bare.volume_mm3;
  if (!(volume_mm3 > 0)) return Mat3::Zero();
  const auto about_origin = [](const geometry::Moments& of) -> Mat3 {
    return of.spread_mm5 + of.volume_mm3 * of.centroid_mm * of.centroid_mm.transpose();
  };
  const Vec3 centre_mm =
      (coated.volume_mm3 * coated.centroid_mm - bare.volume_mm3 * bare.centroid_mm) / volume_mm3;
  return (about_origin(coated) - about_origin(bare)) / volume_mm3 -
         centre_mm * centre_mm.transpose();
}

}  // namespace

double radius_of_gyration_mm(std::span<const SpreadMass> masses, const Vec3& axis) {
  const Whole whole = whole_of(masses);
  double inertia_g_mm2 = 0;
  for (const SpreadMass& part : masses) {
    const Vec3 arm = part.centre_mm - whole.centre_mm;
    const double along = arm.dot(axis);
    inertia_g_mm2 += part.mass_g * (arm.squaredNorm() - along * along) + part.spread_g_mm2.trace() -
                     axis.dot(part.spread_g_mm2 * axis);
  }
  return std::sqrt(std::fmax(0.0, inertia_g_mm2 / whole.mass_g));
}

std::vector<SpreadMass> spread_masses(const rig::Assembly& laid, const rig::Rig& rig,
                                      const geometry::Moments& whole,
                                      const geometry::Moments& coated) {
  std::vector<SpreadMass> masses = {
      {.mass_g = laid.undrilled_wood_g,
       .centre_mm = laid.undrilled_wood_centre_mm,
       .spread_g_mm2 = laid.undrilled_wood_g / whole.volume_mm3 * whole.spread_mm5}};
  std::size_t wires = 0;
  for (const rig::LaidPart& part : laid.parts) {
    Mat3 per_gram_mm2 = Mat3::Zero();
    if (part.kind == rig::PartKind::finish) per_gram_mm2 = spread_of_coat(whole, coated);
    if (part.kind == rig::PartKind::wire) per_gram_mm2 = spread_along(rig.wires[wires++].path_mm);
    masses.push_back({.mass_g = part.mass_g,
                      .centre_mm = part.centre_mm,
                      .spread_g_mm2 = part.mass_g * per_gram_mm2});
    if (part.wood_g == 0) continue;
    masses.push_back({.mass_g = -part.wood_g,
                      .centre_mm = part.wood_centre_mm,
                      .spread_g_mm2 = -part.wood_g * per_gram_mm2});
  }
  return masses;
}

Casting casting(const geometry::ClosedMesh& bare, std::span<const SpreadMass> masses) {
  const Eigen::Matrix3Xd& positions = bare.positions_mm();
  const double nose_mm = positions.row(0).minCoeff();
  const double percent_per_mm = 100 / (positions.row(0).maxCoeff() - nose_mm);
  const geometry::Silhouette side = geometry::silhouette(bare, Vec3::UnitY());
  const Vec3 centre_of_mass_mm = whole_of(masses).centre_mm;
  Casting figures;
  figures.mass_centre_percent = percent_per_mm * (centre_of_mass_mm.x() - nose_mm);
  figures.side_centre_percent = percent_per_mm * (side.centroid_mm.x() - nose_mm);
  figures.side_centre_mm = side.centroid_mm;
  figures.side_area_mm2 = side.area_mm2;
  figures.centres_apart_mm = std::hypot(centre_of_mass_mm.x() - side.centroid_mm.x(),
                                        centre_of_mass_mm.z() - side.centroid_mm.z());
  const double aft_percent = figures.mass_centre_percent - figures.side_centre_percent;
  if (std::abs(aft_percent) > leads_beyond_percent) {
    figures.leads = aft_percent > 0 ? Leads::tail : Leads::nose;
  }
  figures.radius_of_gyration_mm = radius_of_gyration_mm(masses, Vec3::UnitY());
  return figures;
}

}  // namespace trueblank::water
