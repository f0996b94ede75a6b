// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/patch_names.h"

#include <cmath>
#include <string>

namespace trueblank::symmetry {

using geometry::Vec3;

namespace {

// What counts as nose and tail, as a part of the length.
constexpr double end_part = 0.08;
// A patch lies on one side, or above or below the middle, where this part of its area does.
constexpr double most_of_it = 0.75;
// It faces one way where the mean of its normals is at least so long.
constexpr double faces_one_way = 0.3;
// It takes up the whole height where it spans this part of it.
constexpr double nearly_all = 0.7;

std::string stations_words(double from_mm, double to_mm) {
  const long from = std::lround(from_mm);
  const long to = std::lround(to_mm);
  if (from == to) return "at " + std::to_string(from) + " mm from the nose";
  return std::to_string(from) + " to " + std::to_string(to) + " mm from the nose";
}

}  // namespace

std::string place_name(Place place) {
  switch (place) {
    case Place::nose:
      return "nose";
    case Place::tail:
      return "tail";
    case Place::back:
      return "back";
    case Place::belly:
      return "belly";
    case Place::flank:
      break;
  }
  return "flank";
}

std::string side_name(Side side) {
  if (side == Side::middle) return "middle";
  return side == Side::left ? "left" : "right";
}

BodyExtent extent_of(const geometry::ClosedMesh& in_body_frame) {
  const Eigen::Matrix3Xd& positions = in_body_frame.positions_mm();
  return {positions.rowwise().minCoeff(), positions.rowwise().maxCoeff()};
}

void PatchSpread::add(const Vec3& point_mm, const Vec3& normal, double area_mm2) {
  area_mm2_ += area_mm2;
  if (point_mm.y() > 0) right_mm2_ += area_mm2;
  if (point_mm.z() > 0) above_mm2_ += area_mm2;
  low_mm_ = low_mm_.cwiseMin(point_mm);
  high_mm_ = high_mm_.cwiseMax(point_mm);
  normals_ += area_mm2 * normal;
  moment_ += area_mm2 * point_mm;
}

Vec3 PatchSpread::middle_mm() const {
  return area_mm2_ > 0 ? Vec3(moment_ / area_mm2_) : Vec3(Vec3::Zero());
}

bool PatchSpread::all_round() const {
  const auto on_both = [this](double part_mm2) {
    return part_mm2 > (1 - most_of_it) * area_mm2_ && part_mm2 < most_of_it * area_mm2_;
  };
  return on_both(right_mm2_) && on_both(above_mm2_) && normals_.norm() < faces_one_way * area_mm2_;
}

// The ends by where it lies; else the way that it faces.
Place PatchSpread::place(const BodyExtent& body) const {
  const double length = body.high_mm.x() - body.low_mm.x();
  if (high_mm_.x() < body.low_mm.x() + end_part * length) return Place::nose;
  if (low_mm_.x() > body.high_mm.x() - end_part * length) return Place::tail;
  if (all_round() || std::abs(normals_.y()) >= std::abs(normals_.z())) return Place::flank;
  return normals_.z() > 0 ? Place::back : Place::belly;
}

Side PatchSpread::side() const {
  if (right_mm2_ >= most_of_it * area_mm2_) return Side::right;
  if (right_mm2_ <= (1 - most_of_it) * area_mm2_) return Side::left;
  return Side::middle;
}

std::string PatchSpread::height_words(const BodyExtent& body) const {
  if (high_mm_.z() - low_mm_.z() >= nearly_all * (body.high_mm.z() - body.low_mm.z())) {
    return "over the whole height";
  }
  if (above_mm2_ >= most_of_it * area_mm2_) return "above the middle";
  if (above_mm2_ <= (1 - most_of_it) * area_mm2_) return "below the middle";
  return "about the middle";
}

void PatchSpread::describe(const BodyExtent& body, Patch& patch) const {
  patch.place = place(body);
  patch.side = side();
  patch.from_station_mm = low_mm_.x();
  patch.to_station_mm = high_mm_.x();
  patch.from_height_mm = low_mm_.z();
  patch.to_height_mm = high_mm_.z();
  const std::string where = stations_words(low_mm_.x(), high_mm_.x());
  const bool one_side = patch.side != Side::middle;
  if (patch.place == Place::flank && all_round()) {
    patch.name = "whole girth, " + where;
    return;
  }
  if (patch.place == Place::flank) {
    patch.name = (one_side ? side_name(patch.side) + " flank, " : "both flanks, ") + where + ", " +
                 height_words(body);
    return;
  }
  patch.name = place_name(patch.place) +
               (one_side ? ", " + side_name(patch.side) + " of the middle, " : ", ") + where;
  const bool at_an_end = patch.place == Place::nose || patch.place == Place::tail;
  if (at_an_end) patch.name += ", " + height_words(body);
}

}  // namespace trueblank::symmetry
