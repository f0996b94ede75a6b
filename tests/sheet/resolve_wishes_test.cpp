// SPDX-License-Identifier: GPL-3.0-or-later
// [target], [[place]] and the choices of a [[hook]], held against the body.
#include <gmock/gmock.h>

#include <cmath>

#include "framed_bodies.h"
#include "sheet_fixture.h"

namespace trueblank::sheet {
namespace {

using geometry::Vec3;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class WishesOnABody : public InAFolder {};

// Two square ends of 10 × 10 mm at x = 0 and x = 100, between them one of 40 × 20 (y × z) at 50.
const body::FramedBody& double_wedge() {
  static const body::FramedBody body = [] {
    geometry::TriangleMesh mesh;
    mesh.positions_mm.resize(3, 12);
    for (int ring = 0; ring < 3; ++ring) {
      const double half_y = ring == 1 ? 20 : 5;
      const double half_z = ring == 1 ? 10 : 5;
      mesh.positions_mm.col(4 * ring + 0) << 50 * ring, -half_y, -half_z;
      mesh.positions_mm.col(4 * ring + 1) << 50 * ring, half_y, -half_z;
      mesh.positions_mm.col(4 * ring + 2) << 50 * ring, half_y, half_z;
      mesh.positions_mm.col(4 * ring + 3) << 50 * ring, -half_y, half_z;
    }
    mesh.facets.resize(3, 20);
    int at = 0;
    for (int ring = 0; ring < 2; ++ring) {
      for (int side = 0; side < 4; ++side) {
        const int a = 4 * ring + side;
        const int b = 4 * ring + (side + 1) % 4;
        mesh.facets.col(at++) << a, a + 4, b;
        mesh.facets.col(at++) << b, a + 4, b + 4;
      }
    }
    mesh.facets.col(at++) << 0, 1, 2;
    mesh.facets.col(at++) << 0, 2, 3;
    mesh.facets.col(at++) << 8, 10, 9;
    mesh.facets.col(at++) << 8, 11, 10;
    mesh.facets.row(0).swap(mesh.facets.row(1));
    if (!geometry::closed_mesh(mesh)) mesh.facets.row(0).swap(mesh.facets.row(1));
    return framed(mesh, 100);
  }();
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

std::string place_with(const std::string& keys) {
  return "[[place]]\nname = \"belly\"\nmass = [0, 20]\nmetal = \"lead\"\n" + keys;  // from line 9
}

std::string hook_with(const std::string& keys) {
  return "[[hook]]\nname = \"h\"\nmass = 3\nmetal = \"steel\"\n" + keys;  // from line 9
}

TEST_F(WishesOnABody, WishesComeWithTheRigAndAreNotInIt) {
  const ResolvedRig resolved =
      resolve(parsed_with("[target]\ntail_down = 12\n" + place_with("x = [50, 90]\nz = -9\n") +
                          hook_with("eye = [20, -15]\n") +
                          "[[hook]]\nmass = 5\nmetal = \"steel\"\nsizes = [8]\neye = [60, -15]\n"),
              plank());
  EXPECT_EQ(resolved.wishes.target.tail_down_deg, 12);
  ASSERT_EQ(resolved.wishes.places.size(), 1U);
  EXPECT_EQ(resolved.wishes.places[0].name, "belly");
  EXPECT_EQ(resolved.wishes.places[0].x_mm.high, 90);
  EXPECT_THAT(resolved.rig.ballasts, IsEmpty());
  ASSERT_EQ(resolved.wishes.hooks.size(), 1U) << "the first has no choice";
  EXPECT_EQ(resolved.wishes.hooks[0].hook, 1U);
  EXPECT_THAT(resolved.wishes.hooks[0].masses_g, ElementsAre(5, 8));
  EXPECT_FALSE(resolved.wishes.hooks[0].eye_x_mm);
}

TEST_F(WishesOnABody, PlacesThatAreLeftEmptyAreRemarkedOn) {
  const std::string one = place_with("x = [50, 90]\n");
  const std::string other = "[[place]]\nx = 20\nmass = 2\ndensity = 9\n";
  EXPECT_THAT(resolve(parsed_with(one), plank()).warnings,
              ElementsAre("The sheet has 1 place for a weight that is not filled yet: trueblank "
                          "ballast finds what goes there."));
  EXPECT_THAT(resolve(parsed_with(one + other), plank()).warnings,
              ElementsAre("The sheet has 2 places for weights that are not filled yet: trueblank "
                          "ballast finds what goes there."));
  EXPECT_THAT(resolve(parsed_with(one + other), plank(), Places::to_be_filled).warnings, IsEmpty());
  EXPECT_THAT(resolve(parsed_with("[target]\ntail_down = 5\n"), plank()).warnings, IsEmpty());
}

// Source: by hand on the box.
TEST_F(WishesOnABody, APlaceWhollyOutsideTheBodyIsRefused) {
  const std::string outside = "needle.toml:5:1: place \"belly\" lies wholly outside the body, by ";
  const std::string mend = "; widen its ranges in past the skin at ";
  EXPECT_EQ(refusal_on(plank(), place_with("x = [50, 90]\nz = [-25, -17.4]\n")).substr(0, 81),
            outside + "2.4 mm" + mend.substr(0, 11));
  EXPECT_EQ(refusal_on(plank(), place_with("x = 70\nz = -18\n")),
            outside + "3 mm" + mend + "[70, 0, -15]");
  EXPECT_EQ(refusal_on(plank(), place_with("x = 70\ny = [13, 20]\nz = 4\n")),
            outside + "3 mm" + mend + "[70, 10, 4]");
  EXPECT_EQ(refusal_on(plank(), place_with("x = [104, 120]\n")),
            outside + "4 mm" + mend + "[100, 0, 0]");
  EXPECT_EQ(refusal_on(plank(), place_with("x = [-20, -1]\nabove_belly = 3\n")),
            outside + "1 mm" + mend + "[0, 0, 0]");
  EXPECT_EQ(refusal_on(plank(), place_with("x = 70\nabove_belly = [31.5, 40]\n")),
            outside + "1.5 mm" + mend + "[70, 0, 15]");
  EXPECT_EQ(refusal_on(plank(), place_with("x = 70\nbelow_back = 32\n")),
            outside + "2 mm" + mend + "[70, 0, -15]");
}

TEST_F(WishesOnABody, APlaceThatReachesInIsTaken) {
  for (const char* keys :
       {"x = [90, 400]\n", "x = [-500, 0.5]\nz = 3\n", "x = 70\nz = [14.9, 300]\n",
        "x = 70\ny = [-300, -9.95]\n", "x = [99.9, 400]\nabove_belly = 29.9\n",
        "x = 70\nbelow_back = [0, 300]\n", "x = 70\nabove_belly = [29.9, 50]\n",
        // Between the points of the grid, on both ranges.
        "x = [-1000, 1000]\nz = [-900, 1000]\n"}) {
    EXPECT_EQ(refusal_on(plank(), place_with(keys)), "accepted") << keys;
  }
}

// Source: the wedge is 40 mm wide and 20 high at station 50, 10 and 10 at its ends, straight
// between: at station 20 it is 10 + 30·20/50 = 22 wide and 10 + 10·20/50 = 14 high.
TEST_F(WishesOnABody, AHoleWiderThanTheBodyIsRefused) {
  const auto on = [](const std::string& keys) {
    return refusal_on(double_wedge(), place_with(keys));
  };
  const std::string mend = "; write a smaller diameter, or move x to where the body is thicker";
  EXPECT_EQ(on("x = [0, 20]\ndiameter = 23\n"),
            "needle.toml:10:1: the hole of \"belly\" is 23 mm in diameter, and the body at its "
            "stations at most 22 mm wide" +
                mend);
  EXPECT_EQ(on("x = [0, 20]\ndiameter = 21.9\n"), "accepted");
  EXPECT_EQ(on("x = [0, 20]\ndiameter = 15\naxis = \"across\"\n"),
            "needle.toml:10:1: the hole of \"belly\" is 15 mm in diameter, and the body at its "
            "stations at most 14 mm high" +
                mend);
  EXPECT_EQ(on("x = [0, 20]\ndiameter = 13.9\naxis = \"across\"\n"), "accepted");
  EXPECT_EQ(on("x = 20\ndiameter = 14.1\naxis = \"along\"\n"),
            "needle.toml:10:1: the hole of \"belly\" is 14.1 mm in diameter, and the body at its "
            "stations at most 14 mm high" +
                mend);
  EXPECT_EQ(on("x = 20\ndiameter = 13.9\naxis = \"along\"\n"), "accepted");
  EXPECT_EQ(on("x = [20, 60]\ndiameter = 39\n"), "accepted") << "its widest lies between";
  EXPECT_EQ(on("x = [20, 60]\ndiameter = 41\n").substr(0, 17), "needle.toml:10:1:");
  EXPECT_EQ(on("x = 20\ndiameter = [30, 20]\n"), "accepted") << "one of them fits";
}

// A law: a choice keeps the height as it was written, from the side that it was written from.
TEST_F(WishesOnABody, AHooksHeightIsKeptWhereItMoves) {
  struct Form {
    const char* eye;
    rig::HeightFrom from;
    double height_mm;
  };

  using rig::HeightFrom;
  for (const Form& form : {Form{"[62, 2, -16]", HeightFrom::axis, -16},
                           Form{"{ station = 62, below_belly = 1 }", HeightFrom::above_belly, -1},
                           Form{"{ station = 62, above_belly = 2 }", HeightFrom::above_belly, 2},
                           Form{"{ station = 62, above_back = 3 }", HeightFrom::below_back, -3},
                           Form{"{ station = 62, below_back = 4 }", HeightFrom::below_back, 4}}) {
    const ResolvedRig rig = resolve(
        parsed_with(hook_with("eye_x = [50, 75]\neye = " + std::string(form.eye) + "\n")), plank());
    ASSERT_EQ(rig.wishes.hooks.size(), 1U);
    const rig::HookChoice& choice = rig.wishes.hooks[0];
    EXPECT_EQ(choice.eye_from, form.from) << form.eye;
    EXPECT_EQ(choice.eye_height_mm, form.height_mm) << form.eye;
    ASSERT_TRUE(choice.eye_x_mm);
    EXPECT_EQ(choice.eye_x_mm->low, 50);
    EXPECT_THAT(choice.masses_g, IsEmpty());
    const double z = form.from == HeightFrom::axis          ? form.height_mm
                     : form.from == HeightFrom::above_belly ? -15 + form.height_mm
                                                            : 15 - form.height_mm;
    EXPECT_DOUBLE_EQ(rig.rig.hooks[0].eye_mm.z(), z) << form.eye;
  }
}

TEST_F(WishesOnABody, AHooksHangerStaysOnTheBody) {
  const std::string end =
      ", which is not on the body; the body reaches from 0 at the nose to 100 at the tail";
  EXPECT_EQ(refusal_on(plank(), hook_with("eye_x = [50, 101]\neye = [62, -15]\n")),
            "needle.toml:9:1: eye_x reaches to 101" + end);
  EXPECT_EQ(refusal_on(plank(), hook_with("eye_x = [-0.5, 20]\neye = [62, -15]\n")),
            "needle.toml:9:1: eye_x reaches to -0.5" + end);
  EXPECT_EQ(refusal_on(double_wedge(),
                       hook_with("eye_x = [10, 50]\neye = { station = 50, below_belly = 1, right = "
                                 "15 }\n")),
            "needle.toml:9:1: the body has no skin at station 10, 15 mm to the right; move the "
            "point towards the body, or write it as [x, y, z]");
}

}  // namespace
}  // namespace trueblank::sheet
