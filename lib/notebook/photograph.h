// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// How far the tail hangs down, from points marked in a photograph.
namespace trueblank::notebook {

/// A point of a picture in pixels: x to the right, y down, as picture viewers count them.
struct PicturePoint {
  double x = 0;
  double y = 0;

  bool operator==(const PicturePoint&) const = default;
};

/// A lure in the water, taken square from its side.
struct Photograph {
  PicturePoint nose = {};  ///< the foremost point of the body
  PicturePoint tail = {};  ///< the hindmost
  /// Two points of the still waterline, far apart, in any order.
  PicturePoint water_1 = {};
  PicturePoint water_2 = {};

  bool operator==(const Photograph&) const = default;
};

struct MeasuredAngle {
  double deg = 0;
  double sd_deg = 0;  ///< one standard deviation, of the marking alone
};

/// The angle of the line from nose to tail below the waterline, -90 to 90: positive with the tail
/// down, whichever way the nose points and however the camera was tilted.
///
/// marking_px  one standard deviation of each coordinate of a marked point
/// throws      InputError: two points that are one, a waterline steeper than 60° in the picture (so
///             that it is not known which way is down), a number that is none
[[nodiscard]] MeasuredAngle tail_down_in(const Photograph& photograph, double marking_px = 2);

}  // namespace trueblank::notebook
