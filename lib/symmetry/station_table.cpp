// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/station_table.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "geometry/compensated_sum.h"

namespace trueblank::symmetry {
namespace {

using geometry::ClosedMesh;
using geometry::Section;
using geometry::Vec3;

constexpr int most_heights = 10'000;

/// One side of a section's outline, the section to its left as seen from aft.
struct Piece {
  double from_y;
  double from_z;
  double to_y;
  double to_z;
};

// Where an edge meets the plane, from its fore end, so that both its facets agree: (y, z).
std::pair<double, double> met(const Vec3& fore, const Vec3& aft, double x_mm) {
  const Vec3 at = fore + (x_mm - fore.x()) / (aft.x() - fore.x()) * (aft - fore);
  return {at.y(), at.z()};
}

// The side of a section that lies in a facet which the plane cuts; a vertex in the plane counts as
// fore of it.
Piece piece_of(const ClosedMesh& body, int facet, double x_mm) {
  int odd = 0;
  const auto is_fore = [&](int k) { return body.corner(facet, k % 3).x() <= x_mm; };
  while (is_fore(odd + 1) != is_fore(odd + 2)) ++odd;
  const Vec3 a = body.corner(facet, odd % 3);
  const Vec3 b = body.corner(facet, (odd + 1) % 3);
  const Vec3 c = body.corner(facet, (odd + 2) % 3);
  const auto [from, to] = is_fore(odd) ? std::pair(met(a, c, x_mm), met(a, b, x_mm))
                                       : std::pair(met(b, a, x_mm), met(c, a, x_mm));
  return {from.first, from.second, to.first, to.second};
}

/// For each section the pieces of its outline.
std::vector<std::vector<Piece>> outlines(const ClosedMesh& body,
                                         const std::vector<Section>& sections) {
  std::vector<std::pair<double, std::size_t>> rising;
  for (std::size_t i = 0; i < sections.size(); ++i) rising.emplace_back(sections[i].x_mm, i);
  std::sort(rising.begin(), rising.end());
  std::vector<std::vector<Piece>> result(sections.size());
  for (int f = 0; f < body.facet_count(); ++f) {
    const auto [least, greatest] =
        std::minmax({body.corner(f, 0).x(), body.corner(f, 1).x(), body.corner(f, 2).x()});
    auto at = std::lower_bound(rising.begin(), rising.end(), std::pair(least, std::size_t{0}));
    for (; at != rising.end() && at->first < greatest; ++at) {
      result[at->second].push_back(piece_of(body, f, at->first));
    }
  }
  return result;
}

// ∮ y dz is the area, ∮ ½y² dz its first moment (Green).
double centre_offset_mm(const std::vector<Piece>& outline) {
  geometry::CompensatedSums<2> sums;
  for (const Piece& p : outline) {
    const double rise = p.to_z - p.from_z;
    sums.add({(p.from_y + p.to_y) / 2 * rise,
              (p.from_y * p.from_y + p.from_y * p.to_y + p.to_y * p.to_y) / 6 * rise});
  }
  const auto [area, moment] = sums.values();
  return area > 0 ? moment / area : 0;
}

HalfWidths half_widths_at(const std::vector<Piece>& outline, double z_mm) {
  HalfWidths widths{z_mm, 0, 0};
  for (const Piece& p : outline) {
    if (std::min(p.from_z, p.to_z) > z_mm || std::max(p.from_z, p.to_z) < z_mm) continue;
    const double rise = p.to_z - p.from_z;
    // A level piece is as wide as its ends, which its neighbours have too.
    const double t = rise != 0 ? (z_mm - p.from_z) / rise : 0.0;
    const double y = p.from_y + t * (p.to_y - p.from_y);
    widths.left_mm = std::max(widths.left_mm, -y);
    widths.right_mm = std::max(widths.right_mm, y);
  }
  return widths;
}

std::vector<double> heights_within(const Section& section, const StationHeights& heights) {
  std::vector<double> all;
  for (const double z : heights.z_mm) {
    if (z >= section.lowest_z_mm && z <= section.highest_z_mm) all.push_back(z);
  }
  if (heights.step_mm > 0) {
    const double first = std::ceil(section.lowest_z_mm / heights.step_mm);
    for (int i = 0; i < most_heights; ++i) {
      const double z = (first + i) * heights.step_mm;
      if (z > section.highest_z_mm) break;
      all.push_back(z);
    }
  }
  std::sort(all.begin(), all.end());
  all.erase(std::unique(all.begin(), all.end()), all.end());
  return all;
}

}  // namespace

std::vector<Station> station_table(const ClosedMesh& in_body_frame,
                                   const std::vector<Section>& sections,
                                   const StationHeights& heights) {
  const std::vector<std::vector<Piece>> all = outlines(in_body_frame, sections);
  std::vector<Station> table;
  for (std::size_t i = 0; i < sections.size(); ++i) {
    Station station{sections[i], sections[i].right_area_mm2 - sections[i].left_area_mm2, 0, 0, 0,
                    {}};
    if (!all[i].empty()) {
      station.centre_offset_mm = centre_offset_mm(all[i]);
      station.belly_below_mm = -sections[i].lowest_z_mm;
      station.back_above_mm = sections[i].highest_z_mm;
      for (const double z : heights_within(sections[i], heights)) {
        station.half_widths.push_back(half_widths_at(all[i], z));
      }
    }
    table.push_back(std::move(station));
  }
  return table;
}

}  // namespace trueblank::symmetry
