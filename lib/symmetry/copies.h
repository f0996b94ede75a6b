// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "geometry/parallel.h"
#include "symmetry/comparison.h"

// Many copies of one master: what they have in common is the mould's, what differs from copy to
// copy is the scatter.
namespace trueblank::symmetry {

struct SpreadPrior;

/// What the copies' differences are put down to.
enum class CopiesVerdict {
  neither,  ///< what is there may be noise or chance
  mould,    ///< most of it is the same in all copies
  scatter   ///< most of it differs from copy to copy
};

/// A patch of the mean copy that is more than noise and chance.
struct MouldPatch {
  Patch patch;           ///< of the mean copy; signs are the copies': proud is > 0
  double mean_mm = 0;    ///< area-weighted
  double spread_mm = 0;  ///< likewise, root of the mean variance between copies, noise and all
  double copies = 0;     ///< likewise, that measured it
  /// One-sample t of a place of it: mean·√copies/spread, the spread drawn towards that of all
  /// places (Smyth 2004), since a few copies' own says little; the mean holds over all of the
  /// patch, so it is surer than t says. Nothing where the copies are alike to the last digit.
  std::optional<double> t = {};
  double chance = 0;  ///< of such a t somewhere on the body by scatter alone
};

struct CopiesResult {
  int copies = 0;
  /// A vertex of the master each; > 0 where the copies are proud. 0 where none was measured.
  std::vector<double> mean_mm;
  std::vector<double> spread_mm;  ///< one standard deviation from copy to copy; 0 of less than two
  std::vector<int> counts;        ///< how many copies measured it
  double mean_rms_mm = 0;    ///< over the area that two copies and more measured, noise and all
  double spread_rms_mm = 0;  ///< pooled: root of the area-weighted mean variance
  /// What scans put into each, one standard deviation: the mean's holds the master's own noise,
  /// which is the same in all, and 1/√n of the copies'.
  double mean_noise_mm = 0;
  double spread_noise_mm = 0;
  double mould_rms_mm = 0;    ///< of the mean with noise and the scatter's share taken off
  double scatter_rms_mm = 0;  ///< of the spread with noise taken off
  /// Dempster's F over a few hundred even places: Σ mean² over Σ (spread²/n + the master's own
  /// noise²), with its degrees of freedom (fewer than there are places, as those nearby say alike),
  /// and how likely chance makes one as great. Nothing where there is none: fewer than two copies,
  /// or copies that are alike to the last digit.
  std::optional<double> F = {};
  double freedom_above = 0;
  double freedom_below = 0;
  double chance = 1;
  /// Chance is under 1 in 200 over all places, and it is no mere rounding; or a patch is found.
  bool mould_found = false;
  bool scatter_found = false;  ///< likewise, by F of the spread over the copies' noise
  CopiesVerdict verdict = CopiesVerdict::neither;  ///< the greater one of what was found
  std::vector<MouldPatch> proud;                   ///< by falling volume
  std::vector<MouldPatch> shy;
};

/// Adds up copies one after the other: count, mean and spread at each vertex of the master, and the
/// products of the deviations at a few hundred places; never a copy itself.
///
/// What the flat facets of a copy stand off a smooth skin (DeviationField::facets_mm) is taken off.
///
/// memory  some 20 bytes a vertex of the master and half a megabyte, however many copies
/// source  mean and spread: B. P. Welford, Technometrics 4, 419-420, 1962; F: A. P. Dempster, Ann.
///         Math. Statist. 29, 995-1010, 1958, and Biometrics 16, 41-50, 1960; its degrees of
///         freedom: Z. Bai, H. Saranadasa, Statistica Sinica 6, 311-329, 1996; t: Student,
///         Biometrika 6, 1-25, 1908, moderated: G. K. Smyth, Stat. Appl. Genet. Mol. Biol. 3(1),
///         2004
class Copies {
 public:
  /// master  kept by reference; in its body frame
  explicit Copies(const ComparisonSkin& master);

  /// One copy's. The order has a say in the last digits: add in the order in which the copies were
  /// given, whichever was done first.
  ///
  /// master_onto_copy  the master's deviation from the copy, as compared() gives it (> 0: the
  ///                   master is proud)
  /// noise             of the two together
  void add(const DeviationField& master_onto_copy, const ScanNoise& noise);

  /// Of all that were added so far. Where a copy did not measure a place it has no say there.
  ///
  /// threads  the same bytes whatever `loop` does
  [[nodiscard]] CopiesResult result(const geometry::ParallelFor& loop = geometry::serial_for) const;

 private:
  struct Noise;
  struct Test;

  void add_products(const DeviationField& field);
  [[nodiscard]] DeviationField mean_field() const;
  [[nodiscard]] Noise noise(const DeviationField& mean, const geometry::ParallelFor& loop) const;
  [[nodiscard]] Test test(const Noise& noise) const;
  void add_sizes(CopiesResult& result) const;
  void add_patches(const DeviationField& mean, const Noise& noise, double places,
                   CopiesResult& result, const geometry::ParallelFor& loop) const;
  [[nodiscard]] SpreadPrior prior() const;
  [[nodiscard]] std::optional<MouldPatch> mould_patch(Patch patch, double places,
                                                      const SpreadPrior& prior) const;

  const ComparisonSkin& master_;
  std::vector<int> counts_;
  std::vector<double> means_mm_;
  std::vector<double> squares_mm2_;  ///< about the mean
  std::vector<int> places_;          ///< vertices, even over the measured skin
  Eigen::MatrixXd products_mm2_;     ///< at the places, about their means, of copies that have both
  Eigen::MatrixXi pairs_;            ///< how many copies have both
  Eigen::MatrixXd pair_means_mm_;    ///< of the row's place over those copies
  double noise_mm2_ = 0;             ///< sum of the copies' 2·sigma²
  double correlation_mm_ = 0;        ///< mean, weighed by it
  int copies_ = 0;
};

}  // namespace trueblank::symmetry
