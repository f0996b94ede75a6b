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

std::vector<SpreadMass> spread_masses(const rig::RiggedLure& lure, const geometry::Moments& whole) {
  std::vector<SpreadMass> masses;
  for (const rig::MassPart& part : lure.parts) {
    masses.push_back({.mass_g = part.mass_g, .centre_mm = part.centre_mm});
  }
  if (!masses.empty()) {
    SpreadMass& wood = masses.front();
    wood.spread_g_mm2 = wood.mass_g / whole.volume_mm3 * whole.spread_mm5;
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
