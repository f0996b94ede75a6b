// SPDX-License-Identifier: GPL-3.0-or-later
#include <gmock/gmock.h>

#include <cmath>

#include "geometry/moments.h"
#include "rig/materials.h"
#include "sheet_fixture.h"
#include "support/bodies.h"

namespace trueblank::sheet {
namespace {

using geometry::Mat3;
using geometry::Vec3;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

body::FramedBody framed(const geometry::TriangleMesh& mesh, double length_mm) {
  body::FramedBody body;
  body.body = test_bodies::closed(mesh);
  body.whole = geometry::moments(*body.body);
  body.length_mm = length_mm;
  return body;
}

// Semi-axes 80, 10, 14 about (80, 0, 0), so that the nose is at the origin.
constexpr double half_length = 80;
constexpr double half_width = 10;
constexpr double half_height = 14;

const body::FramedBody& ellipsoid() {
  static const body::FramedBody body = framed(
      test_bodies::moved(test_bodies::ellipsoid(half_length, half_width, half_height, 200, 200),
                         Mat3::Identity(), Vec3(half_length, 0, 0)),
      2 * half_length);
  return body;
}

// A box of 100 × 20 × 30 mm from x = 0.
const body::FramedBody& plank() {
  static const body::FramedBody body = framed(
      test_bodies::moved(test_bodies::box(100, 20, 30), Mat3::Identity(), Vec3(50, 0, 0)), 100);
  return body;
}

std::string refusal_on(const body::FramedBody& body, std::string_view more) {
  try {
    const ResolvedRig rig = resolve(parsed_with(more), body);
  } catch (const geometry::InputError& error) {
    return geometry::one_line(error);
  }
  return "accepted";
}

std::vector<std::string> warnings_on(const body::FramedBody& body, std::string_view more) {
  return resolve(parsed_with(more), body).warnings;
}

std::string hook_at(const std::string& eye) {
  return "[[hook]]\nname = \"h\"\nmass = 3\nmetal = \"steel\"\neye = " + eye + "\n";
}

std::string ballast_at(const std::string& at, const std::string& mass = "1") {
  return "[[ballast]]\nname = \"tail\"\nmass = " + mass + "\nmetal = \"lead\"\nat = " + at + "\n";
}

class Resolved : public InAFolder {};

// Source: the ellipsoid's skin at (x, y): z = ±c·√(1 − (x − a)²/a² − y²/b²). The facets lie inside
// it by some c·(π/200)²/2 = 0.002 mm.
TEST_F(Resolved, HeightsAreFromTheSkinAtTheStation) {
  constexpr double facets_mm = 0.004;

  struct Form {
    const char* eye;
    double x, y, z_from_skin;
    int side;
  };

  for (const Form& form : {Form{"{ station = 62, above_belly = 3 }", 62, 0, 3, -1},
                           Form{"{ station = 62, below_belly = 1 }", 62, 0, -1, -1},
                           Form{"{ station = 30, below_back = 2.5 }", 30, 0, -2.5, 1},
                           Form{"{ station = 120, above_back = 0.5 }", 120, 0, 0.5, 1},
                           Form{"{ station = 120, below_belly = 0, right = 4 }", 120, 4, 0, -1},
                           Form{"{ station = 120, above_back = 0, right = -4 }", 120, -4, 0, 1},
                           Form{"{ station = '5 cm', below_belly = '1 mm' }", 50, 0, -1, -1}}) {
    const ResolvedRig rig = resolve(parsed_with(hook_at(form.eye)), ellipsoid());
    const double u = (form.x - half_length) / half_length;
    const double v = form.y / half_width;
    const double skin = form.side * half_height * std::sqrt(1 - u * u - v * v);
    const Vec3& eye = rig.rig.hooks[0].eye_mm;
    EXPECT_EQ(eye.x(), form.x);
    EXPECT_EQ(eye.y(), form.y);
    EXPECT_NEAR(eye.z(), skin + form.z_from_skin, facets_mm) << form.eye;
  }
}

TEST_F(Resolved, PointsInAxesStayAsTheyAre) {
  const ResolvedRig rig =
      resolve(parsed_with(hook_at("[62, -15]") + "[[hook]]\nmass = 1\nmetal = \"steel\"\neye = [1, "
                                                 "2, 3]\n"),
              ellipsoid());
  EXPECT_EQ(rig.rig.hooks[0].eye_mm, Vec3(62, 0, -15));
  EXPECT_EQ(rig.rig.hooks[1].eye_mm, Vec3(1, 2, 3));
}

TEST_F(Resolved, AStationOffTheBodyIsRefused) {
  EXPECT_EQ(refusal_on(ellipsoid(), hook_at("{ station = 161, below_belly = 1 }")),
            "needle.toml:9:1: station 161 is not on the body; it reaches from 0 at the nose to 160 "
            "at the tail");
  EXPECT_EQ(
      refusal_on(ellipsoid(), hook_at("{ station = -0.5, below_belly = 1 }")),
      "needle.toml:9:1: station -0.5 is not on the body; it reaches from 0 at the nose to 160 "
      "at the tail");
  EXPECT_EQ(refusal_on(ellipsoid(), hook_at("{ station = 80, below_belly = 1, right = -10.5 }")),
            "needle.toml:9:1: the body has no skin at station 80, 10.5 mm to the left; move the "
            "point towards the body, or write it as [x, y, z]");
}

// Source: by hand on the box: its belly is at z = −15, its back at 15, its right flank at y = 10.
TEST_F(Resolved, ABallastOutsideTheBodyIsRefusedWithTheWayIn) {
  EXPECT_EQ(refusal_on(plank(), ballast_at("[70, -17.4]")),
            "needle.toml:9:1: ballast \"tail\" is 2.4 mm outside the body; move its centre up to z "
            "= -14.9");
  EXPECT_EQ(refusal_on(plank(), ballast_at("[70, 16]")),
            "needle.toml:9:1: ballast \"tail\" is 1 mm outside the body; move its centre down to z "
            "= 14.9");
  EXPECT_EQ(refusal_on(plank(), ballast_at("[70, 13, 4]")),
            "needle.toml:9:1: ballast \"tail\" is 3 mm outside the body; move its centre in past "
            "the skin at [70, 10, 4]");
  EXPECT_EQ(refusal_on(plank(), ballast_at("[103, -19]")),
            "needle.toml:9:1: ballast \"tail\" is 5 mm outside the body; move its centre in past "
            "the skin at [100, 0, -15]");
  EXPECT_EQ(refusal_on(plank(), ballast_at("[70, -15.01]")),
            "needle.toml:9:1: ballast \"tail\" is less than 0.1 mm outside the body; move its "
            "centre up to z = -14.9");
  EXPECT_EQ(
      refusal_on(ellipsoid(), ballast_at("{ station = 70, below_belly = 2.4 }")).substr(0, 40),
      "needle.toml:9:1: ballast \"tail\" is 2.4 m");
}

// A law: the way in that is shown leads in.
TEST_F(Resolved, TheWayInLeadsIn) {
  for (int i = 0; i < 40; ++i) {
    const double x = 2 + 3.9 * i;
    const std::string at = "[" + std::to_string(x) + ", " + (i % 2 == 0 ? "-30]" : "30]");
    const std::string line = refusal_on(ellipsoid(), ballast_at(at, "0.001"));
    const std::size_t z = line.find("z = ");
    ASSERT_NE(z, std::string::npos) << line;
    const std::string moved = "[" + std::to_string(x) + ", " + line.substr(z + 4) + "]";
    EXPECT_EQ(refusal_on(ellipsoid(), ballast_at(moved, "0.001")), "accepted") << moved;
  }
}

TEST_F(Resolved, AWireThatMissesTheBodyIsRefused) {
  const std::string wire = "[[wire]]\nmetal = \"steel\"\ndiameter = 1\npath = ";
  EXPECT_EQ(refusal_on(plank(), wire + "[[0, 16], [100, 16]]\n"),
            "needle.toml:8:1: wire \"wire\" nowhere goes through the body; its path is in the body "
            "frame: x from the nose, y to the right, z to the back");
  EXPECT_EQ(refusal_on(plank(), wire + "[[-10, 0], [110, 0]]\n"), "accepted");
  EXPECT_EQ(refusal_on(plank(), wire + "[[50, -15], { station = 50, above_belly = 0 }]\n"),
            "needle.toml:8:20: points 1 and 2 of the path are the same; remove one of them");
}

TEST_F(Resolved, TheWoodsDensityIsGivenTabulatedOrWeighed) {
  const auto density = [](const std::string& line) {
    return resolve(parse_sheet("[body]\nmesh = \"needle.stl\"\n[wood]\n" + line, "needle.toml"),
                   plank())
        .rig.wood_density_g_cm3;
  };
  EXPECT_EQ(density("density = 0.37"), 0.37);
  EXPECT_EQ(density("species = \"teak\""), rig::find_wood("teak")->density_g_cm3);
  EXPECT_NEAR(density("weighed = 24"), 0.4, 1e-12);  // 60 cm³
  EXPECT_NEAR(density("species = \"western redcedar\"\nweighed = 24"), 0.4, 1e-12);
}

TEST_F(Resolved, UnusualFiguresAreRemarkedOn) {
  const auto wood = [](const std::string& line) {
    return resolve(parse_sheet("[body]\nmesh = \"needle.stl\"\n[wood]\n" + line, "needle.toml"),
                   plank())
        .warnings;
  };
  EXPECT_THAT(wood("weighed = 24"), IsEmpty());
  EXPECT_THAT(wood("weighed = 3"),
              ElementsAre("The wood comes to 0.05 g/cm3, and woods lie between 0.1 and 1.2: check "
                          "the weighed mass, the density and the scale of the body."));
  EXPECT_THAT(wood("species = \"balsa\"\nweighed = 24"),
              ElementsAre("The weighed blank comes to 0.4 g/cm3, where balsa has 0.184 in the "
                          "table: check the mass and the scale of the body."));
  EXPECT_THAT(warnings_on(plank(), "[water]\ndensity = 0.8\n"),
              ElementsAre("The water has 0.8 g/cm3, and natural waters lie between 0.95 and 1.25: "
                          "check its density."));
  EXPECT_THAT(warnings_on(plank(), hook_at("[50, -60]")),
              ElementsAre("The eye of \"h\" is 45 mm away from the body: check its point."));
  EXPECT_THAT(warnings_on(plank(), hook_at("[50, -44]")), IsEmpty());
}

// Source: a ball of 20 g of lead: 2·(3·20/(4π·11.34))^(1/3) cm = 14.99 mm across.
TEST_F(Resolved, ABallastTooBigForItsPlaceIsRemarkedOn) {
  EXPECT_THAT(warnings_on(plank(), ballast_at("[50, -7]", "20")), IsEmpty());
  EXPECT_THAT(
      warnings_on(plank(), ballast_at("[50, -9]", "20")),
      ElementsAre("Ballast \"tail\" as a ball would be 15 mm across, and its centre is 6 mm "
                  "under the skin: only a long or a flat one would stay inside."));
  EXPECT_THAT(
      warnings_on(plank(), ballast_at("[50, 0]", "1000")),
      ElementsAre("Ballast \"tail\" as a ball would be 55.2 mm across, and its centre is 10 "
                  "mm under the skin: only a long or a flat one would stay inside.",
                  "The parts inside fill 88.2 cm3, more than the body's 60 cm3: this lure "
                  "can't be built."));
}

TEST_F(Resolved, ARigGoesToTheMassModelAsWritten) {
  const ResolvedRig resolved = resolve(
      parsed_with("[water]\nkind = \"sea\"\n" + ballast_at("[70, -9]", "9") +
                  "[[wire]]\nmetal = \"stainless steel\"\ndiameter = 1.6\npath = [[-8, -1], [20, "
                  "-2], [108, 0]]\n" +
                  hook_at("{ station = 62, below_belly = 1 }") + "hang = 20\n"),
      plank());
  EXPECT_THAT(resolved.warnings, IsEmpty());
  const rig::Rig& rig = resolved.rig;
  EXPECT_EQ(rig.water.salinity, 35);
  ASSERT_EQ(rig.wires.size(), 1U);
  EXPECT_THAT(rig.wires[0].path_mm, ElementsAre(Vec3(-8, 0, -1), Vec3(20, 0, -2), Vec3(108, 0, 0)));
  ASSERT_EQ(rig.ballasts.size(), 1U);
  EXPECT_EQ(rig.ballasts[0].at_mm, Vec3(70, 0, -9));
  ASSERT_EQ(rig.hooks.size(), 1U);
  EXPECT_NEAR(rig.hooks[0].eye_mm.z(), -16, 1e-12);
  EXPECT_EQ(rig.hooks[0].hang_mm, 20);
}

}  // namespace
}  // namespace trueblank::sheet
