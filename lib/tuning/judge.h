// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "geometry/parallel.h"
#include "tuning/find_weights.h"
#include "tuning/plan_search.h"

// From a solution to a plan, and what it is worth. Inside the room.
namespace trueblank::tuning {

/// A sinker that weighs more in water than this part of its mass is judged by how it falls.
inline constexpr double falls_beyond = 0.05;

/// The finished rig in all its poses, held against every wish.
[[nodiscard]] Plan judged(const Ground& ground, const Solved& solved,
                          const geometry::ParallelFor& loop);

/// Of the held lure, before it is made.
[[nodiscard]] double held_stiffness(const Ground& ground, const Solved& solved);
[[nodiscard]] double held_reserve(const Ground& ground, const Solved& solved);

[[nodiscard]] bool same_weights(const Plan& a, const Plan& b);

}  // namespace trueblank::tuning
