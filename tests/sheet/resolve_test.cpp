// SPDX-License-Identifier: GPL-3.0-or-later
#include <gmock/gmock.h>

#include <cmath>

#include "framed_bodies.h"
#include "rig/materials.h"
#include "sheet_fixture.h"
#include "support/bodies.h"

namespace trueblank::sheet {
namespace {

using geometry::Mat3;
using geometry::Vec3;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

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

std::string wood_of(const std::string& line) {
  return "[body]\nmesh = \"needle.stl\"\n[wood]\n" + line + "\n";
}

ResolvedRig on_plank(const std::string& sheet) {
  return resolve(parse_sheet(sheet, "needle.toml"), plank());
}

std::string refused_on_plank(const std::string& sheet) {
  try {
    const ResolvedRig rig = on_plank(sheet);
  } catch (const geometry::InputError& error) {
    return geometry::one_line(error);
  }
  return "accepted";
}

TEST_F(Resolved, WoodIsKnownToBeWeighedOrNot) {
  EXPECT_FALSE(on_plank(wood_of("density = 0.4")).rig.wood_weighed);
  EXPECT_TRUE(on_plank(wood_of("weighed = 24")).rig.wood_weighed);
  const ResolvedRig halves = on_plank(wood_of("halves = { left = 11.5, right = 12.5 }"));
  EXPECT_TRUE(halves.rig.wood_weighed);
  EXPECT_NEAR(halves.rig.wood_density_g_cm3, 0.4, 1e-12) << "the mean";
  ASSERT_TRUE(halves.rig.halves);
  EXPECT_EQ(halves.rig.halves->left_g, 11.5);
  EXPECT_EQ(halves.rig.halves->right_g, 12.5);
  EXPECT_THAT(halves.warnings, IsEmpty());
}

TEST_F(Resolved, HalvesThatDifferByATenthAreRemarkedOn) {
  EXPECT_THAT(on_plank(wood_of("halves = { left = 11.5, right = 12.7 }")).warnings, IsEmpty());
  EXPECT_THAT(on_plank(wood_of("halves = { left = 13, right = 11.25 }")).warnings,
              ElementsAre("The halves weigh 13 g (left) and 11.25 g (right), more than a tenth "
                          "apart: check which is which, and their masses."));
}

TEST_F(Resolved, HalvesOfABodyWithOneSideAreRefused) {
  const std::string sheet = wood_of("halves = { left = 11, right = 12 }");
  for (const auto& [y, side] : {std::pair(10.0, "left"), std::pair(-10.0, "right")}) {
    const body::FramedBody body = framed(
        test_bodies::moved(test_bodies::box(100, 20, 30), Mat3::Identity(), Vec3(50, y, 0)), 100);
    try {
      const ResolvedRig rig = resolve(parse_sheet(sheet, "needle.toml"), body);
      FAIL() << "accepted";
    } catch (const geometry::InputError& error) {
      EXPECT_EQ(geometry::one_line(error),
                "needle.toml:4:1: the body has nothing on the " + std::string(side) +
                    " of its mirror plane; give density or weighed in place of halves, or mend the "
                    "body's back");
    }
  }
}

TEST_F(Resolved, TheBlanksBalanceLiesOnTheBody) {
  EXPECT_EQ(on_plank(wood_of("density = 0.4\nbalance = 47")).rig.wood_balance_mm, 47);
  const std::string mend = "; give the station, from 0 at the nose to 100 at the tail";
  EXPECT_EQ(refused_on_plank(wood_of("density = 0.4\nbalance = 100.5")),
            "needle.toml:5:1: the bare blank can't balance at 100.5" + mend);
  EXPECT_EQ(refused_on_plank(wood_of("density = 0.4\nbalance = -1")),
            "needle.toml:5:1: the bare blank can't balance at -1" + mend);
}

// Source: the coated plank is longer, wider and higher by 2t/√3 each.
TEST_F(Resolved, AFinishIsLaidOnTheBody) {
  const ResolvedRig finished =
      resolve(parsed_with("[finish]\nthickness = 0.3\nweighed = 3.4\n"), plank());
  ASSERT_TRUE(finished.rig.finish && finished.coated);
  EXPECT_EQ(finished.rig.finish->weighed_g, 3.4);
  const double more = 0.6 / std::sqrt(3);
  EXPECT_NEAR(geometry::moments(*finished.coated).volume_mm3,
              (100 + more) * (20 + more) * (30 + more), 1e-8);
  EXPECT_FALSE(resolve(parsed_with(""), plank()).coated);
}

// Worm holes: closed tubes 90 mm long and 0.2 mm wide in the wood. No paint gets in: the coat goes
// on outside, each face of the box out by thickness / √3, and the tubes stay as they are.
TEST_F(Resolved, ACoatLiesOnTheOuterSkinAlone) {
  geometry::TriangleMesh mesh = test_bodies::box(100, 20, 30);
  const geometry::TriangleMesh tube = test_bodies::inside_out(test_bodies::box(90, 0.2, 0.2));
  for (int i = 0; i < 24; ++i) {
    const Vec3 at(0, -6 + 4 * (i % 4), -10 + 4 * (i / 4));
    mesh = test_bodies::joined(mesh, test_bodies::moved(tube, Mat3::Identity(), at));
  }
  const body::FramedBody body =
      framed(test_bodies::moved(mesh, Mat3::Identity(), Vec3(50, 0, 0)), 100);
  const ResolvedRig finished =
      resolve(parsed_with("[finish]\ndensity = 1.1\nthickness = 5\n"), body);
  const double more = 10 / std::sqrt(3);
  EXPECT_NEAR(geometry::moments(*finished.coated).volume_mm3,
              (100 + more) * (20 + more) * (30 + more) - 24 * 90 * 0.2 * 0.2, 1e-7);
}

// Source: 12.64 g of steel (7.9) is 1.6 cm³; over 108 mm, π/4·d² = 1600/108 mm².
TEST_F(Resolved, AWeighedWireHasADiameterAllTheSame) {
  const std::string path = "path = [[-4, 1], [104, 1]]\n";
  const rig::Wire wire =
      resolve(parsed_with("[[wire]]\ndensity = 7.9\nweighed = 12.64\n" + path), plank())
          .rig.wires[0];
  EXPECT_NEAR(wire.diameter_mm, std::sqrt(1600. / 108 * 4 / 3.14159265358979), 1e-12);
  EXPECT_EQ(wire.weighed_g, 12.64);
  // 1.6 mm and 108 mm make 1.715 g.
  const std::string both = "[[wire]]\ndensity = 7.9\ndiameter = 1.6\nweighed = ";
  const ResolvedRig near = resolve(parsed_with(both + "1.8\n" + path), plank());
  EXPECT_EQ(near.rig.wires[0].diameter_mm, 1.6);
  EXPECT_THAT(near.warnings, IsEmpty());
  EXPECT_THAT(warnings_on(plank(), both + "6.1\n" + path),
              ElementsAre("Wire \"wire\" was weighed at 6.1 g, and its diameter, metal and path "
                          "make 1.72 g: check them."));
}

std::string pocket_at(const std::string& at, const std::string& more) {
  return "[[pocket]]\nname = \"slot\"\nat = " + at + "\ndiameter = 8\n" + more + "\n";
}

TEST_F(Resolved, APocketsMiddleLiesInTheBody) {
  const std::string hole = "depth = 20\naxis = \"upright\"";
  EXPECT_EQ(
      refusal_on(plank(), pocket_at("[70, -17.4]", hole)),
      "needle.toml:7:1: pocket \"slot\" is 2.4 mm outside the body; move its centre up to z = "
      "-14.9");
  const ResolvedRig rig =
      resolve(parsed_with(pocket_at("{ station = 70, above_belly = 15 }", hole)), plank());
  ASSERT_EQ(rig.rig.pockets.size(), 1U);
  EXPECT_LT((rig.rig.pockets[0].at_mm - Vec3(70, 0, 0)).norm(), 1e-12);
  EXPECT_THAT(rig.warnings, IsEmpty());
}

TEST_F(Resolved, APocketThatReachesOutIsRemarkedOn) {
  const std::string warning =
      "Pocket \"slot\" reaches out of the body: what of it lies outside takes no wood away and is "
      "not filled.";
  const auto hole = [](const char* depth, const char* axis) {
    return "depth = " + std::string(depth) + "\naxis = \"" + axis + "\"";
  };
  EXPECT_THAT(warnings_on(plank(), pocket_at("[70, 0]", hole("29.9", "upright"))), IsEmpty());
  EXPECT_THAT(warnings_on(plank(), pocket_at("[70, 0]", hole("30.2", "upright"))),
              ElementsAre(warning));
  EXPECT_THAT(warnings_on(plank(), pocket_at("[70, 0]", hole("19.9", "across"))), IsEmpty());
  EXPECT_THAT(warnings_on(plank(), pocket_at("[70, 0]", hole("20.2", "across"))),
              ElementsAre(warning));
  EXPECT_THAT(warnings_on(plank(), pocket_at("[80, 0]", hole("39.9", "along"))), IsEmpty());
  EXPECT_THAT(warnings_on(plank(), pocket_at("[80, 0]", hole("40.2", "along"))),
              ElementsAre(warning));
  EXPECT_THAT(warnings_on(plank(), pocket_at("[70, 5.9, 0]", hole("9", "upright"))), IsEmpty());
  EXPECT_THAT(warnings_on(plank(), pocket_at("[70, 6.1, 0]", hole("9", "upright"))),
              ElementsAre(warning))
      << "through its own side";
}

TEST_F(Resolved, APocketFilledWithWaterHoldsTheWaterThatTheLureLiesIn) {
  const ResolvedRig rig =
      resolve(parsed_with("[water]\nkind = \"sea\"\n" +
                          pocket_at("[70, 0]", "depth = 9\naxis = \"along\"\nfilled = \"water\"")),
              plank());
  EXPECT_TRUE(rig.rig.pockets[0].filled_with_water);
  EXPECT_EQ(rig.rig.pockets[0].filling_density_g_cm3, rig.rig.water.density_g_cm3);
}

TEST_F(Resolved, PocketsCountAmongThePartsInside) {
  const std::string big = "[[pocket]]\nat = [50, 0]\ndiameter = 40\ndepth = 90\naxis = \"along\"\n";
  EXPECT_THAT(warnings_on(plank(), big),
              ElementsAre(HasSubstr("reaches out"),
                          "The parts inside fill 113.1 cm3, more than the body's 60 cm3: this lure "
                          "can't be built."));
}

TEST_F(Resolved, AnOutsidePartDeepInsideIsRemarkedOn) {
  const auto lip = [](const char* at) {
    return "[[outside]]\nname = \"lip\"\nmass = 2\ndensity = 1.2\nat = " + std::string(at) + "\n";
  };
  EXPECT_THAT(warnings_on(plank(), lip("[-8, -10]")), IsEmpty());
  EXPECT_THAT(warnings_on(plank(), lip("[20, 7, 0]")), IsEmpty()) << "a set-in eye";
  EXPECT_THAT(warnings_on(plank(), lip("[20, 1, 0]")),
              ElementsAre("The outside part \"lip\" lies 9 mm under the skin: a weight inside the "
                          "body is a [[ballast]]."));
}

TEST_F(Resolved, TheTankHasAWaterOfItsOwn) {
  EXPECT_DOUBLE_EQ(resolve(parsed_with(""), plank()).tank.density_g_cm3,
                   rig::water_density_kg_m3(0, 20) / 1000);
  const ResolvedRig brine = resolve(parsed_with("[tank]\ndensity = 1.3\n"), plank());
  EXPECT_EQ(brine.tank.density_g_cm3, 1.3);
  EXPECT_THAT(brine.warnings,
              ElementsAre("The tank's water has 1.3 g/cm3, and natural waters lie between 0.95 and "
                          "1.25: check its density."));
}

TEST_F(Resolved, ABaselineGoesFromPointToPoint) {
  const auto sheet = [](const std::string& baseline) {
    return "[body]\nmesh = \"needle.stl\"\nbaseline = " + baseline + "\n[wood]\ndensity = 0.4\n";
  };
  const ResolvedRig rig =
      on_plank(sheet("{ nose = [-8, 1], tail = { station = 90, below_back = 4, right = 1 } }"));
  ASSERT_TRUE(rig.baseline);
  EXPECT_EQ(rig.baseline->nose_mm, Vec3(-8, 0, 1));
  EXPECT_LT((rig.baseline->tail_mm - Vec3(90, 1, 11)).norm(), 1e-12);
  EXPECT_THAT(rig.warnings, IsEmpty());
  EXPECT_FALSE(resolve(parsed_with(""), plank()).baseline);
  EXPECT_THAT(on_plank(sheet("{ nose = [108, 1], tail = [-8, 1] }")).warnings,
              ElementsAre("The baseline's nose lies nearer to the tail than its tail does: check "
                          "which is which."));
  EXPECT_EQ(refused_on_plank(sheet("{ nose = [50, 15], tail = { station = 50, above_back = 0 } }")),
            "needle.toml:3:1: nose and tail of the baseline are the same point; give its two ends, "
            "the nose eye and the tail eye");
}

TEST_F(Resolved, TheLinesEyeIsTheForemostEndOfAWireUnlessToldOtherwise) {
  const std::string wires =
      "[[wire]]\nmetal = \"steel\"\ndiameter = 1\npath = [[110, 0], [60, 1]]\n"
      "[[wire]]\nmetal = \"steel\"\ndiameter = 1\npath = [[40, 0], [-20, -9], [-5, -2]]\n";
  EXPECT_FALSE(resolve(parsed_with(""), plank()).line_eye);
  EXPECT_FALSE(resolve(parsed_with(hook_at("[30, -16]")), plank()).line_eye);
  for (const std::string& line : {std::string(), std::string("[line]\neye = \"nose\"\n")}) {
    const std::optional<LineEye> eye = resolve(parsed_with(wires + line), plank()).line_eye;
    ASSERT_TRUE(eye);
    EXPECT_EQ(eye->name, "nose eye");
    EXPECT_EQ(eye->at_mm, Vec3(-5, 0, -2)) << "an end, not a bend that lies further forward";
  }
  const std::optional<LineEye> hook =
      resolve(parsed_with(wires + hook_at("[30, -16]") + "[line]\neye = \"h\"\n"), plank())
          .line_eye;
  ASSERT_TRUE(hook);
  EXPECT_EQ(hook->name, "h");
  EXPECT_EQ(hook->at_mm, Vec3(30, 0, -16));
  const ResolvedRig point =
      resolve(parsed_with(wires + "[line]\neye = { station = 20, above_back = 40 }\n"), plank());
  ASSERT_TRUE(point.line_eye);
  EXPECT_EQ(point.line_eye->name, "line eye");
  EXPECT_LT((point.line_eye->at_mm - Vec3(20, 0, 55)).norm(), 1e-12);
  EXPECT_THAT(point.warnings,
              ElementsAre("The eye of \"line eye\" is 40 mm away from the body: check its point."));
}

TEST_F(Resolved, ScatterAndTheNextHookGoOnAsWritten) {
  const ResolvedRig rig = resolve(
      parsed_with(hook_at("[30, -16]") + "size_up = 4\n[tolerances]\nwood_density = \"5 %\"\n"),
      plank());
  EXPECT_EQ(rig.rig.hooks[0].size_up_g, 4);
  EXPECT_EQ(rig.tolerances.wood_density_percent, 5);
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
