// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/print_check.h"

#include <algorithm>
#include <cstdint>
#include <utility>

#include "body/groups.h"
#include "body/messages.h"
#include "body/print_bed.h"
#include "body/print_mirror.h"
#include "body/print_rooms.h"
#include "body/print_walls.h"
#include "geometry/shells.h"

namespace trueblank::body {

using geometry::Vec3;

namespace {

constexpr double narrowest_cells = 1.5;

std::vector<std::string> unsound(const SoundBody& body) {
  const intake::Soundness& read = body.as_read;
  std::vector<std::string> found;
  if (!read.closed) found.push_back(print_open(read.open_loops));
  if (!read.oriented) found.push_back(print_windings());
  if (read.closed && read.oriented && !read.outward) found.push_back(print_inside_out());
  if (read.self_intersections > 0) found.push_back(print_crossings(read.self_intersections));
  for (const intake::Mended& mended : body.record.mended) {
    found.push_back(print_mended(mended.what, mended.count));
  }
  return found;
}

// The shells of a body that face inward: each closes in a room.
std::vector<Chamber> closed_rooms(const geometry::ClosedMesh& body) {
  const std::vector<std::uint8_t> outer = geometry::on_outer_skin(body.mesh());
  Groups shells(static_cast<std::size_t>(body.vertex_count()));
  for (int f = 0; f < body.facet_count(); ++f) {
    for (int k = 1; k < 3; ++k) {
      shells.join(static_cast<std::size_t>(body.facets()(0, f)),
                  static_cast<std::size_t>(body.facets()(k, f)));
    }
  }
  std::vector<int> shell_of(outer.size(), -1);
  std::vector<std::vector<int>> facets;
  for (int f = 0; f < body.facet_count(); ++f) {
    const std::size_t corner = static_cast<std::size_t>(body.facets()(0, f));
    if (outer[corner] != 0) continue;
    int& shell = shell_of[shells.of(corner)];
    if (shell < 0) {
      shell = static_cast<int>(facets.size());
      facets.emplace_back();
    }
    facets[static_cast<std::size_t>(shell)].push_back(f);
  }
  std::vector<Chamber> rooms;
  for (const std::vector<int>& own : facets) {
    geometry::TriangleMesh shell{body.positions_mm(),
                                 Eigen::Matrix3Xi(3, static_cast<Eigen::Index>(own.size()))};
    double low = body.positions_mm()(0, body.facets()(0, own.front()));
    double high = low;
    for (std::size_t i = 0; i < own.size(); ++i) {
      const Eigen::Vector3i corners = body.facets().col(own[i]);
      shell.facets.col(static_cast<Eigen::Index>(i)) << corners[0], corners[2], corners[1];
      for (const int v : corners) {
        low = std::min(low, body.positions_mm()(0, v));
        high = std::max(high, body.positions_mm()(0, v));
      }
    }
    const std::optional<geometry::ClosedMesh> turned = geometry::closed_mesh(std::move(shell));
    if (!turned) continue;
    const geometry::Moments whole = geometry::moments(*turned);
    rooms.push_back({.from_station_mm = low,
                     .to_station_mm = high,
                     .volume_mm3 = whole.volume_mm3,
                     .middle_mm = whole.centroid_mm});
  }
  return rooms;
}

Hollow hollow_of(const geometry::ClosedMesh& body, bool faces_over_air,
                 const geometry::ParallelFor& loop) {
  Hollow hollow;
  hollow.chambers = closed_rooms(body);
  if (faces_over_air) {
    const std::optional<geometry::ClosedMesh> outer = geometry::outer_skin(body);
    Rooms rooms = open_rooms(outer ? *outer : body, loop);
    hollow.grid_mm = rooms.grid_mm;
    hollow.narrowest_mm = narrowest_cells * rooms.grid_mm;
    for (Chamber& room : rooms.open) hollow.chambers.push_back(std::move(room));
  }
  std::ranges::stable_sort(hollow.chambers, [](const Chamber& a, const Chamber& b) {
    return a.volume_mm3 > b.volume_mm3;
  });
  return hollow;
}

}  // namespace

std::string feature_from_name(FeatureFrom from) {
  switch (from) {
    case FeatureFrom::nozzle:
      return "nozzle";
    case FeatureFrom::voxel:
      return "voxel";
    case FeatureFrom::assumed:
      break;
  }
  return "assumed";
}

std::string trueness_name(Trueness trueness) {
  switch (trueness) {
    case Trueness::exact:
      return "exact";
    case Trueness::facets:
      return "facets";
    case Trueness::untrue:
      return "untrue";
    case Trueness::no_plane:
      break;
  }
  return "no plane";
}

bool PrintCheck::walls_hold() const {
  return std::ranges::all_of(walls.places, [](const ThinPlace& place) { return place.runs_out; });
}

bool PrintCheck::fits_bed() const {
  return !options.bed_mm ||
         std::ranges::any_of(rests, [](const BedRest& rest) { return rest.fits; });
}

PrintCheck check_print(const FramedBody& body, const PrintOptions& options,
                       const geometry::ParallelFor& loop) {
  PrintCheck check;
  check.options = options;
  check.unsound = unsound(body.sound);
  WallsAndGaps measured = measured_walls(*body.body, options, loop);
  check.sampled_every_mm = measured.sampled_every_mm;
  check.measured_to_mm = measured.measured_to_mm;
  check.walls = std::move(measured.walls);
  check.gaps = std::move(measured.gaps);
  check.mirror = mirror_truth(body, loop);
  check.rests = bed_rests(body, options.bed_mm);
  check.hollow = hollow_of(*body.body, measured.faces_over_air, loop);
  check.material_mm3 = body.whole.volume_mm3;
  check.area_mm2 = body.whole.area_mm2;
  return check;
}

}  // namespace trueblank::body
