// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/parsed_mesh.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <span>

#include "intake/files.h"
#include "intake/messages.h"
#include "intake/polygons.h"
#include "intake/weld.h"

namespace trueblank::intake {
namespace {

/// The number that a vertex has among those that facets use, in order; -1 for the others.
std::vector<int> used_vertices(const std::vector<int>& facets, std::size_t vertices, int& used) {
  std::vector<int> renumbered(vertices, -1);
  for (const int corner : facets) renumbered[static_cast<std::size_t>(corner)] = 0;
  used = 0;
  for (int& number : renumbered) {
    if (number == 0) number = used++;
  }
  return renumbered;
}

/// Welds the used vertices: their positions, and in `number` what each has become. Takes the parsed
/// positions and colours away, so that the memory never holds all at once.
Eigen::Matrix3Xd welded(ParsedMesh& parsed, std::size_t used, std::vector<int>& number,
                        std::vector<std::array<std::uint8_t, 3>>& colours) {
  Welder<double> welder(used);
  std::vector<int> numbers;
  numbers.reserve(used);
  WeldQueue queue(welder, std::back_inserter(numbers));
  for (std::size_t v = 0; v < number.size(); ++v) {
    const double* p = &parsed.positions[3 * v];
    if (number[v] >= 0) queue.add(p[0], p[1], p[2]);
  }
  queue.flush();
  std::vector<double>().swap(parsed.positions);
  int fresh = 0;
  for (std::size_t v = 0; v < number.size(); ++v) {
    if (number[v] < 0) continue;
    number[v] = numbers[static_cast<std::size_t>(number[v])];
    if (number[v] < fresh) continue;
    ++fresh;
    if (parsed.colours.empty()) continue;
    const std::uint8_t* c = &parsed.colours[3 * v];
    colours.push_back({c[0], c[1], c[2]});
  }
  Eigen::Matrix3Xd positions(3, welder.size());
  ask_for_large_pages(positions.data(), static_cast<std::size_t>(positions.size()) * 8);
  positions = Eigen::Map<const Eigen::Matrix3Xd>(welder.coordinates().data(), 3, welder.size());
  return positions;
}

}  // namespace

void ParsedMesh::add_polygon(const int* corners, std::size_t count) {
  if (count == 3) {
    facets.insert(facets.end(), corners, corners + 3);
  } else if (count < 3) {
    ++too_short;
  } else {
    polygons_.push_back({facets.size(), polygon_corners_.size(), count});
    polygon_corners_.insert(polygon_corners_.end(), corners, corners + count);
    facets.resize(facets.size() + 3 * (count - 2));
  }
}

void ParsedMesh::take_colours(std::vector<float> parts) {
  if (parts.empty()) return;
  parts.resize(positions.size(), 1.0F);
  const float most = *std::max_element(parts.begin(), parts.end());
  const float scale = most > 1 ? 1.0F : 255.0F;
  colours.resize(parts.size());
  std::transform(parts.begin(), parts.end(), colours.begin(),
                 [scale](float c) { return static_cast<std::uint8_t>(std::lround(c * scale)); });
}

void ParsedMesh::cut_polygons(const std::string& name) {
  for (const Polygon& polygon : polygons_) {
    const std::span<const int> corners(&polygon_corners_[polygon.first_corner], polygon.corners);
    const std::span<int> triangles(&facets[polygon.first_facet_entry], 3 * (polygon.corners - 2));
    if (!cut_polygon(corners, positions, triangles)) {
      throw polygon_too_big(name, static_cast<std::int64_t>(polygon.corners));
    }
  }
  polygons_.clear();
  polygon_corners_.clear();
}

FileMesh finished(ParsedMesh parsed, Format format, const std::string& name) {
  if (parsed.facets.empty()) throw no_facets(name, parsed.vertex_count());
  if (parsed.facets.size() / 3 > most_facets) throw too_many(name, "facets");
  parsed.cut_polygons(name);

  FileMesh mesh;
  mesh.name = name;
  mesh.format = format;
  mesh.warnings = std::move(parsed.warnings);
  if (parsed.too_short > 0) mesh.warnings.push_back(facets_too_short(parsed.too_short));

  const std::size_t vertices = parsed.positions.size() / 3;
  int used = 0;
  std::vector<int> number = used_vertices(parsed.facets, vertices, used);
  if (static_cast<std::size_t>(used) < vertices) {
    mesh.warnings.push_back(
        vertices_unused(static_cast<std::int64_t>(vertices) - std::int64_t{used}));
  }
  mesh.positions = welded(parsed, static_cast<std::size_t>(used), number, mesh.colours);
  mesh.facets.resize(3, static_cast<Eigen::Index>(parsed.facets.size() / 3));
  ask_for_large_pages(mesh.facets.data(), parsed.facets.size() * sizeof(int));
  std::transform(parsed.facets.begin(), parsed.facets.end(), mesh.facets.data(),
                 [&number](int corner) { return number[static_cast<std::size_t>(corner)]; });
  return mesh;
}

}  // namespace trueblank::intake
