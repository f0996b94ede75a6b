// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/live.h"

#include <cmath>
#include <cstddef>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "geometry/inside.h"
#include "geometry/shells.h"
#include "live/answer.h"
#include "live/lure.h"
#include "live/rig_array.h"
#include "rig/mass_budget.h"
#include "water/back_up.h"
#include "water/baseline.h"
#include "water/near_pose.h"
#include "water/upright.h"

using namespace trueblank;

struct trueblank_lure {
  live::Lure lure;
  live::Answer answer;
};

namespace {

using geometry::Vec3;
using live::Answer;
using live::nothing;

constexpr int not_found = 1;

void add_pose(Answer& answer, const water::RestPose& pose,
              const std::optional<rig::Baseline>& baseline) {
  answer.add(pose.up).add(pose.tail_down_deg).add(pose.list_deg).add(pose.waterline_offset_mm);
  answer.add(pose.submerged_mm3).add(pose.centre_of_buoyancy_mm).add(pose.waterplane_mm2);
  answer.add(pose.roll_stiffness_g_mm_per_deg).add(pose.pitch_stiffness_g_mm_per_deg);
  answer.add(pose.least_stiffness_g_mm_per_deg).add(pose.list_stiffness_g_mm_per_deg);
  answer.add(pose.gm_roll_mm).add(pose.gm_pitch_mm).add(pose.share).add_flag(pose.indifferent);
  if (pose.barrier) {
    answer.add(pose.barrier->barrier_g_mm).add(static_cast<double>(pose.barrier->to));
    answer.add(pose.barrier->up).add(pose.barrier->hardest_push_g_mm);
  } else {
    answer.add_nothing(6);
  }
  answer.add(pose.overturn_g_mm).add(pose.energy_g_mm);
  answer.add(baseline ? water::tail_down_along_deg(pose.up, baseline->nose_mm, baseline->tail_mm)
                      : nothing);
  answer.add_nothing(4);
}

void add_slope(Answer& answer, const water::Slope& slope) {
  answer.add(slope.tail_down_deg).add(slope.list_deg).add(slope.reserve_g);
  answer.add(slope.least_stiffness_g_mm_per_deg).add_flag(slope.at_border);
}

constexpr int slope_numbers = 5;

void add_slopes(Answer& answer, const water::PartSlopes& part) {
  answer.add(static_cast<double>(part.kind));
  if (part.per_g) {
    add_slope(answer, *part.per_g);
  } else {
    answer.add_nothing(slope_numbers);
  }
  if (!part.per_mm) {
    answer.add_nothing(3 * slope_numbers);
    return;
  }
  for (const water::Slope& slope : *part.per_mm) add_slope(answer, slope);
}

void add_change(Answer& answer, std::size_t hook, const water::HookChange& change) {
  answer.add_count(hook).add_flag(change.change == water::Hooked::size_up).add(change.mass_g);
  answer.add_flag(change.assumed).add(static_cast<double>(change.state)).add(change.reserve_g);
  answer.add_flag(change.pose.has_value());
  if (change.pose) {
    answer.add(change.pose->tail_down_deg).add(change.pose->list_deg);
  } else {
    answer.add_nothing(2);
  }
  answer.add(change.turns_deg).add_flag(change.rolls);
}

void add_laid(Answer& answer, const live::Lure& lure) {
  const rig::RiggedLure& rigged = lure.rigged();
  const double displacement_g = lure.floater().displacement_full_g();
  const double reserve_g = displacement_g - rigged.mass_g;
  answer.add(rigged.mass_g).add(displacement_g).add(reserve_g);
  answer.add(static_cast<double>(water::state_of(rigged.mass_g, reserve_g)));
  answer.add(rigged.centre_of_mass_mm).add(lure.rig().wood_density_g_cm3);
  answer.add(rigged.undrilled_wood_g).add(rigged.ratio_g_per_100g_wood);
  answer.add(rigged.ratio_without_hooks_g_per_100g_wood).add(rigged.dry_mass_g);
  answer.add(rigged.dry_balance_mm).add(rigged.blank_balance_mm).add(rigged.water_density_g_cm3);
  answer.add(lure.bare_volume_mm3()).add(lure.wet_volume_mm3());
  for (const double grams : rig::mass_budget(rigged.parts).g) answer.add(grams);
  answer.add_count(rigged.parts.size());
  for (const rig::MassPart& part : rigged.parts) {
    answer.add(static_cast<double>(part.kind)).add(part.mass_g).add(part.centre_mm);
  }
}

// A whole number of the wish within 0 … most; else -1.
int whole(double number, int most) {
  return number >= 0 && number <= most && number == std::floor(number) ? static_cast<int>(number)
                                                                       : -1;
}

std::optional<live::MapWish> read_wish(const double* wish) {
  constexpr int most = 1'000'000;
  const int kind = whole(wish[0], static_cast<int>(rig::part_kinds) - 1);
  const int index = whole(wish[1], most);
  const int axis = whole(wish[2], 2);
  const int places = whole(wish[5], most);
  const int masses = whole(wish[8], most);
  if (kind < 0 || index < 0 || axis < 0 || places < 0 || masses < 0) return {};
  return live::MapWish{.kind = static_cast<rig::PartKind>(kind),
                       .index = static_cast<std::size_t>(index),
                       .axis = axis,
                       .place_from_mm = wish[3],
                       .place_to_mm = wish[4],
                       .places = places,
                       .mass_from_g = wish[6],
                       .mass_to_g = wish[7],
                       .masses = masses};
}

void add_map(Answer& answer, const water::Sweep& map) {
  answer.add(static_cast<double>(map.axes[0].count)).add(static_cast<double>(map.axes[1].count));
  for (const water::SweepCell& cell : map.cells) {
    answer.add_flag(cell.told).add_flag(cell.stands).add(static_cast<double>(cell.state));
    answer.add(cell.reserve_g).add(cell.tail_down_deg).add(cell.list_deg);
    answer.add(cell.least_stiffness_g_mm_per_deg);
  }
  answer.add_count(map.border.size());
  for (const std::vector<Eigen::Vector2d>& line : map.border) {
    answer.add_count(line.size());
    for (const Eigen::Vector2d& point : line) answer.add(point.x()).add(point.y());
  }
}

// How it stands in the hand, and where it goes.
struct LetGo {
  double upright_stiffness_g_mm_per_deg = 0;
  bool stands = false;
  std::optional<water::RestPose> pose;
};

LetGo let_go(const water::Floater& lure, const double* from_up) {
  const water::BackUpSearch search(lure);
  if (from_up == nullptr) {
    water::BackUp found = search.let_go(lure);
    return {found.upright_stiffness_g_mm_per_deg, found.stands, std::move(found.pose)};
  }
  const water::BackUpSearch::Standing standing = search.standing(lure);
  LetGo found{standing.upright_stiffness_g_mm_per_deg, standing.stands, {}};
  const Vec3 up(from_up[0], from_up[1], from_up[2]);
  const double length = up.norm();
  if (!(length > 0) || !std::isfinite(length)) return found;
  found.pose = water::pose_near(lure, up / length, {.look_for_rings = false});
  return found;
}

// Why it stands or tips over, and what each of its parts could do about it.
void add_reasons(Answer& answer, const live::Lure& lure, double upright_stiffness_g_mm_per_deg) {
  const water::Upright upright = water::upright(lure.floater(), upright_stiffness_g_mm_per_deg);
  answer.add(upright.gm_mm).add(upright.aside_g_mm);
  const std::vector<rig::MassPart>& parts = lure.rigged().parts;
  answer.add_count(parts.size());
  for (const rig::MassPart& part : parts) {
    if (!(part.mass_g > 0)) {  // wood of which holes leave none
      answer.add_nothing(2);
      continue;
    }
    const water::UprightMove move = water::move_upright(lure.floater(), upright, part.mass_g);
    answer.add(move.lower_mm).add(move.left_mm);
  }
}

}  // namespace

trueblank_lure* trueblank_live_open(const double* positions_mm, int vertices, const int* facets,
                                    int facet_count, int air) {
  if (vertices < 0 || facet_count < 0) return nullptr;
  geometry::TriangleMesh mesh{Eigen::Map<const Eigen::Matrix3Xd>(positions_mm, 3, vertices),
                              Eigen::Map<const Eigen::Matrix3Xi>(facets, 3, facet_count)};
  std::optional<geometry::ClosedMesh> bare = geometry::closed_mesh(std::move(mesh));
  if (!bare) return nullptr;
  std::optional<geometry::ClosedMesh> outer;
  if (air != 0) {
    outer = geometry::outer_skin(*bare);
    if (!outer) return nullptr;
  }
  return new trueblank_lure{.lure = {*std::move(bare), std::move(outer)}, .answer = {}};
}

void trueblank_live_close(trueblank_lure* lure) { delete lure; }

const double* trueblank_live_lay(trueblank_lure* lure, const double* rig, int count) {
  const std::size_t numbers = rig == nullptr || count < 0 ? 0 : static_cast<std::size_t>(count);
  const live::Fault fault = lure->lure.lay(live::read_rig(std::span(rig, numbers)));
  Answer& answer = lure->answer.begin(fault.status);
  if (fault.status == trueblank_live_good) {
    add_laid(answer, lure->lure);
  } else {
    answer.add(fault.kind).add(fault.index);
  }
  return answer.end();
}

const double* trueblank_live_pose(trueblank_lure* lure, const double* from_up) {
  if (!lure->lure.laid()) {
    lure->answer.begin(not_found).add_nothing(2 + trueblank_live_pose_numbers);
    return lure->answer.end();
  }
  const LetGo found = let_go(lure->lure.floater(), from_up);
  Answer& answer = lure->answer.begin(found.pose ? trueblank_live_good : not_found);
  answer.add(found.upright_stiffness_g_mm_per_deg).add_flag(found.stands);
  if (found.pose) {
    add_pose(answer, *found.pose, lure->lure.baseline());
  } else {
    answer.add_nothing(trueblank_live_pose_numbers);
  }
  add_reasons(answer, lure->lure, found.upright_stiffness_g_mm_per_deg);
  return answer.end();
}

const double* trueblank_live_balance(trueblank_lure* lure) {
  if (!lure->lure.laid()) return lure->answer.begin(not_found).add_count(0).end();
  const water::Balance& balance = lure->lure.balance();
  Answer& answer = lure->answer.begin(trueblank_live_good).add_count(balance.poses.size());
  for (const water::RestPose& pose : balance.poses) {
    add_pose(answer, pose, lure->lure.baseline());
  }
  return answer.end();
}

const double* trueblank_live_slopes(trueblank_lure* lure) {
  const std::optional<water::Sensitivity> found = lure->lure.sensitivity();
  if (!found) return lure->answer.begin(not_found).end();
  Answer& answer = lure->answer.begin(trueblank_live_good).add_count(found->parts.size());
  for (const water::PartSlopes& part : found->parts) add_slopes(answer, part);
  add_slope(answer, found->wood_per_percent);
  add_slope(answer, found->wood_per_g);
  answer.add_count(found->changes.size());
  for (std::size_t i = 0; i < found->changes.size(); ++i) {
    add_change(answer, i / 2, found->changes[i]);
  }
  return answer.end();
}

const double* trueblank_live_map(trueblank_lure* lure, const double* wish) {
  const std::optional<live::MapWish> read = read_wish(wish);
  std::optional<water::Sweep> map;
  if (read && lure->lure.laid()) map = lure->lure.map(*read);
  Answer& answer = lure->answer.begin(map ? trueblank_live_good : not_found);
  if (map) add_map(answer, *map);
  return answer.end();
}

const double* trueblank_live_heights(trueblank_lure* lure, double x_mm, double y_mm) {
  const std::optional<std::pair<double, double>> heights =
      geometry::skin_heights_mm(lure->lure.bare(), x_mm, y_mm);
  if (!heights) return lure->answer.begin(not_found).end();
  return lure->answer.begin(trueblank_live_good).add(heights->first).add(heights->second).end();
}
