// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "options.h"
#include "raw_options.h"

namespace trueblank::tools {

/// Makes of a verb's options, as they stand on the command line, what is asked for.
/// throws  InputError: a value that can't be used, options that don't go together
[[nodiscard]] Request request_of(const std::string& verb, const Raw& raw);

}  // namespace trueblank::tools
