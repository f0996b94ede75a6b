// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/patches.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <map>
#include <utility>

#include "geometry/moments.h"
#include "symmetry/beyond_noise.h"
#include "symmetry/nearest_surface.h"
#include "symmetry/patch_areas.h"
#include "symmetry/patch_names.h"
#include "symmetry/skin_sums.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Vec3;

// Of the whole skin: what is smaller is no patch even where there is no noise.
constexpr double least_part = 1e-4;

// Vertices lie further out than the facets between them, so that on a round body whose facets don't
// meet mirror images of their own the skin looks proud at its vertices. A quarter of the corners'
// mean and three quarters of the middle is exact for what bends as a parabola; here is what the
// middles put right, of the deviation's integral over each facet.
std::vector<double> middles_mm3(const ClosedMesh& body, const DeviationField& field,
                                const std::vector<int>& facets, const geometry::ParallelFor& loop) {
  std::vector<double> volumes(facets.size(), 0.0);
  if (facets.empty()) return volumes;
  const bool mirrored = field.against == Against::mirror_image;
  // A mean of many copies has no skin to ask.
  if (!mirrored && !field.surface) return volumes;
  const auto kept =
      field.surface ? field.surface : std::make_shared<const NearestSurface>(body.mesh(), loop);
  const NearestSurface& surface = *kept;
  constexpr int run_length = 256;
  const int count = static_cast<int>(facets.size());
  const Plane mirror{Vec3::UnitY(), 0};
  loop((count + run_length - 1) / run_length, [&](int run) {
    for (int i = run * run_length; i < std::min(count, (run + 1) * run_length); ++i) {
      const int f = facets[static_cast<std::size_t>(i)];
      const Vec3 a = body.corner(f, 0);
      const Vec3 ab = body.corner(f, 1) - a;
      const Vec3 ac = body.corner(f, 2) - a;
      double at_corners = 0;
      for (const int v : body.facets().col(f)) {
        at_corners += field.deviation_mm[static_cast<std::size_t>(v)] / 3;
      }
      const int likely = field.opposite_facet[static_cast<std::size_t>(body.facets()(0, f))];
      const Vec3 middle = a + (ab + ac) / 3;
      const double at_middle =
          surface.nearest(mirrored ? mirror.reflected(middle) : middle, likely).signed_distance_mm;
      volumes[static_cast<std::size_t>(i)] =
          0.75 * (at_middle - at_corners) * ab.cross(ac).norm() / 2;
    }
  });
  return volumes;
}

// The share of each vertex in what lies between the areas and their mirror image; 0 outside them.
std::vector<double> vertex_volumes_mm3(const ClosedMesh& body, const DeviationField& field,
                                       std::span<const std::uint8_t> facet_measured,
                                       const BeyondNoise& beyond,
                                       const geometry::ParallelFor& loop) {
  std::vector<double> volumes = swept_volumes_mm3(body, beyond.to_mirror_mm);
  for (double& volume : volumes) volume = -volume;
  std::vector<int> facets;
  for (int f = 0; f < body.facet_count(); ++f) {
    // A wide facet that closes a hole may have measured corners, and its middle far within.
    if (!facet_measured.empty() && facet_measured[static_cast<std::size_t>(f)] == 0) continue;
    int in_areas = 0;
    int counted = 0;
    for (const int v : body.facets().col(f)) {
      in_areas += beyond.deviation_mm[static_cast<std::size_t>(v)] != 0 ? 1 : 0;
      counted += field.counted[static_cast<std::size_t>(v)] != 0 ? 1 : 0;
    }
    if (in_areas > 0 && counted == 3) facets.push_back(f);
  }
  const std::vector<double> middles = middles_mm3(body, field, facets, loop);
  for (std::size_t i = 0; i < facets.size(); ++i) {
    for (const int v : body.facets().col(facets[i])) {
      const std::size_t at = static_cast<std::size_t>(v);
      if (beyond.deviation_mm[at] != 0) volumes[at] += middles[i] / 3;
    }
  }
  return volumes;
}

/// What the figures of a patch are added up from.
struct Sums {
  const ClosedMesh& body;
  const std::vector<double>& deviation_mm;
  const Eigen::Matrix3Xd& to_mirror_mm;
  std::vector<double> areas_mm2;
  std::vector<double> volumes_mm3;
  Eigen::Matrix3Xd normals;
  BodyExtent extent;
};

Patch patch_of(const Sums& sums, std::vector<int> vertices, std::optional<double> density) {
  Patch patch;
  PatchSpread spread;
  Vec3 moment = Vec3::Zero();
  for (const int v : vertices) {
    const std::size_t at = static_cast<std::size_t>(v);
    const Vec3 p = sums.body.positions_mm().col(v);
    spread.add(p, sums.normals.col(v), sums.areas_mm2[at]);
    patch.area_mm2 += sums.areas_mm2[at];
    patch.volume_mm3 += sums.volumes_mm3[at];
    moment += sums.volumes_mm3[at] * (p + sums.to_mirror_mm.col(v) / 2);
    if (std::abs(sums.deviation_mm[at]) > std::abs(patch.greatest_mm)) {
      patch.greatest_mm = sums.deviation_mm[at];
      patch.greatest_at_mm = p;
    }
  }
  // Where facets fold the swept volume may vanish: then the middle of the area stands for it.
  const bool has_volume = patch.volume_mm3 * patch.greatest_mm > 0;
  patch.centroid_mm = has_volume ? Vec3(moment / patch.volume_mm3) : spread.middle_mm();
  spread.describe(sums.extent, patch);
  if (density) patch.mass_g = patch.volume_mm3 / 1000 * *density;
  patch.vertices = std::move(vertices);
  return patch;
}

void order_by_volume(std::vector<Patch>& patches) {
  std::sort(patches.begin(), patches.end(), [](const Patch& a, const Patch& b) {
    const double one = std::abs(a.volume_mm3);
    const double other = std::abs(b.volume_mm3);
    return one != other ? one > other : a.vertices.front() < b.vertices.front();
  });
}

// The patch of the other sign that most of the mirror image's area belongs to.
std::optional<int> partner_of(const Patch& patch, int sign, const Sums& sums,
                              const DeviationField& field, const std::vector<int>& labels) {
  std::map<int, double> area_by_label;
  for (const int v : patch.vertices) {
    const int facet = field.opposite_facet[static_cast<std::size_t>(v)];
    if (facet < 0) continue;
    for (const int corner : sums.body.facets().col(facet)) {
      const int label = labels[static_cast<std::size_t>(corner)];
      if (label * sign < 0) area_by_label[label] += sums.areas_mm2[static_cast<std::size_t>(v)];
    }
  }
  std::optional<int> best;
  double most = 0;
  for (const auto& [label, area] : area_by_label) {
    if (!(area > most)) continue;
    most = area;
    best = std::abs(label) - 1;
  }
  return best;
}

void label(std::vector<Patch>& patches, int sign, std::vector<int>& labels) {
  for (std::size_t i = 0; i < patches.size(); ++i) {
    for (const int v : patches[i].vertices) {
      labels[static_cast<std::size_t>(v)] = sign * static_cast<int>(i + 1);
    }
  }
}

}  // namespace

Patches find_patches(const ClosedMesh& in_body_frame, const DeviationField& field,
                     std::span<const std::uint8_t> facet_measured, const PatchOptions& options,
                     const geometry::ParallelFor& loop) {
  BeyondNoise beyond = beyond_noise(in_body_frame, field, facet_measured, options.noise, loop);
  const std::size_t vertices = beyond.deviation_mm.size();
  Patches result{.labels = std::vector<int>(vertices, 0), .limit_mm = beyond.limit_mm};
  Sums sums{in_body_frame,
            beyond.deviation_mm,
            beyond.to_mirror_mm,
            vertex_areas_mm2(in_body_frame, facet_measured),
            vertex_volumes_mm3(in_body_frame, field, facet_measured, beyond, loop),
            vertex_normals(in_body_frame),
            extent_of(in_body_frame)};
  const double skin_mm2 = geometry::area_mm2(in_body_frame.mesh());
  const double least_area_mm2 =
      std::max(beyond.correlation_mm * beyond.correlation_mm, least_part * skin_mm2);
  for (std::vector<int>& members :
       areas_of_one_sign(in_body_frame, beyond.deviation_mm, beyond.correlation_mm)) {
    double area = 0;
    for (const int v : members) area += sums.areas_mm2[static_cast<std::size_t>(v)];
    const bool proud = beyond.deviation_mm[static_cast<std::size_t>(members.front())] > 0;
    if (area < least_area_mm2) continue;
    (proud ? result.proud : result.shy)
        .push_back(patch_of(sums, std::move(members), options.wood_density_g_cm3));
  }
  order_by_volume(result.proud);
  order_by_volume(result.shy);
  label(result.proud, 1, result.labels);
  label(result.shy, -1, result.labels);
  if (field.against == Against::mirror_image) {
    for (Patch& p : result.proud) p.partner = partner_of(p, 1, sums, field, result.labels);
    for (Patch& p : result.shy) p.partner = partner_of(p, -1, sums, field, result.labels);
  }
  for (std::size_t v = 0; v < vertices; ++v) {
    if (result.labels[v] != 0) continue;
    beyond.deviation_mm[v] = 0;
    sums.volumes_mm3[v] = 0;
    beyond.to_mirror_mm.col(static_cast<Eigen::Index>(v)).setZero();
  }
  result.volumes_mm3 = std::move(sums.volumes_mm3);
  result.deviation_mm = std::move(beyond.deviation_mm);
  result.to_mirror_mm = std::move(beyond.to_mirror_mm);
  return result;
}

}  // namespace trueblank::symmetry
