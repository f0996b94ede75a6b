// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/firmness_text.h"

#include <cmath>

#include "report/layout.h"
#include "report/pose_text.h"

namespace trueblank::report {

namespace {

constexpr std::size_t poses_in_words = 3;
constexpr double another_side_deg = 45;
constexpr double curve_step_deg = 15;
// Both sides of a curve are told as one where their figures agree to what is shown.
constexpr double alike_deg = 0.05;

double short_way_round(double deg) { return std::remainder(deg, 360); }

bool another_side(const water::RestPose& from, const water::RestPose& to) {
  if (!from.list_deg || !to.list_deg) return false;
  return std::abs(short_way_round(*to.list_deg - *from.list_deg)) > another_side_deg;
}

std::string work_words(double work_g_mm) {
  const std::string work = figures(work_g_mm, 2);
  return work + " g·mm of work is done, as to lift 1 g by " + work + " mm";
}

std::string where_to(const water::RestPose& from, const water::RestPose& to) {
  const std::string side = side_words(to);
  if (side.empty() || !another_side(from, to)) return "tips over, to lie " + pose_words(to) + ',';
  return "rolls " + side;
}

std::string number_words(std::size_t pose, std::size_t of) {
  return of == 1 ? "It " : "Pose " + std::to_string(pose + 1) + ' ';
}

std::string maybe(const std::optional<double>& value, int decimals) {
  return value ? fixed(*value, decimals) : "–";
}

// Lists of one side are told as one turns on to them from the pose, past 180° too.
void add_side(std::vector<std::string>& cells, const water::RightingSide& side,
              double pose_list_deg, int to_the_right) {
  const auto on_from_pose = [&](double list_deg) {
    const bool passed = to_the_right * (list_deg - pose_list_deg) < 0;
    return passed ? list_deg + 360 * to_the_right : list_deg;
  };
  cells.push_back(fixed(std::abs(side.greatest_arm_mm), 2));
  cells.push_back(fixed(on_from_pose(side.greatest_arm_list_deg), 0));
  cells.push_back(side.vanishing_deg ? fixed(on_from_pose(*side.vanishing_deg), 1) : "–");
  cells.push_back(maybe(side.area_mm_rad, 2));
}

bool some_curve(const FloatResult& result) {
  for (const std::optional<water::Righting>& curve : result.righting) {
    if (curve) return true;
  }
  return false;
}

std::string righting_table(const FloatResult& result) {
  if (!some_curve(result)) {
    return result.righting.empty()
               ? ""
               : "  Righting curve: undefined, for a list means nothing as it lies.\n";
  }
  Table table;
  table.row({"righting", "left arm", "at", "nil at", "area", "right arm", "at", "nil at", "area"});
  table.row({"of pose", "mm", "°", "°", "mm·rad", "mm", "°", "°", "mm·rad"});
  for (std::size_t i = 0; i < result.righting.size(); ++i) {
    std::vector<std::string> cells{std::to_string(i + 1)};
    if (result.righting[i]) {
      const double list_deg = result.balance.poses[i].list_deg.value_or(0);
      add_side(cells, result.righting[i]->left, list_deg, -1);
      add_side(cells, result.righting[i]->right, list_deg, 1);
    } else {
      cells.emplace_back("undefined");
    }
    table.row(cells);
  }
  return table.text();
}

std::string curve_table(const water::Righting& curve) {
  Table table;
  table.row({"list °", "arm mm", "moment g·mm", "tail down °"});
  for (const water::RightingPoint& point : curve.points) {
    if (std::abs(std::remainder(point.list_deg, curve_step_deg)) > alike_deg) continue;
    table.row({fixed(point.list_deg, 0), fixed(point.arm_mm, 3), fixed(point.moment_g_mm, 1),
               fixed(point.tail_down_deg, 1)});
  }
  return table.text();
}

}  // namespace

bool near_border(const FloatResult& result, std::size_t pose) {
  const std::optional<water::Barrier>& barrier = result.balance.poses[pose].barrier;
  return barrier && barrier->barrier_g_mm < ripple_mm * result.balance.mass_g;
}

std::string barrier_words(const FloatResult& result, std::size_t pose) {
  const water::RestPose& from = result.balance.poses[pose];
  if (!from.barrier) {
    if (!from.overturn_g_mm) return "";
    return "comes back from wherever it is let go; to hold it upside down " +
           figures(*from.overturn_g_mm, 2) + " g·mm of work must be done";
  }
  const std::size_t to = static_cast<std::size_t>(from.barrier->to);
  const std::string way = to == pose ? "goes right over and round to where it was"
                                     : where_to(from, result.balance.poses[to]);
  return way + " once " + work_words(from.barrier->barrier_g_mm) + "; hardest push " +
         figures(from.barrier->hardest_push_g_mm, 2) + " g·mm";
}

std::string firmness_text(const FloatResult& result, const TextStyle& style) {
  const std::size_t count = result.balance.poses.size();
  std::string text;
  for (std::size_t i = 0; i < count && (style.verbose || i < poses_in_words); ++i) {
    const std::string words = barrier_words(result, i);
    if (words.empty()) continue;
    std::string sentence = number_words(i, count) + words;
    if (near_border(result, i)) sentence += ": next to nothing";
    text += paragraph(sentence + '.', 4, 2);
  }
  text += righting_table(result);
  if (style.verbose && !result.righting.empty() && result.righting.front()) {
    text += '\n' + curve_table(*result.righting.front());
  }
  return text;
}

}  // namespace trueblank::report
