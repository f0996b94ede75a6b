// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/beyond_noise.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

#include "symmetry/skin_sums.h"
#include "symmetry/smoothed_skin.h"

namespace trueblank::symmetry {
namespace {

using geometry::Vec3;

// How often a true body may show something, at each width.
constexpr double false_alarms = 0.005;
// Averaging widths in correlation lengths, and the widest of all as a part of the body's size.
constexpr double widths[] = {1, 2, 4};
constexpr double widest_part = 0.1;
// Never less than three standard deviations, however small the body.
constexpr double least_deviations = 3;
// An area reaches out to this part of the height that shows it.
constexpr double reach_out = 0.35;
// How far above its mean the standing-off of facets is followed.
constexpr double facet_spread = 3;
// The same where it is known how high the skin stands over the very place that was met.
constexpr double met_spread = 2;
// Of the body's size: less than that is nobody's business (a hundredth of a millimetre on a lure).
constexpr double least_part = 5e-5;

// Where A·u·exp(−u²/2)/((2π)^1.5·Λ²) falls to what is allowed.
double deviations_allowed(double area_mm2, double correlation_mm) {
  const double tops =
      area_mm2 / (std::pow(2 * std::numbers::pi, 1.5) * correlation_mm * correlation_mm);
  double low = least_deviations;
  double high = 12;
  constexpr int halvings = 50;
  for (int i = 0; i < halvings; ++i) {
    const double u = (low + high) / 2;
    (tops * u * std::exp(-u * u / 2) > false_alarms ? low : high) = u;
  }
  return high;
}

/// A body's skin and what is known of it.
struct Skin {
  const geometry::ClosedMesh& body;
  const DeviationField& field;
  VertexNeighbours neighbours;
  Eigen::Matrix3Xd normals;
  std::vector<double> areas_mm2;  // 0 where the vertex does not count
  std::vector<double> facets_mm;  // what facets may add to the deviation
  double area_mm2 = 0;
  double size_mm = 0;
};

double middle_of(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// The arc over an edge whose ends' normals turn: an eighth of its length times the turn; the
// greatest about each vertex. Where vertices meet vertices on the other side nothing shows of it.
// A true asymmetry has as much proud skin as shy, facets make all of a round skin proud: the middle
// deviation says how much of it shows.
std::vector<double> facets_mm(const Skin& skin) {
  const std::size_t vertices = skin.areas_mm2.size();
  if (!skin.field.facets_mm.empty()) {
    std::vector<double> heights = skin.field.facets_mm;
    for (double& height : heights)
      height = met_spread * std::abs(height) + least_part * skin.size_mm;
    return heights;
  }
  std::vector<double> arcs(vertices, 0.0);
  std::vector<double> counted_arcs;
  std::vector<double> counted_deviations;
  for (std::size_t v = 0; v < vertices; ++v) {
    if (!(skin.areas_mm2[v] > 0)) continue;
    const Eigen::Index own = static_cast<Eigen::Index>(v);
    for (const int other : skin.neighbours.of(static_cast<int>(v))) {
      const Vec3 along = skin.body.positions_mm().col(other) - skin.body.positions_mm().col(own);
      const double turn = along.dot(skin.normals.col(other) - skin.normals.col(own));
      arcs[v] = std::max(arcs[v], std::abs(turn) / 8);
    }
    counted_arcs.push_back(arcs[v]);
    counted_deviations.push_back(skin.field.deviation_mm[v]);
  }
  const double arc = middle_of(std::move(counted_arcs));
  const double shown = std::max(0.0, middle_of(std::move(counted_deviations)));
  const double share = arc > 0 ? std::min(1.0, shown / arc) : 0.0;
  for (double& height : arcs) height = facet_spread * share * height + least_part * skin.size_mm;
  return arcs;
}

Skin skin_of(const geometry::ClosedMesh& body, const DeviationField& field,
             std::span<const std::uint8_t> facet_measured) {
  Skin skin{body,
            field,
            VertexNeighbours(body),
            vertex_normals(body),
            vertex_areas_mm2(body, facet_measured),
            {},
            0,
            0};
  for (std::size_t v = 0; v < skin.areas_mm2.size(); ++v) {
    if (field.counted[v] == 0) skin.areas_mm2[v] = 0;
    skin.area_mm2 += skin.areas_mm2[v];
  }
  const Eigen::Matrix3Xd& positions = body.positions_mm();
  skin.size_mm = (positions.rowwise().maxCoeff() - positions.rowwise().minCoeff()).maxCoeff();
  skin.facets_mm = facets_mm(skin);
  return skin;
}

// Noise that is each vertex's own holds together over a vertex's share of the skin, as much as
// noise of this correlation length does.
double own_correlation2_mm2(double area_mm2) { return area_mm2 / (2 * std::numbers::pi); }

// Of the vertices about a typical place of the skin.
double typical_area_mm2(const Skin& skin) {
  double squares = 0;
  for (const double area : skin.areas_mm2) squares += area * area;
  return squares / skin.area_mm2;
}

// What of the noise's variance an averaging lets through. Of its width, what a single vertex has
// anyhow averages nothing.
double let_through(double correlation2_mm2, double own2_mm2, double width_mm) {
  const double averaging2 = std::max(0.0, width_mm * width_mm - own2_mm2 / 2);
  return (correlation2_mm2 + own2_mm2) / (correlation2_mm2 + own2_mm2 + 2 * averaging2);
}

/// The deviation in one averaging, and what it must exceed.
struct Look {
  std::vector<double> deviation_mm;
  std::vector<double> limit_mm;
  Eigen::Matrix3Xd to_mirror_mm;
};

// The areas that a look shows, of one sign, where no narrower look has shown them.
void add_areas(const Skin& skin, const Look& look, double sign, BeyondNoise& result) {
  std::vector<int> front;
  const std::size_t count = look.deviation_mm.size();
  std::vector<std::uint8_t> met(count, 0);
  for (std::size_t v = 0; v < count; ++v) {
    if (!(skin.areas_mm2[v] > 0) || !(sign * look.deviation_mm[v] > look.limit_mm[v])) continue;
    met[v] = 1;
    front.push_back(static_cast<int>(v));
  }
  while (!front.empty()) {
    const int v = front.back();
    front.pop_back();
    const std::size_t at = static_cast<std::size_t>(v);
    if (result.deviation_mm[at] == 0) {
      result.deviation_mm[at] = look.deviation_mm[at];
      result.to_mirror_mm.col(v) = look.to_mirror_mm.col(v);
    }
    for (const int other : skin.neighbours.of(v)) {
      const std::size_t next = static_cast<std::size_t>(other);
      if (met[next] != 0 || !(skin.areas_mm2[next] > 0)) continue;
      if (!(sign * look.deviation_mm[next] > reach_out * look.limit_mm[next])) continue;
      met[next] = 1;
      front.push_back(other);
    }
  }
}

void add_areas(const Skin& skin, const Look& look, BeyondNoise& result) {
  add_areas(skin, look, 1, result);
  add_areas(skin, look, -1, result);
}

Look as_it_is(const Skin& skin, double limit_mm) {
  Look look{skin.field.deviation_mm, skin.facets_mm,
            skin.field.mirror_image_mm - skin.body.positions_mm()};
  for (double& limit : look.limit_mm) limit += limit_mm;
  return look;
}

// A narrow and high flaw must not show again as a wide and low one round about: what was shown has
// no say.
std::vector<double> areas_not_shown(const Skin& skin, const BeyondNoise& shown) {
  std::vector<double> areas = skin.areas_mm2;
  for (std::size_t v = 0; v < areas.size(); ++v) {
    if (shown.deviation_mm[v] != 0) areas[v] = 0;
  }
  return areas;
}

Look averaged(const Skin& skin, const BeyondNoise& shown, const ScanNoise& noise, double width_mm,
              const geometry::ParallelFor& loop) {
  const std::vector<double> areas_mm2 = areas_not_shown(skin, shown);
  SmoothedSkin smooth = smoothed(
      {skin.body.positions_mm(), skin.normals, areas_mm2, skin.field.deviation_mm}, width_mm, loop);
  const double correlation_mm = shown.correlation_mm;
  const double u = deviations_allowed(
      skin.area_mm2, std::sqrt(correlation_mm * correlation_mm + 2 * width_mm * width_mm));
  const double typical_mm2 = typical_area_mm2(skin);
  Look look{std::move(smooth.values), skin.facets_mm, std::move(smooth.normals)};
  for (std::size_t v = 0; v < look.limit_mm.size(); ++v) {
    // Where vertices lie close a rough skin seems proud of itself; so they get no more credit.
    const double own2_mm2 = own_correlation2_mm2(std::max(typical_mm2, skin.areas_mm2[v]));
    const double through =
        let_through(noise.correlation_mm * noise.correlation_mm, own2_mm2, smooth.widths_mm[v]);
    look.limit_mm[v] += u * std::numbers::sqrt2 * noise.sigma_mm * std::sqrt(through);
    look.to_mirror_mm.col(static_cast<Eigen::Index>(v)) *= -look.deviation_mm[v];
  }
  return look;
}

}  // namespace

BeyondNoise beyond_noise(const geometry::ClosedMesh& body, const DeviationField& field,
                         std::span<const std::uint8_t> facet_measured, const ScanNoise& noise,
                         const geometry::ParallelFor& loop) {
  const Skin skin = skin_of(body, field, facet_measured);
  BeyondNoise result{std::vector<double>(skin.areas_mm2.size(), 0.0),
                     Eigen::Matrix3Xd::Zero(3, body.vertex_count()), 0, 0};
  if (!(skin.area_mm2 > 0)) return result;
  if (noise.sigma_mm > 0) {
    const double own2_mm2 = own_correlation2_mm2(typical_area_mm2(skin));
    result.correlation_mm = std::sqrt(noise.correlation_mm * noise.correlation_mm + own2_mm2);
    result.limit_mm = deviations_allowed(skin.area_mm2, result.correlation_mm) *
                      std::numbers::sqrt2 * noise.sigma_mm;
  }
  add_areas(skin, as_it_is(skin, result.limit_mm), result);
  for (const double times : widths) {
    const double width_mm = times * result.correlation_mm;
    if (!(width_mm > 0) || width_mm > widest_part * skin.size_mm) break;
    add_areas(skin, averaged(skin, result, noise, width_mm, loop), result);
  }
  return result;
}

}  // namespace trueblank::symmetry
