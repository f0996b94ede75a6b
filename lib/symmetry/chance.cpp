// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/chance.h"

#include <boost/math/special_functions/beta.hpp>

namespace trueblank::symmetry {

double chance_of_f(double f, double d1, double d2) {
  if (!(f > 0)) return 1;
  return boost::math::ibeta(d2 / 2, d1 / 2, d2 / (d2 + d1 * f));
}

double chance_of_t(double t, double freedom) {
  return boost::math::ibeta(freedom / 2, 0.5, freedom / (freedom + t * t));
}

}  // namespace trueblank::symmetry
