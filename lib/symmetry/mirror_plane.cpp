// SPDX-License-Identifier: GPL-3.0-or-later
//
// The whole search runs in the body's own principal axes about its centroid, the long axis first,
// so that a body turned or moved gives the same steps; lengths are compared with its size only.
#include "symmetry/mirror_plane.h"

#include <Eigen/Eigenvalues>
#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "symmetry/coarse_mesh.h"
#include "symmetry/gap_field.h"
#include "symmetry/gap_sample.h"
#include "symmetry/plane_evidence.h"
#include "symmetry/plane_refinement.h"

namespace trueblank::symmetry {
namespace {

constexpr double kPerDegree = std::numbers::pi / 180;
// Planes nearer than this to one another are one.
constexpr double kOnePlaneDeg = 3;
// A sharp plane is clearly better than those turned this far from it.
constexpr double kSharpDeg = 8;
// Hints may be up to 45° off.
constexpr double kMostHintOffDeg = 45 + 1e-6;
// A turn about the long axis that is less sure than this (one standard deviation) is left open.
constexpr double kMostTiltDeg = 3.3;
// How far the two sides must agree on what fixes the turn, where no plane is sharp.
constexpr double kLeastAgreement = 0.75;
constexpr int kRoughFacets = 16000;
constexpr int kCoarsePoints = 192;
constexpr int kMiddlePoints = 1500;
constexpr int kEvidencePoints = 1000;
// Up to this many vertices the last rounds run on all of them, beyond on as many even points.
constexpr int kFinePoints = 40000;
constexpr std::size_t kMostStarts = 32;
constexpr std::size_t kMostRefined = 10;
constexpr std::size_t kMostListed = 6;

struct Found {
  Plane plane;
  double score_mm2 = 0;  // mean of the squared gaps, cut at a common size
  Gaps gaps;             // at the points by which it was scored
};

double angle_deg(const Vec3& one_normal, const Vec3& other_normal) {
  return std::atan2(one_normal.cross(other_normal).norm(), std::abs(one_normal.dot(other_normal))) /
         kPerDegree;
}

Plane turned(const Plane& plane, const Vec3& axis, double degrees) {
  const Vec3 normal = Eigen::AngleAxisd(degrees * kPerDegree, axis) * plane.normal;
  return {normal.normalized(), plane.offset_mm};
}

// The third moments of the skin choose the ends of the principal axes, so that a turned copy of a
// body is worked through the same way; where they vanish either end will do.
Vec3 lean(const geometry::ClosedMesh& body) {
  Vec3 third = Vec3::Zero();
  for (int f = 0; f < body.facet_count(); ++f) {
    const Vec3 a = body.corner(f, 0);
    const Vec3 b = body.corner(f, 1);
    const Vec3 c = body.corner(f, 2);
    const Vec3 middle = (a + b + c) / 3;
    third += (b - a).cross(c - a).norm() * middle.cwiseProduct(middle).cwiseProduct(middle);
  }
  return third;
}

// A body in its principal axes about its centroid: x the long axis, y the middle one, z the last.
struct Principally {
  geometry::Frame frame;
  geometry::ClosedMesh body;
  bool as_wide_as_high = false;  // the spreads across the long axis are within a fifth
};

Principally principally(const geometry::ClosedMesh& body, const geometry::Moments& whole) {
  const geometry::Principal axes = geometry::principal(whole.spread_mm5);
  geometry::Frame frame;
  frame.origin_mm = whole.centroid_mm;
  frame.x = axes.axes.col(2);
  frame.y = axes.axes.col(1);
  frame.z = frame.x.cross(frame.y);
  const Vec3 third = lean(frame.to_body(body));
  if (third.x() < 0) frame.x = -frame.x;
  if (third.y() < 0) frame.y = -frame.y;
  frame.z = frame.x.cross(frame.y);
  return {frame, frame.to_body(body), axes.values[0] > 0.8 * axes.values[1]};
}

class Search {
 public:
  Search(const Principally& at, std::span<const std::uint8_t> facet_measured,
         const MirrorOptions& options, const geometry::ParallelFor& loop);

  [[nodiscard]] MirrorFit run();

 private:
  [[nodiscard]] std::vector<Vec3> start_normals() const;
  [[nodiscard]] bool admitted(const Vec3& normal) const;
  [[nodiscard]] std::vector<Plane> from_starts() const;
  [[nodiscard]] std::vector<Plane> all_refined(int rounds) const;
  void collect(const std::vector<Plane>& planes, const MeasuredSkin& skin,
               const SkinPoints& points);
  void score(std::vector<Found>& found, const MeasuredSkin& skin, const SkinPoints& points) const;
  [[nodiscard]] Plane refined(const Plane& start, const SkinPoints& points, int rounds,
                              const Freedom& free = {}) const;
  [[nodiscard]] Plane roughly_refined(const Plane& start, int rounds,
                                      const Freedom& free = {}) const;
  [[nodiscard]] RefineOptions options_for(int rounds, const Freedom& free) const;
  [[nodiscard]] bool is_sharp(const Found& found) const;
  [[nodiscard]] bool beats_all_others(const Found& best) const;
  [[nodiscard]] double off_hints_deg(const Plane& plane) const;
  [[nodiscard]] const Found* nearest_to_hints();
  [[nodiscard]] std::optional<Plane> sure_though_not_sharp() const;
  [[nodiscard]] Plane finely_refined(const Plane& start) const;
  [[nodiscard]] const Found* first_sharp() const;
  [[nodiscard]] bool turn_is_sure(const Plane& plane, bool sharp) const;
  [[nodiscard]] Plane with_back_exact() const;
  [[nodiscard]] std::vector<Candidate> candidates(const std::optional<Plane>& chosen) const;

  const Principally& at_;
  const MirrorOptions& options_;
  const geometry::ParallelFor& loop_;
  MeasuredSkin skin_;
  CoarseMesh rough_;  // for the first steps
  MeasuredSkin rough_skin_;
  double size_mm_ = 0;
  SkinPoints coarse_;
  SkinPoints middle_;
  SkinPoints fine_;
  SkinPoints few_;
  double least_gap_mm_ = 0;
  std::optional<Vec3> nose_;  // of unit length, in the principal axes
  std::optional<Vec3> back_;
  std::optional<Vec3> spanned_normal_;  // of the plane that nose and back span
  std::vector<Found> found_;
};

double size_of(const geometry::ClosedMesh& body) {
  const Vec3 low = body.positions_mm().rowwise().minCoeff();
  const Vec3 high = body.positions_mm().rowwise().maxCoeff();
  return (high - low).maxCoeff() / 2;
}

// Gaps that are not clear: what the facets stand off the skin, and what rounding leaves.
double least_gap_mm(const MeasuredSkin& skin, double size_mm) {
  return std::max(skin.facetting_mm(), 1e-9 * size_mm);
}

Search::Search(const Principally& at, std::span<const std::uint8_t> facet_measured,
               const MirrorOptions& options, const geometry::ParallelFor& loop)
    : at_(at),
      options_(options),
      loop_(loop),
      skin_(at.body.mesh(), facet_measured, loop),
      rough_(coarse_mesh(at.body.mesh(), facet_measured, kRoughFacets)),
      rough_skin_(rough_.mesh, rough_.facet_measured, loop),
      size_mm_(size_of(at.body)),
      coarse_(skin_.even(kCoarsePoints)),
      middle_(skin_.even(kMiddlePoints)),
      fine_(at.body.vertex_count() <= kFinePoints ? skin_.vertices() : skin_.even(kFinePoints)),
      few_(skin_.even(kEvidencePoints)),
      least_gap_mm_(least_gap_mm(skin_, size_mm_)) {
  const geometry::Mat3 to_own = at.frame.axes().transpose();
  if (options.nose) nose_ = (to_own * *options.nose).normalized();
  if (options.back) back_ = (to_own * *options.back).normalized();
  if (nose_ && back_) {
    // A nose that roughly lies along the long axis means that axis, which is known better.
    const bool along = std::abs(nose_->x()) >= std::numbers::sqrt2 / 2;
    const Vec3 normal = (along ? Vec3(Vec3::UnitX()) : *nose_).cross(*back_);
    if (normal.norm() > 1e-6) spanned_normal_ = normal.normalized();
  }
}

// Turns about the long axis, an even spread of all directions (a Fibonacci spiral over half the
// sphere), and the plane that the hints span.
std::vector<Vec3> Search::start_normals() const {
  std::vector<Vec3> normals;
  constexpr int kTurns = 24;
  for (int i = 0; i < kTurns; ++i) {
    const double turn = std::numbers::pi * i / kTurns;
    normals.emplace_back(0, std::cos(turn), std::sin(turn));
  }
  constexpr int kSpread = 64;
  for (int i = 0; i < kSpread; ++i) {
    const double x = (i + 0.5) / kSpread;
    const double turn = 2 * std::numbers::pi * i / std::numbers::phi;
    const double across = std::sqrt(1 - x * x);
    normals.emplace_back(x, across * std::cos(turn), across * std::sin(turn));
  }
  std::erase_if(normals, [&](const Vec3& normal) { return !admitted(normal); });
  if (spanned_normal_) normals.push_back(*spanned_normal_);
  return normals;
}

bool Search::admitted(const Vec3& normal) const {
  if (spanned_normal_ && angle_deg(normal, *spanned_normal_) <= 45) return true;
  const Vec3 along = nose_ ? *nose_ : Vec3(Vec3::UnitX());
  return std::abs(normal.dot(along)) < std::numbers::sqrt2 / 2;
}

RefineOptions Search::options_for(int rounds, const Freedom& free) const {
  RefineOptions how;
  how.robust = true;
  how.free = free;
  how.size_mm = size_mm_;
  how.most_rounds = rounds;
  how.last_step = 1e-6;
  return how;
}

Plane Search::refined(const Plane& start, const SkinPoints& points, int rounds,
                      const Freedom& free) const {
  return refine(skin_, points, start, options_for(rounds, free), geometry::serial_for).plane;
}

// Far from a good plane the mirrored points lie far from the skin, where a fine mesh is slow.
Plane Search::roughly_refined(const Plane& start, int rounds, const Freedom& free) const {
  return refine(rough_skin_, coarse_, start, options_for(rounds, free), geometry::serial_for).plane;
}

std::vector<Plane> Search::from_starts() const {
  const std::vector<Vec3> normals = start_normals();
  std::vector<Found> starts;
  for (const Vec3& normal : normals) starts.push_back({{normal, 0}, 0, {}});
  score(starts, rough_skin_, coarse_);
  std::stable_sort(starts.begin(), starts.end(),
                   [](const Found& a, const Found& b) { return a.score_mm2 < b.score_mm2; });
  std::vector<Plane> planes;
  for (const Found& start : starts) {
    const bool hinted = spanned_normal_ && angle_deg(start.plane.normal, *spanned_normal_) < 20;
    if (planes.size() < kMostStarts || hinted) planes.push_back(start.plane);
  }
  loop_(static_cast<int>(planes.size()), [&](int i) {
    Plane& plane = planes[static_cast<std::size_t>(i)];
    plane = roughly_refined(plane, 7);
  });
  return planes;
}

void Search::score(std::vector<Found>& found, const MeasuredSkin& skin,
                   const SkinPoints& points) const {
  loop_(static_cast<int>(found.size()), [&](int i) {
    Found& one = found[static_cast<std::size_t>(i)];
    one.gaps = gaps(skin, points, one.plane, geometry::serial_for);
  });
  double least_middle = -1;
  for (const Found& one : found) {
    std::vector<double> sizes;
    for (std::size_t i = 0; i < one.gaps.signed_mm.size(); ++i) {
      if (one.gaps.counted[i] != 0) sizes.push_back(std::abs(one.gaps.signed_mm[i]));
    }
    if (sizes.empty()) continue;
    const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
    std::nth_element(sizes.begin(), middle, sizes.end());
    if (least_middle < 0 || *middle < least_middle) least_middle = *middle;
  }
  const double most_mm = std::max(3 * 1.4826 * least_middle, 1e-3 * size_mm_);
  for (Found& one : found) {
    double sum = 0;
    double count = 0;
    for (std::size_t i = 0; i < one.gaps.signed_mm.size(); ++i) {
      if (one.gaps.counted[i] == 0) continue;
      const double gap = std::min(std::abs(one.gaps.signed_mm[i]), most_mm);
      sum += gap * gap;
      count += 1;
    }
    one.score_mm2 = count > 0 ? sum / count : most_mm * most_mm;
  }
}

// Keeps the best of each cluster of like planes.
void Search::collect(const std::vector<Plane>& planes, const MeasuredSkin& skin,
                     const SkinPoints& points) {
  std::vector<Found> all;
  for (const Plane& plane : planes) {
    if (admitted(plane.normal)) all.push_back({plane, 0, {}});
  }
  score(all, skin, points);
  std::stable_sort(all.begin(), all.end(),
                   [](const Found& a, const Found& b) { return a.score_mm2 < b.score_mm2; });
  found_.clear();
  for (Found& one : all) {
    const bool known = std::any_of(found_.begin(), found_.end(), [&](const Found& kept) {
      return angle_deg(kept.plane.normal, one.plane.normal) < kOnePlaneDeg;
    });
    if (!known) found_.push_back(std::move(one));
  }
}

bool Search::is_sharp(const Found& found) const {
  Vec3 across = found.plane.normal.cross(Vec3::UnitX());
  if (across.norm() < 1e-6) return false;
  across.normalize();
  const Vec3 along = across.cross(found.plane.normal);
  const PlaneEvidence evidence(few_, found.plane, found.gaps, least_gap_mm_);
  for (const double degrees : {-kSharpDeg, kSharpDeg}) {
    const Plane rolled = roughly_refined(turned(found.plane, along, degrees), 4, {.turn = false});
    if (!evidence.clearly_worse(gaps(skin_, few_, rolled, loop_))) return false;
    const Plane yawed = roughly_refined(turned(found.plane, across, degrees), 4, {.yaw = false});
    if (!evidence.clearly_worse(gaps(skin_, few_, yawed, loop_))) return false;
  }
  return true;
}

bool Search::beats_all_others(const Found& best) const {
  const PlaneEvidence evidence(few_, best.plane, best.gaps, least_gap_mm_);
  for (const Found& other : found_) {
    if (angle_deg(other.plane.normal, best.plane.normal) <= kSharpDeg) continue;
    if (!evidence.clearly_worse(other.gaps)) return false;
  }
  for (int turn = 15; turn < 180; turn += 15) {
    const Plane other =
        roughly_refined(turned(best.plane, Vec3::UnitX(), turn), 4, {.turn = false});
    if (!evidence.clearly_worse(gaps(skin_, few_, other, loop_))) return false;
  }
  return true;
}

double Search::off_hints_deg(const Plane& plane) const {
  if (spanned_normal_) return angle_deg(plane.normal, *spanned_normal_);
  return std::asin(std::min(1.0, std::abs(plane.normal.dot(*back_)))) / kPerDegree;
}

const Found* Search::nearest_to_hints() {
  std::stable_sort(found_.begin(), found_.end(), [&](const Found& a, const Found& b) {
    return off_hints_deg(a.plane) < off_hints_deg(b.plane);
  });
  // A plane further off holds another back.
  for (const Found& found : found_) {
    if (off_hints_deg(found.plane) <= kMostHintOffDeg && is_sharp(found)) return &found;
  }
  return nullptr;
}

// A shape may fix the turn about a local best by thousands of points of which no few tell it from
// planes 8° off: the one that the back means is taken where its own doubt is small and both sides
// tell of the shape that fixes it.
std::optional<Plane> Search::sure_though_not_sharp() const {
  if (found_.empty() || off_hints_deg(found_.front().plane) > kMostHintOffDeg) return std::nullopt;
  const Plane plane = finely_refined(found_.front().plane);
  if (off_hints_deg(plane) > kMostHintOffDeg || !turn_is_sure(plane, false)) return std::nullopt;
  return plane;
}

Plane Search::finely_refined(const Plane& start) const {
  RefineOptions how;
  how.robust = options_.kernel == Kernel::robust;
  how.size_mm = size_mm_;
  how.most_rounds = 30;
  how.last_step = 1e-8;
  how.by_patches = fine_.count() >= 2000;
  return refine(skin_, fine_, start, how, loop_).plane;
}

const Found* Search::first_sharp() const {
  for (const Found& found : found_) {
    if (is_sharp(found)) return &found;
  }
  return nullptr;
}

// Noise that holds together over long distances pulls a nearly round body's plane about as one: the
// plane may be sharp and yet not sure.
bool Search::turn_is_sure(const Plane& plane, bool sharp) const {
  PlaneAxes axes{plane, Vec3::UnitX() - plane.normal.x() * plane.normal, Vec3::Zero(),
                 2 * size_mm_};
  if (!(axes.long_axis.norm() > 0.5)) return sharp;
  axes.long_axis.normalize();
  const GapSample sample = gap_sample(skin_, fine_, plane, loop_);
  const double most = kMostTiltDeg * kPerDegree;
  if (sharp && most_turn_rad(sample, axes) <= most) return true;
  const GapFields fields = gap_fields(sample, axes, loop_);
  const bool sure = fields.plane_covariance(0, 0) <= most * most;
  if (sharp) return sure;
  const double turned_mm = kSharpDeg * kPerDegree * std::sqrt(fields.turn_mm2_per_rad2);
  return sure && fields.plane_covariance(1, 1) <= most * most &&
         fields.turn_agreement >= kLeastAgreement && turned_mm > least_gap_mm_;
}

Plane Search::with_back_exact() const {
  const Vec3 normal = Vec3::UnitX().cross(*back_).normalized();
  return refined({normal, 0}, fine_, 30, {.turn = false, .yaw = false});
}

std::vector<Plane> Search::all_refined(int rounds) const {
  std::vector<Plane> planes;
  for (const Found& found : found_) planes.push_back(found.plane);
  if (spanned_normal_) planes.emplace_back(Plane{*spanned_normal_, 0});
  loop_(static_cast<int>(planes.size()), [&](int i) {
    Plane& plane = planes[static_cast<std::size_t>(i)];
    plane = refined(plane, middle_, rounds);
  });
  return planes;
}

std::vector<Candidate> Search::candidates(const std::optional<Plane>& chosen) const {
  std::vector<Candidate> list;
  if (chosen) list.push_back({*chosen, 0});
  for (const Found& found : found_) {
    if (list.size() >= kMostListed) break;
    if (chosen && angle_deg(found.plane.normal, chosen->normal) < kOnePlaneDeg) continue;
    list.push_back({found.plane, 0});
  }
  for (std::size_t k = 0; k < list.size(); ++k) {
    Candidate& candidate = list[k];
    const SkinPoints& points = chosen && k > 0 ? middle_ : fine_;
    const Gaps off = gaps(skin_, points, candidate.plane, loop_);
    double sum = 0;
    double area = 0;
    for (std::size_t i = 0; i < off.signed_mm.size(); ++i) {
      if (off.counted[i] == 0) continue;
      sum += points.weights[i] * off.signed_mm[i] * off.signed_mm[i];
      area += points.weights[i];
    }
    candidate.rms_mm = area > 0 ? std::sqrt(sum / area) : 0.0;
  }
  std::stable_sort(list.begin(), list.end(),
                   [](const Candidate& a, const Candidate& b) { return a.rms_mm < b.rms_mm; });
  return list;
}

MirrorFit Search::run() {
  collect(from_starts(), rough_skin_, coarse_);
  if (found_.size() > kMostRefined) found_.resize(kMostRefined);
  collect(all_refined(7), skin_, few_);
  if (found_.size() > kMostListed) found_.resize(kMostListed);
  collect(all_refined(20), skin_, few_);

  MirrorFit fit;
  const Found* chosen = back_ ? nearest_to_hints() : first_sharp();
  fit.round = chosen == nullptr && at_.as_wide_as_high;
  if (!back_ && chosen != nullptr) {
    const bool is_best = chosen == &found_.front();
    if (!is_best || !beats_all_others(*chosen)) chosen = nullptr;
  }
  fit.well_determined = chosen != nullptr;
  if (chosen != nullptr) {
    fit.plane = finely_refined(chosen->plane);
    fit.from = PlaneFrom::shape;
    if (!turn_is_sure(*fit.plane, true)) {
      fit.plane = std::nullopt;
      fit.well_determined = false;
      fit.round = at_.as_wide_as_high;
    }
  } else if (back_) {
    fit.plane = sure_though_not_sharp();
    fit.well_determined = fit.plane.has_value();
    fit.round = fit.round && !fit.plane;
  }
  if (!fit.plane && back_ && std::abs(back_->x()) < 0.99) {  // else it says nothing of the turn
    fit.plane = with_back_exact();
    fit.from = PlaneFrom::back;
  }
  fit.candidates = candidates(fit.plane);
  return fit;
}

Plane to_file(const Plane& own, const geometry::Frame& frame) {
  const Vec3 normal = frame.axes() * own.normal;
  return {normal, own.offset_mm + normal.dot(frame.origin_mm)};
}

Plane through(const std::array<Vec3, 3>& points) {
  const Vec3 normal = (points[1] - points[0]).cross(points[2] - points[0]).normalized();
  return {normal, normal.dot((points[0] + points[1] + points[2]) / 3)};
}

std::optional<Plane> through_eyes(const MirrorOptions& options) {
  if (!options.eyes || !options.back) return std::nullopt;
  const auto& [nose, tail] = *options.eyes;
  const Vec3 wire = tail - nose;
  const Vec3 normal = wire.cross(*options.back);
  constexpr double kAlong = 0.02;  // about a degree
  if (!(normal.norm() > kAlong * wire.norm() * options.back->norm())) return std::nullopt;
  return Plane{normal.normalized(), normal.normalized().dot((nose + tail) / 2)};
}

}  // namespace

MirrorFit fit_mirror(const geometry::ClosedMesh& body, std::span<const std::uint8_t> facet_measured,
                     const MirrorOptions& options, const geometry::ParallelFor& loop) {
  const geometry::Moments whole = geometry::moments(body);
  const Principally at = principally(body, whole);
  Search search(at, facet_measured, options, loop);
  MirrorFit fit = search.run();
  if (fit.plane) fit.plane = to_file(*fit.plane, at.frame);
  for (Candidate& candidate : fit.candidates) candidate.plane = to_file(candidate.plane, at.frame);
  if (options.given) {
    fit.plane = options.given;
    fit.from = PlaneFrom::given;
  } else if (options.split_line) {
    fit.plane = through(*options.split_line);
    fit.from = PlaneFrom::split_line;
  } else if (const std::optional<Plane> plane = through_eyes(options)) {
    fit.plane = plane;
    fit.from = PlaneFrom::split_line;
  }
  fit.long_axis = fit.plane ? long_axis_within(whole, *fit.plane) : at.frame.x;
  return fit;
}

Vec3 long_axis_within(const geometry::Moments& whole, const Plane& plane) {
  const Vec3 one = plane.normal.unitOrthogonal();
  const Vec3 other = plane.normal.cross(one);
  const Vec3 spread_one = whole.spread_mm5 * one;
  const Vec3 spread_other = whole.spread_mm5 * other;
  // Half the angle of the greatest spread in the plane.
  const double turn =
      0.5 * std::atan2(2 * one.dot(spread_other), one.dot(spread_one) - other.dot(spread_other));
  return (std::cos(turn) * one + std::sin(turn) * other).normalized();
}

}  // namespace trueblank::symmetry
