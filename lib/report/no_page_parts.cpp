// SPDX-License-Identifier: GPL-3.0-or-later
// Stands in for the page's parts where it was left out of the build.
#include "report/page_parts.h"

namespace trueblank::report {

bool has_page() { return false; }

std::string page_script() { return {}; }

std::string page_style() { return {}; }

std::string page_notices() { return {}; }

std::string page_module() { return {}; }

std::string page_worker() { return {}; }

std::string_view page_script_hash() { return "'none'"; }

std::string_view page_style_hash() { return "'none'"; }

}  // namespace trueblank::report
