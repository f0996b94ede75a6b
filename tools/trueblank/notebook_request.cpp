// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook_request.h"

#include <array>
#include <charconv>
#include <sstream>
#include <utility>

#include "messages.h"
#include "notebook/photograph.h"
#include "rig/waters.h"
#include "values.h"

namespace trueblank::tools {

namespace {

using Action = NotebookAction;

// What a maker reads off by eye, or off a photograph whose lure lies a little askew to it.
constexpr double by_eye_sd_deg = 2;
constexpr double list_sd_deg = 2;
constexpr double sank_sd_g = 0.2;

constexpr std::array<std::pair<std::string_view, Action>, 11> actions = {
    {{"add", Action::add},
     {"tank", Action::tank},
     {"list", Action::list},
     {"show", Action::show},
     {"find", Action::find},
     {"copy", Action::copy},
     {"export", Action::export_to},
     {"import", Action::import_from},
     {"forget", Action::forget},
     {"ratios", Action::ratios},
     {"learn", Action::learn}}};

Action action_named(const std::string& name) {
  for (const auto& [known, action] : actions) {
    if (known == name) return action;
  }
  throw unknown_action(name);
}

bool wants_id(Action action) {
  return action == Action::tank || action == Action::show || action == Action::copy ||
         action == Action::forget;
}

std::int64_t id_value(const std::string& text) {
  std::int64_t id = 0;
  const char* const end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, id);
  if (read.ec != std::errc() || read.ptr != end || id < 1) {
    throw bad_value("ID", text, "a build's number", "one that trueblank notebook list tells");
  }
  return id;
}

water::State state_value(const std::string& text) {
  if (text == "floats") return water::State::floats;
  if (text == "suspends") return water::State::suspends;
  if (text == "sinks") return water::State::sinks;
  throw bad_value("--state", text, "what a lure does", "floats, suspends or sinks");
}

rig::Water water_of(const RawNotebook& raw) {
  const double c = raw.temperature.empty()
                       ? tub_temperature_c
                       : water_temperature_value("--temperature", raw.temperature);
  return water_value("--water", raw.water.empty() ? "fresh" : raw.water, c);
}

double angle_value(const std::string& option, const std::string& text, double most_deg) {
  const double deg = plain_value(option, text, "an angle", "degrees, such as 12");
  if (deg < -most_deg || deg > most_deg) {
    throw bad_value(option, text, "such an angle",
                    "-" + std::to_string(static_cast<int>(most_deg)) + " to " +
                        std::to_string(static_cast<int>(most_deg)));
  }
  return deg;
}

// "X,Y X,Y X,Y X,Y": nose, tail, two points of the waterline.
notebook::Photograph photograph_of(const std::string& text) {
  std::istringstream words(text);
  std::array<notebook::PicturePoint, 4> points;
  for (notebook::PicturePoint& point : points) {
    std::string word;
    if (!(words >> word)) throw value_missing("notebook tank", "--photo", 4);
    const std::size_t comma = word.find(',');
    const auto number = [&](const std::string& part) {
      return plain_value("--photo", part, "a point of a picture", "X,Y in pixels, four times");
    };
    if (comma == std::string::npos) (void)number(word + ",");
    point = {.x = number(word.substr(0, comma)), .y = number(word.substr(comma + 1))};
  }
  std::string more;
  if (words >> more) throw value_missing("notebook tank", "--photo", 4);
  return {.nose = points[0], .tail = points[1], .water_1 = points[2], .water_2 = points[3]};
}

void read_angles(const RawNotebook& raw, notebook::TankRecord& tank) {
  if (!raw.tail_down.empty() && !raw.photo.empty()) {
    throw not_both("notebook tank", "--tail-down", "--photo",
                   "each tells the angle; leave one out");
  }
  if (!raw.tail_down.empty()) {
    tank.tail_down_deg = angle_value("--tail-down", raw.tail_down, 90);
    tank.tail_down_sd_deg = by_eye_sd_deg;
  }
  if (!raw.photo.empty()) {
    tank.photograph = photograph_of(raw.photo);
    const notebook::MeasuredAngle angle = notebook::tail_down_in(*tank.photograph);
    tank.tail_down_deg = angle.deg;
    tank.tail_down_sd_deg = angle.sd_deg;
  }
  if (raw.list.empty()) return;
  tank.list_deg = angle_value("--list", raw.list, 180);
  tank.list_sd_deg = list_sd_deg;
}

notebook::TankRecord tank_of(const RawNotebook& raw) {
  notebook::TankRecord tank;
  if (!raw.state.empty()) tank.state = state_value(raw.state);
  read_angles(raw, tank);
  if (!raw.sank_with.empty()) {
    tank.sank_with_g = mass_value("--sank-with", raw.sank_with);
    tank.sank_sd_g = sank_sd_g;
  }
  tank.water = water_of(raw);
  if (!raw.before.empty()) tank.mass_before_g = mass_value("--before", raw.before);
  if (!raw.after.empty()) tank.mass_after_g = mass_value("--after", raw.after);
  tank.notes = raw.notes;
  if (!tank.state && !tank.tail_down_deg && !tank.list_deg && !tank.sank_with_g &&
      !tank.mass_before_g && !tank.mass_after_g && tank.notes.empty()) {
    throw nothing_to_keep();
  }
  return tank;
}

notebook::Query query_of(const RawNotebook& raw) {
  notebook::Query query{.wood = raw.wood, .kind = raw.kind, .words = raw.words};
  if (!raw.state.empty()) query.state = state_value(raw.state);
  if (raw.length.empty()) return query;
  const std::size_t colon = raw.length.find(':');
  if (colon == std::string::npos) {
    // Callipers tell a length to about a millimetre.
    const double length_mm = length_value("--length", raw.length);
    query.shortest_mm = length_mm - 1;
    query.longest_mm = length_mm + 1;
    return query;
  }
  query.shortest_mm = length_value("--length", raw.length.substr(0, colon));
  query.longest_mm = length_value("--length", raw.length.substr(colon + 1));
  if (query.shortest_mm > query.longest_mm) {
    throw bad_value("--length", raw.length, "a range of lengths",
                    "the lesser length first, such as 120:160");
  }
  return query;
}

}  // namespace

NotebookRequest notebook_request(const std::string& action, const Raw& raw) {
  const RawNotebook& own = raw.notebook;
  NotebookRequest request{.common = {},
                          .action = action_named(action),
                          .book = own.book,
                          .mesh = own.mesh,
                          .as_built = own.as_built,
                          .kind = own.kind,
                          .notes = own.notes,
                          .date = own.date,
                          .write = own.write,
                          .yes = own.yes};
  if (wants_id(request.action)) {
    request.id = id_value(raw.input);
  } else {
    request.path = raw.input;
  }
  if (request.action == Action::tank) request.tank = tank_of(own);
  if (request.action == Action::find) request.query = query_of(own);
  if (request.action == Action::copy) {
    if (own.write.empty()) throw copy_needs_a_place();
    if (!ends_like(own.write, ".toml")) throw wrong_ending("--write", own.write, ".toml");
    if (!own.length.empty()) request.length_mm = length_value("--length", own.length);
  }
  if (request.action == Action::ratios && !own.blank.empty()) {
    request.blank = {
        .wood_g = mass_value("--blank", own.blank), .wood = own.wood, .kind = own.kind};
    if (!own.state.empty()) request.blank->state = state_value(own.state);
  }
  return request;
}

}  // namespace trueblank::tools
