// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/draws_text.h"

#include <algorithm>

#include "report/layout.h"

namespace trueblank::report {

namespace {

// With as many decimals as tell it from all or none: "96 %", "99.5 %".
std::string share_words(double share) {
  const double to_an_end = std::min(share, 1 - share);
  if (to_an_end == 0 || to_an_end >= 0.01) return percent(share);
  return percent(share, to_an_end < 0.001 ? 2 : 1);
}

std::string plain(double value) {
  std::string digits = fixed(value, 3);
  digits.erase(digits.find_last_not_of('0') + 1);
  if (digits.ends_with('.')) digits.pop_back();
  return digits;
}

std::string tolerance_words(const FloatResult& result) {
  const rig::Tolerances& sd = result.draws->tolerances;
  std::string text = plain(sd.mass_g) + " g, " + plain(sd.place_mm) + " mm, ";
  if (!result.wood_weighed) text += plain(sd.wood_density_percent) + " % of wood, ";
  return text + plain(sd.scale_percent) + " % of size";
}

void add_row(Table& table, const char* what, const std::optional<water::Scatter>& scatter,
             int decimals) {
  if (!scatter) return;
  table.row({what, fixed(scatter->mean, decimals), fixed(scatter->standard_deviation, decimals),
             fixed(scatter->p5, decimals), fixed(scatter->p95, decimals)});
}

}  // namespace

std::string draws_sentence(const FloatResult& result) {
  if (!result.draws) return "";
  const water::ToleranceDraws& draws = *result.draws;
  const bool unsure = draws.share_as_nominal < sure_share;
  return "Of " + grouped(static_cast<long long>(draws.builds)) +
         (draws.builds == 1 ? " build" : " builds") + " within ± (one standard deviation) " +
         tolerance_words(result) + (unsure ? ", only " : ", ") +
         share_words(draws.share_as_nominal) + " lie as this one does (seed " +
         std::to_string(draws.seed) + ").";
}

std::string draws_text(const FloatResult& result) {
  if (!result.draws) return "";
  const water::ToleranceDraws& draws = *result.draws;
  std::string more = " That share is told to ± " + percent(draws.share_as_nominal_error, 1) +
                     ". Of all, " + share_words(draws.share_floats) + " float and " +
                     share_words(draws.share_rolls) + " roll over.";
  if (draws.not_settled > 0) {
    more += " Without a rest that could be found: " + std::to_string(draws.not_settled) + ".";
  }
  Table table;
  table.row({"over these builds", "mean", "± one sd", "5 % below", "5 % above"});
  add_row(table, "tail down °", draws.tail_down_deg, 2);
  add_row(table, "list °", draws.list_deg, 2);
  add_row(table, "reserve g", draws.reserve_g, 2);
  add_row(table, "least stiffness g·mm/°", draws.least_stiffness_g_mm_per_deg, 3);
  return paragraph(draws_sentence(result) + more) + table.text();
}

}  // namespace trueblank::report
