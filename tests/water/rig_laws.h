// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>

namespace trueblank::water {

/// What became of lures drawn at random.
struct RigCount {
  int floated = 0;
  int suspended = 0;
  int sank = 0;
  int rolled = 0;  ///< of those that floated: not belly down in the likeliest pose
  int poses = 0;
  int descents = 0;
  int without_share = 0;      ///< descents that ended at a pose that the solver gives no share
  double worst_turn_deg = 0;  ///< furthest that a pose was from where the couple vanishes

  void add(const RigCount& other);
};

/// Lets random_lure(number) go in its water and fails the running test where a law does not hold:
/// every pose carries the weight and is without a couple; none has more energy than any direction
/// within a degree; the lowest none more than any of `directions` directions all over; from each of
/// these the way down ends at a pose that is told.
void expect_laws(std::uint64_t number, int directions, int least_facets, int most_facets,
                 RigCount& count);

/// The numbers first, first + 1, … , and what became of them, to the test's output.
void expect_laws_of_all(std::uint64_t first, int how_many, int directions, int least_facets,
                        int most_facets);

}  // namespace trueblank::water
