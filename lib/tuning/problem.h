// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "rig/wishes.h"
#include "tuning/heights.h"
#include "tuning/held_pose.h"
#include "tuning/hole.h"
#include "tuning/workpiece.h"

// Weight finding as a smooth problem: unknowns, what is made least, what must vanish, what must not
// be positive, and all derivatives. Inside the room.
namespace trueblank::tuning {

/// What is made best of.
enum class Best { least_mass, firmest, furthest_aft, least_slack };

/// What may be overstepped, and counts as slack where it is.
struct Slack {
  struct Place {
    bool x_low = false;
    bool x_high = false;
    bool mass_high = false;
  };

  bool tail = false;
  bool list = false;
  bool reserve = false;
  bool stiffness = false;
  bool wall = false;
  std::vector<Place> places = {};  ///< empty: none
};

/// One unit of slack: about what a maker gives away with the same ease.
struct SlackUnits {
  static constexpr double tail_deg = 1;
  static constexpr double list_deg = 1;
  static constexpr double reserve_g = 0.5;
  static constexpr double stiffness_g_mm_per_deg = 0.5;
  static constexpr double wall_mm = 0.5;
  static constexpr double x_mm = 5;
  static constexpr double mass_g = 1;
};

/// What one search must meet.
struct Demand {
  Where where = Where::afloat;
  rig::Range tail_down_deg = {-80, 80};
  rig::Range list_deg = {-1, 1};
  /// Displacement less mass, g; nothing: by its sign alone, `margin` of the mass beyond nil.
  std::optional<rig::Range> reserve_g = {};
  double margin = 0.0105;
  std::optional<double> tail_wish_deg = {};  ///< among what is as good, the nearer to it
  double least_stiffness_g_mm_per_deg = 0;
  double wall_min_mm = 0;
  std::optional<double> wire_min_mm = {};  ///< nothing: wires are not minded
  Closely closely = Closely::coarse;       ///< how the wood to the skin is looked for
  Best best = Best::least_mass;
  Slack slack = {};
};

/// What is chosen one by one and not searched for.
struct Choice {
  struct Place {
    bool used = true;
    double diameter_mm = 0;             ///< 0: a ball
    std::optional<double> mass_g = {};  ///< as rounded; nothing: searched for
  };

  std::vector<Place> places = {};
  std::vector<double> hook_masses_g = {};  ///< one for each of Wishes::hooks
};

/// Values and derivatives at one point of the (scaled) unknowns.
struct Evaluated {
  double objective = 0;
  Eigen::VectorXd objective_slope = {};
  Eigen::VectorXd equal = {};         ///< all nil at a solution
  Eigen::MatrixXd equal_slope = {};   ///< a row each
  Eigen::VectorXd atmost = {};        ///< none positive at a solution
  Eigen::MatrixXd atmost_slope = {};  ///< a row each
};

/// What the unknowns stand for.
struct Design {
  Angles angles = {};
  std::vector<Vec3> at_mm = {};       ///< of each place, used or not
  std::vector<double> mass_g = {};    ///< likewise; nil where it is not used
  std::vector<double> eye_x_mm = {};  ///< of each of Wishes::hooks
};

/// What all searches for one lure share.
class Ground {
 public:
  Ground(const Workpiece& workpiece, const rig::Wishes& wished);

  const Workpiece& lure;
  const rig::Wishes& wishes;
  Water water;
  Load fixed;  ///< all but the weights sought and the hooks that may change
  double wood_g_per_mm3 = 0;
  std::vector<Slug> fixed_slugs = {};

  struct Heights {
    std::optional<SkinHeights> belly = {};
    std::optional<SkinHeights> back = {};
  };

  std::vector<Heights> heights = {};       ///< of each place, where its height is from the skin
  std::vector<Heights> hook_heights = {};  ///< likewise of each hook choice
  double lowest_mm = 0;                    ///< of the body
  double highest_mm = 0;

  [[nodiscard]] Vec3 eye_mm(std::size_t choice, double eye_x_mm) const;
};

class Problem {
 public:
  Problem(const Ground& ground, const Demand& demand, const Choice& choice);

  [[nodiscard]] int unknowns() const { return static_cast<int>(variables_.size()); }

  /// Bounds of the scaled unknowns.
  [[nodiscard]] const Eigen::VectorXd& low() const { return low_; }

  [[nodiscard]] const Eigen::VectorXd& high() const { return high_; }

  /// How many unknowns are of the design, and not slack.
  [[nodiscard]] int of_design() const { return of_design_; }

  [[nodiscard]] Design design(const Eigen::VectorXd& scaled) const;
  /// The unknowns that stand for a design, within the bounds, slack as is needed for them.
  [[nodiscard]] Eigen::VectorXd unknowns_of(Design design) const;

  [[nodiscard]] const Evaluated& at(const Eigen::VectorXd& scaled);

  /// By how much the walls fall short at a point, where they may.
  [[nodiscard]] double wall_short_mm(const Eigen::VectorXd& scaled) const;

  [[nodiscard]] Load load(const Design& design) const;

  [[nodiscard]] Held held_at(const Design& design) const {
    return held(load(design), design.angles);
  }

  [[nodiscard]] const Demand& demand() const { return demand_; }

  [[nodiscard]] const Choice& choice() const { return choice_; }

 private:
  enum class Kind {
    tail,
    list,
    x,
    y,
    z,
    mass,
    eye_x,
    slack_tail,
    slack_list,
    slack_reserve,
    slack_stiffness,
    slack_wall,
    slack_x_low,
    slack_x_high,
    slack_mass_high
  };

  struct Variable {
    Kind kind;
    std::size_t index;  // of a place or a hook choice
    double scale;       // mm, g, degrees a unit
  };

  struct Rows;

  [[nodiscard]] static double* value_of(Kind kind, std::size_t index, Design& design);
  void add(Kind kind, std::size_t index, double scale, const rig::Range& range);
  [[nodiscard]] int find(Kind kind, std::size_t index = 0) const;
  [[nodiscard]] Held held(const Load& load, const Angles& angles) const;
  [[nodiscard]] bool some_mass_varies() const;
  [[nodiscard]] double net(std::size_t place) const;
  [[nodiscard]] Slug slug(const Design& design, std::size_t place) const;
  void add_water(const Design& design, Rows& rows);
  void add_stiffness(const Design& design, const Load& load, const Held& held, Rows& rows);
  void add_ranges(const Design& design, Rows& rows) const;
  void add_walls(const Design& design, Rows& rows) const;
  void set_objective(const Design& design, Rows& rows) const;
  void add_tie_breakers(const Design& design, Rows& rows) const;
  void add_wall(const Wall& wall, double least_mm, std::size_t place, Rows& rows) const;
  [[nodiscard]] Eigen::RowVectorXd wall_slope(const Wall& wall, std::size_t place) const;

  const Ground& ground_;
  Demand demand_;
  Choice choice_;
  std::vector<Variable> variables_;
  Eigen::VectorXd low_;
  Eigen::VectorXd high_;
  int of_design_ = 0;
  Design still_;  // what does not vary
  Evaluated value_;
  Eigen::VectorXd at_;
  std::optional<double> offset_mm_;  // of the last waterline
  double stiffness_ = 0;
  Eigen::RowVectorXd stiffness_slope_;
};

}  // namespace trueblank::tuning
