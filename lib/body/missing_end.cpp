// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/missing_end.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <vector>

namespace trueblank::body {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;

// As the bound on a hole's volume has them: tangents come from a strip of skin this wide, in radii
// of the hole, and an end that is missing stands out no more than this many widths.
constexpr double strip = 0.25;
constexpr double reach = 2;
// Of a long rim so many places are looked at.
constexpr std::size_t most_places = 64;
// A cone has this part of the volume of a prism over its base.
constexpr double cone = 1.0 / 3;

// Made-up facets that hang together.
struct Patch {
  std::vector<int> facets;
  std::vector<int> rim;  // vertices that measured facets share
};

class Ends {
 public:
  Ends(const TriangleMesh& mesh, std::span<const std::uint8_t> facet_measured,
       std::span<const intake::FilledHole> holes, const Vec3& outward)
      : mesh_(mesh), measured_(facet_measured), holes_(holes), outward_(outward) {}

  [[nodiscard]] EndDoubt doubt() {
    const std::vector<Patch> patches = made_up_patches();
    double end = scanned_end_;
    double farthest = scanned_end_;
    for (const Patch& patch : patches) {
      for (const int f : patch.facets) {
        for (int k = 0; k < 3; ++k) end = std::max(end, outward_.dot(mesh_.corner(f, k)));
      }
      farthest = std::max(farthest, farthest_end(patch));
    }
    return {.beyond = std::max(0.0, farthest - end), .short_of = end - scanned_end_};
  }

 private:
  [[nodiscard]] bool measured(int facet) const {
    return measured_[static_cast<std::size_t>(facet)] != 0;
  }

  [[nodiscard]] std::vector<Patch> made_up_patches() {
    std::vector<int> up(static_cast<std::size_t>(mesh_.vertex_count()));
    std::iota(up.begin(), up.end(), 0);
    const auto of = [&up](int v) {
      while (up[static_cast<std::size_t>(v)] != v) {
        int& next = up[static_cast<std::size_t>(v)];
        next = up[static_cast<std::size_t>(next)];
        v = next;
      }
      return v;
    };
    std::vector<std::uint8_t> scanned(up.size(), 0);
    for (int f = 0; f < mesh_.facet_count(); ++f) {
      if (!measured(f)) {
        for (int k = 1; k < 3; ++k) {
          const int one = of(mesh_.facets(0, f));
          const int other = of(mesh_.facets(k, f));
          up[static_cast<std::size_t>(std::max(one, other))] = std::min(one, other);
        }
        continue;
      }
      for (int k = 0; k < 3; ++k) {
        scanned[static_cast<std::size_t>(mesh_.facets(k, f))] = 1;
        scanned_end_ = std::max(scanned_end_, outward_.dot(mesh_.corner(f, k)));
      }
    }
    std::vector<Patch> patches;
    std::vector<int> number(up.size(), -1);
    std::vector<std::uint8_t> on_rim(up.size(), 0);
    for (int f = 0; f < mesh_.facet_count(); ++f) {
      if (measured(f)) continue;
      int& patch = number[static_cast<std::size_t>(of(mesh_.facets(0, f)))];
      if (patch < 0) {
        patch = static_cast<int>(patches.size());
        patches.emplace_back();
      }
      Patch& into = patches[static_cast<std::size_t>(patch)];
      into.facets.push_back(f);
      for (int k = 0; k < 3; ++k) {
        const int v = mesh_.facets(k, f);
        std::uint8_t& taken = on_rim[static_cast<std::size_t>(v)];
        if (scanned[static_cast<std::size_t>(v)] != 0 && taken == 0) into.rim.push_back(v);
        if (scanned[static_cast<std::size_t>(v)] != 0) taken = 1;
      }
    }
    return patches;
  }

  // The patch's area vector is its rim's, however the filling is bent.
  [[nodiscard]] double farthest_end(const Patch& patch) const {
    if (patch.rim.empty()) return -INFINITY;
    Vec3 middle = Vec3::Zero();
    double rim_end = -INFINITY;
    for (const int v : patch.rim) {
      middle += mesh_.positions_mm.col(v) / static_cast<double>(patch.rim.size());
      rim_end = std::max(rim_end, outward_.dot(mesh_.positions_mm.col(v)));
    }
    Vec3 area = Vec3::Zero();
    double six_volumes = 0;
    for (const int f : patch.facets) {
      const Vec3 a = mesh_.corner(f, 0) - middle;
      const Vec3 b = mesh_.corner(f, 1) - middle;
      const Vec3 c = mesh_.corner(f, 2) - middle;
      area += (b - a).cross(c - a) / 2;
      six_volumes += a.dot(b.cross(c));
    }
    const double size = area.norm();
    if (!(size > 0)) return rim_end;
    const Vec3 out = area / size;
    const double towards = outward_.dot(out);
    const double width = 2 * std::sqrt(size / std::numbers::pi);
    const double from = outward_.dot(middle);
    if (!(towards > 0) || from + reach * width * towards <= scanned_end_) return rim_end;
    double height = std::min(tangents_meet(patch, middle, out, width), reach * width);
    if (const intake::FilledHole* hole = hole_of(patch)) {
      height = std::min(height, (six_volumes / 6 + hole->bound_mm3) / (cone * size));
    }
    return std::max(rim_end, from + std::max(height, 0.0) * towards);
  }

  // How high over the middle of a hole the planes of the facets around it meet, in the mean.
  [[nodiscard]] double tangents_meet(const Patch& patch, const Vec3& middle, const Vec3& out,
                                     double width) const {
    double farthest = 0;
    std::vector<Vec3> places;
    const std::size_t count = std::min(patch.rim.size(), most_places);
    for (std::size_t i = 0; i < count; ++i) {
      places.emplace_back(mesh_.positions_mm.col(patch.rim[i * patch.rim.size() / count]));
      farthest = std::max(farthest, (places.back() - middle).norm());
    }
    // Places may lie apart where the rim is long: the strip is no narrower than their distance.
    const double edges = 2 * std::numbers::pi * farthest / static_cast<double>(count);
    const double within = std::max(strip * width / 2, 2 * edges);
    double moment = 0;
    double facing = 0;
    for (int f = 0; f < mesh_.facet_count(); ++f) {
      if (!measured(f)) continue;
      const Vec3 at = (mesh_.corner(f, 0) + mesh_.corner(f, 1) + mesh_.corner(f, 2)) / 3;
      if ((at - middle).norm() > farthest + within) continue;
      const auto near = [&](const Vec3& place) { return (at - place).norm() <= within; };
      if (std::ranges::none_of(places, near)) continue;
      const Vec3 normal =
          (mesh_.corner(f, 1) - mesh_.corner(f, 0)).cross(mesh_.corner(f, 2) - mesh_.corner(f, 0));
      moment += normal.dot(at - middle);
      facing += normal.dot(out);
    }
    return facing > 0 ? moment / facing : INFINITY;
  }

  // The hole that a patch fills: the one whose middle lies in the patch's box.
  [[nodiscard]] const intake::FilledHole* hole_of(const Patch& patch) const {
    Vec3 sum = Vec3::Zero();
    double area = 0;
    for (const int f : patch.facets) {
      const double one = (mesh_.corner(f, 1) - mesh_.corner(f, 0))
                             .cross(mesh_.corner(f, 2) - mesh_.corner(f, 0))
                             .norm();
      sum += one / 3 * (mesh_.corner(f, 0) + mesh_.corner(f, 1) + mesh_.corner(f, 2));
      area += one;
    }
    if (!(area > 0)) return nullptr;
    const Vec3 centre = sum / area;
    for (const intake::FilledHole& hole : holes_) {
      const bool same_area = std::abs(hole.area_mm2 - area / 2) <= 1e-6 * area;
      if (same_area && (hole.centre_mm - centre).norm() <= 1e-6 * std::sqrt(area)) return &hole;
    }
    return nullptr;
  }

  const TriangleMesh& mesh_;
  std::span<const std::uint8_t> measured_;
  std::span<const intake::FilledHole> holes_;
  Vec3 outward_;
  double scanned_end_ = -INFINITY;
};

}  // namespace

EndDoubt end_doubt(const TriangleMesh& mesh, std::span<const std::uint8_t> facet_measured,
                   std::span<const intake::FilledHole> holes, const Vec3& outward) {
  if (facet_measured.size() != static_cast<std::size_t>(mesh.facet_count())) return {};
  if (std::ranges::find(facet_measured, std::uint8_t{0}) == facet_measured.end()) return {};
  EndDoubt doubt = Ends(mesh, facet_measured, holes, outward).doubt();
  // Rounding is no doubt.
  const double rounding = 1e-9 * mesh.positions_mm.cwiseAbs().maxCoeff();
  if (doubt.beyond < rounding) doubt.beyond = 0;
  if (doubt.short_of < rounding) doubt.short_of = 0;
  return doubt;
}

}  // namespace trueblank::body
