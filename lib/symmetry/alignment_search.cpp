// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/alignment_search.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

#include "geometry/moments.h"
#include "symmetry/alignment_doubt.h"
#include "symmetry/alignment_pair.h"
#include "symmetry/alignment_rough.h"

namespace trueblank::symmetry {
namespace {

using geometry::Mat3;

constexpr int kFewPoints = 300;
constexpr int kSomePoints = 1500;
constexpr int kManyPoints = 20000;
constexpr int kPoses = 6;
constexpr double kReachShare = 0.02;  // of the length
constexpr double kReachPerNoise = 10;
constexpr double kAlikePerNoise = 4;
constexpr double kFacing = 0.5;  // cosine
constexpr double kElsewhereDeg = 20;
constexpr double kElsewhereShare = 0.1;  // of the length
// A pose explains both bodies where so much of each is compared: no more is looked for.
constexpr double kWhole = 0.95;
// Mirrored only where that leaves so little of what is left else, and by more than rounding.
constexpr double kClearlyBetter = 0.7;
constexpr double kLeastBetter = 1e-6;  // of the length
// Bodies whose sizes differ by no more are not taken for scaled ones before they are aligned.
constexpr double kLikeSizes = 1.3;
constexpr double kScaledIsBetter = 0.5;
constexpr double kOpenFactor = 0.1;
constexpr double kUnitsWithin = 0.03;
// One standard deviation of a turn of which nothing is known.
constexpr double kOpenTurn = std::numbers::pi / std::numbers::sqrt3;

struct Points {
  SkinPoints body;
  SkinPoints other;
};

struct Judged {
  double compared = 0;  // of the area
  double alike = 0;
  double mean_mm = 0;     // of the distances, none counted for more than the reach
  double square_mm2 = 0;  // likewise
  double rms_mm = 0;      // of what was compared
};

Judged judged(const std::vector<PairGap>& gaps, double reach_mm, double alike_mm) {
  Judged sum;
  double area = 0;
  double squares = 0;
  for (const PairGap& gap : gaps) {
    area += gap.area_mm2;
    const bool opposite = gap.met && gap.alike > kFacing && gap.distance_mm <= reach_mm;
    const double far_mm = opposite ? gap.distance_mm : reach_mm;
    sum.mean_mm += gap.area_mm2 * far_mm;
    sum.square_mm2 += gap.area_mm2 * far_mm * far_mm;
    if (!opposite) continue;
    sum.compared += gap.area_mm2;
    squares += gap.area_mm2 * far_mm * far_mm;
    if (gap.distance_mm <= alike_mm) sum.alike += gap.area_mm2;
  }
  if (sum.compared > 0) sum.rms_mm = std::sqrt(squares / sum.compared);
  if (!(area > 0)) return sum;
  sum.compared /= area;
  sum.alike /= area;
  sum.mean_mm /= area;
  sum.square_mm2 /= area;
  return sum;
}

struct Candidate {
  Pose pose;
  double cost_mm = 0;  // the mean of both skins
  Judged of_other;
  Judged of_body;

  [[nodiscard]] bool mirrors() const { return pose.turn.determinant() < 0; }

  [[nodiscard]] bool explains_both() const {
    return of_other.compared >= kWhole && of_body.compared >= kWhole;
  }
};

double between_deg(const Mat3& one, const Mat3& other) {
  const double cosine = 0.5 * ((one * other.transpose()).trace() - 1);
  return std::acos(std::clamp(cosine, -1.0, 1.0)) * 180 / std::numbers::pi;
}

class Search {
 public:
  Search(const AlignmentSkin& body, const AlignmentSkin& other, const Vec3& about_mm,
         bool fit_scale, const geometry::ParallelFor& loop)
      : body_(body), other_(other), loop_(loop), fit_scale_(fit_scale) {
    how_.about_mm = about_mm;
    how_.size_mm = 0.5 * body.length_mm();
    reach_mm_ = kReachShare * body.length_mm();
    few_ = points(kFewPoints);
    some_ = points(kSomePoints);
  }

  // All poses found, the best first.
  [[nodiscard]] std::vector<Candidate> poses(double grow, bool mirrored_too, FreeSize size) const;

  [[nodiscard]] Candidate refined(const Candidate& from, const Points& on, FreeSize size,
                                  int rounds) const;
  [[nodiscard]] Candidate judge(const Pose& pose, const Points& on) const;

  [[nodiscard]] Points points(int count) const {
    return {body_.skin().even(count), other_.skin().even(count)};
  }

  [[nodiscard]] const Points& some() const { return some_; }

  [[nodiscard]] Pair pair(const Points& on) const {
    return {body_, on.body, other_, on.other, loop_};
  }

  [[nodiscard]] double reach_mm() const { return reach_mm_; }

  [[nodiscard]] const Vec3& about_mm() const { return how_.about_mm; }

  [[nodiscard]] FreeSize size() const { return fit_scale_ ? FreeSize::uniform : FreeSize::none; }

  [[nodiscard]] bool elsewhere(const Pose& one, const Pose& other) const;
  // However the other is spun about the body's long axis, it fits as well.
  [[nodiscard]] bool spins(const Candidate& best) const;

 private:
  [[nodiscard]] std::vector<Candidate> all_refined(const std::vector<Pose>& starts,
                                                   FreeSize size) const;
  // Turned by half a circle about each of the body's axes, or mirrored in them, about its middle.
  [[nodiscard]] std::vector<Pose> turned_over(const Pose& pose, bool mirrored) const;

  const AlignmentSkin& body_;
  const AlignmentSkin& other_;
  const geometry::ParallelFor& loop_;
  bool fit_scale_ = false;
  PairOptions how_;
  double reach_mm_ = 0;
  Points few_;
  Points some_;
};

Candidate Search::judge(const Pose& pose, const Points& on) const {
  Pair::Gaps gaps;
  pair(on).measure(pose, gaps);
  Candidate result;
  result.pose = pose;
  result.of_other = judged(gaps.of_other, reach_mm_, 0);
  result.of_body = judged(gaps.of_body, reach_mm_, 0);
  result.cost_mm = 0.5 * (result.of_other.mean_mm + result.of_body.mean_mm);
  return result;
}

Candidate Search::refined(const Candidate& from, const Points& on, FreeSize size,
                          int rounds) const {
  PairOptions how = how_;
  how.size = size;
  how.most_rounds = rounds;
  return judge(pair(on).refined(from.pose, how), on);
}

std::vector<Candidate> Search::all_refined(const std::vector<Pose>& starts, FreeSize size) const {
  constexpr int kRounds = 10;
  constexpr double kStepPerNoise = 3e-2;  // of few points no more is known
  std::vector<Candidate> list(starts.size());
  const geometry::ParallelFor alone = geometry::serial_for;
  PairOptions how = how_;
  how.size = size;
  how.most_rounds = kRounds;
  how.step_per_noise = kStepPerNoise;
  loop_(static_cast<int>(starts.size()), [&](int i) {
    const std::size_t at = static_cast<std::size_t>(i);
    const Pair on_few(body_, few_.body, other_, few_.other, alone);
    Candidate& one = list[at];
    one.pose = on_few.refined(starts[at], how);
    Pair::Gaps gaps;
    on_few.measure(one.pose, gaps);
    one.of_other = judged(gaps.of_other, reach_mm_, 0);
    one.of_body = judged(gaps.of_body, reach_mm_, 0);
    one.cost_mm = 0.5 * (one.of_other.mean_mm + one.of_body.mean_mm);
  });
  return list;
}

std::vector<Pose> Search::turned_over(const Pose& pose, bool mirrored) const {
  std::vector<Mat3> by;
  const Mat3& axes = body_.axes();
  for (int k = 0; k < 3; ++k) {
    const Mat3 half = 2 * axes.col(k) * axes.col(k).transpose() - Mat3::Identity();
    by.push_back(mirrored ? Mat3(-half) : half);
  }
  if (mirrored) {
    by.push_back(-Mat3::Identity());
    by.push_back(Vec3(1, -1, 1).asDiagonal());
  }
  std::vector<Pose> list;
  for (const Mat3& turn : by) {
    Pose turned = pose;
    turned.turn = turn * pose.turn;
    turned.shift_mm = turn * (pose.shift_mm - body_.middle_mm()) + body_.middle_mm();
    list.push_back(turned);
  }
  return list;
}

std::vector<Candidate> Search::poses(double grow, bool mirrored_too, FreeSize size) const {
  const RoughSkin body(body_, 1, loop_);
  const RoughSkin other(other_, grow, loop_);
  std::vector<Candidate> found;
  const auto look = [&](bool mirrored, bool along) {
    std::vector<Pose> starts;
    const RoughSearch how{.mirrored = mirrored, .along = along, .most = kPoses};
    for (const RoughPose& rough : rough_poses(body, other, grow, how, loop_)) {
      starts.push_back(rough.pose);
    }
    for (const Candidate& one : all_refined(starts, size)) found.push_back(one);
    std::stable_sort(found.begin(), found.end(), [](const Candidate& one, const Candidate& two) {
      return one.cost_mm < two.cost_mm;
    });
  };
  look(false, false);
  if (mirrored_too) look(true, false);
  if (!found.front().explains_both()) {
    look(false, true);
    const Candidate& best = found.front();
    const bool explains_one = std::max(best.of_other.compared, best.of_body.compared) >= kWhole;
    if (mirrored_too && !explains_one) look(true, true);
  }
  // A lure is nearly its own mirror image, and nearly alike turned over: what was missed.
  const Candidate best = found.front();
  std::vector<Pose> more = turned_over(best.pose, false);
  if (mirrored_too || best.mirrors()) {
    for (const Pose& pose : turned_over(best.pose, true)) more.push_back(pose);
  }
  for (const Candidate& one : all_refined(more, size)) found.push_back(one);
  std::stable_sort(found.begin(), found.end(), [](const Candidate& one, const Candidate& two) {
    return one.cost_mm < two.cost_mm;
  });
  return found;
}

bool Search::elsewhere(const Pose& one, const Pose& other) const {
  const Vec3 amid = other_.middle_mm();
  return between_deg(one.turn, other.turn) > kElsewhereDeg ||
         (one(amid) - other(amid)).norm() > kElsewhereShare * body_.length_mm();
}

bool Search::spins(const Candidate& best) const {
  constexpr int kSpins = 7;
  constexpr double kAsWell = 1.25;
  constexpr double kFlat = 2;  // what flat facets stand off a round skin is no shape
  const Vec3 axis = body_.axes().col(0);
  std::vector<Pose> starts;
  for (int k = 1; k < kSpins; ++k) {
    Pose spun = best.pose;
    const Mat3 by = Eigen::AngleAxisd(2 * std::numbers::pi * k / kSpins, axis).toRotationMatrix();
    spun.turn = by * spun.turn;
    spun.shift_mm = by * (spun.shift_mm - body_.middle_mm()) + body_.middle_mm();
    starts.push_back(spun);
  }
  // Against the best one on the same few points.
  const double least_mm = all_refined({best.pose}, size()).front().cost_mm;
  const double enough_mm =
      kAsWell * least_mm + kFlat * body_.skin().facetting_mm() + 1e-5 * body_.length_mm();
  int held = 0;
  for (const Candidate& one : all_refined(starts, size())) {
    if (one.cost_mm <= enough_mm && elsewhere(one.pose, best.pose)) ++held;
  }
  return held + 2 >= kSpins;
}

// The better of the two hands; mirrored only where that is clearly better.
struct Handed {
  Candidate best;
  std::optional<Candidate> other_hand;
};

bool clearly_better(const Judged& one, const Judged& than, double length_mm) {
  const double rms = std::sqrt(one.square_mm2);
  const double than_rms = std::sqrt(than.square_mm2);
  return rms < kClearlyBetter * than_rms && one.mean_mm < than.mean_mm &&
         than_rms - rms > kLeastBetter * length_mm;
}

// Of two skins that one is asked that is the better covered.
const Judged& asked(const Candidate& one, bool other) { return other ? one.of_other : one.of_body; }

Handed handed(const Search& search, const std::vector<Candidate>& found, FreeSize size,
              double length_mm) {
  constexpr int kRounds = 15;
  // Few points can't tell which of two poses is the better where both are nearly as good: a slender
  // body in rough noise the right way up and over.
  constexpr double kNearlyAsGood = 1.5;
  constexpr int kMostTried = 5;
  const auto best = [&](bool mirrored) {
    std::optional<Candidate> most;
    double first_mm = 0;
    int tried = 0;
    for (const Candidate& one : found) {
      if (one.mirrors() != mirrored) continue;
      if (tried == 0) first_mm = one.cost_mm;
      if (tried == kMostTried || one.cost_mm > kNearlyAsGood * first_mm) break;
      ++tried;
      const Candidate refined = search.refined(one, search.some(), size, kRounds);
      if (!most || refined.cost_mm < most->cost_mm) most = refined;
    }
    return most;
  };
  std::optional<Candidate> plain = best(false);
  std::optional<Candidate> mirrored = best(true);
  if (!mirrored) return {*plain, {}};
  const Candidate& covered = plain->cost_mm <= mirrored->cost_mm ? *plain : *mirrored;
  const bool by_other = covered.of_other.compared >= covered.of_body.compared;
  const bool mirrors =
      clearly_better(asked(*mirrored, by_other), asked(*plain, by_other), length_mm);
  if (mirrors) std::swap(plain, mirrored);
  return {*plain, *mirrored};
}

Eigen::MatrixXd basis(FreeSize size) {
  Eigen::MatrixXd columns = Eigen::MatrixXd::Identity(9, size == FreeSize::none      ? 6
                                                         : size == FreeSize::uniform ? 7
                                                                                     : 9);
  if (size == FreeSize::uniform) columns.col(6).tail<3>().setOnes();
  return columns;
}

std::optional<double> unit_factor(const std::optional<Factor>& size) {
  if (!size) return {};
  for (const double unit : {25.4, 10.0, 100.0, 1000.0, 2.54, 304.8}) {
    for (const double factor : {unit, 1 / unit}) {
      if (std::abs(size->factor / factor - 1) < kUnitsWithin) return factor;
    }
  }
  return {};
}

Motion motion_of(const Pose& pose) {
  Motion motion;
  motion.turn = pose.turn;
  if (motion.turn.determinant() < 0) motion.turn.col(1) = -motion.turn.col(1);
  motion.shift_mm = pose.shift_mm;
  motion.scale = pose.factors.x();
  return motion;
}

double deviation(const Eigen::MatrixXd& covariance, Eigen::Index k) {
  return std::sqrt(std::max(0.0, covariance(k, k)));
}

struct Found {
  std::vector<Candidate> poses;
  double grow = 1;
};

// Bodies of unlike sizes are a part and a whole, or one is scaled: what fits better.
Found found_at_any_size(const Search& search, double ratio, bool mirrored_too) {
  constexpr double kFarFromAlike = 5;
  const double apart = std::max(ratio, 1 / ratio);
  Found found;
  if (apart < kFarFromAlike) {
    found.poses = search.poses(1, mirrored_too, search.size());
    const Candidate& best = found.poses.front();
    if (apart < kLikeSizes || std::max(best.of_other.compared, best.of_body.compared) >= kWhole) {
      return found;
    }
  }
  Found scaled{search.poses(ratio, mirrored_too, FreeSize::uniform), ratio};
  const Candidate& best = scaled.poses.front();
  const bool better =
      found.poses.empty() ||
      (best.explains_both() && best.cost_mm < kScaledIsBetter * found.poses.front().cost_mm);
  return better ? scaled : found;
}

// Of a pose with a scale that was not asked for: the other's middle stays where it is.
Pose at_its_own_size(Pose pose, const Vec3& middle_mm) {
  const Vec3 stays = pose(middle_mm);
  pose.factors = Vec3::Ones();
  pose.shift_mm += stays - pose(middle_mm);
  return pose;
}

AlignmentDoubt doubt_of(const AlignmentEvidence& evidence, const Pose& pose, FreeSize size,
                        const Vec3& at_mm, std::optional<Vec3> open_axis) {
  AlignmentDoubt doubt;
  const Eigen::MatrixXd whole = evidence.covariance(basis(size));
  doubt.at_mm = at_mm;
  doubt.covariance = whole.topLeftCorner<6, 6>();
  if (open_axis) {
    doubt.turn_is_open = true;
    doubt.covariance.topLeftCorner<3, 3>() +=
        kOpenTurn * kOpenTurn * *open_axis * open_axis->transpose();
  }
  for (int k = 0; k < 3; ++k) {
    // No turn is off by more than half a circle.
    doubt.turn_deg[k] =
        std::min(kOpenTurn, deviation(doubt.covariance, k)) * 180 / std::numbers::pi;
    doubt.shift_mm[k] = deviation(doubt.covariance, 3 + k);
  }
  if (size == FreeSize::uniform) doubt.scale = pose.factors.x() * deviation(whole, 6);
  return doubt;
}

std::optional<Factor> told(double factor, double share_sd) {
  if (!(share_sd <= kOpenFactor)) return {};
  return Factor{factor, factor * share_sd};
}

// With the doubt that the fitted pose leaves, or where it says nothing of it, the sized one.
std::optional<Factor> size_of(const Search& search, const Pose& sized,
                              const AlignmentEvidence& evidence, bool tells, double length_mm,
                              const geometry::ParallelFor& loop) {
  const Eigen::MatrixXd columns = basis(FreeSize::uniform);
  if (tells) return told(sized.factors.x(), deviation(evidence.covariance(columns), 6));
  Pair::Gaps gaps;
  search.pair(search.some()).measure(sized, gaps);
  const AlignmentEvidence own(gaps.of_other, search.about_mm(), sized.factors, length_mm, loop);
  return told(sized.factors.x(), deviation(own.covariance(columns), 6));
}

}  // namespace

Eigen::Matrix4d AlignmentFit::matrix() const {
  Eigen::Matrix4d whole = Eigen::Matrix4d::Identity();
  whole.topLeftCorner<3, 3>() = motion.scale * motion.turn;
  if (mirrored) whole.col(1) = -whole.col(1);
  whole.topRightCorner<3, 1>() = motion.shift_mm;
  return whole;
}

namespace {

// Where another pose fits as well as the noise can tell, one is as likely as the other: the doubt
// is that of both together.
void cover_other_poses(AlignmentFit& result, const Search& search,
                       const std::vector<Candidate>& found, const Candidate& best, FreeSize size) {
  constexpr int kRounds = 15;
  constexpr double kWorthATry = 1.2;
  constexpr double kAsGood = 1.05;
  constexpr double kChance = 0.5;
  const Candidate own = search.refined(best, search.some(), size, kRounds);
  double least_mm = kAsGood * own.cost_mm;
  std::optional<Pose> other;
  double first_mm = 0;
  for (const Candidate& one : found) {
    if (first_mm == 0) first_mm = one.cost_mm;
    if (one.cost_mm > kWorthATry * first_mm) break;
    if (one.mirrors() != best.mirrors() || !search.elsewhere(one.pose, best.pose)) continue;
    const Candidate refined = search.refined(one, search.some(), size, kRounds);
    if (!search.elsewhere(refined.pose, best.pose) || refined.cost_mm > least_mm) continue;
    least_mm = refined.cost_mm;
    other = refined.pose;
  }
  if (!other) return;
  AlignmentDoubt& doubt = result.doubt;
  const Eigen::AngleAxisd between(other->turn * best.pose.turn.transpose());
  const Vec3 turn_deg = between.angle() * 180 / std::numbers::pi * between.axis();
  const Vec3 at = best.pose.turn.transpose() * (doubt.at_mm - best.pose.shift_mm);
  const Vec3 shift_mm = (*other)(at)-best.pose(at);
  doubt.another_fits = true;
  doubt.turn_deg =
      (doubt.turn_deg.array().square() + kChance * turn_deg.array().square()).sqrt().matrix();
  doubt.shift_mm =
      (doubt.shift_mm.array().square() + kChance * shift_mm.array().square()).sqrt().matrix();
}

}  // namespace

AlignmentFit fit_alignment(const geometry::ClosedMesh& body,
                           std::span<const std::uint8_t> body_measured,
                           const geometry::ClosedMesh& other,
                           std::span<const std::uint8_t> other_measured,
                           const AlignmentSearchOptions& options,
                           const geometry::ParallelFor& loop) {
  constexpr int kRounds = 12;
  const AlignmentSkin skin(body.mesh(), body_measured, loop);
  const AlignmentSkin other_skin(other.mesh(), other_measured, loop);
  const Vec3 about_mm = geometry::moments(body).centroid_mm;
  const double length_mm = skin.length_mm();
  const Search search(skin, other_skin, about_mm, options.fit_scale, loop);
  const Found found = found_at_any_size(
      search, skin.spread_mm().norm() / other_skin.spread_mm().norm(), options.look_mirrored);
  const FreeSize search_size = found.grow == 1 ? search.size() : FreeSize::uniform;
  Handed best = handed(search, found.poses, search_size, length_mm);

  AlignmentFit result;
  const Candidate sized = search.refined(best.best, search.some(), FreeSize::uniform, kRounds);
  if (found.grow != 1 && !options.fit_scale) {
    best.best.pose = at_its_own_size(best.best.pose, other_skin.middle_mm());
  }
  const Points many = search.points(kManyPoints);
  const double apart = std::max(found.grow, 1 / found.grow);
  constexpr double kWorthFitting = 2;
  if (options.fit_scale || apart < kWorthFitting) {
    best.best = search.refined(best.best, many, search.size(), kRounds);
  }
  const Pose& pose = best.best.pose;
  Pair::Gaps gaps;
  search.pair(many).measure(pose, gaps);
  result.motion = motion_of(pose);
  result.mirrored = best.best.mirrors();
  result.noise_mm = Pair::noise_mm(gaps);
  result.reach_mm = std::max(search.reach_mm(), kReachPerNoise * result.noise_mm);
  const double alike_mm = std::max(kAlikePerNoise * result.noise_mm, 1e-9 * length_mm);
  const Judged of_body = judged(gaps.of_body, result.reach_mm, alike_mm);
  const Judged of_other = judged(gaps.of_other, result.reach_mm, alike_mm);
  result.body = {of_body.compared, of_body.alike};
  result.other = {of_other.compared, of_other.alike};
  const bool by_other = of_other.compared >= of_body.compared;
  result.rms_mm = std::sqrt(by_other ? of_other.square_mm2 : of_body.square_mm2);
  for (const Candidate& one : found.poses) {
    if (one.mirrors() != result.mirrored || !search.elsewhere(one.pose, pose)) continue;
    const double rms_mm = std::sqrt(asked(one, by_other).square_mm2);
    result.runner_up_rms_mm = std::min(result.runner_up_rms_mm.value_or(rms_mm), rms_mm);
  }
  if (best.other_hand) {
    result.other_handed_rms_mm = std::sqrt(asked(*best.other_hand, by_other).square_mm2);
  }

  const AlignmentEvidence evidence(by_other ? gaps.of_other : gaps.of_body, about_mm, pose.factors,
                                   length_mm, loop);
  constexpr double kAboutAsWell = 2;
  const bool might_spin =
      result.runner_up_rms_mm.value_or(1e300) <=
      kAboutAsWell * result.rms_mm + 4 * skin.skin().facetting_mm() + 1e-4 * length_mm;
  const std::optional<Vec3> open_axis = might_spin && search.spins(best.best)
                                            ? std::optional<Vec3>(skin.axes().col(0))
                                            : std::nullopt;
  result.doubt = doubt_of(evidence, pose, search.size(), about_mm, open_axis);
  if (!open_axis && apart < kWorthFitting) {
    cover_other_poses(result, search, found.poses, best.best, search_size);
  }
  result.size = size_of(search, options.fit_scale ? pose : sized.pose, evidence,
                        found.grow == 1 || options.fit_scale, length_mm, loop);
  result.likely_unit_factor = unit_factor(result.size);
  if (options.fit_scale) {
    const Pose stretched = search.refined(best.best, many, FreeSize::along_axes, kRounds).pose;
    const Eigen::MatrixXd whole = evidence.covariance(basis(FreeSize::along_axes));
    result.stretch.emplace();
    for (int k = 0; k < 3; ++k) {
      (*result.stretch)[static_cast<std::size_t>(k)] = {
          stretched.factors[k], stretched.factors[k] * deviation(whole, 6 + k)};
    }
  }
  return result;
}

geometry::ClosedMesh placed(const geometry::ClosedMesh& other, const AlignmentFit& fit) {
  if (!fit.mirrored) {
    return other.moved(fit.motion.turn, fit.motion.shift_mm, fit.motion.scale);
  }
  geometry::TriangleMesh mesh = other.mesh();
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    mesh.positions_mm.col(v) = fit(mesh.positions_mm.col(v));
  }
  const Eigen::RowVectorXi last = mesh.facets.row(2);
  mesh.facets.row(2) = mesh.facets.row(1);
  mesh.facets.row(1) = last;
  // A closed mesh stays one: its edges meet their opposites, and its volume its sign.
  return *geometry::closed_mesh(std::move(mesh));
}

}  // namespace trueblank::symmetry
