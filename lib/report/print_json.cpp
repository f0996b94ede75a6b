// SPDX-License-Identifier: GPL-3.0-or-later
#include <utility>

#include "report/print_text.h"

namespace trueblank::report {

namespace {

using body::Thickness;

JsonObject thickness_json(const Thickness& found) {
  JsonObject out;
  out.number("least_mm", found.least_mm);
  out.number("twentieth_mm", found.twentieth_mm);
  out.number("median_mm", found.median_mm);
  std::vector<JsonObject> places;
  for (const body::ThinPlace& place : found.places) {
    JsonObject own;
    own.text("name", place.name);
    own.number("from_mm", place.from_station_mm);
    own.number("to_mm", place.to_station_mm);
    own.number("least_mm", place.least_mm);
    own.vector("least_at_mm", place.least_at_mm);
    own.number("area_mm2", place.area_mm2);
    own.number("under_one_mm2", place.under_one_mm2);
    own.flag("runs_out", place.runs_out);
    own.number("lost_mm", place.lost_mm);
    places.push_back(std::move(own));
  }
  out.list("places", std::move(places));
  out.count("left_out", static_cast<long long>(found.left_out));
  return out;
}

JsonObject mirror_json(const body::MirrorTruth& truth) {
  JsonObject out;
  out.text("is", body::trueness_name(truth.is));
  const bool told = truth.is != body::Trueness::no_plane;
  out.number("greatest_mm", told ? std::optional(truth.greatest_mm) : std::nullopt);
  out.vector("greatest_at_mm", told ? std::optional(truth.greatest_at_mm) : std::nullopt);
  out.number("vertices_mirrored", told ? std::optional(truth.vertices_mirrored) : std::nullopt);
  out.number("facets_mm", told ? std::optional(truth.facets_mm) : std::nullopt);
  std::vector<JsonObject> places;
  for (const body::UntruePlace& place : truth.places) {
    JsonObject own;
    own.text("name", place.name);
    own.number("greatest_mm", place.greatest_mm);
    own.vector("greatest_at_mm", place.greatest_at_mm);
    own.number("area_mm2", place.area_mm2);
    places.push_back(std::move(own));
  }
  out.list("places", std::move(places));
  out.count("left_out", static_cast<long long>(truth.left_out));
  return out;
}

std::vector<JsonObject> rests_json(const body::PrintCheck& print) {
  std::vector<JsonObject> rests;
  const bool bed = print.options.bed_mm.has_value();
  for (const body::BedRest& rest : print.rests) {
    JsonObject own;
    own.text("name", rest.name);
    own.numbers("box_mm", {rest.box_mm[0], rest.box_mm[1], rest.box_mm[2]});
    own.number("turned_deg", rest.turned_deg);
    own.number("spare_mm", bed ? std::optional(rest.spare_mm) : std::nullopt);
    if (bed) own.flag("fits", rest.fits);
    rests.push_back(std::move(own));
  }
  return rests;
}

std::vector<JsonObject> rooms_json(const body::Hollow& hollow) {
  std::vector<JsonObject> rooms;
  for (const body::Chamber& room : hollow.chambers) {
    JsonObject own;
    own.number("from_mm", room.from_station_mm);
    own.number("to_mm", room.to_station_mm);
    own.number("volume_mm3", room.volume_mm3);
    own.number("bound_mm3", room.bound_mm3);
    own.vector("middle_mm", room.middle_mm);
    own.flag("water_tight", !room.opening.has_value());
    std::optional<JsonObject> opening;
    if (room.opening) {
      opening.emplace();
      opening->number("width_mm", room.opening->width_mm);
      opening->vector("at_mm", room.opening->at_mm);
      opening->maybe_text("name",
                          room.opening->at_mm ? std::optional(room.opening->name) : std::nullopt);
    }
    own.object("opening", std::move(opening));
    rooms.push_back(std::move(own));
  }
  return rooms;
}

}  // namespace

JsonObject print_json(const body::PrintCheck& print) {
  JsonObject out;
  out.flag("sound", print.unsound.empty());
  out.texts("unsound", print.unsound);
  out.number("feature_mm", print.options.feature_mm);
  out.text("feature_from", body::feature_from_name(print.options.from));
  out.number("weak_mm", print.options.weak_mm());
  out.number("sampled_every_mm", print.sampled_every_mm);
  out.object("walls", thickness_json(print.walls));
  out.object("gaps", thickness_json(print.gaps));
  out.object("mirror", mirror_json(print.mirror));
  out.number("material_mm3", print.material_mm3);
  out.number("area_mm2", print.area_mm2);
  out.list("rooms", rooms_json(print.hollow));
  out.number("rooms_grid_mm",
             print.hollow.grid_mm > 0 ? std::optional(print.hollow.grid_mm) : std::nullopt);
  out.number("narrowest_opening_mm",
             print.hollow.grid_mm > 0 ? std::optional(print.hollow.narrowest_mm) : std::nullopt);
  const std::optional<std::array<double, 3>>& bed = print.options.bed_mm;
  out.vector("bed_mm",
             bed ? std::optional(geometry::Vec3((*bed)[0], (*bed)[1], (*bed)[2])) : std::nullopt);
  out.list("rests", rests_json(print));
  return out;
}

}  // namespace trueblank::report
