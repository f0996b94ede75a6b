// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/alignment_doubt.h"

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace trueblank::symmetry {
namespace {

constexpr int kEven = 700;   // points for what a field does to the pose
constexpr int kSpread = 84;  // points of the likelihood, even over the skin
constexpr int kNear = 56;    // and as many of them have a neighbour, at many distances
constexpr double kFlaw = 4;  // standard deviations
constexpr double kNoisePerMedian = 1.4826;  // of a normal distribution
// Gaps are taken for known to this part of the variance between neighbours only: a smooth field
// leaves next to nothing there, and its size would be read from the last digits.
constexpr double kBlur = 0.3;
constexpr int kWidths = 7;
constexpr double kWidest = 0.7;  // of the length
// Of the field's variance, what is each point's own.
constexpr std::array<double, 3> kOwnShares = {1e-3, 1e-2, 0.1};
constexpr std::array<double, 4> kNarrowShares = {0.03, 0.2, 0.5, 0.85};
constexpr double kOwnOfTwo = 3e-3;
// What a kernel that rejects flaws costs against least squares, as for the mirror plane.
constexpr double kRobustCost = 1.15;
constexpr double kRobustCostWide = 1.4;
constexpr double kWideShare = 1.0 / 15;
// The least part of a motion's squares that is taken for the shape's.
constexpr double kLeastShape = 0.02;

struct Model {
  int narrow = -1;  // of the widths; −1: the wide field alone
  int wide = 0;
  double narrow_share = 0;
  double own_share = 0;
  double log_likelihood = -1e300;
  double variance_mm2 = 0;
};

std::vector<Model> all_models() {
  std::vector<Model> models;
  for (int wide = 0; wide < kWidths; ++wide) {
    for (const double own : kOwnShares) models.push_back({.wide = wide, .own_share = own});
    for (int narrow = 0; narrow + 1 < wide; ++narrow) {
      for (const double share : kNarrowShares) {
        models.push_back({narrow, wide, share, kOwnOfTwo});
      }
    }
  }
  return models;
}

Eigen::MatrixXd distances_mm2(const Eigen::Matrix3Xd& p) {
  Eigen::MatrixXd result(p.cols(), p.cols());
  for (Eigen::Index j = 0; j < p.cols(); ++j) {
    result.col(j) = (p.colwise() - p.col(j)).colwise().squaredNorm().transpose();
  }
  return result;
}

Eigen::MatrixXd correlation(const Eigen::MatrixXd& mm2, double width_mm) {
  return (mm2.array() * (-0.5 / (width_mm * width_mm))).exp();
}

// A design with columns that tell nothing new would make the likelihood's determinant nil.
Eigen::MatrixXd independent_columns(const Eigen::MatrixXd& design) {
  const Eigen::VectorXd norms = design.colwise().norm().cwiseMax(1e-300).transpose();
  const Eigen::MatrixXd even = design * norms.cwiseInverse().asDiagonal();
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(even.transpose() * even);
  constexpr double kNothingNew = 1e-5;
  Eigen::Index first = 0;
  while (first + 1 < design.cols() && solver.eigenvalues()[first] < kNothingNew) ++first;
  return even * solver.eigenvectors().rightCols(design.cols() - first);
}

// The restricted likelihood with the variance at its best, in the mean over independent errors of
// variance `blur_mm2` in each gap.
void judge(const Eigen::VectorXd& gaps, const Eigen::MatrixXd& design, double blur_mm2,
           const Eigen::MatrixXd& field, Model& model) {
  Eigen::MatrixXd own = field;
  own.diagonal().array() += model.own_share;
  const Eigen::LLT<Eigen::MatrixXd> factor(own);
  if (factor.info() != Eigen::Success) return;
  const Eigen::VectorXd y = factor.matrixL().solve(gaps);
  const Eigen::MatrixXd x = factor.matrixL().solve(design);
  const Eigen::LLT<Eigen::MatrixXd> small(x.transpose() * x);
  if (small.info() != Eigen::Success) return;
  const Eigen::VectorXd right = x.transpose() * y;
  // P = V⁻¹ − V⁻¹X(XᵀV⁻¹X)⁻¹XᵀV⁻¹: gᵀPg + blur·tr P.
  const Eigen::MatrixXd root =
      factor.matrixL().solve(Eigen::MatrixXd::Identity(gaps.size(), gaps.size()));
  const Eigen::MatrixXd back = root.transpose() * x;
  const double trace = root.squaredNorm() - small.solve(back.transpose() * back).trace();
  const double rest = y.squaredNorm() - right.dot(small.solve(right)) + blur_mm2 * trace;
  if (!(rest > 0)) return;
  const double freedom = static_cast<double>(gaps.size() - design.cols());
  double log_determinant = 0;
  for (Eigen::Index i = 0; i < gaps.size(); ++i) {
    log_determinant += 2 * std::log(factor.matrixLLT()(i, i));
  }
  for (Eigen::Index i = 0; i < design.cols(); ++i) {
    log_determinant += 2 * std::log(small.matrixLLT()(i, i));
  }
  model.variance_mm2 = rest / freedom;
  model.log_likelihood = -0.5 * (log_determinant + freedom * std::log(rest));
}

std::vector<std::size_t> sound(const std::vector<PairGap>& gaps) {
  std::vector<double> sizes;
  for (const PairGap& gap : gaps) {
    if (gap.weight() > 0) sizes.push_back(std::abs(gap.along_mm));
  }
  if (sizes.empty()) return {};
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  const double most_mm = kFlaw * kNoisePerMedian * *middle;
  std::vector<std::size_t> list;
  for (std::size_t i = 0; i < gaps.size(); ++i) {
    if (gaps[i].weight() > 0 && std::abs(gaps[i].along_mm) <= most_mm) list.push_back(i);
  }
  return list;
}

std::vector<std::size_t> every(const std::vector<std::size_t>& list, int count) {
  std::vector<std::size_t> some;
  const std::size_t wanted = std::min(list.size(), static_cast<std::size_t>(count));
  for (std::size_t i = 0; i < wanted; ++i)
    some.push_back(list[(2 * i + 1) * list.size() / (2 * wanted)]);
  return some;
}

// Even over the skin, and neighbours along the path from the next point to halfway to the next
// even one.
std::vector<std::size_t> likelihood_points(const std::vector<std::size_t>& list) {
  std::vector<std::size_t> places;
  for (int i = 0; i < kSpread; ++i) {
    places.push_back(static_cast<std::size_t>(2 * i + 1) * list.size() / (2 * kSpread));
  }
  const double gap = std::max(1.0, static_cast<double>(list.size()) / (2.0 * kSpread));
  for (int i = 0; i < kNear; ++i) {
    const std::size_t even = places[static_cast<std::size_t>(i * kSpread / kNear)];
    const auto on = static_cast<std::size_t>(std::lround(std::pow(gap, (i % 8) / 7.0)));
    places.push_back(std::min(list.size() - 1, even + on));
  }
  std::sort(places.begin(), places.end());
  places.erase(std::unique(places.begin(), places.end()), places.end());
  for (std::size_t& place : places) place = list[place];
  return places;
}

// The variance between neighbours along the skin, by the median: half the square of their
// difference.
double variance_between_neighbours_mm2(const std::vector<PairGap>& gaps,
                                       const std::vector<std::size_t>& list) {
  std::vector<double> steps;
  for (std::size_t i = 0; i + 1 < list.size(); ++i) {
    steps.push_back(std::abs(gaps[list[i + 1]].along_mm - gaps[list[i]].along_mm));
  }
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
  std::nth_element(steps.begin(), middle, steps.end());
  return 0.5 * std::pow(kNoisePerMedian * *middle, 2);
}

struct Sample {
  Eigen::Matrix3Xd at_mm;
  Eigen::VectorXd gaps_mm;
  Eigen::MatrixXd body_rows;   // N×9, as the body's normals tell them
  Eigen::MatrixXd other_rows;  // and as the other's do
  Eigen::MatrixXd rows;        // the mean
};

Sample sampled(const std::vector<PairGap>& gaps, const std::vector<std::size_t>& list,
               const Vec3& about_mm, const Vec3& factors) {
  const Eigen::Index count = static_cast<Eigen::Index>(list.size());
  Sample sample{Eigen::Matrix3Xd(3, count),
                Eigen::VectorXd(count),
                Eigen::MatrixXd(count, 9),
                Eigen::MatrixXd(count, 9),
                {}};
  for (Eigen::Index i = 0; i < count; ++i) {
    const PairGap& gap = gaps[list[static_cast<std::size_t>(i)]];
    sample.at_mm.col(i) = gap.at_mm;
    sample.gaps_mm[i] = gap.along_mm;
    sample.body_rows.row(i) = gap_row(gap.at_mm, gap.body_normal, about_mm, factors).transpose();
    sample.other_rows.row(i) = gap_row(gap.at_mm, gap.other_normal, about_mm, factors).transpose();
  }
  sample.rows = 0.5 * (sample.body_rows + sample.other_rows);
  return sample;
}

// By how much the other would have to grow along x, y and z (shares), by least squares with the
// six motions and an even offset.
Eigen::Vector3d growing(const Sample& even) {
  Eigen::MatrixXd design(even.rows.rows(), 10);
  design << even.rows, Eigen::VectorXd::Ones(even.rows.rows());
  const Eigen::VectorXd norms = design.colwise().norm().cwiseMax(1e-300).transpose();
  design = design * norms.cwiseInverse().asDiagonal();
  Eigen::MatrixXd left = design.transpose() * design;
  left.diagonal().array() += 1e-9;
  const Eigen::VectorXd found =
      norms.cwiseInverse().asDiagonal() * left.ldlt().solve(design.transpose() * even.gaps_mm);
  return found.segment<3>(6);
}

double robust_cost(double width_mm, double length_mm) {
  const double wide = std::min(1.0, width_mm / (kWideShare * length_mm));
  return kRobustCost + (kRobustCostWide - kRobustCost) * wide;
}

}  // namespace

AlignmentEvidence::AlignmentEvidence(const std::vector<PairGap>& gaps, const Vec3& about_mm,
                                     const Vec3& factors, double length_mm,
                                     const geometry::ParallelFor& loop) {
  const std::vector<std::size_t> list = sound(gaps);
  constexpr std::size_t kLeast = 60;
  if (list.size() < kLeast) return;
  const Sample even = sampled(gaps, every(list, kEven), about_mm, factors);
  squares_ = even.rows.transpose() * even.rows;
  const Square products = even.body_rows.transpose() * even.other_rows;
  shape_ = 0.5 * (products + products.transpose());
  const double points = static_cast<double>(even.gaps_mm.size());
  const Eigen::VectorXd ones = Eigen::VectorXd::Ones(even.gaps_mm.size());
  const double offset_mm = even.gaps_mm.mean();
  const Eigen::Matrix<double, 9, 1> offset_pull = offset_mm * (even.rows.transpose() * ones);
  pulled_ = offset_pull * offset_pull.transpose();
  const double rounding_mm = 1e-9 * length_mm;
  const double rest_mm2 = (even.gaps_mm.array() - offset_mm).square().sum() / points;
  if (rest_mm2 <= rounding_mm * rounding_mm) return;

  double area_mm2 = 0;
  for (const std::size_t i : list) area_mm2 += gaps[i].area_mm2;
  const double least_mm =
      std::max(0.5 * std::sqrt(area_mm2 / static_cast<double>(list.size())), 0.001 * length_mm);
  std::array<double, kWidths> widths{};
  for (int k = 0; k < kWidths; ++k) {
    widths[static_cast<std::size_t>(k)] =
        least_mm * std::pow(kWidest * length_mm / least_mm, k / (kWidths - 1.0));
  }
  const Sample few = sampled(gaps, likelihood_points(list), about_mm, factors);
  // How a skin grows depends on where its points lie, their own noise with it: a wide field could
  // take the growing for the noise. So growing is taken off, and only turns and shifts, which go by
  // the normals alone, are left to the likelihood.
  const Eigen::Vector3d grown = growing(even);
  const Eigen::VectorXd few_gaps_mm = few.gaps_mm - few.rows.rightCols<3>() * grown;
  Eigen::MatrixXd design(few.rows.rows(), 7);
  design << few.rows.leftCols<6>(), Eigen::VectorXd::Ones(few.rows.rows());
  design = independent_columns(design);
  const double blur_mm2 = kBlur * variance_between_neighbours_mm2(gaps, list);
  const Eigen::MatrixXd few_mm2 = distances_mm2(few.at_mm);
  const Eigen::MatrixXd even_mm2 = distances_mm2(even.at_mm);
  std::array<Eigen::MatrixXd, kWidths> fields;
  std::array<Square, kWidths> pulls;
  // A point stands for a blob of its area: standard deviation half its root. On a plane the blob's
  // mean of a field of width w has the correlation w²/(w²+2s²)·exp(−d²/2(w²+2s²)).
  const double blob_mm2 = 0.5 * area_mm2 / points;
  loop(kWidths, [&](int k) {
    const std::size_t i = static_cast<std::size_t>(k);
    fields[i] = correlation(few_mm2, widths[i]);
    const double wider = std::sqrt(widths[i] * widths[i] + blob_mm2);
    const double share = std::pow(widths[i] / wider, 2);
    const double cost = robust_cost(widths[i], length_mm);
    pulls[i] =
        cost * cost * share * (even.rows.transpose() * (correlation(even_mm2, wider) * even.rows));
  });
  std::vector<Model> models = all_models();
  loop(static_cast<int>(models.size()), [&](int m) {
    Model& model = models[static_cast<std::size_t>(m)];
    const Eigen::MatrixXd& wide = fields[static_cast<std::size_t>(model.wide)];
    if (model.narrow < 0) {
      judge(few_gaps_mm, design, blur_mm2, wide, model);
    } else {
      judge(few_gaps_mm, design, blur_mm2,
            model.narrow_share * fields[static_cast<std::size_t>(model.narrow)] +
                (1 - model.narrow_share) * wide,
            model);
    }
  });
  double most = -1e300;
  double singles = 0;
  for (const Model& model : models) {
    most = std::max(most, model.log_likelihood);
    if (model.narrow < 0) singles += 1;
  }
  const double pairs = static_cast<double>(models.size()) - singles;
  double whole = 0;
  Square sum = Square::Zero();
  for (const Model& model : models) {
    const double weight =
        std::exp(model.log_likelihood - most) / (model.narrow < 0 ? singles : pairs);
    whole += weight;
    Square one = (1 - model.narrow_share) * pulls[static_cast<std::size_t>(model.wide)];
    if (model.narrow >= 0) {
      one += model.narrow_share * pulls[static_cast<std::size_t>(model.narrow)];
    }
    // What is each point's own.
    one += model.own_share * kRobustCost * kRobustCost * squares_ * points /
           static_cast<double>(list.size());
    sum += weight * model.variance_mm2 * one;
  }
  pulled_ += sum / whole;
}

Eigen::MatrixXd AlignmentEvidence::covariance(const Eigen::MatrixXd& basis) const {
  Eigen::MatrixXd squares = basis.transpose() * squares_ * basis;
  const Eigen::MatrixXd shape = basis.transpose() * shape_ * basis;
  squares.diagonal() +=
      1e-12 * squares.diagonal() + Eigen::VectorXd::Constant(basis.cols(), 1e-300);
  const Eigen::GeneralizedSelfAdjointEigenSolver<Eigen::MatrixXd> solver(shape, squares);
  const Eigen::VectorXd shares = solver.eigenvalues().cwiseMax(kLeastShape).cwiseMin(1.0);
  const Eigen::MatrixXd& v = solver.eigenvectors();  // vᵀ·squares·v = 1
  const Eigen::MatrixXd inverse = v * shares.cwiseInverse().asDiagonal() * v.transpose();
  return inverse * (basis.transpose() * pulled_ * basis) * inverse;
}

}  // namespace trueblank::symmetry
