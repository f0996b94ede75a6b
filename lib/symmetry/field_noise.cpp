// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/field_noise.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace trueblank::symmetry {
namespace {

// A field is noise where half the skin holds at least so many places that are each their own:
// noise is everywhere, and what shows in fewer places can't be told from shape. A wide field beside
// a narrow one is noise where it is hardly wide at all.
constexpr double kLeastPlaces = 4;
constexpr double kWideNoiseShare = 1.0 / 24;
// True bodies under noise reach 6, and twice that with a bump; two smooth unlike halves, which the
// likeliest field must give high waves in order to have their ridges, lie at 19 and above.
constexpr double kMostExpectedOverFound = 16;
// Where gaps are no random field, what the likeliest one leaves to each point is its misfit and no
// noise, up to this part of the gaps: clean halves of unlike width leave 2 to 5 %.
constexpr double kMostMisfit = 1.0 / 16;

// ∫ρ² over the skin around a place is π·width².
double places(const GapSample& sample, const Field& field) {
  double skin_mm2 = 0;
  for (const double area : sample.areas_mm2) skin_mm2 += area;
  return 0.5 * skin_mm2 / (std::numbers::pi * field.width_mm * field.width_mm);
}

double root_mean_square_gap_mm(const GapSample& sample) {
  double squares = 0;
  double area = 0;
  for (std::size_t i = 0; i < sample.gaps_mm.size(); ++i) {
    squares += sample.areas_mm2[i] * sample.gaps_mm[i] * sample.gaps_mm[i];
    area += sample.areas_mm2[i];
  }
  return area > 0 ? std::sqrt(squares / area) : 0.0;
}

// A slow field's likeliest height hangs on its width and may be several times what there is to see;
// the noise is no higher than the gaps it is read from, or flaws would be lost in it.
Field cut_to_found(Field field, double expected_over_found) {
  field.sigma_mm /= std::sqrt(std::max(1.0, expected_over_found));
  return field;
}

}  // namespace

double NoiseFields::gap_mm2() const {
  double sum = 0;
  for (const Field& field : noise) sum += 2 * field.sigma_mm * field.sigma_mm;
  return sum;
}

const Field& NoiseFields::strongest() const {
  return *std::max_element(noise.begin(), noise.end(),
                           [](const Field& a, const Field& b) { return a.sigma_mm < b.sigma_mm; });
}

NoiseFields noise_fields(const GapFields& fields, const GapSample& sample, double length_mm) {
  const bool random = fields.expected_over_found < kMostExpectedOverFound;
  const bool alone = fields.likeliest.size() == 1;
  NoiseFields result;
  for (std::size_t i = 0; i < fields.likeliest.size(); ++i) {
    const Field& field = fields.likeliest[i];
    const bool hardly_wide = field.width_mm <= kWideNoiseShare * length_mm;
    if (hardly_wide || (i == 0 && random && places(sample, field) >= kLeastPlaces)) {
      const bool cut = alone && random;
      result.noise.push_back(cut ? cut_to_found(field, fields.expected_over_found) : field);
    } else if (random) {
      // As high as the deviation is, whatever the plane's motions take of the likeliest field.
      result.slow_mm =
          std::numbers::sqrt2 * cut_to_found(field, fields.expected_over_found).sigma_mm;
    }
  }
  const bool misfit = !random && std::numbers::sqrt2 * fields.own.sigma_mm <
                                     kMostMisfit * root_mean_square_gap_mm(sample);
  if (fields.own.sigma_mm > 0 && !misfit) result.noise.push_back(fields.own);
  return result;
}

}  // namespace trueblank::symmetry
