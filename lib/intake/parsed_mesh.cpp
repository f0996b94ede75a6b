// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/parsed_mesh.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "intake/messages.h"
#include "intake/polygons.h"
#include "intake/weld.h"

namespace trueblank::intake {
namespace {

/// 1 for each vertex that a facet uses, else 0.
std::vector<std::uint8_t> used_vertices(const ParsedMesh& parsed) {
  std::vector<std::uint8_t> used(parsed.positions.size(), 0);
  const int* const corners = parsed.facets.data();
  for (std::size_t i = 0; i < 3 * parsed.facets.size(); ++i) {
    used[static_cast<std::size_t>(corners[i])] = 1;
  }
  return used;
}

/// Writes to the places of used vertices alone, one after the other.
class ToUsed {
 public:
  ToUsed(const std::vector<std::uint8_t>& used, int* numbers) : used_(&used), numbers_(numbers) {
    skip_unused();
  }

  [[nodiscard]] int& operator*() const { return numbers_[at_]; }

  ToUsed& operator++() {
    ++at_;
    skip_unused();
    return *this;
  }

 private:
  void skip_unused() {
    while (at_ < used_->size() && (*used_)[at_] == 0) ++at_;
  }

  const std::vector<std::uint8_t>* used_;
  int* numbers_;
  std::size_t at_ = 0;
};

/// Welds the used vertices where they stand, into `positions`; what number each has become.
std::vector<int> welded(ParsedMesh& parsed, const std::vector<std::uint8_t>& used,
                        std::size_t count, Eigen::Matrix3Xd& positions) {
  std::vector<int> numbers(used.size());
  const double* const from = parsed.positions.data();
  Welder<double> welder(count, std::move(parsed.positions));
  WeldQueue queue(welder, ToUsed(used, numbers.data()));
  for (std::size_t v = 0; v < used.size(); ++v) {
    if (used[v] != 0) queue.add(from[3 * v], from[3 * v + 1], from[3 * v + 2]);
  }
  queue.flush();
  positions = welder.take();
  return numbers;
}

/// Of each welded vertex the colour of the first that became it.
std::vector<std::array<std::uint8_t, 3>> first_colours(const std::vector<std::uint8_t>& parts,
                                                       const std::vector<std::uint8_t>& used,
                                                       const std::vector<int>& number) {
  std::vector<std::array<std::uint8_t, 3>> colours;
  if (parts.empty()) return colours;
  for (std::size_t v = 0; v < used.size(); ++v) {
    if (used[v] == 0 || static_cast<std::size_t>(number[v]) < colours.size()) continue;
    colours.push_back({parts[3 * v], parts[3 * v + 1], parts[3 * v + 2]});
  }
  return colours;
}

}  // namespace

void ParsedMesh::add_polygon(const int* corners, std::size_t count) {
  if (count < 3) {
    ++too_short;
    return;
  }
  if (count > 3) polygons_.push_back({static_cast<int>(facets.size()), static_cast<int>(count)});
  std::copy(corners, corners + count, facets.add(count - 2));
}

void ParsedMesh::take_colours(std::vector<float> parts) {
  if (parts.empty()) return;
  parts.resize(3 * positions.size(), 1.0F);
  const float most = *std::max_element(parts.begin(), parts.end());
  const float scale = most > 1 ? 1.0F : 255.0F;
  colours.resize(parts.size());
  std::transform(parts.begin(), parts.end(), colours.begin(),
                 [scale](float c) { return static_cast<std::uint8_t>(std::lround(c * scale)); });
}

void ParsedMesh::cut_polygons(const std::string& name) {
  const std::span<const double> places(positions.data(), 3 * positions.size());
  std::vector<int> corners;
  for (const Polygon& polygon : polygons_) {
    const auto count = static_cast<std::size_t>(polygon.corners);
    int* const first = facets.column(static_cast<std::size_t>(polygon.first_facet));
    corners.assign(first, first + count);
    if (!cut_polygon(corners, places, std::span<int>(first, 3 * (count - 2)))) {
      throw polygon_too_big(name, std::int64_t{polygon.corners});
    }
  }
  std::vector<Polygon>().swap(polygons_);
}

FileMesh finished(ParsedMesh parsed, Format format, const std::string& name) {
  if (parsed.facets.empty()) throw no_facets(name, parsed.vertex_count());
  if (parsed.facets.size() > most_facets) throw too_many(name, "facets");
  parsed.cut_polygons(name);

  FileMesh mesh;
  mesh.name = name;
  mesh.format = format;
  mesh.warnings = std::move(parsed.warnings);
  if (parsed.too_short > 0) mesh.warnings.push_back(facets_too_short(parsed.too_short));

  const std::vector<std::uint8_t> used = used_vertices(parsed);
  const auto count = static_cast<std::size_t>(std::count(used.begin(), used.end(), 1));
  if (count < used.size()) {
    mesh.warnings.push_back(vertices_unused(static_cast<std::int64_t>(used.size() - count)));
  }
  const std::vector<int> number = welded(parsed, used, count, mesh.positions);
  mesh.colours = first_colours(parsed.colours, used, number);
  mesh.facets = parsed.facets.take();
  // Mostly each vertex has kept its number.
  if (static_cast<std::size_t>(mesh.positions.cols()) < used.size()) {
    for (int& corner : mesh.facets.reshaped()) corner = number[static_cast<std::size_t>(corner)];
  }
  return mesh;
}

}  // namespace trueblank::intake
