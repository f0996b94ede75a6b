// SPDX-License-Identifier: GPL-3.0-or-later
// The drawing of a plan: what is on it, and that it is at true size.
#include "report/plan_drawing.h"

#include <gmock/gmock.h>

#include <algorithm>
#include <regex>

#include "made_up_plan.h"
#include "report/plan_blocks.h"

namespace trueblank::report {
namespace {

using ::testing::HasSubstr;

// A spindle of 165 mm, 24 mm high and 20 mm wide.
symmetry::Profiles spindle() {
  symmetry::Profiles profiles;
  profiles.side_mm = {{0, 0}, {60, -14}, {165, 0}, {60, 10}};
  profiles.top_mm = {{0, 0}, {60, 10}, {165, 0}};
  return profiles;
}

BallastResult wired() {
  BallastResult result = unmet_plan();
  result.found.plan.rig.wires = {
      {.name = "wire", .diameter_mm = 1.6, .path_mm = {{-7, 0, 1}, {12, 0, 0}, {172, 0, 0}}}};
  result.wires = {tuning::BendPlan{.name = "wire",
                                   .diameter_mm = 1.6,
                                   .straight_mm = 179.03,
                                   .lengths_mm = {19.03, 160},
                                   .bends = {{.from_start_mm = 19.03, .angle_deg = 3}},
                                   .eye_mm = 48.5,
                                   .cut_mm = 276.03}};
  return result;
}

std::vector<PagePoint> longest_closed(const Block& block, Line line) {
  std::vector<PagePoint> longest;
  for (const Stroke& stroke : block.sketch.strokes) {
    if (stroke.line == line && stroke.closed && stroke.points.size() > longest.size()) {
      longest = stroke.points;
    }
  }
  return longest;
}

TEST(PlanView, IsAtTrueSize) {
  const BallastResult result = wired();
  const std::vector<PagePoint> outline =
      longest_closed(plan_side_view({result, spindle()}), Line::cut);
  ASSERT_EQ(outline.size(), 4U);
  EXPECT_NEAR(outline[2].x() - outline[0].x(), 165, 1e-12);
  EXPECT_NEAR(outline[1].y() - outline[3].y(), 24, 1e-12);  // down the page is down
}

// The hole starts at 71.3 mm from the nose on the belly, is 8 mm wide and 14.2 mm deep.
TEST(PlanView, HasTheHoleWhereItIsDrilled) {
  const BallastResult result = wired();
  const Block view = plan_side_view({result, spindle()});
  const PagePoint nose = longest_closed(view, Line::cut)[0];
  bool seen = false;
  for (const Stroke& stroke : view.sketch.strokes) {
    if (stroke.line != Line::axis || stroke.points.size() != 2) continue;
    const PagePoint end = stroke.points[1] - nose;
    seen = seen || (std::abs(end.x() - 71.3) < 1e-9 && std::abs(end.y() - 0) < 1e-9);
  }
  EXPECT_TRUE(seen) << "no axis of a hole that ends at its flat end";
  const bool labelled =
      std::ranges::any_of(view.sketch.words, [](const Words& w) { return w.text == "1: 71.3"; });
  EXPECT_TRUE(labelled);
}

TEST(PlanView, FromAboveHasAnUprightHoleRound) {
  const BallastResult result = wired();
  const Block view = plan_top_view({result, spindle()});
  const PagePoint nose = longest_closed(view, Line::cut)[0];
  std::vector<PagePoint> low;
  double least = 1e9;
  double most = -1e9;
  for (const Stroke& stroke : view.sketch.strokes) {
    if (stroke.line != Line::edge || !stroke.closed || stroke.points.size() < 20) continue;
    for (const PagePoint& p : stroke.points) {
      if (std::abs(p.x() - nose.x() - 71.3) > 4.001) continue;
      least = std::min(least, p.x() - nose.x());
      most = std::max(most, p.x() - nose.x());
    }
  }
  EXPECT_NEAR(least, 67.3, 1e-9);
  EXPECT_NEAR(most, 75.3, 1e-9);
}

TEST(PlanView, NoLabelLiesOnAnother) {
  BallastResult result = wired();
  for (int i = 0; i < 2; ++i) {
    result.found.plan.weights.push_back(result.found.plan.weights[0]);
    result.holes.push_back(result.holes[0]);
    result.holes.back()->start_mm.x() += 5 * (i + 1);
    result.bench.push_back(result.bench[0]);
  }
  const Block view = plan_side_view({result, spindle()});
  std::vector<Words> labels;
  for (const Words& words : view.sketch.words) {
    if (words.text.find(": ") != std::string::npos) labels.push_back(words);
  }
  ASSERT_EQ(labels.size(), 4U);
  for (std::size_t i = 0; i < labels.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      const bool apart_in_height =
          std::abs(labels[i].at.y() - labels[j].at.y()) >= labels[i].size_mm;
      const double left = std::min(labels[i].at.x(), labels[j].at.x());
      const double right = std::max(labels[i].at.x(), labels[j].at.x());
      EXPECT_TRUE(apart_in_height ||
                  right - left >= words_width_mm(labels[i].text, labels[i].size_mm))
          << labels[i].text << " on " << labels[j].text;
    }
  }
}

// The strokes along the wire, both of its sides: what they add up to.
double drawn_mm(const Block& block) {
  double sum = 0;
  for (const Stroke& stroke : block.sketch.strokes) {
    const PagePoint way = stroke.points.back() - stroke.points.front();
    if (stroke.line == Line::edge && way.y() == 0) sum += way.x();
  }
  return sum / 2;
}

TEST(StraightWire, IsAsLongAsItIsCut) {
  const tuning::BendPlan wire = wired().wires[0];
  EXPECT_NEAR(drawn_mm(straight_wire(wire, 400)), 276.03, 1e-9);
  const Block folded = straight_wire(wire, 120);
  EXPECT_NEAR(drawn_mm(folded), 276.03, 1e-9);
  EXPECT_LE(folded.size_mm.x(), 120);
  int eyes = 0;
  for (const Words& words : folded.sketch.words) eyes += words.text.starts_with("eye ") ? 1 : 0;
  EXPECT_EQ(eyes, 2);
}

TEST(TextBlock, BreaksLinesWithinTheWidth) {
  const Block block = text_block("Heading",
                                 {std::string(400, 'a').replace(50, 1, " "),
                                  "one two three four five six seven eight nine ten"},
                                 60);
  EXPECT_EQ(block.sketch.words.front().text, "Heading");
  for (const Words& words : block.sketch.words) {
    if (words.text.find(' ') == std::string::npos || words.text.starts_with("    a")) continue;
    EXPECT_LE(words_width_mm(words.text, words.size_mm), 60.001) << words.text;
  }
}

TEST(PlanDrawing, HasItsBarItsCautionsAndItsTitle) {
  const BallastResult result = wired();
  const std::string svg = plan_svg({result, spindle()});
  EXPECT_THAT(svg, HasSubstr("Drilling plan: Needle 165"));
  EXPECT_THAT(svg, HasSubstr("50 mm. Print at 100 % and measure this bar first."));
  EXPECT_THAT(svg, HasSubstr("Never pour molten lead into damp"));
  EXPECT_THAT(svg, HasSubstr("276.0"));
  EXPECT_EQ(svg, plan_svg({result, spindle()}));
  EXPECT_TRUE(plan_pdf({result, spindle()}).starts_with("%PDF-1.4"));
  EXPECT_NE(plan_pdf({result, spindle(), Paper::letter}), plan_pdf({result, spindle()}));
}

}  // namespace
}  // namespace trueblank::report
