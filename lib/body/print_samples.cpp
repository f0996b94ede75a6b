// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/print_samples.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>

namespace trueblank::body {

using geometry::Vec3;

namespace {

using Triangle = std::array<Vec3, 3>;

// Parts of less than this part of the spacing's square are not halved further.
constexpr double least_part = 0.25;
constexpr double sharp_cosine = -0.5;  // of 120° between the normals
// Where beside an edge, as parts of the thickness that is sought.
constexpr std::array<double, 5> rows = {0.1, 0.3, 0.5, 0.7, 0.9};
constexpr int most_along_edge = 1000;
constexpr int many_facets = 300000;

double area_of(const Triangle& t) { return 0.5 * (t[1] - t[0]).cross(t[2] - t[0]).norm(); }

class Sampling {
 public:
  Sampling(const SampleSpacing& spacing, std::vector<SkinSample>& samples)
      : spacing_(spacing), samples_(samples) {}

  /// times  that its area counts
  void add_parts(int facet, const Triangle& t, int times) {
    int longest = 0;
    double length2 = 0;
    for (int k = 0; k < 3; ++k) {
      const double own = (corner(t, k + 1) - corner(t, k)).squaredNorm();
      if (own > length2) {
        length2 = own;
        longest = k;
      }
    }
    const double area = area_of(t);
    const double every2 = spacing_.every_mm * spacing_.every_mm;
    if (length2 <= 4 * every2 || area <= least_part * every2) {
      samples_.push_back({facet, (t[0] + t[1] + t[2]) / 3, times * area});
      return;
    }
    const Vec3 a = corner(t, longest);
    const Vec3 b = corner(t, longest + 1);
    const Vec3 opposite = corner(t, longest + 2);
    const Vec3 middle = 0.5 * (a + b);
    add_parts(facet, {a, middle, opposite}, times);
    add_parts(facet, {middle, b, opposite}, times);
  }

  // Rows beside the edge from corner `k`, on this facet, whose other skin leaves it at `angle`.
  void add_rows(int facet, const Triangle& t, int k, double angle) {
    const Vec3 from = corner(t, k);
    const Vec3 edge = corner(t, k + 1) - from;
    const double length = edge.norm();
    if (!(length > 0)) return;
    const Vec3 along = edge / length;
    const Vec3 to_opposite = corner(t, k + 2) - from;
    const double at = to_opposite.dot(along);
    const Vec3 across = to_opposite - at * along;
    const double depth = across.norm();
    if (!(depth > 0)) return;
    const int count =
        std::clamp(static_cast<int>(std::ceil(length / spacing_.every_mm)), 1, most_along_edge);
    for (const double row : rows) {
      const double off = row * spacing_.thickness_mm / (2 * std::tan(angle / 2));
      const double share = off / depth;
      if (!(share < 1)) continue;
      for (int i = 0; i < count; ++i) {
        // The facet narrows towards its opposite corner.
        const double part = (i + 0.5) / count;
        const Vec3 on_edge = from + part * edge;
        samples_.push_back({facet, on_edge + share * (corner(t, k + 2) - on_edge), 0});
      }
    }
  }

 private:
  static const Vec3& corner(const Triangle& t, int k) { return t[static_cast<std::size_t>(k % 3)]; }

  SampleSpacing spacing_;
  std::vector<SkinSample>& samples_;
};

}  // namespace

std::vector<SkinSample> skin_samples(const geometry::ClosedMesh& body,
                                     const symmetry::FacingSkin& skin,
                                     const symmetry::NearestSurface& surface,
                                     const SampleSpacing& spacing) {
  std::vector<SkinSample> samples;
  samples.reserve(static_cast<std::size_t>(body.facet_count()));
  Sampling sampling(spacing, samples);
  const auto triangle = [&](int f) {
    return Triangle{body.corner(f, 0), body.corner(f, 1), body.corner(f, 2)};
  };
  const int every = (body.facet_count() + many_facets - 1) / many_facets;
  for (int f = 0; f < body.facet_count(); f += every) {
    if (skin.normal(f).squaredNorm() > 0) sampling.add_parts(f, triangle(f), every);
  }
  for (int f = 0; f < body.facet_count(); ++f) {
    for (int k = 0; k < 3; ++k) {
      const int over = surface.across(f, k);
      if (over < 0) continue;
      const double cosine = skin.normal(f).dot(skin.normal(over));
      if (!(cosine < sharp_cosine)) continue;
      const double angle = std::acos(std::clamp(-cosine, -1.0, 1.0));
      if (angle > 0) sampling.add_rows(f, triangle(f), k, angle);
    }
  }
  return samples;
}

}  // namespace trueblank::body
