// SPDX-License-Identifier: GPL-3.0-or-later
#include "body/sections.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <set>
#include <tuple>
#include <vector>

#include "geometry/moments.h"

namespace trueblank::body {
namespace {

using geometry::ClosedMesh;
using geometry::TriangleMesh;

constexpr double pi = std::numbers::pi;

ClosedMesh closed(TriangleMesh mesh) {
  auto body = geometry::closed_mesh(std::move(mesh));
  EXPECT_TRUE(body) << "not closed, or not outward";
  return *std::move(body);
}

double volume_mm3(const std::vector<DrawnSection>& sections, const Fineness& fineness = {}) {
  return geometry::moments(closed(body_of_sections(sections, fineness))).volume_mm3;
}

// How much a polygon of n corners falls short of its circle: 1 - sin(2π/n)/(2π/n).
double polygon_loss(int corners) { return 1 - std::sin(2 * pi / corners) / (2 * pi / corners); }

// What facets along an ellipsoid fall short of it by, in steps of π/n of its polar angle: each
// chord loses the circle segment over it, in all the polygon's loss again, and half as much more
// as it is a mean over squares. Twice the polygon's loss of 2n corners is above that.
double ellipsoid_loss(const Fineness& fineness) {
  return polygon_loss(fineness.around) + 2 * polygon_loss(2 * fineness.along);
}

DrawnSection ellipse(double station_mm, double width_mm, double above_mm, double below_mm) {
  return {
      .station_mm = station_mm, .width_mm = width_mm, .above_mm = above_mm, .below_mm = below_mm};
}

// Sections of an ellipsoid of length 160, width 20, height 24.
std::vector<DrawnSection> ellipsoid(const std::vector<double>& stations_mm) {
  std::vector<DrawnSection> sections;
  for (const double x : stations_mm) {
    const double share = std::sqrt(std::max(0.0, 1 - std::pow((x - 80) / 80, 2)));
    sections.push_back(ellipse(x, 20 * share, 12 * share, 12 * share));
  }
  return sections;
}

// Source: V = 4/3·π·a·b·c.
TEST(BodyOfSections, OfAnEllipsoidIsOneHoweverManySectionsTellIt) {
  const double exact_mm3 = 4.0 / 3 * pi * 80 * 10 * 12;
  for (const std::vector<double>& stations_mm :
       {std::vector<double>{0, 80, 160}, std::vector<double>{0, 20, 80, 110, 160},
        std::vector<double>{0, 5, 10, 40, 79, 80, 81, 130, 160}}) {
    const double found_mm3 = volume_mm3(ellipsoid(stations_mm));
    EXPECT_LT(found_mm3, exact_mm3);
    EXPECT_GT(found_mm3, exact_mm3 * (1 - ellipsoid_loss({})));
  }
}

// The law that a finer body is nearer: halved steps, a quarter of the loss.
TEST(BodyOfSections, LosesAQuarterWithHalfTheSteps) {
  const double exact_mm3 = 4.0 / 3 * pi * 80 * 10 * 12;
  const auto loss = [&](int around, int along) {
    return exact_mm3 - volume_mm3(ellipsoid({0, 80, 160}), {.around = around, .along = along});
  };
  EXPECT_NEAR(loss(64, 80) / loss(128, 160), 4, 0.02);
}

TEST(BodyOfSections, OfAnEllipsoidHasItsWidthEverywhere) {
  for (const SectionRing& ring : rings_between(ellipsoid({0, 25, 80, 100, 160}), 160)) {
    const double share = 1 - std::pow((ring.station_mm - 80) / 80, 2);
    EXPECT_NEAR(std::pow(ring.half_width_mm / 10, 2), share, 1e-12) << ring.station_mm;
    EXPECT_NEAR(std::pow(ring.above_mm / 12, 2), share, 1e-12) << ring.station_mm;
  }
}

// Source: V = π·a·b·l.
TEST(BodyOfSections, OfAnEllipticCylinderIsOne) {
  const double found_mm3 = volume_mm3({ellipse(0, 16, 10, 10), ellipse(120, 16, 10, 10)});
  EXPECT_NEAR(found_mm3 / (pi * 8 * 10 * 120), 1 - polygon_loss(128), 1e-4);
}

// Source: V = π·r²·l/3; pointed from two sections and from three alike.
TEST(BodyOfSections, OfAConeIsOne) {
  const double exact_mm3 = pi * 100 * 90 / 3;
  const auto found = [](const std::vector<DrawnSection>& sections) { return volume_mm3(sections); };
  const DrawnSection point = ellipse(0, 0, 0, 0);
  const DrawnSection base = ellipse(90, 20, 10, 10);
  EXPECT_NEAR(found({point, base}) / exact_mm3, 1 - polygon_loss(128), 1e-4);
  EXPECT_NEAR(found({point, ellipse(30, 20. / 3, 10. / 3, 10. / 3), base}) / exact_mm3,
              1 - polygon_loss(128), 1e-4);
  EXPECT_NEAR(found({ellipse(-90, 20, 10, 10), point}) / exact_mm3, 1 - polygon_loss(128), 1e-4);
}

// Source: V = l·(r² + r·R + R²)·π/3.
TEST(BodyOfSections, OfAFrustumIsOne) {
  const double exact_mm3 = 60 * (16 + 4 * 10 + 100) * pi / 3;
  for (const double middle_mm : {10.0, 30.0, 55.0}) {
    const double r = 4 + 6 * middle_mm / 60;
    EXPECT_NEAR(volume_mm3({ellipse(0, 8, 4, 4), ellipse(middle_mm, 2 * r, r, r),
                            ellipse(60, 20, 10, 10)}) /
                    exact_mm3,
                1 - polygon_loss(128), 1e-4);
  }
}

// A box's corners are met on the spot, so that nothing is lost but rounding. Upper and lower half
// of unlike height.
TEST(BodyOfSections, OfABoxIsExact) {
  DrawnSection fore = ellipse(0, 14, 9, 5);
  fore.fullness_above = fore.fullness_below = 1;
  DrawnSection aft = fore;
  aft.station_mm = 70;
  EXPECT_NEAR(volume_mm3({fore, aft}), 14 * 14 * 70, 1e-8);
  EXPECT_NEAR(volume_mm3({fore, aft}, {.around = 8, .along = 1}), 14 * 14 * 70, 1e-8);
}

TEST(BodyOfSections, OfADiamondIsExact) {
  DrawnSection fore = ellipse(0, 14, 9, 5);
  fore.fullness_above = fore.fullness_below = 0.5;
  DrawnSection aft = fore;
  aft.station_mm = 70;
  EXPECT_NEAR(volume_mm3({fore, aft}), 14 * 14 * 70 / 2.0, 1e-8);
}

// By another way: the area of a section is its fullness times its box, whatever the exponent; the
// halves may differ.
TEST(BodyOfSections, FillsTheShareOfItsBoxThatFullnessSays) {
  for (const double above : {0.5, 0.6, ellipse_fullness, 0.9, 0.97, 1.0}) {
    for (const double below : {0.55, ellipse_fullness, 0.85}) {
      DrawnSection fore = ellipse(0, 18, 7, 11);
      fore.fullness_above = above;
      fore.fullness_below = below;
      DrawnSection aft = fore;
      aft.station_mm = 50;
      const double exact_mm3 = 18 * (7 * above + 11 * below) * 50;
      EXPECT_NEAR(volume_mm3({fore, aft}, {.around = 1024, .along = 2}) / exact_mm3, 1, 1e-4)
          << above << ' ' << below;
    }
  }
}

// Source: the area of |y/a|^n + |z/b|^n = 1 is 4ab·Γ(1 + 1/n)²/Γ(1 + 2/n): n = 1 gives 2ab, 2 gives
// π·ab; for n = 4 it is 3.7081493546·ab = Γ(1/4)²/(2√π)·ab, the lemniscate's constant squared.
TEST(SuperellipseExponent, OfAFullnessIsThatOfItsArea) {
  EXPECT_EQ(superellipse_exponent(0.5), 1);
  EXPECT_EQ(superellipse_exponent(ellipse_fullness), 2);
  EXPECT_NEAR(superellipse_exponent(ellipse_fullness + 1e-12), 2, 1e-10);
  const double quarter = std::tgamma(0.25);
  EXPECT_NEAR(superellipse_exponent(quarter * quarter / (8 * std::sqrt(pi))), 4, 1e-10);
  EXPECT_EQ(superellipse_exponent(1), std::numeric_limits<double>::infinity());
}

// Not a formula but the curve itself: the share of even points of the box within it.
TEST(SuperellipseExponent, CountsOutOnAGrid) {
  for (const double fullness : {0.6, 0.7, 0.9}) {
    const double n = superellipse_exponent(fullness);
    constexpr int cells = 1000;
    int within = 0;
    for (int i = 0; i < cells; ++i) {
      for (int j = 0; j < cells; ++j) {
        const double y = (i + 0.5) / cells;
        const double z = (j + 0.5) / cells;
        if (std::pow(y, n) + std::pow(z, n) <= 1) ++within;
      }
    }
    EXPECT_NEAR(within / 1e6, fullness, 1e-4);
  }
}

// An uneven lure: chisel nose, drooping, flat back in part, pointed tail off the line.
std::vector<DrawnSection> lure() {
  std::vector<DrawnSection> sections{
      ellipse(0, 9, 1, 2),   ellipse(14, 15, 6, 8), ellipse(50, 19, 9, 12), ellipse(52, 19, 9, 12),
      ellipse(90, 16, 9, 7), ellipse(131, 7, 4, 2), ellipse(150, 0, 2, -2)};
  sections[2].fullness_above = 0.9;
  sections[4].fullness_below = 0.6;
  sections[4].widest_mm = 2;
  return sections;
}

TEST(BodyOfSections, NeverOvershootsItsSections) {
  const std::vector<DrawnSection> sections = lure();
  const std::vector<SectionRing> rings = rings_between(sections, 400);
  std::size_t next = 1;
  for (const SectionRing& ring : rings) {
    while (sections[next].station_mm < ring.station_mm) ++next;
    const auto [narrow, wide] =
        std::minmax({sections[next - 1].width_mm / 2, sections[next].width_mm / 2});
    EXPECT_GE(ring.half_width_mm, narrow - 1e-12) << ring.station_mm;
    EXPECT_LE(ring.half_width_mm, wide + 1e-12) << ring.station_mm;
  }
}

TEST(BodyOfSections, KeepsEachSectionAsItWasMeasured) {
  const std::vector<SectionRing> rings = rings_between(lure(), 100);
  EXPECT_TRUE(std::ranges::is_sorted(rings, std::ranges::less_equal{}, &SectionRing::station_mm));
  for (const DrawnSection& section : lure()) {
    const auto found = std::ranges::find(rings, section.station_mm, &SectionRing::station_mm);
    ASSERT_NE(found, rings.end());
    EXPECT_EQ(2 * found->half_width_mm, section.width_mm);
    EXPECT_DOUBLE_EQ(found->widest_mm + found->above_mm, section.above_mm);
    EXPECT_DOUBLE_EQ(found->below_mm - found->widest_mm, section.below_mm);
  }
}

using Corner = std::array<double, 3>;
using Facet = std::array<Corner, 3>;

Facet turned_to_least(Facet facet) {
  std::rotate(facet.begin(), std::ranges::min_element(facet), facet.end());
  return facet;
}

// Facets as places, and of the body with y turned over: the same set.
TEST(BodyOfSections, IsTrueBitForBit) {
  const TriangleMesh mesh = body_of_sections(lure());
  std::multiset<Facet> as_made;
  std::multiset<Facet> turned_over;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    Facet facet;
    Facet mirrored;
    for (int c = 0; c < 3; ++c) {
      const geometry::Vec3 p = mesh.corner(f, c);
      const auto at = static_cast<std::size_t>(c);
      facet[at] = {p.x(), p.y(), p.z()};
      mirrored[2 - at] = {p.x(), 0 - p.y(), p.z()};  // 0 - y: no negative nought
    }
    as_made.insert(turned_to_least(facet));
    turned_over.insert(turned_to_least(mirrored));
  }
  EXPECT_EQ(as_made, turned_over);
}

TEST(BodyOfSections, HasSomeTensOfThousandsOfFacets) {
  const int facets = body_of_sections(lure()).facet_count();
  EXPECT_GT(facets, 20000);
  EXPECT_LT(facets, 60000);
}

// Ends that are an edge, upright and flat: V of a wedge is half its box.
TEST(BodyOfSections, MayEndInAnEdge) {
  for (const auto& [width_mm, height_mm] : {std::pair{0.0, 10.0}, std::pair{14.0, 0.0}}) {
    DrawnSection edge = ellipse(0, width_mm, height_mm / 2, height_mm / 2);
    edge.fullness_above = edge.fullness_below = 1;
    DrawnSection back = ellipse(40, 14, 5, 5);
    back.fullness_above = back.fullness_below = 1;
    EXPECT_NEAR(volume_mm3({edge, back}), 14 * 10 * 40 / 2.0, 0.01);
    std::swap(edge.station_mm, back.station_mm);
    EXPECT_NEAR(volume_mm3({back, edge}), 14 * 10 * 40 / 2.0, 0.01);
  }
}

// A half body: its flat back lies on the line. V is half the ellipsoid's.
TEST(BodyOfSections, MayBeFlatOnTop) {
  std::vector<DrawnSection> sections = ellipsoid({0, 80, 160});
  for (DrawnSection& section : sections) section.above_mm = 0;
  EXPECT_NEAR(volume_mm3(sections) / (2.0 / 3 * pi * 80 * 10 * 12), 1, ellipsoid_loss({}));
}

}  // namespace
}  // namespace trueblank::body
