// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "body/load_body.h"
#include "mirror_files.h"
#include "options.h"
#include "report/page.h"
#include "verbs.h"

namespace trueblank::tools {

/// The mended skin in file axes.
[[nodiscard]] report::PageSkin skin_in_file_axes(const body::SoundBody& body);
/// The skin in the body frame.
[[nodiscard]] report::PageSkin skin_in_body_frame(const body::FramedBody& framed);
/// The same as finely as a solver in the page wants it, thinned or not.
[[nodiscard]] report::PageSkin exact_skin(const body::FramedBody& framed);
/// The skin in the body frame with its deviation and what is to be sanded.
[[nodiscard]] report::PageSkin skin_with_maps(const body::FramedBody& framed,
                                              const Measured& measured,
                                              const symmetry::Sanding& sanding);

/// Adds the page to the outcome where it was asked for. Of `page`, verb, title, skin and what goes
/// with them are set; the rest comes from the outcome.
void add_page(Outcome& outcome, const CommonOptions& common, report::Page page);

}  // namespace trueblank::tools
