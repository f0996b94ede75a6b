// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace trueblank::geometry {

/// An input that can't be used: what is wrong, where, and how to mend it. Rooms above geometry
/// throw it; the command-line tool turns it into one line on stderr and exit code 2. Declared in
/// the lowest room, which itself never throws.
struct InputError {
  std::string problem;  ///< "ballast \"tail\" is 2.4 mm outside the body"
  std::string where;    ///< "needle.toml:31:1", "scan.obj:40711", may be empty
  std::string mend;     ///< "move its centre up to z = -11.6"
};

/// "where: problem; mend", the parts that are empty left out.
[[nodiscard]] std::string one_line(const InputError& error);

}  // namespace trueblank::geometry
