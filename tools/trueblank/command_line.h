// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "options.h"

namespace trueblank::tools {

/// Reads a command line, the program's name left out.
/// throws  InputError: no verb, an unknown one, an option or a value that can't be used
[[nodiscard]] Request parse_command_line(const std::vector<std::string>& arguments);

}  // namespace trueblank::tools
