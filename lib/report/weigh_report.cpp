// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/weigh_report.h"

#include "report/input_text.h"
#include "report/layout.h"
#include "report/record_text.h"

namespace trueblank::report {

namespace {

std::string row_text(const geometry::Mat3& matrix, int row) {
  return grouped(matrix(row, 0), 1) + ", " + grouped(matrix(row, 1), 1) + ", " +
         grouped(matrix(row, 2), 1);
}

void add_matrix(Facts& facts, const std::string& name, const geometry::Mat3& matrix) {
  facts.add(name, row_text(matrix, 0));
  facts.add("", row_text(matrix, 1));
  facts.add("", row_text(matrix, 2));
}

std::string volume_text(double mm3) { return fixed(mm3 / 1000, 2) + " cm³"; }

}  // namespace

std::string answer(const WeighResult& result, const TextStyle& style) {
  const std::string volume = volume_text(result.whole.volume_mm3);
  if (!result.blank) {
    return "The body takes up " + volume + "; give --density or --mass for its weight.";
  }
  const std::string density = fixed(result.blank->density_g_cm3, 3) + " g/cm³";
  const std::string mass = mass_text(result.blank->mass_g, style);
  if (result.mass_given) {
    return "At " + mass + " over " + volume + " the stuff is " + density + ".";
  }
  return "The blank weighs " + mass + ": " + volume + " at " + density + ".";
}

std::string to_text(const WeighResult& result, const TextStyle& style) {
  Facts facts;
  add_input(facts, result.input, result.record);
  facts.add("size", size_text(result.size_mm, style));
  facts.add("volume", grouped(result.whole.volume_mm3, 1) + " mm³");
  if (result.cavity_mm3 > 0) {
    facts.add("cavity", grouped(result.cavity_mm3, 1) + " mm³, taken off the volume");
  }
  add_record(facts, result.record, usual_water_g_cm3, style);
  facts.add("surface", grouped(result.whole.area_mm2, 1) + " mm²");
  facts.add("centroid", point_text(result.whole.centroid_mm, 2) + " mm in the file's axes");
  if (result.frame) add_frame(facts, *result.frame, result.guessed);
  if (style.verbose) {
    add_matrix(facts, "inertia mm⁵", result.whole.inertia_mm5);
    for (int i = 0; i < 3; ++i) {
      facts.add(i == 0 ? "principal mm⁵" : "", grouped(result.principal.values(i), 1) + " about " +
                                                   point_text(result.principal.axes.col(i), 5));
    }
    if (result.blank) add_matrix(facts, "inertia g·mm²", result.blank->inertia_g_mm2);
  }
  return paragraph(answer(result, style)) + '\n' + facts.text() + notes(result.warnings);
}

}  // namespace trueblank::report
