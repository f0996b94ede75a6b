// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/tolerances.h"

#include <algorithm>
#include <cmath>
#include <span>
#include <vector>

#include "water/near_pose.h"
#include "water/random_numbers.h"
#include "water/sensitivity.h"

namespace trueblank::water {
namespace {

constexpr double least_part_of_mass = 0.01;
constexpr double as_nominal_within_deg = 10;
constexpr int builds_a_chunk = 32;

// What is drawn for a build: in column 0 the wood and the size, then two columns a part, so that a
// part's figures do not hang on how many others there are.
class Drawn {
 public:
  Drawn(std::uint64_t seed, int build) : seed_(seed), build_(static_cast<std::uint32_t>(build)) {}

  struct Whole {
    double wood;
    double scale;
  };

  [[nodiscard]] Whole whole() const {
    const auto [wood, scale] = normal_pair(seed_, build_, 0);
    return {wood, scale};
  }

  struct Part {
    double mass;
    Vec3 place;
  };

  [[nodiscard]] Part part(std::size_t i) const {
    const std::uint32_t column = static_cast<std::uint32_t>(1 + 2 * i);
    const auto [mass, x] = normal_pair(seed_, build_, column);
    const auto [y, z] = normal_pair(seed_, build_, column + 1);
    return {mass, {x, y, z}};
  }

 private:
  std::uint64_t seed_;
  std::uint32_t build_;
};

double off_by(double nominal, double deviation, double normal) {
  return std::max(nominal + deviation * normal, least_part_of_mass * nominal);
}

rig::LaidPart drawn_part(const rig::LaidPart& part, const rig::Tolerances& tolerances,
                         const Drawn::Part& drawn) {
  rig::LaidPart made = part;
  if (part.mass_g > 0) {
    const double mass_g = off_by(part.mass_g, tolerances.mass_g, drawn.mass);
    made = rig::heavier(made, mass_g - part.mass_g);
  }
  if (part.kind == rig::PartKind::finish) return made;
  return rig::moved(made, tolerances.place_mm * drawn.place);
}

// A build in its own lengths: on the nominal body it lies as it would on its own.
struct ScaledBuild {
  rig::Assembly assembly;
  double scale = 1;
};

ScaledBuild drawn_build(const rig::Assembly& nominal, const rig::Tolerances& tolerances,
                        const Drawn& drawn) {
  const Drawn::Whole whole = drawn.whole();
  const double wood_deviation = nominal.wood_weighed ? tolerances.mass_g / nominal.undrilled_wood_g
                                                     : tolerances.wood_density_percent / 100;
  rig::Assembly made = rig::with_wood_times(nominal, off_by(1, wood_deviation, whole.wood));
  for (std::size_t i = 0; i < made.parts.size(); ++i) {
    made.parts[i] = drawn_part(made.parts[i], tolerances, drawn.part(i));
  }
  const double scale = off_by(1, tolerances.scale_percent / 100, whole.scale);
  return {rig::on_scaled_body(made, scale), scale};
}

// How one build lies, in true masses and lengths.
struct Outcome {
  bool floats = false;
  bool settled = false;
  bool as_nominal = false;
  bool rolls = false;
  double reserve_g = 0;
  double tail_down_deg = 0;
  double least_stiffness_g_mm_per_deg = 0;
  std::optional<double> list_apart_deg;
};

Outcome outcome(const CutBody& body, const ScaledBuild& build, const RestPose& nominal) {
  const Floater lure = floater(body, rig::add_up(build.assembly));
  const double cubed = build.scale * build.scale * build.scale;
  Outcome found;
  found.reserve_g = (lure.displacement_full_g() - lure.mass_g) * cubed;
  found.floats = found.reserve_g > 0;
  std::optional<double> start_mm = nominal.waterline_offset_mm;
  if (start_mm) *start_mm /= build.scale;
  const std::optional<RestPose> pose =
      pose_near(lure, nominal.up, {.start_mm = start_mm, .look_for_rings = false});
  if (!pose) return found;
  found.settled = true;
  found.tail_down_deg = pose->tail_down_deg;
  found.least_stiffness_g_mm_per_deg = pose->least_stiffness_g_mm_per_deg * cubed * build.scale;
  if (!nominal.indifferent) found.list_apart_deg = list_apart_deg(*pose, nominal);
  const double list_off_deg = std::abs(found.list_apart_deg.value_or(0));
  const double tail_off_deg = std::abs(pose->tail_down_deg - nominal.tail_down_deg);
  const bool same_side = found.floats == nominal.waterline_offset_mm.has_value();
  found.as_nominal = same_side && std::max(list_off_deg, tail_off_deg) <= as_nominal_within_deg;
  found.rolls = list_off_deg > rolls_beyond_deg;
  return found;
}

// Between the two values next to it where it falls between two.
double quantile(std::span<const double> rising, double share) {
  const double place = share * static_cast<double>(rising.size() - 1);
  const std::size_t below = static_cast<std::size_t>(place);
  const std::size_t above = std::min(below + 1, rising.size() - 1);
  return rising[below] + (place - static_cast<double>(below)) * (rising[above] - rising[below]);
}

std::optional<Scatter> scatter_of(std::vector<double> values) {
  if (values.empty()) return {};
  const double count = static_cast<double>(values.size());
  Scatter scatter;
  scatter.builds = static_cast<int>(values.size());
  // From the first value on, so that values all alike have exactly that mean and no deviation.
  const double first = values.front();
  double sum = 0;
  for (const double value : values) sum += value - first;
  scatter.mean = first + sum / count;
  double squares = 0;
  for (const double value : values) squares += (value - scatter.mean) * (value - scatter.mean);
  if (values.size() > 1) scatter.standard_deviation = std::sqrt(squares / (count - 1));
  std::sort(values.begin(), values.end());
  scatter.p5 = quantile(values, 0.05);
  scatter.p95 = quantile(values, 0.95);
  return scatter;
}

void scatter_all(const std::vector<Outcome>& outcomes, const RestPose& nominal,
                 ToleranceDraws& draws) {
  std::vector<double> tail_down;
  std::vector<double> list;
  std::vector<double> reserve;
  std::vector<double> stiffness;
  for (const Outcome& one : outcomes) {
    if (!one.settled) continue;
    tail_down.push_back(one.tail_down_deg);
    reserve.push_back(one.reserve_g);
    stiffness.push_back(one.least_stiffness_g_mm_per_deg);
    if (one.list_apart_deg) list.push_back(*nominal.list_deg + *one.list_apart_deg);
  }
  draws.tail_down_deg = scatter_of(std::move(tail_down));
  draws.list_deg = scatter_of(std::move(list));
  draws.reserve_g = scatter_of(std::move(reserve));
  draws.least_stiffness_g_mm_per_deg = scatter_of(std::move(stiffness));
}

}  // namespace

ToleranceDraws draw_builds(const CutBody& body, const rig::Assembly& assembly,
                           const rig::Tolerances& tolerances, const RestPose& nominal, int builds,
                           std::uint64_t seed, const geometry::ParallelFor& loop) {
  std::vector<Outcome> outcomes(static_cast<std::size_t>(builds));
  const int chunks = (builds + builds_a_chunk - 1) / builds_a_chunk;
  loop(chunks, [&](int chunk) {
    const int first = chunk * builds_a_chunk;
    for (int i = first; i < std::min(first + builds_a_chunk, builds); ++i) {
      const ScaledBuild build = drawn_build(assembly, tolerances, Drawn(seed, i));
      outcomes[static_cast<std::size_t>(i)] = outcome(body, build, nominal);
    }
  });
  const auto count = [&](bool Outcome::*which) {
    const auto has = [&](const Outcome& one) { return one.*which; };
    return static_cast<double>(std::count_if(outcomes.begin(), outcomes.end(), has));
  };
  ToleranceDraws draws{.builds = builds, .seed = seed, .tolerances = tolerances};
  const double all = builds;
  const double as_nominal = count(&Outcome::as_nominal);
  const double near_share = (as_nominal + 1) / (all + 2);
  draws.share_as_nominal = as_nominal / all;
  draws.share_as_nominal_error = std::sqrt(near_share * (1 - near_share) / all);
  draws.share_floats = count(&Outcome::floats) / all;
  draws.share_rolls = count(&Outcome::rolls) / all;
  draws.not_settled = builds - static_cast<int>(count(&Outcome::settled));
  scatter_all(outcomes, nominal, draws);
  return draws;
}

}  // namespace trueblank::water
