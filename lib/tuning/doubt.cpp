// SPDX-License-Identifier: GPL-3.0-or-later
#include "tuning/doubt.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <optional>

#include "water/near_pose.h"

namespace trueblank::tuning {
namespace {

constexpr double least_part_of_mass = 0.02;
constexpr int most_rounds = 30;
constexpr double slope_step = 0.2;  // of a standard deviation
constexpr double settled = 1e-4;

rig::LaidPart with_mass(const rig::LaidPart& part, double by_g) {
  return rig::heavier(part, std::max(by_g, (least_part_of_mass - 1) * part.mass_g));
}

}  // namespace

std::vector<Parameter> parameters_of(const rig::Assembly& assembly,
                                     const rig::Tolerances& tolerances) {
  std::vector<Parameter> all;
  if (assembly.wood_weighed) {
    const double blank_g = assembly.undrilled_wood_g;
    all.push_back({"the blank's weight", "g", tolerances.mass_g,
                   [blank_g](rig::Assembly& made, double by, double&) {
                     made = rig::with_wood_times(made, std::max(0.1, 1 + by / blank_g));
                   }});
  } else {
    all.push_back({"the wood's density", "%", tolerances.wood_density_percent,
                   [](rig::Assembly& made, double by, double&) {
                     made = rig::with_wood_times(made, std::max(0.1, 1 + by / 100));
                   }});
  }
  all.push_back({"the body's size", "%", tolerances.scale_percent,
                 [](rig::Assembly&, double by, double& scale) { scale *= 1 + by / 100; }});
  for (std::size_t i = 0; i < assembly.parts.size(); ++i) {
    const rig::LaidPart& part = assembly.parts[i];
    if (part.mass_g > 0) {
      all.push_back({"the mass of " + part.name, "g", tolerances.mass_g,
                     [i](rig::Assembly& made, double by, double&) {
                       made.parts[i] = with_mass(made.parts[i], by);
                     }});
    }
    if (part.kind == rig::PartKind::finish) continue;
    constexpr std::array<const char*, 3> ways = {" aft", " to the right", " up"};
    for (int axis = 0; axis < 3; ++axis) {
      all.push_back({part.name + ways[static_cast<std::size_t>(axis)], "mm", tolerances.place_mm,
                     [i, axis](rig::Assembly& made, double by, double&) {
                       made.parts[i] = rig::moved(made.parts[i], by * Vec3::Unit(axis));
                     }});
    }
  }
  std::erase_if(all, [](const Parameter& one) { return !(one.sd > 0); });
  return all;
}

Lies lies(const water::CutBody& body, const rig::Assembly& assembly, double scale,
          const Vec3& near_up) {
  const water::Floater lure =
      water::floater(body, rig::add_up(rig::on_scaled_body(assembly, scale)));
  const double cubed = scale * scale * scale;
  Lies found;
  found.reserve_g = (lure.displacement_full_g() - lure.mass_g) * cubed;
  const std::optional<water::RestPose> pose =
      water::pose_near(lure, near_up, {.start_mm = {}, .look_for_rings = false});
  if (!pose) return found;
  found.tail_down_deg = pose->tail_down_deg;
  found.list_deg = pose->list_deg;
  found.least_stiffness_g_mm_per_deg = pose->least_stiffness_g_mm_per_deg * cubed * scale;
  return found;
}

Eigen::MatrixXd Doubt::slopes(const Eigen::VectorXd& off) const {
  const Eigen::Index n = off.size();
  Eigen::MatrixXd slopes;
  for (Eigen::Index i = 0; i < n; ++i) {
    Eigen::VectorXd less = off;
    Eigen::VectorXd more = off;
    less[i] -= slope_step;
    more[i] += slope_step;
    const Eigen::VectorXd slope = (misfit(more) - misfit(less)) / (2 * slope_step);
    if (i == 0) slopes.resize(slope.size(), n);
    slopes.col(i) = slope;
  }
  return slopes;
}

Eigen::VectorXd Doubt::most_likely(const std::vector<Eigen::Index>& which) const {
  Eigen::VectorXd off = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(parameters_.size()));
  const auto cost = [&](const Eigen::VectorXd& at) {
    return at.squaredNorm() + misfit(at).squaredNorm();
  };
  double least = cost(off);
  for (int round = 0; round < most_rounds; ++round) {
    Eigen::MatrixXd slope = slopes(off);
    Eigen::MatrixXd moving = Eigen::MatrixXd::Zero(slope.rows(), slope.cols());
    for (const Eigen::Index i : which) moving.col(i) = slope.col(i);
    const Eigen::Index m = moving.rows();
    const Eigen::MatrixXd inner = moving * moving.transpose() + Eigen::MatrixXd::Identity(m, m);
    const Eigen::VectorXd next =
        -moving.transpose() * inner.ldlt().solve(misfit(off) - moving * off);
    Eigen::VectorXd step = next - off;
    bool better = false;
    for (int halving = 0; halving < 8; ++halving, step /= 2) {
      const double there = cost(off + step);
      if (there >= least) continue;
      off += step;
      least = there;
      better = true;
      break;
    }
    if (!better || step.norm() < settled) break;
  }
  return off;
}

std::vector<Eigen::Index> Doubt::all() const {
  std::vector<Eigen::Index> all;
  for (std::size_t i = 0; i < parameters_.size(); ++i) all.push_back(static_cast<Eigen::Index>(i));
  return all;
}

}  // namespace trueblank::tuning
