// SPDX-License-Identifier: GPL-3.0-or-later
// A second, slow way to barriers: the plain loop's energies on a net of parallels and meridians,
// and the lowest way over it, from node to node as water rises (E. Dijkstra, Numerische Mathematik
// 1, 269, 1959, with the greatest height on a way in place of its length). No gradients, no passes,
// no descents.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <queue>
#include <random>
#include <utility>
#include <vector>

#include "geometry/moments.h"
#include "water/barriers.h"
#include "water/floating_bodies.h"

namespace trueblank::water {
namespace {

class Net {
 public:
  Net(const Floater& lure, double step_deg)
      : parallels_(static_cast<int>(std::lround(180 / step_deg))), meridians_(2 * parallels_) {
    std::optional<double> offset_mm;
    for (int cell = 0; cell < parallels_ * meridians_; ++cell) {
      const Waterline line = waterline_at(lure, up(cell), offset_mm, 1e-5);
      offset_mm = line.offset_mm;
      energies_.push_back(line.energy_g_mm);
    }
  }

  [[nodiscard]] int cells() const { return static_cast<int>(energies_.size()); }

  [[nodiscard]] double energy(int cell) const { return energies_[static_cast<std::size_t>(cell)]; }

  [[nodiscard]] Vec3 up(int cell) const {
    const int parallel = cell / meridians_;
    const int meridian = cell % meridians_;
    const double from_x = std::numbers::pi * (parallel + 0.5) / parallels_;
    const double around = 2 * std::numbers::pi * (meridian + 0.5) / meridians_;
    return {std::cos(from_x), std::sin(from_x) * std::cos(around),
            std::sin(from_x) * std::sin(around)};
  }

  [[nodiscard]] int nearest(const Vec3& direction) const {
    int best = 0;
    for (int cell = 1; cell < cells(); ++cell) {
      if (up(cell).dot(direction) > up(best).dot(direction)) best = cell;
    }
    return best;
  }

  // The eight around, over a pole too.
  [[nodiscard]] std::vector<int> around(int cell) const {
    std::vector<int> cells;
    for (int down = -1; down <= 1; ++down) {
      for (int along = -1; along <= 1; ++along) {
        int parallel = cell / meridians_ + down;
        int meridian = cell % meridians_ + along;
        if (parallel < 0 || parallel >= parallels_) {
          parallel -= down;
          meridian += parallels_;
        }
        cells.push_back(parallel * meridians_ + (meridian + meridians_) % meridians_);
      }
    }
    return cells;
  }

 private:
  int parallels_;
  int meridians_;
  std::vector<double> energies_;
};

// How high the water rises from one cell until it comes to one of the others.
double lowest_way_g_mm(const Net& net, int from, const std::vector<int>& others) {
  using Front = std::pair<double, int>;
  std::priority_queue<Front, std::vector<Front>, std::greater<>> fronts;
  std::vector<bool> seen(static_cast<std::size_t>(net.cells()));
  fronts.emplace(net.energy(from), from);
  seen[static_cast<std::size_t>(from)] = true;
  double level = -HUGE_VAL;
  while (!fronts.empty()) {
    const auto [energy, cell] = fronts.top();
    fronts.pop();
    level = std::max(level, energy);
    if (std::find(others.begin(), others.end(), cell) != others.end()) return level;
    for (const int next : net.around(cell)) {
      if (seen[static_cast<std::size_t>(next)]) continue;
      seen[static_cast<std::size_t>(next)] = true;
      fronts.emplace(net.energy(next), next);
    }
  }
  return HUGE_VAL;
}

// Where two summits first meet as the water falls, both at least so much higher: the lowest of all
// such places; nothing where there is one summit.
std::optional<double> lowest_gap_g_mm(const Net& net, double prominence_g_mm) {
  std::vector<int> falling(static_cast<std::size_t>(net.cells()));
  for (int i = 0; i < net.cells(); ++i) falling[static_cast<std::size_t>(i)] = i;
  std::sort(falling.begin(), falling.end(),
            [&](int a, int b) { return net.energy(a) > net.energy(b); });
  std::vector<int> above(falling.size(), -1);  // −1: still under water; a summit's own
  const auto summit = [&](int cell) {
    while (above[static_cast<std::size_t>(cell)] != cell) {
      cell = above[static_cast<std::size_t>(cell)];
    }
    return cell;
  };
  std::optional<double> lowest;
  for (const int cell : falling) {
    above[static_cast<std::size_t>(cell)] = cell;
    for (const int other : net.around(cell)) {
      if (above[static_cast<std::size_t>(other)] < 0) continue;
      const int one = summit(cell);
      const int two = summit(other);
      if (one == two) continue;
      const int lower = net.energy(one) < net.energy(two) ? one : two;
      if (net.energy(lower) - net.energy(cell) > prominence_g_mm) lowest = net.energy(cell);
      above[static_cast<std::size_t>(lower)] = lower == one ? two : one;
    }
  }
  return lowest;
}

struct RandomRig {
  OwnedFloater made;
  Floater by_loop;
};

RandomRig random_rig(int seed) {
  std::mt19937 random(static_cast<unsigned>(seed));
  std::uniform_real_distribution<double> even(0, 1);
  std::normal_distribution<double> normal;
  const geometry::ClosedMesh mesh = test_bodies::closed(
      seed % 3 == 0 ? lumpy()
                    : (seed % 3 == 1 ? test_bodies::glider(400)
                                     : test_bodies::ellipsoid(30, 20, 25, 14, 16)));
  const geometry::Moments whole = geometry::moments(mesh);
  const double x = 6 * normal(random);
  const double y = 0.6 * normal(random);
  const double z = 1.5 * normal(random);
  const double gravity = 0.15 + 0.8 * even(random);
  RandomRig rig{
      floating(mesh, gravity * 1e-3 * whole.volume_mm3, whole.centroid_mm + Vec3(x, y, z)), {}};
  for (const double eye : {-15.0, 30.0}) {
    const double volume = 300 + 1200 * even(random);
    const double length = 10 + 40 * even(random);
    if (even(random) < 0.5) continue;
    rig.made.lure.outside.push_back(
        {"hook", whole.centroid_mm + Vec3(eye, 0.5, -12), volume, length, 0});
  }
  rig.by_loop = rig.made.lure;
  rig.by_loop.body = CutBody(rig.made.mesh.get());
  return rig;
}

// Tolerance: what the energy rises or falls between nodes, by its curvatures at the pass.
double between_nodes_g_mm(const Floater& lure, const Vec3& pass, double step_deg) {
  const Curvatures k = curvatures(pass, waterline_at(lure, pass).hessian_g_mm);
  const double step = step_deg * degree;
  return (std::abs(k.soft_g_mm) + std::abs(k.stiff_g_mm)) * step * step + 1e-6;
}

TEST(SlowBarriers, OfRandomRigsAreThoseOfAPlainSearchOverANet) {
  constexpr double step_deg = 1.5;
  int with_several_poses = 0;
  int without_a_pass = 0;
  for (int seed = 1; seed <= 30; ++seed) {
    SCOPED_TRACE(testing::Message() << "seed " << seed);
    const RandomRig rig = random_rig(seed);
    const Balance found = balance(rig.made.lure);
    const Net net(rig.by_loop, step_deg);
    std::vector<int> cells;
    for (const RestPose& pose : found.poses) cells.push_back(net.nearest(pose.up));
    if (found.poses.size() == 1) {
      const RestPose& pose = found.poses[0];
      const std::optional<double> gap = lowest_gap_g_mm(net, 0.3);
      ASSERT_EQ(pose.barrier.has_value(), gap.has_value());
      without_a_pass += pose.barrier ? 0 : 1;
      if (!pose.barrier) continue;
      EXPECT_NEAR(pose.barrier->barrier_g_mm, *gap - pose.energy_g_mm,
                  between_nodes_g_mm(rig.made.lure, pose.barrier->up, step_deg));
      continue;
    }
    ++with_several_poses;
    for (std::size_t i = 0; i < found.poses.size(); ++i) {
      std::vector<int> others = cells;
      others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
      ASSERT_EQ(std::find(others.begin(), others.end(), cells[i]), others.end());
      const RestPose& pose = found.poses[i];
      ASSERT_TRUE(pose.barrier.has_value()) << described(found);
      EXPECT_NEAR(pose.barrier->barrier_g_mm,
                  lowest_way_g_mm(net, cells[i], others) - pose.energy_g_mm,
                  between_nodes_g_mm(rig.made.lure, pose.barrier->up, step_deg));
    }
  }
  EXPECT_GT(with_several_poses, 5);
  EXPECT_GT(without_a_pass, 1);
}

}  // namespace
}  // namespace trueblank::water
