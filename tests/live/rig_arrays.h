// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include "geometry/mesh.h"
#include "live/live.h"
#include "rig/parts.h"

// The other side of live.h: rigs written as arrays, answers read from them.
namespace trueblank::live {

using geometry::Vec3;

struct Closer {
  void operator()(trueblank_lure* lure) const { trueblank_live_close(lure); }
};

using Opened = std::unique_ptr<trueblank_lure, Closer>;

[[nodiscard]] Opened opened(const geometry::TriangleMesh& mesh, bool air = false);

/// As live.h has it. The wood is written as weighed where the rig says so, of a body of so much.
[[nodiscard]] std::vector<double> array_of(const rig::Rig& rig, double wood_g = 0);

/// With a baseline, which stands at 10 to 15.
[[nodiscard]] std::vector<double> with_baseline(std::vector<double> array, const Vec3& nose_mm,
                                                const Vec3& tail_mm);

/// A copy of an answer, without its length, which is checked.
[[nodiscard]] std::vector<double> copied(const double* answer);

std::vector<double> laid(const Opened& lure, const std::vector<double>& rig);

/// Of the answers to all that can be asked once a rig is laid: the same numbers in the same order.
[[nodiscard]] std::vector<double> all_answers(const Opened& lure);

/// The bits, so that NaN equals itself and 0 is not −0.
[[nodiscard]] std::vector<std::uint64_t> bits(const std::vector<double>& numbers);

/// A pencil's rig with a part of every kind.
[[nodiscard]] rig::Rig every_kind();

}  // namespace trueblank::live
