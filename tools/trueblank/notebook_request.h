// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "options.h"
#include "raw_options.h"

namespace trueblank::tools {

/// Makes of the options of "add", "tank" and the like what is asked for, but for what all verbs
/// have in common.
/// throws  InputError: a value that can't be used
[[nodiscard]] NotebookRequest notebook_request(const std::string& action, const Raw& raw);

}  // namespace trueblank::tools
