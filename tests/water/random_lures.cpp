// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/random_lures.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <random>
#include <sstream>
#include <utility>
#include <vector>

#include "geometry/coat.h"
#include "geometry/moments.h"
#include "support/bodies.h"

namespace trueblank::water {
namespace {

using geometry::ClosedMesh;
using geometry::TriangleMesh;

// The standard library's own distributions may differ from one to the next.
class Draw {
 public:
  explicit Draw(std::uint64_t seed) : random_(seed) {}

  double between(double low, double high) {
    return low + (high - low) * static_cast<double>(random_() >> 11) * 0x1p-53;
  }

  /// Spread evenly over its logarithm.
  double ratio(double low, double high) { return std::exp(between(std::log(low), std::log(high))); }

  int whole(int low, int high) {
    return low + static_cast<int>(random_() % static_cast<std::uint64_t>(high - low + 1));
  }

  bool once_in(int times) { return whole(1, times) == 1; }

  template <std::size_t n>
  double one_of(const std::array<double, n>& values) {
    return values[static_cast<std::size_t>(whole(0, static_cast<int>(n) - 1))];
  }

 private:
  std::mt19937_64 random_;
};

double signed_power(double base, double exponent) {
  return std::copysign(std::pow(std::abs(base), exponent), base);
}

// A superellipsoid drawn out, bent and made a little lopsided: half width w(t), half height h(t),
// centreline c(t) over t = x/length, sections |y/w|^e + |z/h|^e = 1.
struct Shape {
  double length_mm = 0;
  double width_mm = 0;
  double height_mm = 0;
  double round_nose = 0;  // exponents of the outline at either end
  double round_tail = 0;
  double fullest = 0;  // where along the length it is fullest, 0..1
  double section = 0;  // e
  double bend_mm = 0;
  double belly = 0;     // of the half height below the centreline, times that above
  double lopsided = 0;  // how much fuller the right side is
  double cut_off = 0;   // of the tail, flat; 0: none

  [[nodiscard]] double full(double t) const {
    const double s = t < fullest ? (fullest - t) / fullest : (t - fullest) / (1 - fullest);
    const double e = t < fullest ? round_nose : round_tail;
    return std::pow(std::max(0.0, 1 - std::pow(s, e)), 1 / e);
  }

  [[nodiscard]] double width(double t) const { return width_mm * full(t * (1 - cut_off)); }

  [[nodiscard]] double height(double t) const { return height_mm * full(t * (1 - cut_off)); }

  [[nodiscard]] double centre(double t) const { return bend_mm * 4 * t * (1 - t); }

  /// A place inside: `across` and `up` of the half width and half height there, from -1 to 1.
  [[nodiscard]] Vec3 inside(double t, double across, double up) const {
    return {length_mm * t, across * width(t), centre(t) + up * height(t) * (up < 0 ? belly : 1)};
  }
};

Shape drawn_shape(Draw& draw) {
  Shape shape;
  shape.length_mm = draw.between(80, 250);
  shape.width_mm = 1;
  shape.height_mm = draw.ratio(0.6, 2.2);
  shape.round_nose = draw.ratio(1.5, 4);
  shape.round_tail = draw.ratio(1.3, 4);
  shape.fullest = draw.between(0.25, 0.65);
  shape.section = draw.ratio(1.6, 5);
  shape.bend_mm = draw.between(-0.4, 0.4);
  shape.belly = draw.ratio(0.8, 1.25);
  shape.lopsided = draw.once_in(2) ? draw.between(-0.05, 0.05) : 0;
  shape.cut_off = draw.once_in(4) ? draw.between(0.02, 0.1) : 0;
  return shape;
}

TriangleMesh skin_of(const Shape& shape, int facets) {
  const int around = std::max(8, 4 * static_cast<int>(std::lround(std::sqrt(facets / 3.2) / 4)));
  const int stations = std::max(7, facets / (2 * around) + 2);
  TriangleMesh mesh = test_bodies::lofted(
      shape.length_mm, [&](double t) { return shape.width(t); },
      [&](double t) { return shape.height(t); }, [](double) { return 0; }, stations, around);
  for (Eigen::Index i = 0; i < mesh.positions_mm.cols(); ++i) {
    auto p = mesh.positions_mm.col(i);
    const double t = p.x() / shape.length_mm;
    const double w = shape.width(t);
    const double h = shape.height(t);
    if (w > 0 && h > 0) {
      const double y = w * signed_power(p.y() / w, 2 / shape.section);
      const double z = h * signed_power(p.z() / h, 2 / shape.section);
      p.y() = y > 0 ? y * (1 + shape.lopsided) : y;
      p.z() = z < 0 ? z * shape.belly : z;
    }
    p.z() += shape.centre(t);
  }
  return mesh;
}

// Grown across its length to a volume.
Shape grown(Shape shape, double volume_mm3, int facets) {
  const geometry::Moments whole = geometry::moments(test_bodies::closed(skin_of(shape, facets)));
  const double factor = std::sqrt(volume_mm3 / whole.volume_mm3);
  shape.width_mm *= factor;
  shape.height_mm *= factor;
  shape.bend_mm *= factor;
  return shape;
}

void add_hooks(Draw& draw, const Shape& shape, double mass_g, rig::Rig& rig) {
  const int count = draw.whole(0, 3);
  for (int i = 0; i < count; ++i) {
    const double t = i == 0 ? draw.between(0.2, 0.5) : i == 1 ? 0.995 : draw.between(0.5, 0.85);
    rig.hooks.push_back({.name = "hook",
                         .eye_mm = shape.inside(t, 0, -1) - Vec3(0, 0, draw.between(1, 4)),
                         .mass_g = mass_g * draw.between(0.01, 0.1),
                         .density_g_cm3 = 7.85,
                         .hang_mm = draw.between(5, 30)});
  }
}

void add_parts(Draw& draw, const Shape& shape, double mass_g, rig::Rig& rig) {
  if (draw.once_in(2)) {
    rig.wires.push_back(
        {.density_g_cm3 = 7.9,
         .diameter_mm = draw.between(0.8, 2),
         .path_mm = {shape.inside(0, 0, 0) - Vec3(draw.between(3, 8), 0, 0),
                     shape.inside(draw.between(0.3, 0.7), 0, draw.between(-0.4, 0.4)),
                     shape.inside(1, 0, 0) + Vec3(draw.between(3, 8), 0, 0)}});
  }
  const int ballasts = draw.whole(0, 3);
  for (int i = 0; i < ballasts; ++i) {
    rig.ballasts.push_back({.name = "ballast",
                            .at_mm = shape.inside(draw.between(0.12, 0.88), draw.between(-0.3, 0.3),
                                                  draw.between(-0.75, 0.1)),
                            .mass_g = mass_g * draw.between(0.02, 0.15),
                            .density_g_cm3 = draw.one_of<3>({11.34, 17.5, 7.85})});
  }
  if (draw.once_in(4)) {
    rig::Pocket pocket{.name = "pocket",
                       .at_mm = shape.inside(draw.between(0.2, 0.8), 0, draw.between(-0.4, 0.4)),
                       .diameter_mm = 0.6 * shape.width_mm,
                       .depth_mm = 0.8 * shape.height_mm};
    if (draw.once_in(2)) {
      pocket.filled_with_water = true;
      pocket.filling_density_g_cm3 = rig.water.density_g_cm3;
    }
    rig.pockets.push_back(pocket);
  }
  if (draw.once_in(4)) {
    rig.outsides.push_back({.name = "lip",
                            .at_mm = shape.inside(0.03, 0, -1) + Vec3(-3, 0, -5),
                            .mass_g = mass_g * draw.between(0.005, 0.03),
                            .density_g_cm3 = 1.2});
  }
}

// What the wood must weigh for the whole to weigh `mass_g`: halves are drawn about that, now and
// then.
void add_wood(Draw& draw, const geometry::Moments& whole, double mass_g, rig::Rig& rig) {
  double others_g = 0;
  double filled_mm3 = 0;
  for (const rig::Ballast& ballast : rig.ballasts) {
    others_g += ballast.mass_g;
    filled_mm3 += 1000 * ballast.mass_g / ballast.density_g_cm3;
  }
  for (const rig::Hook& hook : rig.hooks) others_g += hook.mass_g;
  for (const rig::Outside& outside : rig.outsides) others_g += outside.mass_g;
  rig.wood_density_g_cm3 =
      std::max(0.1, 1000 * (mass_g - others_g) / (whole.volume_mm3 - filled_mm3));
  if (draw.once_in(8)) {
    const double wood_g = rig.wood_density_g_cm3 * 1e-3 * whole.volume_mm3;
    const double right = draw.between(0.47, 0.53);
    rig.halves = rig::Halves{.left_g = wood_g * (1 - right), .right_g = wood_g * right};
  }
  if (draw.once_in(6)) rig.wood_balance_mm = whole.centroid_mm.x() + draw.between(-4, 4);
}

std::string words(const Shape& shape, const RandomLure& made) {
  std::ostringstream text;
  text << made.bare->facet_count() << " facets, " << shape.length_mm << " x " << 2 * shape.width_mm
       << " x " << 2 * shape.height_mm << " mm, sections of exponent " << shape.section << ", "
       << made.rigged.mass_g << " g of " << made.lure.displacement_full_g() << " g, G at "
       << made.rigged.centre_of_mass_mm.transpose() << "; " << made.rig.wires.size() << " wires, "
       << made.rig.ballasts.size() << " ballasts, " << made.rig.pockets.size() << " pockets, "
       << made.rig.hooks.size() << " hooks, " << made.rig.outsides.size() << " outside"
       << (made.coated ? ", finished" : "") << (made.rig.halves ? ", of halves" : "");
  return text.str();
}

}  // namespace

RandomLure random_lure(std::uint64_t number, int least_facets, int most_facets) {
  Draw draw(number);
  RandomLure made;
  const double mass_g = draw.between(20, 200);
  const double share = draw.between(0.35, 1.12);  // of what the body displaces
  const int facets = draw.whole(least_facets, most_facets);
  made.rig.water = draw.once_in(3) ? rig::water_at(rig::sea_salinity, draw.between(2, 28))
                                   : rig::water_at(0, draw.between(2, 28));
  const double water_g_mm3 = made.rig.water.density_g_cm3 * 1e-3;
  const Shape shape = grown(drawn_shape(draw), mass_g / share / water_g_mm3, facets);
  made.bare = std::make_unique<ClosedMesh>(test_bodies::closed(skin_of(shape, facets)));
  const geometry::Moments whole = geometry::moments(*made.bare);
  add_hooks(draw, shape, mass_g, made.rig);
  add_parts(draw, shape, mass_g, made.rig);
  add_wood(draw, whole, mass_g, made.rig);
  geometry::Moments coated = whole;
  if (draw.once_in(3)) {
    const double thickness_mm = draw.between(0.1, 0.5);
    if (std::optional<ClosedMesh> coat = geometry::coated(*made.bare, thickness_mm)) {
      made.coated = std::make_unique<ClosedMesh>(std::move(*coat));
      coated = geometry::moments(*made.coated);
      made.rig.finish = rig::Finish{.thickness_mm = thickness_mm, .density_g_cm3 = 1.15};
    }
  }
  made.rigged = rig::rigged(*made.bare, whole, made.rig, coated);
  made.tree = std::make_unique<geometry::MomentTree>(made.wet());
  made.lure = floater(*made.tree, made.rigged);
  made.told = words(shape, made);
  return made;
}

}  // namespace trueblank::water
