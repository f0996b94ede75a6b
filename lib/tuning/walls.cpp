// SPDX-License-Identifier: GPL-3.0-or-later
//
// The depth of a point in the body changes by no more than it is moved. So a cell of the face whose
// middle lies deeper than the shallowest point known, by more than the cell's own radius, holds
// nothing shallower; the others are halved until they are small, and the shallowest of those are
// followed downhill (as in B. O. Shubert, SIAM J. Numerical Analysis 9(3), 379-388, 1972, over a
// surface).
#include <algorithm>
#include <cmath>
#include <numbers>

#include "tuning/hole.h"
#include "tuning/slug_face.h"

namespace trueblank::tuning {
namespace {

using std::numbers::pi;

constexpr double smallest_cell_mm = 0.25;  // its radius
constexpr double right_to_mm = 1e-3;
constexpr double apart_mm = 1;         // starts of searches downhill
constexpr int most_starts = 8;         // of a piece
constexpr int fine_lines = 60;         // of a search downhill
constexpr double least_ball_mm = 0.1;  // radius for the slope per volume

struct Cell {
  double a;
  double b;
  double half_a;
  double half_b;
  FacePoint middle;

  [[nodiscard]] double radius_mm() const { return std::hypot(half_a, half_b); }
};

struct OnPiece {
  const FacePiece* piece = nullptr;
  FacePoint point;
};

/// The shallowest point of a piece.
class FineSearch {
 public:
  FineSearch(const FacePiece& piece, Depths& depths) : piece_(piece), depths_(depths) {
    const double half_a = (piece.high_mm - piece.low_mm) / 2;
    add(piece.low_mm + half_a, piece.reach_mm / 2, half_a, piece.reach_mm / 2);
    best_ = cells_.front().middle;
  }

  [[nodiscard]] FacePoint shallowest() {
    // The rim is where it mostly lies.
    follow(piece_.measured(depths_, cells_.front().a, piece_.reach_mm));
    while (halve()) {
    }
    follow_the_rest();
    return best_;
  }

 private:
  void add(double a, double b, double half_a, double half_b) {
    cells_.push_back({a, b, half_a, half_b, piece_.measured(depths_, a, b)});
  }

  void follow(const FacePoint& start) {
    started_.push_back(start.at_mm);
    const FacePoint found = shallowest_near(piece_, depths_, start, fine_lines);
    started_.push_back(found.at_mm);
    if (found.depth_mm < best_.depth_mm) best_ = found;
  }

  [[nodiscard]] bool may_hold_less(const Cell& cell) const {
    return cell.middle.depth_mm - cell.radius_mm() < best_.depth_mm - right_to_mm;
  }

  /// One round over all cells; false where none is left to halve.
  bool halve() {
    std::vector<Cell> old;
    old.swap(cells_);
    bool halved = false;
    for (const Cell& cell : old) {
      if (!may_hold_less(cell)) continue;
      if (cell.radius_mm() <= smallest_cell_mm) {
        cells_.push_back(cell);
        continue;
      }
      halved = true;
      const bool over_a = cell.half_a >= cell.half_b;
      const double da = over_a ? cell.half_a / 2 : 0;
      const double db = over_a ? 0 : cell.half_b / 2;
      for (const double sign : {-1.0, 1.0}) {
        add(cell.a + sign * da, cell.b + sign * db, cell.half_a - da, cell.half_b - db);
        const FacePoint& middle = cells_.back().middle;
        if (middle.depth_mm < best_.depth_mm - right_to_mm) follow(middle);
      }
    }
    return halved;
  }

  void follow_the_rest() {
    std::stable_sort(cells_.begin(), cells_.end(), [](const Cell& p, const Cell& q) {
      return p.middle.depth_mm < q.middle.depth_mm;
    });
    int starts = 0;
    for (const Cell& cell : cells_) {
      if (starts >= most_starts || !may_hold_less(cell)) break;
      const bool known = std::any_of(started_.begin(), started_.end(), [&](const Vec3& p) {
        return (p - cell.middle.at_mm).norm() < apart_mm;
      });
      if (known) continue;
      follow(cell.middle);
      starts += 1;
    }
  }

  const FacePiece& piece_;
  Depths& depths_;
  FacePoint best_;
  std::vector<Cell> cells_;
  std::vector<Vec3> started_;
};

OnPiece shallower(const OnPiece& p, const OnPiece& q) {
  return q.point.depth_mm < p.point.depth_mm ? q : p;
}

OnPiece fine(const FaceEighth& eighth, Depths& depths) {
  const OnPiece flank{&eighth.flank, FineSearch(eighth.flank, depths).shallowest()};
  const OnPiece end{&eighth.end, FineSearch(eighth.end, depths).shallowest()};
  return shallower(flank, end);
}

/// The rim at three angles, flank and end half way; from the shallowest along a and b.
OnPiece coarse(const FaceEighth& eighth, Depths& depths) {
  OnPiece best;
  const auto look = [&](const FacePiece& piece, double share_a, double share_b) {
    const double a = piece.low_mm + share_a * (piece.high_mm - piece.low_mm);
    const OnPiece here{&piece, piece.measured(depths, a, share_b * piece.reach_mm)};
    best = best.piece == nullptr ? here : shallower(best, here);
  };
  for (const double a : {0.5, 0.0, 1.0}) look(eighth.flank, a, 1);
  look(eighth.flank, 0.5, 0.5);
  look(eighth.end, 0.5, 0.5);
  best.point = shallowest_near(*best.piece, depths, best.point, 2);
  return best;
}

Wall wall_at(const Slug& slug, const OnPiece& on) {
  const FacePiece& piece = *on.piece;
  // The end moves by half of what the length grows; a point of the flank by its share of that. A
  // flank of no height lies at the end.
  const bool between = piece.flank && piece.half_mm > 0;
  const double share = between ? on.point.b_mm / piece.half_mm : 1;
  const double r = slug.radius_mm();
  return {.mm = on.point.depth_mm,
          .per_mm = on.point.slope,
          .per_mm3 = on.point.slope.dot(piece.axis) * piece.side * share / (2 * pi * r * r),
          .thinnest_mm = on.point.at_mm};
}

Wall wall_of_ball(const Slug& ball, Depths& depths) {
  const FacePoint middle = depths.at(ball.at_mm, Vec3::UnitZ());
  const double r = ball.radius_mm();
  const double finite = std::max(r, least_ball_mm);
  return {.mm = middle.depth_mm - r,
          .per_mm = middle.slope,
          .per_mm3 = -1 / (4 * pi * finite * finite),
          .thinnest_mm = ball.at_mm - r * middle.slope};
}

}  // namespace

int wall_count(const Slug& slug) { return slug.ball() ? 1 : 8; }

std::vector<Wall> walls_to_skin(const Slug& slug, const symmetry::NearestSurface& skin,
                                Closely closely) {
  Depths depths(skin);
  if (slug.ball()) return {wall_of_ball(slug, depths)};
  std::vector<Wall> walls;
  for (const FaceEighth& eighth : eighths_of(slug)) {
    const OnPiece on = closely == Closely::fine ? fine(eighth, depths) : coarse(eighth, depths);
    walls.push_back(wall_at(slug, on));
  }
  return walls;
}

}  // namespace trueblank::tuning
