// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/copies.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <utility>

#include "geometry/compensated_sum.h"
#include "symmetry/chance.h"
#include "symmetry/moderated_spread.h"
#include "symmetry/path_through_box.h"

namespace trueblank::symmetry {
namespace {

using geometry::Vec3;

// At how many places the copies' products are kept.
constexpr int kept_places = 200;
// How often chance may be taken for a mould's error.
constexpr double false_alarms = 0.005;
// A noise's variance is told to about a fifth: as if by so many squares.
constexpr double noise_spread = 0.2;
constexpr double noise_freedom = 2 / (noise_spread * noise_spread);
// Of the body's size: less than that is nobody's business, as in beyond_noise.
constexpr double least_part = 5e-5;

double size_mm(const geometry::ClosedMesh& body) {
  const Eigen::Matrix3Xd& p = body.positions_mm();
  return (p.rowwise().maxCoeff() - p.rowwise().minCoeff()).maxCoeff();
}

// Vertices along the skin, each for a like area of what was measured.
std::vector<int> even_places(const ComparisonSkin& skin) {
  const std::vector<double>& areas = skin.vertex_areas_mm2();
  std::vector<int> columns;
  double whole = 0;
  for (int v = 0; v < skin.body().vertex_count(); ++v) {
    const double area = areas[static_cast<std::size_t>(v)];
    if (!(area > 0)) continue;
    columns.push_back(v);
    whole += area;
  }
  if (columns.empty()) return columns;
  const std::vector<int> order = along_path(skin.body().positions_mm(), columns);
  if (static_cast<int>(order.size()) <= kept_places) return order;
  std::vector<int> places;
  double passed = 0;
  for (const int v : order) {
    passed += areas[static_cast<std::size_t>(v)];
    const double wanted = (static_cast<double>(places.size()) + 0.5) * whole / kept_places;
    if (passed > wanted) places.push_back(v);
  }
  return places;
}

// What flat facets stand off is the mesh's, alike in all copies that were meshed alike.
double copy_proud_mm(const DeviationField& of_master, std::size_t v) {
  return (of_master.facets_mm.empty() ? 0.0 : of_master.facets_mm[v]) - of_master.deviation_mm[v];
}

double root(double square) { return std::sqrt(std::max(0.0, square)); }

}  // namespace

// Variances of what scans put in: the master's own noise is the same in every copy's deviation and
// shows in the mean, the copies' own in the spread.
struct Copies::Noise {
  double master_mm2 = 0;
  double copy_mm2 = 0;
  double correlation_mm = 0;
  double copies = 1;

  [[nodiscard]] double mean_mm2() const { return master_mm2 + copy_mm2 / copies; }
};

struct Copies::Test {
  std::optional<double> F = {};
  double above = 0;  // degrees of freedom
  double below = 0;
  double chance = 1;
  double places = 1;  // how many of their own the scatter has
};

Copies::Copies(const ComparisonSkin& master)
    : master_(master),
      counts_(static_cast<std::size_t>(master.body().vertex_count()), 0),
      means_mm_(counts_.size(), 0.0),
      squares_mm2_(counts_.size(), 0.0),
      places_(even_places(master)) {
  const Eigen::Index count = static_cast<Eigen::Index>(places_.size());
  products_mm2_ = Eigen::MatrixXd::Zero(count, count);
  pairs_ = Eigen::MatrixXi::Zero(count, count);
  pair_means_mm_ = Eigen::MatrixXd::Zero(count, count);
}

void Copies::add(const DeviationField& master_onto_copy, const ScanNoise& noise) {
  for (std::size_t v = 0; v < counts_.size(); ++v) {
    if (master_onto_copy.counted[v] == 0) continue;
    const int count = ++counts_[v];
    const double value = copy_proud_mm(master_onto_copy, v);
    const double off = value - means_mm_[v];
    means_mm_[v] += off / count;
    squares_mm2_[v] += off * (value - means_mm_[v]);
  }
  add_products(master_onto_copy);
  const double own_mm2 = 2 * noise.sigma_mm * noise.sigma_mm;
  noise_mm2_ += own_mm2;
  if (own_mm2 > 0)
    correlation_mm_ += own_mm2 / noise_mm2_ * (noise.correlation_mm - correlation_mm_);
  ++copies_;
}

// The same as for the means, for each two places that this copy has.
void Copies::add_products(const DeviationField& field) {
  const auto at = [&](Eigen::Index i) {
    return static_cast<std::size_t>(places_[static_cast<std::size_t>(i)]);
  };
  for (Eigen::Index j = 0; j < products_mm2_.cols(); ++j) {
    if (field.counted[at(j)] == 0) continue;
    for (Eigen::Index i = 0; i <= j; ++i) {
      if (field.counted[at(i)] == 0) continue;
      const double one = copy_proud_mm(field, at(i));
      const double other = copy_proud_mm(field, at(j));
      const int count = ++pairs_(i, j);
      const double off = one - pair_means_mm_(i, j);
      pair_means_mm_(i, j) += off / count;
      // Below the diagonal the mean of the other place.
      double& other_mean = i == j ? pair_means_mm_(i, j) : pair_means_mm_(j, i);
      if (i != j) other_mean += (other - other_mean) / count;
      products_mm2_(i, j) += off * (other - other_mean);
    }
  }
}

// Signed as the master's deviation, as patches are sought; each vertex is met by the mean copy's.
DeviationField Copies::mean_field() const {
  DeviationField field{means_mm_,
                       std::vector<std::uint8_t>(counts_.size(), 0),
                       master_.body().positions_mm(),
                       std::vector<int>(counts_.size(), -1),
                       {},
                       Against::other_body,
                       std::vector<double>(counts_.size(), 0.0)};
  for (std::size_t v = 0; v < counts_.size(); ++v) {
    field.deviation_mm[v] = -means_mm_[v];
    field.counted[v] = counts_[v] >= std::min(copies_, 2) && counts_[v] > 0 ? 1 : 0;
    const Eigen::Index column = static_cast<Eigen::Index>(v);
    field.mirror_image_mm.col(column) += means_mm_[v] * master_.normals().col(column);
  }
  return field;
}

// Of a pair v = master² + copy², of the mean w = master² + copy²/n: two equations.
Copies::Noise Copies::noise(const DeviationField& mean, const geometry::ParallelFor& loop) const {
  Noise result;
  result.copies = std::max(1, copies_);
  if (!(noise_mm2_ > 0)) return result;
  const double pair_mm2 = noise_mm2_ / copies_;
  const ScanNoise of_mean = noise_of_two(master_, mean, loop);
  const double mean_mm2 = std::min(pair_mm2, 2 * of_mean.sigma_mm * of_mean.sigma_mm);
  result.correlation_mm = correlation_mm_;
  if (copies_ < 2) {
    result.master_mm2 = pair_mm2;
    return result;
  }
  result.copy_mm2 = std::min(pair_mm2, (pair_mm2 - mean_mm2) * copies_ / (copies_ - 1));
  result.master_mm2 = std::max(0.0, mean_mm2 - result.copy_mm2 / copies_);
  return result;
}

// Dempster's test: under no common error Σ mean² is like Σ (spread²/n + master's noise²), both
// taken for multiples of chi squares by their first two moments. tr(Σ²) of the scatter is estimated
// without bias (Bai and Saranadasa, eq. 3.3): of few copies the plain sum of products is too great.
Copies::Test Copies::test(const Noise& noise) const {
  Test result;
  double count = 0;
  double copies = 0;
  double above = 0;
  double trace = 0;
  double squares = 0;
  double with_noise = 0;
  double noise_squares = 0;
  const double per_mm2 = -0.5 / std::max(noise.correlation_mm * noise.correlation_mm, 1e-300);
  const auto position = [&](Eigen::Index i) {
    return master_.body().positions_mm().col(places_[static_cast<std::size_t>(i)]);
  };
  for (Eigen::Index j = 0; j < pairs_.cols(); ++j) {
    if (pairs_(j, j) < 2) continue;
    count += 1;
    copies += pairs_(j, j);
    above += pair_means_mm_(j, j) * pair_means_mm_(j, j);
    trace += products_mm2_(j, j) / (pairs_(j, j) - 1);
    for (Eigen::Index i = 0; i <= j; ++i) {
      if (pairs_(i, i) < 2 || pairs_(i, j) < 2) continue;
      const double twice = i == j ? 1 : 2;
      const double covariance = products_mm2_(i, j) / (pairs_(i, j) - 1);
      const double alike = std::exp(per_mm2 * (position(i) - position(j)).squaredNorm());
      squares += twice * covariance * covariance;
      with_noise += twice * covariance * alike;
      noise_squares += twice * alike * alike;
    }
  }
  if (!(count > 0)) return result;
  const double n = copies / count;
  const double freedom = n - 1;
  // (tr Σ)² is (tr S)² less its variance; so one place at the least, all of them at the most.
  const double few = 2 / freedom;
  double scatter_squares = trace * trace / (1 + few);
  if (freedom > 1) {
    scatter_squares = std::clamp(
        freedom * freedom / ((freedom + 2) * (freedom - 1)) * (squares - trace * trace / freedom),
        trace * trace / (count + few), scatter_squares);
  }
  const double master_mm2 = noise.master_mm2;
  const double expected = trace / n + count * master_mm2;
  if (!(expected > 0)) return result;
  const double mean_squares = scatter_squares / (n * n) + 2 * master_mm2 * with_noise / n +
                              master_mm2 * master_mm2 * noise_squares;
  const double own_doubt = 2 * scatter_squares / (n * n * freedom);
  const double doubt = own_doubt + std::pow(noise_spread * count * master_mm2, 2);
  result.F = above / expected;
  result.above = std::clamp((expected * expected - own_doubt) / mean_squares, 1.0, count);
  result.below = std::max(1.0, 2 * expected * expected / doubt - 2);
  result.places = scatter_squares > 0 ? trace * trace / scatter_squares - few : 1.0;
  result.chance = chance_of_f(*result.F, result.above, result.below);
  return result;
}

// Over the area that two copies and more measured.
void Copies::add_sizes(CopiesResult& result) const {
  geometry::CompensatedSums<4> sums;  // area, mean², spread², spread²/n
  for (std::size_t v = 0; v < counts_.size(); ++v) {
    const double area = master_.vertex_areas_mm2()[v];
    if (counts_[v] < std::min(copies_, 2) || counts_[v] == 0 || !(area > 0)) continue;
    const double variance = counts_[v] > 1 ? squares_mm2_[v] / (counts_[v] - 1) : 0.0;
    sums.add(
        {area, area * means_mm_[v] * means_mm_[v], area * variance, area * variance / counts_[v]});
  }
  const auto [area, mean_squares, variances, of_mean] = sums.values();
  if (!(area > 0)) return;
  result.mean_rms_mm = root(mean_squares / area);
  result.spread_rms_mm = root(variances / area);
  // The scatter's share; what the scans put in is taken off by the caller.
  result.mould_rms_mm = root((mean_squares - of_mean) / area);
}

// Of three copies a place's own spread says next to nothing: what all places show is worth more.
SpreadPrior Copies::prior() const {
  std::vector<double> variances;
  double freedom = 0;
  for (Eigen::Index j = 0; j < pairs_.cols(); ++j) {
    if (pairs_(j, j) < 2) continue;
    variances.push_back(products_mm2_(j, j) / (pairs_(j, j) - 1));
    freedom += pairs_(j, j) - 1;
  }
  if (variances.empty()) return {};
  return spread_prior(variances, freedom / static_cast<double>(variances.size()));
}

std::optional<MouldPatch> Copies::mould_patch(Patch patch, double places,
                                              const SpreadPrior& prior) const {
  MouldPatch result;
  double area = 0;
  double variances = 0;
  for (const int v : patch.vertices) {
    const std::size_t at = static_cast<std::size_t>(v);
    const double own = master_.vertex_areas_mm2()[at];
    area += own;
    result.mean_mm += own * means_mm_[at];
    result.copies += own * counts_[at];
    variances += own * squares_mm2_[at] / std::max(1, counts_[at] - 1);
  }
  if (!(area > 0)) return std::nullopt;
  result.mean_mm /= area;
  result.copies /= area;
  result.spread_mm = root(variances / area);
  if (result.copies < 2) return std::nullopt;
  const double own_freedom = result.copies - 1;
  const double spread_mm = root(prior.moderated_mm2(std::pow(result.spread_mm, 2), own_freedom));
  if (spread_mm > 0) {
    result.t = result.mean_mm * std::sqrt(result.copies) / spread_mm;
    // As of many: what is beyond changes no chance that anyone reads.
    constexpr double most_freedom = 1e4;
    result.chance = std::min(
        1.0, places * chance_of_t(*result.t, std::min(most_freedom, prior.freedom + own_freedom)));
  }
  if (result.chance > false_alarms) return std::nullopt;
  patch.greatest_mm = -patch.greatest_mm;
  patch.volume_mm3 = -patch.volume_mm3;
  result.patch = std::move(patch);
  return result;
}

void Copies::add_patches(const DeviationField& mean, const Noise& noise, double places,
                         CopiesResult& result, const geometry::ParallelFor& loop) const {
  const ScanNoise of_mean{root(noise.mean_mm2() / 2), noise.correlation_mm};
  Patches patches =
      find_patches(master_.body(), mean, master_.facet_measured(), {.noise = of_mean}, loop);
  const SpreadPrior spread = prior();
  for (auto* list : {&patches.shy, &patches.proud}) {
    for (Patch& patch : *list) {
      std::optional<MouldPatch> found = mould_patch(std::move(patch), places, spread);
      if (!found) continue;
      (list == &patches.shy ? result.proud : result.shy).push_back(*std::move(found));
    }
  }
}

CopiesResult Copies::result(const geometry::ParallelFor& loop) const {
  CopiesResult result;
  result.copies = copies_;
  result.mean_mm = means_mm_;
  result.counts = counts_;
  result.spread_mm.assign(counts_.size(), 0.0);
  for (std::size_t v = 0; v < counts_.size(); ++v) {
    if (counts_[v] > 1) result.spread_mm[v] = root(squares_mm2_[v] / (counts_[v] - 1));
  }
  if (copies_ == 0) return result;
  const DeviationField mean = mean_field();
  const Noise scans = noise(mean, loop);
  add_sizes(result);
  result.mean_noise_mm = root(scans.mean_mm2());
  result.spread_noise_mm = root(scans.copy_mm2);
  result.mould_rms_mm = root(std::pow(result.mould_rms_mm, 2) - scans.master_mm2);
  result.scatter_rms_mm = root(std::pow(result.spread_rms_mm, 2) - scans.copy_mm2);
  if (copies_ < 2) return result;
  const Test found = test(scans);
  result.F = found.F;
  result.freedom_above = found.above;
  result.freedom_below = found.below;
  result.chance = found.F ? found.chance : 0.0;
  const double least_mm = least_part * size_mm(master_.body());
  // An error of one place is lost among the scatter of all the others, but not at its own place.
  add_patches(mean, scans, found.places, result, loop);
  result.mould_found = (result.mould_rms_mm > least_mm && result.chance < false_alarms) ||
                       !result.proud.empty() || !result.shy.empty();
  const double spread_mm2 = std::pow(result.spread_rms_mm, 2);
  result.scatter_found = result.scatter_rms_mm > least_mm &&
                         (!(scans.copy_mm2 > 0) ||
                          chance_of_f(spread_mm2 / scans.copy_mm2, found.places * (copies_ - 1),
                                      noise_freedom) < false_alarms);
  if (result.mould_found || result.scatter_found) {
    const bool mould = result.mould_found &&
                       (!result.scatter_found || result.mould_rms_mm >= result.scatter_rms_mm);
    result.verdict = mould ? CopiesVerdict::mould : CopiesVerdict::scatter;
  }
  return result;
}

}  // namespace trueblank::symmetry
