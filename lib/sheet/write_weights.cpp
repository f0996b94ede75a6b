// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/write_weights.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <charconv>
#include <cmath>
#include <utility>

#include "rig/materials.h"
#include "sheet/allowed.h"
#include "sheet/messages.h"
#include "sheet/places.h"
#include "sheet/read_parts.h"
#include "sheet/table_reader.h"
#include "sheet/text_edits.h"
#include "sheet/toml_string.h"

namespace trueblank::sheet {

namespace {

// For messages of a text that was taken once already.
const std::string no_file = "the sheet";

// The shortest that reads back to the same double.
std::string number_text(double value) {
  if (value == 0) return std::signbit(value) ? "-0.0" : "0";
  std::array<char, 32> digits{};
  const auto [end, error] = std::to_chars(digits.data(), digits.data() + digits.size(), value);
  assert(error == std::errc());
  return {digits.data(), end};
}

std::string point_text(const Vec3& p) {
  return '[' + number_text(p.x()) + ", " + number_text(p.y()) + ", " + number_text(p.z()) + ']';
}

std::string_view axis_word(rig::HoleAxis axis) {
  if (axis == rig::HoleAxis::along) return "along";
  return axis == rig::HoleAxis::across ? "across" : "upright";
}

const Entry* find(const Node& table, std::string_view key) {
  const auto found = std::ranges::find(table.entries, key, &Entry::key);
  return found == table.entries.end() ? nullptr : &*found;
}

// "name = …", "at = …", and so on. The metal is called as its place calls it.
std::vector<std::string> settings_of(const rig::Ballast& ballast, const Node& place) {
  std::vector<std::string> settings{"name = " + toml_string(ballast.name),
                                    "at = " + point_text(ballast.at_mm),
                                    "mass = " + number_text(ballast.mass_g)};
  const Entry* entry = find(place, "metal");
  const std::string metal =
      entry == nullptr ? std::string() : without_control_characters(entry->value.text);
  const std::optional<rig::Material> material = rig::find_material(metal);
  settings.push_back(material && material->density_g_cm3 == ballast.density_g_cm3
                         ? "metal = " + toml_string(metal)
                         : "density = " + number_text(ballast.density_g_cm3));
  if (ballast.diameter_mm) settings.push_back("diameter = " + number_text(*ballast.diameter_mm));
  if (ballast.axis) {
    settings.push_back("axis = " + toml_string(axis_word(*ballast.axis)));
  }
  return settings;
}

std::string joined(const std::vector<std::string>& parts, std::string_view between) {
  std::string text;
  for (const std::string& part : parts) text += (text.empty() ? "" : std::string(between)) + part;
  return text;
}

class Writer {
 public:
  explicit Writer(std::string_view text) : root_(parse_toml(text, no_file)), edits_(text) {}

  void take_places_out() {
    if (const Entry* places = find(root_, "place")) edits_.comment_out(*places);
  }

  void add(const std::vector<FoundWeight>& weights) {
    if (weights.empty()) return;
    const Entry* written = find(root_, "place");
    assert(written != nullptr);
    const std::vector<Node>& places = written->value.items;
    const Entry* ballasts = find(root_, "ballast");
    const bool in_a_list = ballasts != nullptr && (ballasts->value.items.empty() ||
                                                   edits_.is_in_braces(ballasts->value.items[0]));
    std::string tables;
    std::vector<std::string> items;
    for (const FoundWeight& weight : weights) {
      assert(weight.place < places.size());
      const std::vector<std::string> settings = settings_of(weight.ballast, places[weight.place]);
      tables += "\n[[ballast]]\n" + joined(settings, "\n") + '\n';
      items.push_back("{ " + joined(settings, ", ") + " }");
    }
    if (!in_a_list) {
      edits_.append(tables);
      return;
    }
    // A list in brackets is closed: no table can be added to it from outside.
    const std::vector<Node>& list = ballasts->value.items;
    const std::size_t at =
        list.empty() ? edits_.byte_of(ballasts->value.spot) + 1 : edits_.end_of(list.back());
    edits_.insert(at, (list.empty() ? "" : ", ") + joined(items, ", "));
  }

  void change(const ChangedHook& changed) {
    const Entry* hooks = find(root_, "hook");
    assert(hooks != nullptr && changed.hook < hooks->value.items.size());
    hook_ = &hooks->value.items[changed.hook];
    statement_ = hooks->start();
    kept_ = false;
    const TableReader table(*hook_, {.heading = "[[hook]]", .known = hook_keys}, no_file);
    // The eye first: its line may have to stand right below the heading.
    if (changed.eye_mm && !is_at(*changed.eye_mm)) put("eye", point_text(*changed.eye_mm));
    if (!changed.mass_g || table.number("mass", positive_mass()) == changed.mass_g) return;
    put("mass", number_text(*changed.mass_g));
    const std::optional<double> size_up_g = table.number("size_up", positive_mass());
    if (size_up_g && *size_up_g <= *changed.mass_g) take_out(*find(*hook_, "size_up"));
  }

  [[nodiscard]] std::string done() const { return edits_.done(); }

 private:
  [[nodiscard]] bool in_braces() const { return edits_.is_in_braces(*hook_); }

  // Whether the hook's eye is written as this very point.
  [[nodiscard]] bool is_at(const Vec3& eye_mm) const {
    const Place eye = place_of(find(*hook_, "eye")->value, "eye", no_file);
    return eye.from == Place::From::axes && eye.axes_mm == eye_mm;
  }

  // The old text as a comment: of a hook in braces all of it, once, above the whole list.
  void keep(const Entry& entry, std::size_t from, std::size_t to) {
    if (!in_braces()) {
      edits_.keep_as_comment(entry.start(), from, to);
    } else if (!std::exchange(kept_, true)) {
      edits_.keep_as_comment(statement_, edits_.byte_of(hook_->spot), edits_.end_of(*hook_));
    }
  }

  // A new value in place of a key's.
  void put(std::string_view key, const std::string& value) {
    const Entry& entry = *find(*hook_, key);
    const std::string line = std::string(key) + " = " + value;
    const bool dotted_or_headed =
        entry.value.kind == Node::Kind::table && !edits_.is_in_braces(entry.value);
    if (!dotted_or_headed) {
      const std::size_t from = edits_.byte_of(entry.value.spot);
      const std::size_t to = edits_.end_of(entry.value);
      keep(entry, from, to);
      edits_.replace(from, to, value);
    } else if (!in_braces()) {
      // eye.station = 62, or [hook.eye]: a line with the heading, before all that is below it.
      edits_.insert_line_after(hook_->spot, line);
      edits_.comment_out_table(entry.value);
    } else {
      keep(entry, 0, 0);
      bool first = true;
      for (const Entry& part : entry.value.entries) {
        if (std::exchange(first, false)) {
          edits_.replace(setting_start(part), edits_.end_of(part.value), line);
        } else {
          cut(part);
        }
      }
    }
  }

  void take_out(const Entry& entry) {
    if (!in_braces()) return edits_.comment_out(entry);
    keep(entry, 0, 0);
    cut(entry);
  }

  // Where "eye.station = 62" begins in braces, of which the tree knows where "station" does.
  [[nodiscard]] std::size_t setting_start(const Entry& entry) const {
    std::size_t from = edits_.byte_of(entry.key_spot);
    while (edits_.at(from - 1) != ',' && edits_.at(from - 1) != '{') --from;
    while (edits_.at(from) == ' ' || edits_.at(from) == '\t') ++from;
    return from;
  }

  // A setting in braces with the comma before it, or after it where it is the first.
  void cut(const Entry& entry) {
    std::size_t from = setting_start(entry);
    std::size_t to = edits_.end_of(entry.value);
    std::size_t before = from - 1;
    while (edits_.at(before) == ' ' || edits_.at(before) == '\t') --before;
    if (edits_.at(before) == ',') {
      from = before;
    } else {
      while (edits_.at(to) == ' ' || edits_.at(to) == '\t') ++to;
      to += edits_.at(to) == ',' ? 1U : 0U;
    }
    edits_.replace(from, to, "");
  }

  Node root_;
  TextEdits edits_;
  const Node* hook_ = nullptr;  // the one at hand
  Spot statement_;              // where the list of hooks begins, which counts if it is in brackets
  bool kept_ = false;           // its old text is a comment already
};

}  // namespace

std::string with_weights(std::string_view text, const std::vector<FoundWeight>& weights,
                         const std::vector<ChangedHook>& hooks) {
  Writer writer(text);
  writer.take_places_out();
  for (const ChangedHook& hook : hooks) writer.change(hook);
  writer.add(weights);
  return writer.done();
}

}  // namespace trueblank::sheet
