// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

// What the build makes of tools/page: no part of the room's interface.
namespace trueblank::report {

/// Whether this build has the page at all.
[[nodiscard]] bool has_page();
/// Nothing in it ends a script element, as in page_worker().
[[nodiscard]] std::string page_script();
[[nodiscard]] std::string page_style();
/// Names, versions and licences of the packages that the script holds.
[[nodiscard]] std::string page_notices();
/// The solver as WebAssembly, raw deflate in base64, and the script of the worker that runs it;
/// both empty in a build without it.
[[nodiscard]] std::string page_module();
[[nodiscard]] std::string page_worker();
/// 'sha256-…' as a content-security policy names it.
[[nodiscard]] std::string_view page_script_hash();
[[nodiscard]] std::string_view page_style_hash();

}  // namespace trueblank::report
