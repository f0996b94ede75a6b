// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/skin_samples.h"

#include <Eigen/Geometry>
#include <cmath>

namespace trueblank::intake {

using geometry::Vec3;

SkinSampler::SkinSampler(double area, int count)
    : step_(area / count), most_(static_cast<std::size_t>(count) + 1) {
  samples_.reserve(most_);
}

void SkinSampler::add(const Vec3& a, const Vec3& b, const Vec3& c) {
  const Vec3 normal = (b - a).cross(c - a);
  area_ += normal.norm() / 2;
  while (samples_.size() < most_ && area_ > (static_cast<double>(samples_.size()) + 0.5) * step_) {
    // Points that fill a triangle evenly: M. Roberts' R2 sequence, folded, from memory.
    const auto n = static_cast<double>(samples_.size());
    double u = std::fmod(0.5 + n * 0.7548776662466927, 1.0);
    double v = std::fmod(0.5 + n * 0.5698402909980532, 1.0);
    if (u + v > 1) {
      u = 1 - u;
      v = 1 - v;
    }
    samples_.push_back({a + u * (b - a) + v * (c - a), normal.normalized()});
  }
}

std::vector<SkinSample> samples_of(const geometry::TriangleMesh& mesh, int count) {
  double area = 0;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Vec3 a = mesh.corner(f, 0);
    area += (mesh.corner(f, 1) - a).cross(mesh.corner(f, 2) - a).norm() / 2;
  }
  SkinSampler sampler(area, count);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    sampler.add(mesh.corner(f, 0), mesh.corner(f, 1), mesh.corner(f, 2));
  }
  return sampler.take();
}

}  // namespace trueblank::intake
