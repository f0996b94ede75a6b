// SPDX-License-Identifier: GPL-3.0-or-later
#include <gmock/gmock.h>

#include <cmath>
#include <numbers>
#include <string>

#include "geometry/moments.h"
#include "sheet_fixture.h"

namespace trueblank::sheet {
namespace {

class DrawnBodies : public InAFolder {
 protected:
  DrawnBodies() {
    const std::string page =
        "<svg width='200mm' height='50mm' viewBox='0 0 200 50'><ellipse cx='100' cy='25' rx='80' ";
    std::ofstream("side.svg") << page << "ry='12'/></svg>";
    std::ofstream("top.svg") << page << "ry='10'/></svg>";
    std::ofstream("pixels.svg") << "<svg><ellipse cx='100' cy='25' rx='80' ry='12'/></svg>";
    std::ofstream("broken.svg") << "<svg><path d='M0'/></svg>";
  }
};

std::string section(const std::string& keys) { return "[[section]]\n" + keys + "\n"; }

const std::string nose = section("station = 0\nwidth = 0\nabove = 0\nbelow = 0");        // 1 to 5
const std::string middle = section("station = 80\nwidth = 20\nabove = 12\nbelow = 12");  // 6 to 10
const std::string tail = section("station = 160\nwidth = 0\nabove = 0\nbelow = 0");      // to 15
const std::string wood = "[wood]\ndensity = 0.4\n";
const std::string outlines = "[body]\nside = \"side.svg\"\ntop = \"top.svg\"\n";  // 1 to 3

Sheet parsed(const std::string& text) { return parse_sheet(text, "needle.toml"); }

double volume_mm3(const Sheet& sheet) {
  const auto body = geometry::closed_mesh(sheet.source().drawn.value().mesh_mm);
  EXPECT_TRUE(body);
  return geometry::moments(*body).volume_mm3;
}

// Source: V = 4/3·π·a·b·c; the facets lie within the ellipsoid, 0.06 % of it less.
constexpr double ellipsoid_mm3 = 4.0 / 3 * std::numbers::pi * 80 * 10 * 12;

TEST_F(DrawnBodies, OfSectionsNeedNoMeshAndNoBodyTable) {
  for (const std::string& body : {std::string(), std::string("[body]\n")}) {
    const Sheet sheet = parsed(body + nose + middle + tail + wood);
    EXPECT_NEAR(volume_mm3(sheet) / ellipsoid_mm3, 1, 1e-3);
    EXPECT_EQ(sheet.source().path, "needle.toml");
    EXPECT_EQ(sheet.source().drawn->format, "sections");
    EXPECT_EQ(sheet.mesh_path(), "");
    EXPECT_THAT(sheet.files(), testing::IsEmpty());
  }
}

// Its place and its size are known: nothing is left to guess.
TEST_F(DrawnBodies, SayWhereNoseAndBackAre) {
  const body::BodyHints hints = parsed(nose + middle + tail + wood).hints();
  EXPECT_EQ(hints.nose, -body::Vec3::UnitX());
  EXPECT_EQ(hints.back, body::Vec3::UnitZ());
  ASSERT_TRUE(hints.plane);
  EXPECT_EQ(hints.plane->normal, body::Vec3::UnitY());
  EXPECT_EQ(hints.units, body::Unit::mm);
}

TEST_F(DrawnBodies, TakeALengthInPlaceOfTheirOwn) {
  const body::BodyHints hints =
      parsed("[body]\nlength = 165\n" + nose + middle + tail + wood).hints();
  EXPECT_EQ(hints.length_mm, 165);
  EXPECT_FALSE(hints.units);
}

TEST_F(DrawnBodies, KnowHowFullTheyAre) {
  const double ellipse = volume_mm3(parsed(nose + middle + tail + wood));
  const auto with = [&](const std::string& fullness) {
    return volume_mm3(parsed(nose + middle + fullness + tail + fullness + wood)) / ellipse;
  };
  EXPECT_NEAR(with("fullness = 0.785398163397448\n"), 1, 1e-9);
  EXPECT_GT(with("fullness = 1\n"), 1.1);
  const double above = with("fullness_above = 1\n");
  EXPECT_NEAR(above, with("fullness_below = 1\n"), 1e-9) << "alike above and below the line";
  EXPECT_GT(above, 1.05);
}

// Heights as from a line 3 mm above the ellipsoid's axis: the body's own line is that axis.
TEST_F(DrawnBodies, SayThatPlacesCountFromTheirOwnLine) {
  const auto told = [](const std::string& sections) {
    const Sheet sheet = parsed(sections + wood);
    const body::FramedBody body =
        body::load_framed_body(sheet.source(), sheet.hints(), geometry::serial_for);
    return resolve(sheet, body).warnings;
  };
  EXPECT_THAT(told(nose + middle + tail), testing::IsEmpty());
  const std::string keys = "\nwidth = 0\nabove = -3\nbelow = 3";
  EXPECT_THAT(
      told(section("station = 0" + keys) +
           section("station = 80\nwidth = 20\nabove = 9\nbelow = 15\nwidest = -3") +
           section("station = 160" + keys)),
      testing::ElementsAre("Places count from the body's own long axis, not from the line of the "
                           "sections: it lies 3 mm below that line at the nose and 3 mm below it "
                           "at the tail. above_belly and below_back count from the skin."));
}

TEST_F(DrawnBodies, OfOutlinesAreReadFromTheirDrawings) {
  const Sheet sheet = parsed(outlines + "nose = \"-x\"\n" + wood);
  EXPECT_NEAR(volume_mm3(sheet) / ellipsoid_mm3, 1, 1e-3);
  EXPECT_EQ(sheet.source().drawn->format, "outlines");
  EXPECT_THAT(sheet.source().drawn->warnings, testing::IsEmpty());
  EXPECT_THAT(sheet.files(), testing::ElementsAre("side.svg", "top.svg"));
  const double full = volume_mm3(parsed(outlines + "fullness = 1\n" + wood));
  EXPECT_NEAR(full / ellipsoid_mm3, 4 / std::numbers::pi, 1e-3);
}

TEST_F(DrawnBodies, OfOutlinesSayWhatTheyAssume) {
  const std::string pixels = "[body]\nside = \"pixels.svg\"\ntop = \"top.svg\"\n";
  const std::vector<std::string> warnings = parsed(pixels + wood).source().drawn->warnings;
  ASSERT_EQ(warnings.size(), 3u);
  EXPECT_EQ(warnings[0],
            "The drawing pixels.svg doesn't say how big it is; with 96 of its units to the inch "
            "the body is 42.33 mm long; length in [body] says for sure.");
  EXPECT_EQ(warnings[1],
            "The outline in pixels.svg is 42.33 mm long, the one in top.svg 160.0 mm: that from "
            "above was fitted to that from the side.");
  EXPECT_EQ(warnings[2],
            "The nose is taken to be at the left of the drawings; nose = \"-x\" in [body] says so, "
            "nose = \"+x\" puts it at the right.");
  EXPECT_EQ(parsed(pixels + "length = 160\nnose = \"-x\"\n" + wood).source().drawn->warnings.size(),
            1u);
}

TEST_F(DrawnBodies, OfSectionsAreRefusedWithTheirPlace) {
  EXPECT_EQ(refusal(middle + wood),
            "needle.toml:1:1: one [[section]] alone makes no body; write two or more, from nose to "
            "tail");
  EXPECT_EQ(refusal(nose + middle + middle + tail + wood),
            "needle.toml:12:1: the section does not lie behind the one before it, at station 80; "
            "write the sections from nose to tail");
  EXPECT_EQ(refusal(nose + section("station = 9\nwidth = 0\nabove = 1\nbelow = 1") + tail + wood),
            "needle.toml:6:1: the section has no width or no height; only the first and the last "
            "may come to a point or an edge");
  EXPECT_EQ(refusal(nose + tail + wood),
            "needle.toml:1:1: the drawing encloses nothing; give some section width and height");
  EXPECT_EQ(refusal(nose + section("station = 9\nwidth = 3\nabove = 1\nbelow = -2") + tail + wood),
            "needle.toml:10:1: the section's belly lies above its back; above is measured up from "
            "the line, below down from it; below = -2 is 2 mm above it");
  EXPECT_EQ(refusal(nose + middle + "widest = 13\n" + tail + wood),
            "needle.toml:11:10: widest lies outside the section; it is the height of the widest "
            "place above the line, here between -12 and 12");
  EXPECT_EQ(refusal(nose + middle + "fullness = 0.4\n" + tail + wood),
            "needle.toml:11:12: fullness must be between 0.5 and 1; it is the share of its box "
            "that the section fills: 0.5 a diamond, 0.785 an ellipse, 1 a box");
  EXPECT_THAT(refusal(nose + section("station = 9") + tail + wood),
              testing::StartsWith("needle.toml:6:1: [[section]]"));
}

TEST_F(DrawnBodies, AreDrawnInOneWayOnly) {
  EXPECT_EQ(refusal("[body]\nmesh = \"needle.stl\"\n" + nose + middle + wood),
            "needle.toml:2:1: mesh and [[section]] can't both be given; the body is a mesh, or "
            "drawn by sections, or by side and top");
  EXPECT_EQ(refusal(outlines + nose + middle + wood),
            "needle.toml:2:1: side and [[section]] can't both be given; the body is a mesh, or "
            "drawn by sections, or by side and top");
  EXPECT_EQ(refusal("[body]\ntop = \"top.svg\"\n" + wood),
            "needle.toml:2:1: top is given without side; a body takes an outline from the side and "
            "one from above");
  EXPECT_EQ(refusal("[body]\nmesh = \"needle.stl\"\nfullness = 1\n" + wood),
            "needle.toml:3:1: fullness in [body] is for a body drawn by side and top; in a "
            "[[section]] it stands with the section; of a mesh the file knows");
  EXPECT_EQ(refusal("[body]\nnose = \"-x\"\n" + nose + middle + wood),
            "needle.toml:2:1: nose is not for a body drawn by sections; its nose is at the first "
            "section, its back above the line; remove nose");
  EXPECT_EQ(refusal("[body]\nunits = \"cm\"\n" + nose + middle + wood),
            "needle.toml:2:1: units is for a mesh, and this body is drawn; remove it; sections and "
            "outlines say where nose and back are");
}

TEST_F(DrawnBodies, OfOutlinesAreRefusedInOneLine) {
  EXPECT_EQ(refusal("[body]\nside = \"none.svg\"\ntop = \"top.svg\"\n" + wood),
            "needle.toml:2:1: there is no file \"none.svg\"; side is an SVG file beside the sheet: "
            "mend its name or its folder");
  EXPECT_EQ(refusal("[body]\nside = \"broken.svg\"\ntop = \"top.svg\"\n" + wood),
            "broken.svg: a <path> of the drawing can't be read; export it again as plain SVG");
  EXPECT_EQ(refusal(outlines + "nose = \"+y\"\n" + wood),
            "needle.toml:4:8: nose of a drawing is \"-x\" (left) or \"+x\" (right); draw the body "
            "along the drawing's x axis, the back up");
}

}  // namespace
}  // namespace trueblank::sheet
