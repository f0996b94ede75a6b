// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/cut.h"

#include <algorithm>

#include "geometry/compensated_sum.h"
#include "geometry/facet_cut.h"
#include "geometry/moments.h"

namespace trueblank::geometry {
namespace {

/// The sums of many blocks of facets.
struct TotalSums {
  CompensatedSum det, det_u, det_v, det_h;
  CompensatedSum area2, area6_u, area6_v, area24_uu, area24_uv, area24_vv;

  /// Takes over what `block` holds and empties it, all but its reference point.
  void take(CutSums& block) {
    const auto take_one = [](CompensatedSum& total, double& term) {
      total.add(term);
      term = 0;
    };
    take_one(det, block.det);
    take_one(det_u, block.det_u);
    take_one(det_v, block.det_v);
    take_one(det_h, block.det_h);
    take_one(area2, block.area2);
    take_one(area6_u, block.area6_u);
    take_one(area6_v, block.area6_v);
    take_one(area24_uu, block.area24_uu);
    take_one(area24_uv, block.area24_uv);
    take_one(area24_vv, block.area24_vv);
  }

  void put_into(CutSums& sums) const {
    sums.det = det.value();
    sums.det_u = det_u.value();
    sums.det_v = det_v.value();
    sums.det_h = det_h.value();
    sums.area2 = area2.value();
    sums.area6_u = area6_u.value();
    sums.area6_v = area6_v.value();
    sums.area24_uu = area24_uu.value();
    sums.area24_uv = area24_uv.value();
    sums.area24_vv = area24_vv.value();
  }
};

}  // namespace

BelowPlane moments_below(const ClosedMesh& body, const Plane& plane) {
  const PlaneAxes axes(plane, near_middle_mm(body));
  const Eigen::Matrix3Xd& positions = body.positions_mm();
  const Eigen::Matrix3Xi& facets = body.facets();
  const auto seen = [&](const Vec3& q) {
    return CutVertex{axes.u.dot(q), axes.v.dot(q), axes.height_mm(q)};
  };
  TotalSums total;
  CutSums block;
  bool all_below = true;
  for (Eigen::Index begin = 0; begin < facets.cols(); begin += facets_per_block) {
    const Eigen::Index end = std::min<Eigen::Index>(begin + facets_per_block, facets.cols());
    for (Eigen::Index f = begin; f < end; ++f) {
      const Vec3 a = positions.col(facets(0, f)) - axes.centre_mm;
      const Vec3 b = positions.col(facets(1, f)) - axes.centre_mm;
      const Vec3 c = positions.col(facets(2, f)) - axes.centre_mm;
      const double lowest = std::min({axes.height_mm(a), axes.height_mm(b), axes.height_mm(c)});
      if (!(lowest < 0)) {
        all_below = false;
        continue;
      }
      const CutVertex corners[] = {seen(a), seen(b), seen(c)};
      const int bits = CutSums::below_bits(corners[0], corners[1], corners[2]);
      if (bits == 7) {
        block.add_whole(corners[0], corners[1], corners[2]);
      } else {
        all_below = false;
        block.add_cut(bits, corners[0], corners[1], corners[2]);
      }
    }
    total.take(block);
  }
  if (all_below) {  // a plane far above would be a poor apex
    const Moments whole = moments(body);
    BelowPlane below;
    below.volume_mm3 = whole.volume_mm3;
    below.first_moment_mm4 = whole.volume_mm3 * whole.centroid_mm;
    return below;
  }
  total.put_into(block);
  return block.result(axes);
}

}  // namespace trueblank::geometry
