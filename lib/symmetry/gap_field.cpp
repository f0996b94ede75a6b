// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/gap_field.h"

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <Eigen/Geometry>
#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <utility>

#include "symmetry/gap_points.h"

namespace trueblank::symmetry {
namespace {

constexpr int kWidths = 8;
// What is each point's own (rounding, flat facets, what noise does that is no field), of the
// field's variance.
constexpr std::array<double, 5> kOwnShares = {1e-5, 1e-4, 1e-3, 1e-2, 3e-2};
constexpr std::array<double, 2> kOwnSharesOfTwo = {1e-4, 1e-2};
// A smooth field leaves next to nothing between neighbours, and a likelihood that is told gaps to
// the last digit reads its whole size from what little that is. So gaps are taken for known to
// this part of the variance between neighbours only.
constexpr double kBlur = 0.3;
// Two fields are told apart where they are likelier than one by e to this.
constexpr double kClearlyTwo = 4;
constexpr std::array<double, 6> kNarrowShares = {0.003, 0.03, 0.15, 0.5, 0.85, 0.97};

// What a kernel that rejects flaws costs against least squares: for normal noise and this kernel's
// width 1.03 where gaps are independent. More where they hold together, for a wave is half taken
// for a flaw. Measured on simulated scans: 1.15 covers narrow fields, 1.4 those that hold together
// over a fifteenth of the length and more.
constexpr double kRobustCost = 1.15;
constexpr double kRobustCostWide = 1.4;
constexpr double kWideShare = 1.0 / 15;

// The least part of a motion's squares that is taken for the shape's.
constexpr double kLeastShape = 0.02;

// Squares of the distances of all pairs, straight and over the plane.
struct Distances {
  Eigen::MatrixXd straight_mm2;
  Eigen::MatrixXd over_mm2;  // empty where there is no plane

  explicit Distances(const Folded& at) {
    const Eigen::Matrix3Xd& p = at.positions_mm;
    const Eigen::Index n = p.cols();
    straight_mm2.resize(n, n);
    if (at.mirrored) over_mm2.resize(n, n);
    for (Eigen::Index j = 0; j < n; ++j) {
      for (Eigen::Index i = 0; i < n; ++i) {
        const double along = (p.col(i) - p.col(j)).head<2>().squaredNorm();
        const double off = p(2, i) - p(2, j);
        const double across = p(2, i) + p(2, j);
        straight_mm2(i, j) = along + off * off;
        if (at.mirrored) over_mm2(i, j) = along + across * across;
      }
    }
  }

  // ρ(|p−q|) − ρ(|p−R(q)|), without a plane the first alone.
  [[nodiscard]] Eigen::MatrixXd correlation(double width_mm) const {
    const double k = -0.5 / (width_mm * width_mm);
    if (over_mm2.size() == 0) return (straight_mm2.array() * k).exp();
    return (straight_mm2.array() * k).exp() - (over_mm2.array() * k).exp();
  }
};

struct Model {
  double narrow_mm = 0;
  double wide_mm = 0;
  double narrow_share = 0;  // of the variance; 0: the wide field alone
  double own_share = 0;     // beside the variance
  double log_likelihood = 0;
  double variance_mm2 = 0;  // of a gap far from the plane: twice that of a skin
};

// The restricted likelihood with the variance at its best, in the mean over independent errors of
// variance `blur_mm2` in each gap.
void judge(const Folded& at, double blur_mm2, const Eigen::MatrixXd& correlation, Model& model) {
  const Eigen::Index n = at.gaps_mm.size();
  Eigen::MatrixXd own = correlation;
  own.diagonal().array() += model.own_share;
  const Eigen::LLT<Eigen::MatrixXd> factor(own);
  model.log_likelihood = -1e300;
  if (factor.info() != Eigen::Success) return;
  const Eigen::VectorXd y = factor.matrixL().solve(at.gaps_mm);
  const Eigen::MatrixXd x = factor.matrixL().solve(Eigen::MatrixXd(at.rows));
  const geometry::Mat3 normal = x.transpose() * x;
  const Eigen::LLT<geometry::Mat3> small(normal);
  if (small.info() != Eigen::Success) return;
  const Vec3 right = x.transpose() * y;
  // P = V⁻¹ − V⁻¹X(XᵀV⁻¹X)⁻¹XᵀV⁻¹: gᵀPg + blur·tr P.
  const Eigen::MatrixXd root = factor.matrixL().solve(Eigen::MatrixXd::Identity(n, n));
  const Eigen::MatrixXd back = root.transpose() * x;
  const double trace =
      root.squaredNorm() - small.solve(geometry::Mat3(back.transpose() * back)).trace();
  const double rest = y.squaredNorm() - right.dot(small.solve(right)) + blur_mm2 * trace;
  if (!(rest > 0)) return;
  const double freedom = static_cast<double>(n - 3);
  const Eigen::MatrixXd& packed = factor.matrixLLT();
  double log_determinant = 0;
  for (Eigen::Index i = 0; i < n; ++i) log_determinant += 2 * std::log(packed(i, i));
  log_determinant += std::log(normal.determinant());
  model.variance_mm2 = rest / freedom;
  model.log_likelihood = -0.5 * (log_determinant + freedom * std::log(rest));
}

class Likelihood {
 public:
  Likelihood(Folded at, double blur_mm2, double least_mm, double most_mm,
             const geometry::ParallelFor& loop);

  [[nodiscard]] const std::vector<Model>& models() const { return models_; }

  [[nodiscard]] const std::vector<double>& widths_mm() const { return widths_mm_; }

  /// The likeliest, with widths and shares between those of the list.
  [[nodiscard]] Model likeliest() const;

  [[nodiscard]] double expected_over_found(const Model& model) const;

 private:
  void list_models();
  [[nodiscard]] Eigen::MatrixXd correlation(const Model& model) const;
  [[nodiscard]] Model polished(const Model& from) const;

  Folded at_;
  double blur_mm2_ = 0;
  Distances distances_;
  double least_mm_ = 0;
  double most_mm_ = 0;
  std::vector<double> widths_mm_;
  std::vector<Model> models_;
};

Likelihood::Likelihood(Folded at, double blur_mm2, double least_mm, double most_mm,
                       const geometry::ParallelFor& loop)
    : at_(std::move(at)),
      blur_mm2_(blur_mm2),
      distances_(at_),
      least_mm_(least_mm),
      most_mm_(most_mm) {
  for (int k = 0; k < kWidths; ++k) {
    widths_mm_.push_back(least_mm * std::pow(most_mm / least_mm, k / (kWidths - 1.0)));
  }
  list_models();
  std::vector<Eigen::MatrixXd> correlations(kWidths);
  loop(kWidths, [&](int k) {
    const std::size_t at_width = static_cast<std::size_t>(k);
    correlations[at_width] = distances_.correlation(widths_mm_[at_width]);
  });
  loop(static_cast<int>(models_.size()), [&](int i) {
    Model& model = models_[static_cast<std::size_t>(i)];
    const auto place = [&](double width) {
      return static_cast<std::size_t>(std::find(widths_mm_.begin(), widths_mm_.end(), width) -
                                      widths_mm_.begin());
    };
    if (model.narrow_share > 0) {
      judge(at_, blur_mm2_,
            model.narrow_share * correlations[place(model.narrow_mm)] +
                (1 - model.narrow_share) * correlations[place(model.wide_mm)],
            model);
    } else {
      judge(at_, blur_mm2_, correlations[place(model.wide_mm)], model);
    }
  });
}

void Likelihood::list_models() {
  for (std::size_t wide = 0; wide < kWidths; ++wide) {
    for (const double own : kOwnShares) {
      models_.push_back({.wide_mm = widths_mm_[wide], .own_share = own});
    }
    for (std::size_t narrow = 0; narrow + 1 < wide; ++narrow) {
      for (const double share : kNarrowShares) {
        for (const double own : kOwnSharesOfTwo) {
          models_.push_back({.narrow_mm = widths_mm_[narrow],
                             .wide_mm = widths_mm_[wide],
                             .narrow_share = share,
                             .own_share = own});
        }
      }
    }
  }
}

Eigen::MatrixXd Likelihood::correlation(const Model& model) const {
  if (!(model.narrow_share > 0)) return distances_.correlation(model.wide_mm);
  return model.narrow_share * distances_.correlation(model.narrow_mm) +
         (1 - model.narrow_share) * distances_.correlation(model.wide_mm);
}

// With the plane's motions taken out by least squares: tr(C − X(XᵀX)⁻¹XᵀC) over the squares left.
double Likelihood::expected_over_found(const Model& model) const {
  Eigen::MatrixXd field = correlation(model);
  field.diagonal().array() += model.own_share;
  field *= model.variance_mm2;
  const geometry::Mat3 inverse = (at_.rows.transpose() * at_.rows).inverse();
  const Vec3 motion = inverse * (at_.rows.transpose() * at_.gaps_mm);
  const double found = (at_.gaps_mm - at_.rows * motion).squaredNorm();
  const geometry::Mat3 taken = inverse * (at_.rows.transpose() * (field * at_.rows));
  return found > 0 ? (field.trace() - taken.trace()) / found : 1.0;
}

// One number after the other by shorter and shorter steps.
Model Likelihood::polished(const Model& from) const {
  Model best = from;
  double step = std::log(most_mm_ / least_mm_) / (kWidths - 1) / 2;
  constexpr int kRounds = 4;
  for (int round = 0; round < kRounds; ++round, step /= 2) {
    for (const double sign : {-1.0, 1.0}) {
      const double by = std::exp(sign * step);
      std::vector<Model> tries(2, best);
      tries[0].wide_mm *= by;
      tries[1].own_share = std::min(kOwnShares.back(), best.own_share * by * by);
      if (best.narrow_share > 0) {
        tries.resize(4, best);
        tries[2].narrow_mm *= by;
        const double odds = best.narrow_share / (1 - best.narrow_share) * by * by;
        tries[3].narrow_share = odds / (1 + odds);
      }
      for (Model& one : tries) {
        judge(at_, blur_mm2_, correlation(one), one);
        if (one.log_likelihood > best.log_likelihood) best = one;
      }
    }
  }
  return best;
}

Model Likelihood::likeliest() const {
  const auto best_of = [&](bool two) {
    Model best;
    best.log_likelihood = -1e300;
    for (const Model& model : models_) {
      if ((model.narrow_share > 0) == two && model.log_likelihood > best.log_likelihood) {
        best = model;
      }
    }
    return polished(best);
  };
  const Model one = best_of(false);
  const Model two = best_of(true);
  return two.log_likelihood > one.log_likelihood + kClearlyTwo ? two : one;
}

// Jᵀ ρ J over even points, each a blob of its own area: standard deviation half the root of the
// area, so that blobs on a grid add up to an even cover. The blob's mean of a field of width w has
// the correlation w²/(w²+2s²)·exp(−d²/2(w²+2s²)) on a plane.
geometry::Mat3 pull(const Folded& even, const Distances& distances, double point_mm2,
                    double width_mm) {
  const double blob = 2 * 0.25 * point_mm2;
  const double wider = std::sqrt(width_mm * width_mm + blob);
  const double share = width_mm * width_mm / (wider * wider);
  const Rows right = distances.correlation(wider) * even.rows;
  return share * (even.rows.transpose() * right);
}

double robust_cost(double width_mm, double length_mm) {
  const double wide = std::min(1.0, width_mm / std::max(kWideShare * length_mm, 1e-300));
  return kRobustCost + (kRobustCostWide - kRobustCost) * wide;
}

// The inverse of the shape's squares. Of a motion that the two sides don't agree on next to nothing
// is known; it keeps a small part of its squares, so that its doubt is great, not endless.
geometry::Mat3 inverse_of_shape(const Folded& even) {
  geometry::Mat3 squares = even.rows.transpose() * even.rows;
  const Vec3 least = 1e-12 * squares.diagonal() + Vec3::Constant(1e-300);
  squares.diagonal() += least;
  const Eigen::GeneralizedSelfAdjointEigenSolver<geometry::Mat3> solver(even.shape_squares(),
                                                                        squares);
  const Vec3 shares = solver.eigenvalues().cwiseMax(kLeastShape).cwiseMin(1.0);
  const geometry::Mat3& v = solver.eigenvectors();  // vᵀ·squares·v = 1
  return v * shares.cwiseInverse().asDiagonal() * v.transpose();
}

geometry::Mat3 plane_covariance(const Likelihood& likelihood, const Folded& even, double point_mm2,
                                double vertex_mm2, double length_mm,
                                const geometry::ParallelFor& loop) {
  const Distances distances(even);
  const std::vector<double>& widths = likelihood.widths_mm();
  std::vector<geometry::Mat3> pulls(widths.size());
  loop(static_cast<int>(widths.size()), [&](int k) {
    const std::size_t i = static_cast<std::size_t>(k);
    // Each vertex holds one draw at least.
    const double width = std::sqrt(widths[i] * widths[i] + vertex_mm2 / (2 * std::numbers::pi));
    const double cost = robust_cost(widths[i], length_mm);
    pulls[i] = cost * cost * pull(even, distances, point_mm2, width);
  });
  const auto pull_of = [&](double width) -> const geometry::Mat3& {
    return pulls[static_cast<std::size_t>(std::find(widths.begin(), widths.end(), width) -
                                          widths.begin())];
  };
  const std::vector<Model>& models = likelihood.models();
  double most = -1e300;
  double singles = 0;
  for (const Model& model : models) {
    most = std::max(most, model.log_likelihood);
    if (!(model.narrow_share > 0)) singles += 1;
  }
  const double pairs = static_cast<double>(models.size()) - singles;
  double whole = 0;
  geometry::Mat3 sum = geometry::Mat3::Zero();
  for (const Model& model : models) {
    const bool two = model.narrow_share > 0;
    const double weight = std::exp(model.log_likelihood - most) / (two ? pairs : singles);
    whole += weight;
    geometry::Mat3 one = (1 - model.narrow_share) * pull_of(model.wide_mm);
    if (two) one += model.narrow_share * pull_of(model.narrow_mm);
    sum += weight * model.variance_mm2 * one;
  }
  const geometry::Mat3 inverse = inverse_of_shape(even);
  return inverse * (sum / whole) * inverse;
}

// The variance between neighbours along the skin, by the median: half the square of their
// difference.
double variance_between_neighbours_mm2(const GapSample& sample, const std::vector<int>& sound) {
  std::vector<double> steps;
  for (std::size_t i = 0; i + 1 < sound.size(); ++i) {
    steps.push_back(std::abs(sample.gaps_mm[static_cast<std::size_t>(sound[i + 1])] -
                             sample.gaps_mm[static_cast<std::size_t>(sound[i])]));
  }
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
  std::nth_element(steps.begin(), middle, steps.end());
  return 0.5 * std::pow(1.4826 * *middle, 2);
}

// What a likelihood hangs on beside its points.
struct Scales {
  double whole_mm2 = 0;
  double vertex_mm2 = 0;
  double least_mm = 0;
  double blur_mm2 = 0;
};

// Nothing where there are too few gaps, or none but rounding.
std::optional<Scales> scales_of(const GapSample& sample, const std::vector<int>& sound,
                                double length_mm) {
  constexpr std::size_t kLeast = 24;
  if (sound.size() < kLeast) return std::nullopt;
  double squares = 0;
  for (const int i : sound) squares += std::pow(sample.gaps_mm[static_cast<std::size_t>(i)], 2);
  const double rounding_mm = 1e-9 * length_mm;
  if (squares <= static_cast<double>(sound.size()) * rounding_mm * rounding_mm) {
    return std::nullopt;
  }
  Scales scales;
  scales.whole_mm2 = area_mm2(sample, sound);
  scales.vertex_mm2 = scales.whole_mm2 / static_cast<double>(sound.size());
  scales.least_mm = std::max(0.5 * std::sqrt(scales.vertex_mm2), 0.001 * length_mm);
  scales.blur_mm2 = kBlur * variance_between_neighbours_mm2(sample, sound);
  return scales;
}

GapFields fields_of(const Likelihood& likelihood, const Scales& scales) {
  GapFields result;
  const Model best = likelihood.likeliest();
  result.expected_over_found = likelihood.expected_over_found(best);
  const double one_skin = best.variance_mm2 / 2;
  const double own_mm2 = best.own_share * best.variance_mm2 - scales.blur_mm2;
  result.own = {std::sqrt(std::max(0.0, own_mm2) / 2), scales.least_mm};
  if (best.narrow_share > 0) {
    result.likeliest.push_back({std::sqrt(one_skin * best.narrow_share), best.narrow_mm});
  }
  result.likeliest.push_back({std::sqrt(one_skin * (1 - best.narrow_share)), best.wide_mm});
  return result;
}

}  // namespace

GapFields gap_fields_of_two(const GapSample& sample, const Vec3& middle_mm, double length_mm,
                            const geometry::ParallelFor& loop) {
  const std::vector<int> sound = sound_points(sample);
  const std::optional<Scales> scales = scales_of(sample, sound, length_mm);
  if (!scales) return {};
  const Likelihood likelihood(not_folded(sample, likelihood_points(sample, sound), middle_mm),
                              scales->blur_mm2, scales->least_mm, 0.7 * length_mm, loop);
  return fields_of(likelihood, *scales);
}

GapFields gap_fields(const GapSample& sample, const PlaneAxes& axes,
                     const geometry::ParallelFor& loop) {
  const std::vector<int> sound = sound_points(sample);
  const std::optional<Scales> scales = scales_of(sample, sound, axes.length_mm);
  if (!scales) return {};
  const double whole_mm2 = scales->whole_mm2;
  const double vertex_mm2 = scales->vertex_mm2;
  const Likelihood likelihood(folded(sample, likelihood_points(sample, sound), axes),
                              scales->blur_mm2, scales->least_mm, 0.7 * axes.length_mm, loop);
  GapFields result = fields_of(likelihood, *scales);

  const std::vector<int> even = even_points(sample, sound);
  const double point_mm2 = 0.5 * whole_mm2 / static_cast<double>(even.size());
  const Folded at_even = folded(sample, even, axes);
  result.plane_covariance =
      plane_covariance(likelihood, at_even, point_mm2, vertex_mm2, axes.length_mm, loop);
  result.turn_agreement = turn_agreement(at_even);
  result.turn_mm2_per_rad2 = at_even.shape_squares()(0, 0) / static_cast<double>(even.size());
  return result;
}

double most_turn_rad(const GapSample& sample, const PlaneAxes& axes) {
  const std::vector<int> sound = sound_points(sample);
  const Folded even = folded(sample, even_points(sample, sound), axes);
  if (even.gaps_mm.size() == 0) return 0;
  // What of the turn's rows the two other motions can't make up for.
  const double alone = 1 / inverse_of_shape(even)(0, 0);
  return alone > 0 ? kRobustCostWide * std::sqrt(even.gaps_mm.squaredNorm() / alone)
                   : std::numbers::pi;
}

}  // namespace trueblank::symmetry
