// SPDX-License-Identifier: GPL-3.0-or-later
// What is asked of the intake, from the command line to the JSON and the written mesh, against
// bodies of known volume.
#include <gmock/gmock.h>

#include <cmath>
#include <numbers>
#include <random>

#include "geometry/moments.h"
#include "intake/read_mesh.h"
#include "intake/threemf_bytes.h"
#include "intake/write_glb.h"
#include "support/bodies.h"
#include "support/in_one_line.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using geometry::Mat3;
using geometry::TriangleMesh;
using geometry::Vec3;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr double a_mm = 60;
constexpr double b_mm = 9;
constexpr double c_mm = 12;
constexpr double ellipsoid_mm3 = 4 * std::numbers::pi / 3 * a_mm * b_mm * c_mm;
// A ring of n vertices has sin(2π/n)·n/2π of the circle's area, and m bands of the meridian fall
// short likewise: 0.2 % for 64 and 96.
constexpr double of_facets = 0.003;

TriangleMesh ellipsoid() { return test_bodies::ellipsoid(a_mm, b_mm, c_mm, 96, 64); }

double number(const Json& json, const char* key) { return json[key].get<double>(); }

Json reshaped(const Json& json) {
  EXPECT_EQ(json["reshaped"].size(), 1U);
  return json["reshaped"].empty() ? Json() : json["reshaped"][0];
}

TriangleMesh mesh_in(const std::string& bytes, const std::string& name) {
  return intake::parse_mesh(bytes, name).in_mm(1);
}

class IntakeOptions : public Tool {
 protected:
  [[nodiscard]] TriangleMesh written(const std::string& name) const {
    return mesh_in(read(name), name);
  }
};

TEST_F(IntakeOptions, SmoothTakesRipplesOffAndKeepsTheVolume) {
  TriangleMesh rough = ellipsoid();
  std::mt19937 chance(5);
  std::normal_distribution<double> ripple(1, 0.01);
  for (int v = 0; v < rough.vertex_count(); ++v) {
    rough.positions_mm.bottomRows(2).col(v) *= ripple(chance);
  }
  write_stl("rough.stl", rough);
  const Json before = json_of({"weigh", "rough.stl", "--units", "mm"});
  const Json after = json_of({"weigh", "rough.stl", "--units", "mm", "--smooth", "6"});
  EXPECT_TRUE(before["reshaped"].empty());
  const Json one = reshaped(after);
  EXPECT_EQ(one["what"], "smoothed");
  EXPECT_EQ(one["facets"].get<int>(), rough.facet_count());
  // The ripple is 0.1 mm: it goes, and nothing goes farther than some of its deviations.
  EXPECT_GT(number(before["skin"], "noise_mm"), 0.05);
  EXPECT_LT(number(after["skin"], "noise_mm"), 0.4 * number(before["skin"], "noise_mm"));
  EXPECT_GT(number(one, "greatest_distance_mm"), 0.1);
  EXPECT_LT(number(one, "greatest_distance_mm"), 1);
  EXPECT_NEAR(number(after, "volume_mm3"), ellipsoid_mm3, 2 * of_facets * ellipsoid_mm3);
  EXPECT_NEAR(number(after, "volume_mm3") - number(before, "volume_mm3"),
              number(one, "volume_change_mm3"), 1e-6 * ellipsoid_mm3);
}

// A scan's noise is one of the doubts, and the text says whence it is known; a drawing has none.
TEST_F(IntakeOptions, OfNoiseOnlyAScanIsToldToHaveAny) {
  TriangleMesh rough = ellipsoid();
  std::mt19937 chance(7);
  std::normal_distribution<double> ripple(1, 0.005);
  for (int v = 0; v < rough.vertex_count(); ++v) {
    rough.positions_mm.bottomRows(2).col(v) *= ripple(chance);
  }
  write_stl("rough.stl", rough);
  const auto text = [&](const std::string& verb, const std::string& body) {
    return test_text::in_one_line(
        run({verb, body, "--nose", "-x", "--back", "+z", "--verbose"}).out);
  };
  EXPECT_THAT(text("weigh", "rough.stl"), HasSubstr("mm, as left and right differ, "));
  EXPECT_THAT(text("weigh", "rough.stl"), HasSubstr("as it was scanned; "));
  write("drawn.toml",
        "[[section]]\nstation = 0\nwidth = 0\nabove = 0\nbelow = 0\n[[section]]\nstation = 50\n"
        "width = 18\nabove = 9\nbelow = 13\n[[section]]\nstation = 110\nwidth = 4\nabove = 3\n"
        "below = 4\n[wood]\ndensity = 0.4\n");
  for (const std::string verb : {"weigh", "mirror", "float"}) {
    const std::string said = test_text::in_one_line(run({verb, "drawn.toml", "--verbose"}).out);
    EXPECT_GT(said.size(), 200U) << verb;
    EXPECT_THAT(said, Not(HasSubstr("noise"))) << verb;
    EXPECT_THAT(said, Not(HasSubstr("scan"))) << verb;
    EXPECT_THAT(said, Not(HasSubstr("from the shape"))) << verb;
  }
  EXPECT_THAT(test_text::in_one_line(run({"mirror", "drawn.toml"}).out),
              HasSubstr("the one that it is drawn about"));
}

TEST_F(IntakeOptions, ThinDrawsTheBodyWithFewFacets) {
  write_stl("fine.stl", ellipsoid());
  const Json json = json_of({"check", "fine.stl", "--thin", "1500", "--aligned", "thin.ply"});
  const Json one = reshaped(json);
  EXPECT_EQ(one["what"], "thinned");
  EXPECT_LE(one["facets"].get<int>(), 1500);
  EXPECT_GT(one["facets"].get<int>(), 1400);
  EXPECT_GT(number(one, "greatest_distance_mm"), 0);
  EXPECT_LT(number(one, "greatest_distance_mm"), 0.3);
  EXPECT_NEAR(number(json, "volume_mm3"), ellipsoid_mm3, of_facets * ellipsoid_mm3);
  const TriangleMesh thin = written("thin.ply");
  EXPECT_EQ(thin.facet_count(), one["facets"].get<int>());
  EXPECT_NEAR(geometry::signed_volume_mm3(thin, Vec3::Zero()), number(json, "volume_mm3"), 1e-3);
  EXPECT_THAT(test_text::in_one_line(run({"check", "fine.stl", "--thin", "1500"}).out),
              HasSubstr("facets, volume changed by "));
}

// The upper part of an ellipsoid, down to `below_mm` under its middle, and from there a level sheet
// (reach > 1) or a lid (reach 0).
TriangleMesh dome(double below_mm, double reach) {
  constexpr int around = 64;
  constexpr int bands = 40;
  constexpr int sheets = 12;
  const double most = std::acos(-below_mm / c_mm);
  std::vector<Vec3> places{Vec3(0, 0, c_mm)};
  for (int ring = 1; ring <= bands + sheets; ++ring) {
    const double turn = most * std::min(ring, bands) / bands;
    const double on_sheet = std::max(ring - bands, 0) / static_cast<double>(sheets);
    const double out = std::sin(turn) * (1 + (reach - 1) * on_sheet);
    if (out < 1e-9) continue;  // a lid ends in its middle
    for (int k = 0; k < around; ++k) {
      const double at = 2 * std::numbers::pi * k / around;
      places.emplace_back(a_mm * out * std::cos(at), b_mm * out * std::sin(at),
                          c_mm * std::cos(turn));
    }
  }
  std::vector<Eigen::Vector3i> facets;
  const int rings = (static_cast<int>(places.size()) - 1) / around;
  for (int k = 0; k < around; ++k) {
    const int j = (k + 1) % around;
    facets.emplace_back(0, 1 + k, 1 + j);
    for (int ring = 0; ring + 1 < rings; ++ring) {
      const int p = 1 + ring * around;
      const int q = p + around;
      facets.emplace_back(p + k, q + k, q + j);
      facets.emplace_back(p + k, q + j, p + j);
    }
    const int last = 1 + (rings - 1) * around;
    if (reach == 0) facets.emplace_back(static_cast<int>(places.size()), last + j, last + k);
  }
  if (reach == 0) places.emplace_back(0, 0, -below_mm);
  TriangleMesh mesh;
  mesh.positions_mm.resize(3, static_cast<Eigen::Index>(places.size()));
  mesh.facets.resize(3, static_cast<Eigen::Index>(facets.size()));
  for (std::size_t i = 0; i < places.size(); ++i) {
    mesh.positions_mm.col(static_cast<Eigen::Index>(i)) = places[i];
  }
  for (std::size_t i = 0; i < facets.size(); ++i) {
    mesh.facets.col(static_cast<Eigen::Index>(i)) = facets[i];
  }
  return mesh;
}

// ∫ πab(1 − z²/c²) dz from −h to c.
double dome_mm3(double h_mm) {
  const double t = h_mm / c_mm;
  return std::numbers::pi * a_mm * b_mm * c_mm * (2.0 / 3 + t - t * t * t / 3);
}

TEST_F(IntakeOptions, ATableGoesUnlessItIsToBeKept) {
  write_stl("scan.stl", dome(3, 2.5));
  const Json cut = json_of({"weigh", "scan.stl", "--units", "mm"});
  EXPECT_THAT(cut["mended"].dump(), HasSubstr("table facets cut off"));
  EXPECT_NEAR(number(cut, "volume_mm3"), dome_mm3(3), number(cut, "volume_bound_mm3"));
  // The whole underside is made up: half of the skin's extent.
  EXPECT_LT(number(cut, "volume_bound_mm3"), 0.2 * dome_mm3(3));
  const Json size = json_of({"check", "scan.stl", "--units", "mm"})["size_mm"];
  EXPECT_NEAR(number(size, "length"), 2 * a_mm, 1);
  // Kept, the sheet and what closes it lie on each other and enclose nothing: the dome is left.
  const Json kept = json_of({"weigh", "scan.stl", "--units", "mm", "--table", "keep"});
  EXPECT_THAT(kept["mended"].dump(), Not(HasSubstr("table")));
  EXPECT_NEAR(number(kept, "volume_mm3"), dome_mm3(3), of_facets * dome_mm3(3));
}

TEST_F(IntakeOptions, AFlatSideIsTheBodysOwnUnlessItIsToBeCut) {
  write_stl("flat.stl", dome(3, 0));
  const Json own = json_of({"weigh", "flat.stl", "--units", "mm"});
  EXPECT_THAT(own["mended"].dump(), Not(HasSubstr("table")));
  EXPECT_NEAR(number(own, "volume_mm3"), dome_mm3(3), of_facets * dome_mm3(3));
  EXPECT_EQ(number(own["made_up"], "share"), 0);
  const Json cut = json_of({"weigh", "flat.stl", "--units", "mm", "--table", "cut"});
  EXPECT_THAT(cut["mended"].dump(), HasSubstr("table facets cut off"));
  EXPECT_GT(number(cut["made_up"], "share"), 0.1);
  EXPECT_NEAR(number(cut, "volume_mm3"), dome_mm3(3), number(cut, "volume_bound_mm3"));
}

// The written mesh lies in the lure's own frame: read again, with the nose along -x and the back
// along +z, its frame is the file's axes.
TEST_F(IntakeOptions, AlignedLiesInTheBodyFrameFromMirrorInEveryFormat) {
  const Mat3 turn = test_bodies::random_turn(3);
  const TriangleMesh turned =
      test_bodies::moved(test_bodies::glider(4000), turn, Vec3(30, -20, 50));
  write_ply("turned.ply", turned);
  const auto direction = [&](const Vec3& of) {
    const Vec3 d = turn * of;
    return std::to_string(d.x()) + "," + std::to_string(d.y()) + "," + std::to_string(d.z());
  };
  const double volume_mm3 = geometry::signed_volume_mm3(turned, Vec3::Zero());
  for (const std::string name : {"a.ply", "a.stl", "a.obj"}) {
    const Json first =
        json_of({"mirror", "turned.ply", "--units", "mm", "--nose", direction(-Vec3::UnitX()),
                 "--back", direction(Vec3::UnitZ()), "--aligned", name});
    // It was no identity to begin with: x is the turned one, but for what the long axis leans.
    EXPECT_NEAR(first["frame"]["x"][0].get<double>(), turn(0, 0), 0.01);
    const Json again = json_of({"mirror", name, "--units", "mm", "--nose", "-x", "--back", "+z"});
    // STL has floats: seven digits of some 160 mm.
    for (std::size_t k = 0; k < 3; ++k) {
      EXPECT_NEAR(again["frame"]["origin_mm"][k].get<double>(), 0, 1e-3) << name;
      EXPECT_NEAR(again["frame"]["x"][k].get<double>(), k == 0 ? 1 : 0, 1e-4) << name;
      EXPECT_NEAR(again["frame"]["y"][k].get<double>(), k == 1 ? 1 : 0, 1e-4) << name;
      EXPECT_NEAR(again["frame"]["z"][k].get<double>(), k == 2 ? 1 : 0, 1e-4) << name;
    }
    EXPECT_NEAR(geometry::signed_volume_mm3(written(name), Vec3::Zero()), volume_mm3,
                1e-5 * volume_mm3)
        << name;
  }
}

// Outside it is true, whatever its cavity is like: that lies 3 mm to one side.
TEST_F(IntakeOptions, ACavitysWallIsNoSkinToMirror) {
  const TriangleMesh cavity = test_bodies::inside_out(test_bodies::moved(
      test_bodies::ellipsoid(30, 3, 4, 32, 24), Mat3::Identity(), Vec3(0, 3, 0)));
  write_stl("hollow.stl", test_bodies::joined(ellipsoid(), cavity));
  const Json json =
      json_of({"mirror", "hollow.stl", "--units", "mm", "--nose", "-x", "--back", "+z"});
  EXPECT_LT(number(json["deviation_mm"], "rms"), 1e-3);
  EXPECT_LT(number(json["deviation_mm"], "max_proud"), 1e-2);
  EXPECT_GT(number(json["deviation_mm"], "max_shy"), -1e-2);
  EXPECT_TRUE(json["patches"].empty());
}

TEST_F(IntakeOptions, GltfIsInMetres) {
  write("lure.glb", intake::glb_bytes(test_bodies::box(120, 30, 20)));
  const Json json = json_of({"check", "lure.glb"});
  EXPECT_EQ(json["input"]["scale_from"], "format");
  EXPECT_NEAR(number(json["size_mm"], "length"), 120, 1e-4);
  EXPECT_NEAR(number(json["size_mm"], "width"), 30, 1e-4);
  EXPECT_NEAR(number(json["size_mm"], "height"), 20, 1e-4);
  EXPECT_NEAR(number(json_of({"weigh", "lure.glb"}), "volume_mm3"), 72000, 0.1);
}

#ifdef TRUEBLANK_WITH_3MF
// A box as a 3MF model in a unit of its own.
std::string box_3mf(const std::string& unit, double l, double w, double h) {
  const TriangleMesh box = test_bodies::box(l, w, h);
  std::string text = "<?xml version=\"1.0\"?><model unit=\"" + unit +
                     "\"><resources><object id=\"1\" type=\"model\"><mesh><vertices>";
  for (int v = 0; v < box.vertex_count(); ++v) {
    const Vec3 p = box.positions_mm.col(v);
    text += "<vertex x=\"" + std::to_string(p.x()) + "\" y=\"" + std::to_string(p.y()) + "\" z=\"" +
            std::to_string(p.z()) + "\"/>";
  }
  text += "</vertices><triangles>";
  for (int f = 0; f < box.facet_count(); ++f) {
    text += "<triangle v1=\"" + std::to_string(box.facets(0, f)) + "\" v2=\"" +
            std::to_string(box.facets(1, f)) + "\" v3=\"" + std::to_string(box.facets(2, f)) +
            "\"/>";
  }
  return intake::threemf(text +
                         "</triangles></mesh></object></resources><build><item objectid=\"1\"/>"
                         "</build></model>");
}

// Source: the units of the 3MF core specification, and the inch of 1959, 25.4 mm.
TEST_F(IntakeOptions, ThreemfNamesItsUnit) {
  const std::vector<std::pair<std::string, double>> units = {{"micron", 0.001},  {"millimeter", 1},
                                                             {"centimeter", 10}, {"inch", 25.4},
                                                             {"foot", 304.8},    {"meter", 1000}};
  for (const auto& [unit, mm] : units) {
    write("lure.3mf", box_3mf(unit, 120 / mm, 30 / mm, 20 / mm));
    const Json json = json_of({"check", "lure.3mf"});
    EXPECT_EQ(json["input"]["scale_from"], "format") << unit;
    // The file has six decimals.
    const double rounding = 2e-6 * mm + 1e-9;
    EXPECT_NEAR(number(json["size_mm"], "length"), 120, rounding) << unit;
    EXPECT_NEAR(number(json["size_mm"], "width"), 30, rounding) << unit;
    EXPECT_NEAR(number(json["size_mm"], "height"), 20, rounding) << unit;
  }
}
#endif

// Source: EOS-80 at one atmosphere, 20 °C: 998.2063 kg/m³ fresh, 1024.7630 at salinity 35
// (Fofonoff & Millard, Unesco technical paper 44, 1983).
TEST_F(IntakeOptions, TheBucketsWaterIsWhatItSays) {
  write_stl("box.stl", test_bodies::box(6, 1.5, 1));
  const auto volume_mm3 = [&](const std::string& water) {
    write("lure.toml",
          "[body]\nmesh = \"box.stl\"\nnose = \"-x\"\nback = \"+z\"\ndisplaced = \"70 g\"\n" +
              water + "[wood]\ndensity = 0.4\n[water]\nkind = \"sea\"\ntemperature = 5\n");
    return number(json_of({"check", "lure.toml"}), "volume_mm3");
  };
  EXPECT_NEAR(volume_mm3(""), 70 / 0.9982063 * 1000, 0.5);
  EXPECT_NEAR(volume_mm3("displaced_water = { kind = \"sea\", temperature = 20 }\n"),
              70 / 1.0247630 * 1000, 0.5);
  EXPECT_NEAR(volume_mm3("displaced_water = { density = 1.01 }\n"), 70 / 1.01 * 1000, 0.5);
}

// A plate with n × n square holes through it, of cubes with sides of a mm: of genus n².
TriangleMesh plate_with_holes(int n, double side) {
  const int cells = 2 * n + 1;
  const auto solid = [&](int i, int j) {
    return i >= 0 && j >= 0 && i < cells && j < cells && (i % 2 == 0 || j % 2 == 0);
  };
  const auto corner = [&](int i, int j, int k) { return (i * (cells + 1) + j) * 2 + k; };
  TriangleMesh mesh;
  mesh.positions_mm.resize(3, 2 * (cells + 1) * (cells + 1));
  std::vector<std::array<int, 4>> quads;
  for (int i = 0; i <= cells; ++i) {
    for (int j = 0; j <= cells; ++j) {
      for (int k = 0; k < 2; ++k) mesh.positions_mm.col(corner(i, j, k)) = side * Vec3(i, j, k);
      if (!solid(i, j)) continue;
      quads.push_back(
          {corner(i, j, 1), corner(i + 1, j, 1), corner(i + 1, j + 1, 1), corner(i, j + 1, 1)});
      quads.push_back(
          {corner(i, j, 0), corner(i, j + 1, 0), corner(i + 1, j + 1, 0), corner(i + 1, j, 0)});
      if (!solid(i - 1, j)) {
        quads.push_back(
            {corner(i, j, 0), corner(i, j, 1), corner(i, j + 1, 1), corner(i, j + 1, 0)});
      }
      if (!solid(i + 1, j)) {
        quads.push_back({corner(i + 1, j, 0), corner(i + 1, j + 1, 0), corner(i + 1, j + 1, 1),
                         corner(i + 1, j, 1)});
      }
      if (!solid(i, j - 1)) {
        quads.push_back(
            {corner(i, j, 0), corner(i + 1, j, 0), corner(i + 1, j, 1), corner(i, j, 1)});
      }
      if (!solid(i, j + 1)) {
        quads.push_back({corner(i, j + 1, 0), corner(i, j + 1, 1), corner(i + 1, j + 1, 1),
                         corner(i + 1, j + 1, 0)});
      }
    }
  }
  mesh.facets.resize(3, 2 * static_cast<Eigen::Index>(quads.size()));
  for (std::size_t q = 0; q < quads.size(); ++q) {
    const auto& [a, b, c, d] = quads[q];
    mesh.facets.col(2 * static_cast<Eigen::Index>(q)) << a, b, c;
    mesh.facets.col(2 * static_cast<Eigen::Index>(q) + 1) << a, c, d;
  }
  return mesh;
}

// Source: Gauss and Bonnet. A skin moved out by t gains area·t + (mean curvature)·t² +
// (4π/3)(1 − genus)·t³: with many holes a coat thick beside the body turns it inside out.
TEST_F(IntakeOptions, ACoatThatFoldsInIsRefused) {
  write_stl("plate.stl", plate_with_holes(4, 0.3));
  const auto sheet = [&](double thickness_mm) {
    write("lure.toml",
          "[body]\nmesh = \"plate.stl\"\nunits = \"mm\"\nnose = \"-x\"\nback = \"+z\"\n[wood]\n"
          "density = 0.4\n[finish]\nthickness = " +
              std::to_string(thickness_mm) + "\ndensity = 1.1\n");
  };
  sheet(4.5);
  EXPECT_THAT(refusal({"float", "lure.toml"}),
              HasSubstr("lure.toml:9:1: a coat of 4.5 mm folds in on itself on this body; give a "
                        "thinner one, or mend the mesh"));
  sheet(0.05);
  EXPECT_EQ(run({"float", "lure.toml"}).exit, 0);
}

}  // namespace
}  // namespace trueblank::test_tool
