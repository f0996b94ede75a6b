// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/draws_text.h"

#include "report/layout.h"

namespace trueblank::report {

namespace {

// As many decimals as tell a share from all or none: "96 %", "99.9 %".
std::string share_words(double share) {
  const bool near_an_end = share > 0 && share < 1 && (share > 0.99 || share < 0.01);
  return percent(share, near_an_end ? 2 : 0);
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
  table.row({"over all builds", "mean", "± one sd", "5 % below", "5 % above"});
  add_row(table, "tail down °", draws.tail_down_deg, 2);
  add_row(table, "list °", draws.list_deg, 2);
  add_row(table, "reserve g", draws.reserve_g, 2);
  add_row(table, "least stiffness g·mm/°", draws.least_stiffness_g_mm_per_deg, 3);
  return paragraph(draws_sentence(result) + more) + table.text();
}

}  // namespace trueblank::report
