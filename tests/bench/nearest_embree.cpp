// SPDX-License-Identifier: GPL-3.0-or-later
// The nearest point of a triangle: which corner, side or face it lies on is told by the signs of
// barycentric coordinates, as in C. Ericson, "Real-Time Collision Detection", 2005, 5.1.5.
#include "nearest_embree.h"

#include <embree3/rtcore.h>

#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <limits>

namespace trueblank::bench {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;

/// Boxes are of corners rounded to float, up to 1e-5 mm off at 150 mm; a query is rounded too.
constexpr double rounding_mm = 5e-5;

double squared_distance(const Vec3& p, const Vec3& a, const Vec3& b, const Vec3& c) {
  const Vec3 ab = b - a;
  const Vec3 ac = c - a;
  const double a1 = ab.dot(p - a);
  const double a2 = ac.dot(p - a);
  if (a1 <= 0 && a2 <= 0) return (p - a).squaredNorm();
  const double b1 = ab.dot(p - b);
  const double b2 = ac.dot(p - b);
  if (b1 >= 0 && b2 <= b1) return (p - b).squaredNorm();
  const double at_c = a1 * b2 - b1 * a2;
  if (at_c <= 0 && a1 >= 0 && b1 <= 0) return (p - a - a1 / (a1 - b1) * ab).squaredNorm();
  const double c1 = ab.dot(p - c);
  const double c2 = ac.dot(p - c);
  if (c2 >= 0 && c1 <= c2) return (p - c).squaredNorm();
  const double at_b = c1 * a2 - a1 * c2;
  if (at_b <= 0 && a2 >= 0 && c2 <= 0) return (p - a - a2 / (a2 - c2) * ac).squaredNorm();
  const double at_a = b1 * c2 - c1 * b2;
  if (at_a <= 0 && b2 - b1 >= 0 && c1 - c2 >= 0) {
    return (p - b - (b2 - b1) / ((b2 - b1) + (c1 - c2)) * (c - b)).squaredNorm();
  }
  const double whole = at_a + at_b + at_c;
  return (p - a - at_b / whole * ab - at_c / whole * ac).squaredNorm();
}

double squared_distance(const TriangleMesh& mesh, int facet, const Vec3& p) {
  return squared_distance(p, mesh.corner(facet, 0), mesh.corner(facet, 1), mesh.corner(facet, 2));
}

float radius(double squared_mm) { return static_cast<float>(std::sqrt(squared_mm) + rounding_mm); }

struct Search {
  const TriangleMesh* mesh;
  Vec3 point;
  double squared_mm;
  int facet;
};

bool look_at(RTCPointQueryFunctionArguments* found) {
  auto& search = *static_cast<Search*>(found->userPtr);
  const int facet = static_cast<int>(found->primID);
  const double squared_mm = squared_distance(*search.mesh, facet, search.point);
  if (!(squared_mm < search.squared_mm)) return false;
  search.squared_mm = squared_mm;
  search.facet = facet;
  found->query->radius = radius(squared_mm);
  return true;
}

}  // namespace

struct ByEmbree::Inside {
  const TriangleMesh* mesh;
  RTCDevice device;
  RTCScene scene;
};

ByEmbree::ByEmbree(const TriangleMesh& mesh)
    : inside_(std::make_unique<Inside>(Inside{&mesh, rtcNewDevice("threads=1"), nullptr})) {
  const RTCDevice device = inside_->device;
  if (device == nullptr) std::abort();
  inside_->scene = rtcNewScene(device);
  const RTCGeometry skin = rtcNewGeometry(device, RTC_GEOMETRY_TYPE_TRIANGLE);
  auto* corners = static_cast<float*>(
      rtcSetNewGeometryBuffer(skin, RTC_BUFFER_TYPE_VERTEX, 0, RTC_FORMAT_FLOAT3, 3 * sizeof(float),
                              static_cast<std::size_t>(mesh.vertex_count())));
  for (const double coordinate : mesh.positions_mm.reshaped()) {
    *corners++ = static_cast<float>(coordinate);
  }
  auto* facets = static_cast<unsigned*>(
      rtcSetNewGeometryBuffer(skin, RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT3,
                              3 * sizeof(unsigned), static_cast<std::size_t>(mesh.facet_count())));
  for (const int vertex : mesh.facets.reshaped()) *facets++ = static_cast<unsigned>(vertex);
  rtcCommitGeometry(skin);
  rtcAttachGeometry(inside_->scene, skin);
  rtcReleaseGeometry(skin);
  rtcCommitScene(inside_->scene);
  if (rtcGetDeviceError(device) != RTC_ERROR_NONE) std::abort();
}

ByEmbree::~ByEmbree() {
  rtcReleaseScene(inside_->scene);
  rtcReleaseDevice(inside_->device);
}

std::vector<double> ByEmbree::distances(const std::vector<Vec3>& questions) const {
  std::vector<double> distances;
  distances.reserve(questions.size());
  Search search = {inside_->mesh, Vec3::Zero(), 0, -1};
  RTCPointQueryContext context;
  rtcInitPointQueryContext(&context);
  for (const Vec3& p : questions) {
    search.point = p;
    search.squared_mm = search.facet < 0 ? std::numeric_limits<double>::infinity()
                                         : squared_distance(*inside_->mesh, search.facet, p);
    RTCPointQuery query = {};
    query.x = static_cast<float>(p.x());
    query.y = static_cast<float>(p.y());
    query.z = static_cast<float>(p.z());
    query.radius = radius(search.squared_mm);
    rtcPointQuery(inside_->scene, &query, &context, look_at, &search);
    distances.push_back(std::sqrt(search.squared_mm));
  }
  return distances;
}

}  // namespace trueblank::bench
