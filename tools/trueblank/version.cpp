// SPDX-License-Identifier: GPL-3.0-or-later
#include "version.h"

#include "report/version.h"

namespace trueblank::tools {

std::string version_line() {
  std::string line = "trueblank " + std::string(report::version());
  if (!commit().empty()) line += " (commit " + std::string(commit()) + ')';
  return line;
}

}  // namespace trueblank::tools
