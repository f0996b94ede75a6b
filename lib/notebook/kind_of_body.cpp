// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/kind_of_body.h"

#include <cmath>

namespace trueblank::notebook {

std::string kind_of_body(double length_mm, double width_mm, double height_mm) {
  constexpr double least_of_slim = 8;
  constexpr double least_of_medium = 5;
  const double slenderness = length_mm / std::sqrt(width_mm * height_mm);
  if (slenderness >= least_of_slim) return "slim";
  return slenderness >= least_of_medium ? "medium" : "stout";
}

}  // namespace trueblank::notebook
