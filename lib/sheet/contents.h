// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "body/load_body.h"
#include "rig/parts.h"
#include "rig/wishes.h"
#include "sheet/build_sheet.h"
#include "sheet/spot.h"

namespace trueblank::sheet {

using geometry::Vec3;

/// A point as the maker wrote it.
struct Place {
  enum class From { axes, above_belly, below_belly, below_back, above_back };

  Spot spot;
  From from = From::axes;
  Vec3 axes_mm = Vec3::Zero();  ///< where `from` is axes: body frame
  double station_mm = 0;        ///< else: x, y, and the distance along z from the skin
  double right_mm = 0;
  double distance_mm = 0;
};

/// Parts whose places are still to be found: the part's own points are not set yet.
struct WrittenWire {
  rig::Wire part;
  Spot name_spot;
  Spot path_spot;
  std::vector<Place> path;
};

/// A part with one point of its own.
template <typename Part>
struct WrittenPart {
  Part part;
  Spot name_spot;
  Place at;
};

using WrittenBallast = WrittenPart<rig::Ballast>;
using WrittenPocket = WrittenPart<rig::Pocket>;
using WrittenOutside = WrittenPart<rig::Outside>;

struct WrittenHook {
  rig::Hook part;
  Spot name_spot;
  Place eye;
  std::vector<double> sizes_g;  ///< masses it may have, its own among them, rising; or none
  std::optional<rig::Range> eye_x_mm;
  Spot eye_x_spot;

  [[nodiscard]] bool has_choice() const { return sizes_g.size() > 1 || eye_x_mm.has_value(); }
};

/// A [[place]]: all of it is known but whether it is in the body.
struct WrittenWeightPlace {
  rig::WeightPlace part;
  Spot spot;
  Spot name_spot;
  Spot diameter_spot;
};

struct WrittenTarget {
  rig::Target part;
  Spot spot;
};

/// One of density, mass and halves is set.
struct WrittenWood {
  std::string species;                  ///< as the table of woods has it, or empty
  std::optional<double> density_g_cm3;  ///< given, or of the species
  std::optional<double> weighed_g;
  std::optional<rig::Halves> halves;
  Spot halves_spot;
  std::optional<double> balance_mm;
  Spot balance_spot;
};

struct WrittenFinish {
  rig::Finish part;
  Spot thickness_spot;
};

struct WrittenBaseline {
  Spot spot;
  Place nose;
  Place tail;
};

/// The eye that the line is tied to: one of the two is set, or neither for the wire's foremost end.
struct WrittenLineEye {
  std::string hook;
  std::optional<Place> at;
};

struct Sheet::Contents {
  std::string path;
  std::string file;  ///< the path as messages show it
  std::string text;  ///< the whole sheet, byte for byte
  std::string title;
  std::string mesh_path;                 ///< empty where the body is drawn
  std::optional<body::DrawnBody> drawn;  ///< set where the sheet has no mesh
  std::vector<std::string> files;        ///< that the body is read from: mesh or outlines
  body::BodyHints hints;
  std::optional<WrittenBaseline> baseline;
  WrittenWood wood;
  std::optional<WrittenFinish> finish;
  rig::Water water;
  rig::Water tank;
  rig::Tolerances tolerances;
  WrittenLineEye line_eye;
  std::vector<WrittenWire> wires;
  std::vector<WrittenBallast> ballasts;
  std::vector<WrittenPocket> pockets;
  std::vector<WrittenHook> hooks;
  std::vector<WrittenOutside> outsides;
  std::optional<WrittenTarget> target;
  std::vector<WrittenWeightPlace> places;
};

}  // namespace trueblank::sheet
