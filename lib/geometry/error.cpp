// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/error.h"

namespace trueblank::geometry {

std::string one_line(const InputError& error) {
  std::string line;
  if (!error.where.empty()) line += error.where + ": ";
  line += error.problem;
  if (!error.mend.empty()) line += "; " + error.mend;
  return line;
}

}  // namespace trueblank::geometry
