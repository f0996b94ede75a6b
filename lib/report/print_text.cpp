// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/print_text.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "report/input_text.h"
#include "report/layout.h"

namespace trueblank::report {

using body::Chamber;
using body::MirrorTruth;
using body::PrintCheck;
using body::Thickness;
using body::ThinPlace;
using body::Trueness;

namespace {

constexpr std::size_t usual_places = 6;

std::string mm(double value) { return fixed(value, 2) + " mm"; }

// Small deviations by figures that count, not by decimals; what is rounding is none.
std::string small_mm(double value) {
  return (std::abs(value) < 1e-9 ? std::string("0") : figures(value, 2)) + " mm";
}

std::string cm3(double mm3) { return fixed(mm3 / 1000, 3) + " cm³"; }

std::string count_of(std::size_t count, const std::string& one) {
  return grouped(static_cast<long long>(count)) + ' ' + one + (count == 1 ? "" : "s");
}

std::size_t full_count(const Thickness& found, bool runs_out) {
  const auto shown = static_cast<std::size_t>(std::ranges::count(
      found.places, runs_out, [](const ThinPlace& place) { return place.runs_out; }));
  const bool last_runs_out = !found.places.empty() && found.places.back().runs_out;
  return shown + (last_runs_out == runs_out ? static_cast<std::size_t>(found.left_out) : 0);
}

std::string feature_words(const body::PrintOptions& options) {
  return (options.from == body::FeatureFrom::voxel ? "a voxel of " : "a nozzle of ") +
         mm(options.feature_mm);
}

// "2 walls under 0.80 mm, the thinnest 0.41 mm".
std::string thin_words(const Thickness& found, const body::PrintOptions& options,
                       const std::string& what, const std::string& least) {
  const std::size_t count = full_count(found, false);
  if (count == 0) return "no " + what + " under " + mm(options.weak_mm());
  return count_of(count, what) + " under " + mm(options.weak_mm()) + ", the " + least + ' ' +
         mm(*found.least_mm);
}

const ThinPlace* most_lost(const Thickness& found) {
  const ThinPlace* most = nullptr;
  for (const ThinPlace& place : found.places) {
    if (place.runs_out && (most == nullptr || place.lost_mm > most->lost_mm)) most = &place;
  }
  return most;
}

std::string truth_answer(const MirrorTruth& truth) {
  switch (truth.is) {
    case Trueness::exact:
      return "Left and right are true within 0.001 mm";
    case Trueness::facets:
      return "Left and right differ by no more than its flat facets explain";
    case Trueness::untrue:
      return "Left and right differ: " + small_mm(truth.places.front().greatest_mm) + " at the " +
             truth.places.front().name;
    case Trueness::no_plane:
      break;
  }
  return "Left and right are not told: its shape leaves the mirror plane open";
}

std::string truth_text(const MirrorTruth& truth) {
  const std::string most = small_mm(truth.greatest_mm);
  const std::string mirrored = percent(truth.vertices_mirrored, 1) +
                               " of the vertices stand over "
                               "against a vertex";
  switch (truth.is) {
    case Trueness::exact:
      return "true within 0.001 mm; at the most " + most + "; " + mirrored;
    case Trueness::facets:
      return "up to " + most + " apart; " + mirrored +
             ", and flat facets stand off a round skin by " + small_mm(truth.facets_mm) +
             " (root mean square) there, which explains it: a finer or a mirrored mesh tells more";
    case Trueness::untrue:
      return "not true: up to " + most + " apart at " + point_text(truth.greatest_at_mm, 1) + "; " +
             mirrored;
    case Trueness::no_plane:
      break;
  }
  return "not told: the shape leaves the mirror plane open; --back sets it";
}

std::string box_text(const std::array<double, 3>& box) {
  return fixed(box[0], 1) + " × " + fixed(box[1], 1) + " × " + fixed(box[2], 1) + " mm";
}

std::string rest_text(const body::BedRest& rest, bool with_bed) {
  std::string text = rest.name + ": " + box_text(rest.box_mm);
  if (rest.turned_deg != 0) text += ", turned by " + fixed(rest.turned_deg, 1) + "°";
  if (!with_bed) return text;
  return text + (rest.fits ? ", with " + mm(rest.spare_mm) + " to spare"
                           : ", too long by " + mm(-rest.spare_mm));
}

std::string room_text(const Chamber& room) {
  std::string text = "a room of " + cm3(room.volume_mm3);
  if (room.bound_mm3 > 0) text += " (± " + fixed(room.bound_mm3 / 1000, 3) + ")";
  text += ", " + fixed(room.from_station_mm, 0) + " to " + fixed(room.to_station_mm, 0) +
          " mm from the nose, ";
  if (!room.opening) return text + "closed all round: water-tight as drawn";
  if (!(room.opening->width_mm > 0)) return text + "with no way out that the grid shows";
  return text + "open through a hole about " + mm(room.opening->width_mm) + " wide (" +
         room.opening->name + "): fills with water";
}

void add_rooms(Facts& facts, const body::Hollow& hollow) {
  if (hollow.chambers.empty()) facts.add("hollow", "no room in it");
  std::string name = "hollow";
  for (const Chamber& room : hollow.chambers) {
    facts.add(name, room_text(room));
    name = "";
  }
  if (hollow.grid_mm > 0) {
    facts.add("", "ways out were sought on a grid of " + mm(hollow.grid_mm) +
                      "; one narrower than about " + mm(hollow.narrowest_mm) + " may be missed");
  }
}

// The places of one kind as a table, then their names.
std::string places_text(const Thickness& found, bool runs_out, const std::string& heading,
                        const TextStyle& style) {
  std::vector<const ThinPlace*> places;
  for (const ThinPlace& place : found.places) {
    if (place.runs_out == runs_out) places.push_back(&place);
  }
  if (places.empty()) return "";
  const std::size_t shown = style.verbose ? places.size() : std::min(places.size(), usual_places);
  Table table;
  table.row({heading, "from nose", runs_out ? "lost" : "least", "area", "under one"});
  table.row({"", "mm", "mm", "mm²", "mm²"});
  std::string names;
  for (std::size_t i = 0; i < shown; ++i) {
    const ThinPlace& place = *places[i];
    const std::string number = grouped(static_cast<long long>(i) + 1);
    table.row({number, fixed(place.from_station_mm, 0) + " to " + fixed(place.to_station_mm, 0),
               fixed(runs_out ? place.lost_mm : place.least_mm, 2), grouped(place.area_mm2, 1),
               grouped(place.under_one_mm2, 1)});
    names += paragraph(number + ": " + place.name, 5, 2);
  }
  const std::size_t more = full_count(found, runs_out) - shown;
  if (more > 0) names += paragraph("and " + count_of(more, "smaller one"), 2, 2);
  return '\n' + table.text() + names;
}

std::string untrue_text(const MirrorTruth& truth, const TextStyle& style) {
  if (truth.places.empty()) return "";
  const std::size_t shown =
      style.verbose ? truth.places.size() : std::min(truth.places.size(), usual_places);
  std::string text = "\nWhere left and right differ by more than 0.001 mm (> 0 proud):\n";
  for (std::size_t i = 0; i < shown; ++i) {
    const body::UntruePlace& place = truth.places[i];
    text += paragraph((place.greatest_mm > 0 ? "+" : "") + small_mm(place.greatest_mm) + " at " +
                          point_text(place.greatest_at_mm, 1) + ": " + place.name + ", " +
                          grouped(place.area_mm2, 1) + " mm²",
                      4, 2);
  }
  const std::size_t more = truth.places.size() - shown + static_cast<std::size_t>(truth.left_out);
  if (more > 0) text += paragraph("and " + count_of(more, "smaller one"), 2, 2);
  return text;
}

std::string cautions() {
  return '\n' +
         paragraph(
             "A thickness is no promise of strength. A wet resin print is a skin irritant and "
             "makes "
             "some people allergic for good: gloves, eyes covered, fresh air, and cure it before "
             "you sand it. Sand wet or with a mask: the dust of prints is not for lungs. The "
             "product's own safety sheet comes first.");
}

}  // namespace

std::string print_answer(const PrintCheck& print, const TextStyle& style) {
  static_cast<void>(style);
  std::string text = print.unsound.empty() ? "To print: the file is sound as it stands; "
                                           : "To print: the file is not sound as it stands; ";
  text += thin_words(print.walls, print.options, "wall", "thinnest") + ", " +
          thin_words(print.gaps, print.options, "gap", "narrowest") + ".";
  if (const ThinPlace* place = most_lost(print.walls); place != nullptr && place->lost_mm > 0) {
    text += " Where it runs out, about " + mm(place->lost_mm) + " is lost (" + place->name + ").";
  }
  text += ' ' + truth_answer(print.mirror) + ".";
  for (const Chamber& room : print.hollow.chambers) {
    text += " It holds " + room_text(room) + ".";
    if (print.hollow.chambers.size() > 1) {
      text += " And " + count_of(print.hollow.chambers.size() - 1, "other room") + ".";
    }
    break;
  }
  if (!print.options.bed_mm) return text;
  const body::BedRest& best = print.rests.front();
  return text + (print.fits_bed() ? " It fits the bed " : " It does not fit the bed: best ") +
         rest_text(best, true) + ".";
}

std::string print_text(const PrintCheck& print, const TextStyle& style) {
  const body::PrintOptions& options = print.options;
  Facts facts;
  facts.add("to be printed with",
            feature_words(options) +
                (options.from == body::FeatureFrom::assumed
                     ? " (taken for usual; --nozzle or --voxel sets it)"
                     : "") +
                ": what is under that can't be printed, under " + mm(options.weak_mm()) +
                (options.wall_min_mm ? " is too thin" : ", two of them, is weak"));
  if (print.unsound.empty()) facts.add("stands as it is", "yes");
  std::string name = "stands as it is";
  for (const std::string& reason : print.unsound) {
    facts.add(name, (name.empty() ? "" : "no: ") + reason);
    name = "";
  }
  facts.add("walls", thin_words(print.walls, options, "wall", "thinnest") +
                         (print.walls.median_mm
                              ? "; of what is not over " + mm(print.measured_to_mm) +
                                    " a twentieth is under " + mm(*print.walls.twentieth_mm) +
                                    ", half under " + mm(*print.walls.median_mm)
                              : std::string()));
  facts.add("gaps", thin_words(print.gaps, options, "gap", "narrowest"));
  facts.add("", "measured about every " + mm(print.sampled_every_mm) +
                    "; skins face each other from 120° between their normals");
  facts.add("left and right", truth_text(print.mirror));
  facts.add("material", cm3(print.material_mm3) + ", skin " + grouped(print.area_mm2, 0) + " mm²");
  add_rooms(facts, print.hollow);
  if (options.bed_mm) facts.add("bed", box_text(*options.bed_mm));
  for (const body::BedRest& rest : print.rests) {
    facts.add(&rest == &print.rests.front() ? "box" : "",
              rest_text(rest, options.bed_mm.has_value()));
  }
  return facts.text() + places_text(print.walls, false, "thin wall", style) +
         places_text(print.walls, true, "runs out", style) +
         places_text(print.gaps, false, "narrow gap", style) +
         places_text(print.gaps, true, "sharp notch", style) + untrue_text(print.mirror, style) +
         cautions();
}

}  // namespace trueblank::report
