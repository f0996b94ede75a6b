// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/places.h"

#include <array>

#include "sheet/allowed.h"
#include "sheet/messages.h"

namespace trueblank::sheet {

namespace {

constexpr std::array<std::string_view, 6> place_keys{"station",     "right",      "above_belly",
                                                     "below_belly", "below_back", "above_back"};

struct Height {
  std::string_view key;
  Place::From from;
};

constexpr std::array heights{Height{"above_belly", Place::From::above_belly},
                             Height{"below_belly", Place::From::below_belly},
                             Height{"below_back", Place::From::below_back},
                             Height{"above_back", Place::From::above_back}};

Place from_list(const Node& node, std::string_view key, const std::string& file) {
  const std::size_t count = node.items.size();
  if (count != 2 && count != 3) throw bad_point(where(file, node.spot), key);
  Place place{.spot = node.spot};
  for (std::size_t i = 0; i < count; ++i) {
    const Eigen::Index axis = count == 2 && i == 1 ? 2 : static_cast<Eigen::Index>(i);
    place.axes_mm[axis] = quantity_of(node.items[i], key, any_length(), file);
  }
  return place;
}

Place from_table(const Node& node, std::string_view key, const std::string& file) {
  const TableReader table(node, {.heading = key, .known = place_keys}, file);
  Place place{.spot = node.spot};
  place.station_mm =
      table.required_number("station", any_length(), "give the distance from the nose, in mm");
  place.right_mm = table.number("right", any_length()).value_or(0);
  int given = 0;
  for (const Height& height : heights) {
    const std::optional<double> distance = table.number(height.key, any_length());
    if (!distance) continue;
    given += 1;
    place.from = height.from;
    place.distance_mm = *distance;
  }
  if (given != 1) throw station_needs_height(where(file, node.spot), key);
  return place;
}

}  // namespace

Place place_of(const Node& node, std::string_view key, const std::string& file) {
  if (node.kind == Node::Kind::list) return from_list(node, key, file);
  if (node.kind == Node::Kind::table) return from_table(node, key, file);
  throw bad_point(where(file, node.spot), key);
}

bool same_place(const Place& a, const Place& b) {
  return a.from == b.from && a.axes_mm == b.axes_mm && a.station_mm == b.station_mm &&
         a.right_mm == b.right_mm && a.distance_mm == b.distance_mm;
}

}  // namespace trueblank::sheet
