// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "support/bodies.h"
#include "symmetry/alignment_search.h"

// Pairs of bodies whose alignment is known, for tests.
namespace trueblank::symmetry {

/// A scan that holds a part of a body: the kept facets, and a fan from their rim to its middle that
/// closes it and was not measured.
struct PartScan {
  geometry::TriangleMesh mesh;
  std::vector<std::uint8_t> measured;
};

[[nodiscard]] PartScan part_of(const geometry::TriangleMesh& mesh,
                               const std::function<bool(const geometry::Vec3&)>& keep);

/// Where the other was put: p → scale·turn·p + shift in its file, mirrored in y = 0 before where
/// asked for.
struct Put {
  geometry::Mat3 turn = geometry::Mat3::Identity();
  geometry::Vec3 shift_mm = geometry::Vec3::Zero();
  double scale = 1;
  bool mirrored = false;

  [[nodiscard]] geometry::TriangleMesh operator()(const geometry::TriangleMesh& mesh) const;
};

/// Turned and moved as the seed says.
[[nodiscard]] Put put_anywhere(unsigned seed);

/// How far a fit brings the other from where it belongs.
struct Miss {
  geometry::Vec3 turn_deg = geometry::Vec3::Zero();  ///< about the body's axes
  geometry::Vec3 shift_mm = geometry::Vec3::Zero();  ///< of what lies at fit.doubt.at_mm
  [[nodiscard]] std::string text() const;
};

[[nodiscard]] Miss miss(const AlignmentFit& fit, const Put& put);

/// How often the stated doubt, doubled, holds the truth.
struct DoubtCount {
  int pairs = 0;
  std::array<int, 6> held = {};  ///< turns about x, y, z, shifts along x, y, z
  int size_held = 0;
  std::array<int, 3> stretch_held = {};
  std::string table;  ///< a line a pair
};

/// Pairs `first` to `first + count − 1`: one of three lures, the body and the other each with noise
/// of its own, drawn as for simulated_scan, meshed differently, put anywhere.
[[nodiscard]] DoubtCount doubts_held(int facets, unsigned first, int count, bool fit_scale);

}  // namespace trueblank::symmetry
