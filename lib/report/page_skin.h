// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "geometry/mesh.h"
#include "report/deviation_colours.h"

// The skin as a page carries it.
namespace trueblank::report {

/// A body's skin and what is mapped on it, a value a vertex each or empty.
struct PageSkin {
  geometry::TriangleMesh mesh;  ///< mm; in the body frame where `in_body_frame`, else in file axes
  bool in_body_frame = false;
  std::vector<double> deviation_mm = {};
  std::vector<std::uint8_t> measured =
      {};  ///< 1: measured, and compared where there are deviations
  std::vector<std::uint8_t> beyond_noise = {};  ///< 1: stands off by more than noise explains
  std::vector<double> depth_mm = {};            ///< to sand, ≥ 0
  std::vector<Rgb> colours = {};                ///< as the scan has them
  bool exact = false;                           ///< to be written as finely as a solver wants it
  int thinned_from = 0;  ///< facets of the whole body, where this one is thinned for the page
};

/// A skin written small: places to 1/65535 of its box, deviations and depths to 1/30000 of the
/// greatest, facets as steps from corner to corner; base64.
///
/// Little-endian, one after the other: the places (three planes, a 16-bit number a vertex each),
/// the facets (each corner as a zigzag variable-length step from the one before it, in the mesh's
/// own order), then what `attributes` names, a plane each:
///   "deviation"  16 bits with sign a vertex, in deviation_step_mm
///   "depth"      16 bits a vertex, in depth_step_mm
///   "flags"      a byte a vertex: 1 measured, 2 beyond noise
///   "colours"    three bytes a vertex
///   "fine"       three planes as the places, 16 bits with sign: what is to be added to a place, in
///                1/65535 of its step. Place and addition together are good to half of
///                (high − low) / 65535², 2e-8 mm of a lure of 170 mm
struct PackedSkin {
  int vertices = 0;
  int facets = 0;
  geometry::Vec3 low_mm = geometry::Vec3::Zero();
  geometry::Vec3 high_mm = geometry::Vec3::Zero();
  double deviation_step_mm = 0;
  double depth_step_mm = 0;
  std::vector<std::string> attributes = {};
  std::string base64 = {};
};

/// Vertices come in the order in which the facets first use them; others are left out.
[[nodiscard]] PackedSkin packed(const PageSkin& skin);

/// RFC 4648, section 4.
[[nodiscard]] std::string base64(std::span<const std::uint8_t> bytes);

}  // namespace trueblank::report
