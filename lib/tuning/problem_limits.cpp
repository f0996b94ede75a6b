// SPDX-License-Identifier: GPL-3.0-or-later
// What the wood asks of a design: ranges, heights, walls.
#include "tuning/problem_rows.h"

namespace trueblank::tuning {

// Ranges that slack widens, and heights from the skin.
void Problem::add_ranges(const Design& design, Rows& rows) const {
  const auto over = [&](Kind of, std::size_t index, double beyond, double sign, Kind slack_kind,
                        double unit) {
    const int slack = find(slack_kind, index);
    const int variable = find(of, index);
    if (slack < 0 || variable < 0) return;
    Eigen::RowVectorXd row = rows.nil();
    row[variable] = sign * variables_[static_cast<std::size_t>(variable)].scale / unit;
    row[slack] = -1;
    rows.must_not_be_positive(beyond / unit - at_[slack], row);
  };
  const Angles& angles = design.angles;
  const auto angle = [&](Kind of, double value, const rig::Range& range, Kind slack, double unit) {
    over(of, 0, value - range.high, 1, slack, unit);
    over(of, 0, range.low - value, -1, slack, unit);
  };
  angle(Kind::tail, angles.tail_down_deg, demand_.tail_down_deg, Kind::slack_tail,
        SlackUnits::tail_deg);
  angle(Kind::list, angles.list_deg, demand_.list_deg, Kind::slack_list, SlackUnits::list_deg);
  for (std::size_t i = 0; i < choice_.places.size(); ++i) {
    if (!choice_.places[i].used) continue;
    const rig::WeightPlace& place = ground_.wishes.places[i];
    over(Kind::x, i, place.x_mm.low - design.at_mm[i].x(), -1, Kind::slack_x_low, SlackUnits::x_mm);
    over(Kind::x, i, design.at_mm[i].x() - place.x_mm.high, 1, Kind::slack_x_high,
         SlackUnits::x_mm);
    over(Kind::mass, i, design.mass_g[i] - place.mass_g.high, 1, Kind::slack_mass_high,
         SlackUnits::mass_g);
    const Ground::Heights& skin = ground_.heights[i];
    if (!place.height_mm || (!skin.belly && !skin.back)) continue;
    const Vec3& at = design.at_mm[i];
    const SkinHeights::Height from =
        skin.belly ? skin.belly->at(at.x(), at.y()) : skin.back->at(at.x(), at.y());
    const double sign = skin.belly ? 1 : -1;
    const double height = sign * (at.z() - from.z_mm);
    Eigen::RowVectorXd row = rows.nil();
    const auto set = [&](Kind kind, double slope) {
      const int variable = find(kind, i);
      if (variable >= 0) row[variable] = slope * place_unit_mm;
    };
    set(Kind::x, -sign * from.per_x);
    set(Kind::y, -sign * from.per_y);
    set(Kind::z, sign);
    rows.must_not_be_positive(place.height_mm->low - height, -row);
    rows.must_not_be_positive(height - place.height_mm->high, row);
  }
}

Eigen::RowVectorXd Problem::wall_slope(const Wall& wall, std::size_t place) const {
  Eigen::RowVectorXd row = Eigen::RowVectorXd::Zero(static_cast<Eigen::Index>(variables_.size()));
  const auto set = [&](Kind kind, double slope) {
    const int variable = find(kind, place);
    if (variable < 0) return;
    row[variable] = slope * variables_[static_cast<std::size_t>(variable)].scale;
  };
  set(Kind::x, wall.per_mm.x());
  set(Kind::y, wall.per_mm.y());
  set(Kind::z, wall.per_mm.z());
  set(Kind::mass, wall.per_mm3 / ground_.wishes.places[place].density_g_cm3 * 1000);
  return row;
}

void Problem::add_wall(const Wall& wall, double least_mm, std::size_t place, Rows& rows) const {
  double short_of = least_mm - wall.mm;
  Eigen::RowVectorXd row = -wall_slope(wall, place);
  if (const int slack = find(Kind::slack_wall); slack >= 0) {
    short_of -= SlackUnits::wall_mm * at_[slack];
    row[slack] -= SlackUnits::wall_mm;
  }
  rows.must_not_be_positive(short_of, row);
}

void Problem::add_walls(const Design& design, Rows& rows) const {
  std::vector<Slug> slugs(choice_.places.size());
  for (std::size_t i = 0; i < slugs.size(); ++i) {
    if (!choice_.places[i].used) continue;
    slugs[i] = slug(design, i);
    for (const Wall& wall : walls_to_skin(slugs[i], ground_.lure.skin, demand_.closely)) {
      add_wall(wall, demand_.wall_min_mm, i, rows);
    }
    for (const Slug& fixed : ground_.fixed_slugs) {
      add_wall(wall_between(slugs[i], fixed).one, demand_.wall_min_mm, i, rows);
    }
    if (demand_.wire_min_mm) {
      for (const rig::Wire& wire : ground_.lure.rig.wires) {
        add_wall(wall_to_wire(slugs[i], wire), *demand_.wire_min_mm, i, rows);
      }
    }
    for (std::size_t j = 0; j < i; ++j) {
      if (!choice_.places[j].used) continue;
      const WallBetween between = wall_between(slugs[i], slugs[j]);
      add_wall(between.one, demand_.wall_min_mm, i, rows);
      rows.atmost_slope.back() -= wall_slope(between.other, j);
    }
  }
}

}  // namespace trueblank::tuning
