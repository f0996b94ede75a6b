// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "report/page_live.h"
#include "report/page_skin.h"
#include "rig/parts.h"

namespace trueblank::report {

/// Whether this build can write pages at all.
[[nodiscard]] bool pages_can_be_written();

struct Page {
  std::string verb = {};  ///< "check", "weigh", "mirror", "float", "ballast", "compare", "notebook"
  std::string title = {};   ///< any text
  std::string answer = {};  ///< the result in a sentence
  std::string text = {};    ///< as on the terminal
  std::string json = {};    ///< of the same run
  std::optional<PageSkin> skin = {};
  double deviation_scale_mm = 0;       ///< ends of the map's colours, ±; 0 where there is none
  double depth_scale_mm = 0;           ///< likewise for what is to be sanded
  std::optional<rig::Rig> rig = {};    ///< body frame; of a lure in the water
  std::optional<LiveScene> live = {};  ///< of one that the page may change; `skin` is then `exact`
  bool has_lead = false;
  bool imperial = false;
};

/// One HTML file that needs nothing else: script, style, result and skin are inside, and its
/// content-security policy allows no request and no other script or style. All text is escaped.
///
/// The page shows what the result holds and computes no figure of its own, save where it is `live`:
/// it then carries this library's own solver, which its policy lets run ('wasm-unsafe-eval', in a
/// worker made of the page's own text).
/// throws  nothing; only where pages_can_be_written()
/// cost    a pass over the skin
[[nodiscard]] std::string page_html(const Page& page);

/// `text` as the content of an element or a quoted attribute.
[[nodiscard]] std::string escaped_html(std::string_view text);
/// JSON as the content of a script element: no "<" is left, which could end it.
[[nodiscard]] std::string escaped_in_script(std::string_view json);

}  // namespace trueblank::report
