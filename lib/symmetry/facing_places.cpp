// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/facing_places.h"

#include <algorithm>
#include <cstddef>
#include <map>
#include <numeric>
#include <utility>

namespace trueblank::symmetry {
namespace {

// The part of a place that must meet another for both to be one.
constexpr double least_part = 0.25;

std::vector<int> labels_of(const PlacesOnSkin& on) {
  std::vector<int> labels(static_cast<std::size_t>(on.skin.body().vertex_count()), -1);
  for (std::size_t i = 0; i < on.vertices.size(); ++i) {
    for (const int v : on.vertices[i]) labels[static_cast<std::size_t>(v)] = static_cast<int>(i);
  }
  return labels;
}

// The other skin's places that hold enough of one place's nearest points.
std::vector<int> met_by(const PlacesOnSkin& on, const std::vector<int>& vertices,
                        const PlacesOnSkin& other, const std::vector<int>& other_labels) {
  double whole = 0;
  std::map<int, double> met_mm2;
  for (const int v : vertices) {
    const std::size_t at = static_cast<std::size_t>(v);
    const double area = on.skin.vertex_areas_mm2()[at];
    whole += area;
    const int facet = on.field.opposite_facet[at];
    if (facet < 0) continue;
    int met = -1;
    for (const int corner : other.skin.body().facets().col(facet)) {
      met = std::max(met, other_labels[static_cast<std::size_t>(corner)]);
    }
    if (met >= 0) met_mm2[met] += area;
  }
  std::vector<int> result;
  for (const auto& [place, area] : met_mm2) {
    if (area >= least_part * whole) result.push_back(place);
  }
  return result;
}

}  // namespace

std::vector<FacingPlaces> facing_places(const PlacesOnSkin& first, const PlacesOnSkin& second) {
  const int firsts = static_cast<int>(first.vertices.size());
  const int all = firsts + static_cast<int>(second.vertices.size());
  std::vector<int> group(static_cast<std::size_t>(all));
  std::iota(group.begin(), group.end(), 0);
  const auto join = [&](int a, int b) {
    const int one = group[static_cast<std::size_t>(a)];
    const int other = group[static_cast<std::size_t>(b)];
    for (int& each : group) {
      if (each == std::max(one, other)) each = std::min(one, other);
    }
  };
  const std::vector<int> first_labels = labels_of(first);
  const std::vector<int> second_labels = labels_of(second);
  for (int i = 0; i < firsts; ++i) {
    const std::vector<int>& own = first.vertices[static_cast<std::size_t>(i)];
    for (const int met : met_by(first, own, second, second_labels)) join(i, firsts + met);
  }
  for (int i = firsts; i < all; ++i) {
    const std::vector<int>& own = second.vertices[static_cast<std::size_t>(i - firsts)];
    for (const int met : met_by(second, own, first, first_labels)) join(met, i);
  }
  std::map<int, FacingPlaces> groups;
  for (int i = 0; i < all; ++i) {
    FacingPlaces& places = groups[group[static_cast<std::size_t>(i)]];
    (i < firsts ? places.first : places.second).push_back(i < firsts ? i : i - firsts);
  }
  std::vector<FacingPlaces> result;
  for (auto& [name, places] : groups) result.push_back(std::move(places));
  return result;
}

}  // namespace trueblank::symmetry
