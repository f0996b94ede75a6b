// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "report/ballast_report.h"
#include "report/templates.h"
#include "symmetry/half_sections.h"

namespace trueblank::report {

/// What is drawn at true size, to be laid beside the blank when it is drilled and wired.
struct PlanSheet {
  const BallastResult& result;
  symmetry::Profiles profiles = {};  ///< of the body: the mean of both flanks
  Paper paper = Paper::a4;
};

/// A found plan as one picture, 1 unit being 1 mm: the outlines from the side and from above with
/// holes, weights and wire in them and each hole's number and station; under the same numbers how
/// each is drilled; each wire straight, with its bends and eyes, as it is to be cut; cautions; on
/// every page a bar of 50 mm by which to check the print. Pages as templates_svg() has them.
///
/// returns  the same bytes for the same input
[[nodiscard]] std::string plan_svg(const PlanSheet& sheet);

/// The same pages as PDF, as templates_pdf().
[[nodiscard]] std::string plan_pdf(const PlanSheet& sheet);

}  // namespace trueblank::report
