// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/check_report.h"

#include "report/input_text.h"
#include "report/layout.h"
#include "report/print_text.h"
#include "report/record_text.h"

namespace trueblank::report {

namespace {

std::string yes_no(bool value) { return value ? "yes" : "no"; }

std::string loops_text(int count) {
  return grouped(static_cast<long long>(count)) + (count == 1 ? " open loop" : " open loops");
}

std::string crossings_text(int count) {
  return grouped(static_cast<long long>(count)) + (count == 1 ? " pair" : " pairs") + " of facets";
}

}  // namespace

std::string answer(const CheckResult& result, const TextStyle& style) {
  const std::string size = size_text(result.size_mm, style);
  if (!result.closed) {
    return "Open: " + loops_text(result.as_read.open_loops) + ", " + size +
           "; it encloses nothing until they are filled.";
  }
  const int crossings = result.as_read.self_intersections;
  std::string text = crossings > 0 ? "One closed body, " + size : "Sound: one closed body, " + size;
  if (!result.record.mended.empty()) {
    text = "Mended (" + mended_text(result.record.mended) + "): now one closed body, " + size;
  }
  if (crossings > 0) {
    text += ", but " + crossings_text(crossings) +
            " cross each other: what is inside is in doubt there";
  }
  text += ".";
  return result.print ? text + ' ' + print_answer(*result.print, style) : text;
}

std::string to_text(const CheckResult& result, const TextStyle& style) {
  Facts facts;
  add_input(facts, result.input, result.record);
  facts.add("closed as read", yes_no(result.as_read.closed));
  facts.add("facets wound alike", yes_no(result.as_read.oriented));
  facts.add("pieces", grouped(static_cast<long long>(result.as_read.pieces)));
  facts.add("open loops", grouped(static_cast<long long>(result.as_read.open_loops)));
  facts.add("crossing facets",
            grouped(static_cast<long long>(result.as_read.self_intersections)) + " pairs");
  facts.add("mended", mended_text(result.record.mended));
  if (result.volume_mm3) facts.add("volume", grouped(*result.volume_mm3, 1) + " mm³");
  add_record(facts, result.record, usual_water_g_cm3, style);
  if (result.frame) add_frame(facts, *result.frame, result.guessed);
  return paragraph(answer(result, style)) + '\n' + facts.text() +
         (result.print ? '\n' + print_text(*result.print, style) : std::string()) +
         notes(result.warnings);
}

}  // namespace trueblank::report
