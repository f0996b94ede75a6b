// SPDX-License-Identifier: GPL-3.0-or-later
#include "notebook/copied_sheet.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <set>
#include <utility>

#include "notebook/messages.h"
#include "notebook/toml_text.h"
#include "sheet/messages.h"
#include "sheet/quantity.h"
#include "sheet/rewritten.h"
#include "sheet/text_edits.h"

namespace trueblank::notebook {

namespace {

using sheet::Entry;
using sheet::Node;
using sheet::TextEdits;
using Keys = std::vector<std::string_view>;

// Finer than anything is measured on a bench.
constexpr double steps_in_a_mm = 1000;
constexpr double steps_in_a_g_cm3 = 10'000;

// As what is bought or weighed keeps its size, so do its keys.
struct Scaled {
  std::string_view table;
  Keys keys;
};

// In each of these a number, a list or a point is lengths and nothing else.
const std::array scaled_tables = {
    Scaled{"body", {"width", "height", "baseline", "nose_point"}},
    Scaled{"section", {"station", "width", "above", "below", "widest"}},
    Scaled{"wire", {"path"}},
    Scaled{"ballast", {"at"}},
    Scaled{"pocket", {"at", "diameter", "depth"}},
    Scaled{"hook", {"eye", "eye_x"}},
    Scaled{"outside", {"at"}},
    Scaled{"line", {"eye"}},
    Scaled{"place", {"x", "y", "z", "above_belly", "below_back"}}};

constexpr std::array<std::string_view, 3> of_old_dunk = {"displaced", "push", "displaced_water"};
constexpr std::array<std::string_view, 3> of_old_blank = {"weighed", "halves", "balance"};

const Entry* find(const Node& table, std::string_view key) {
  const auto found = std::ranges::find(table.entries, key, &Entry::key);
  return found == table.entries.end() ? nullptr : &*found;
}

bool has(const Node& table, std::string_view key) { return find(table, key) != nullptr; }

// A table, or each of a list of them.
std::vector<const Node*> tables_of(const Node& tree, std::string_view key) {
  std::vector<const Node*> tables;
  const Entry* entry = find(tree, key);
  if (entry == nullptr) return tables;
  if (entry->value.kind == Node::Kind::table) tables.push_back(&entry->value);
  for (const Node& item : entry->value.items) tables.push_back(&item);
  return tables;
}

double rounded(double value, double steps_in_one) {
  return std::round(value * steps_in_one) / steps_in_one;
}

class Scaler {
 public:
  Scaler(TextEdits& edits, double factor) : edits_(edits), factor_(factor) {}

  // A key's value, or those of its list or table; a text that is no length (the name of an eye)
  // stays. `owner` is the key whose lines are kept: the outermost one in braces.
  void scale(const Entry& owner, const Node& value) {
    for (const Node& item : value.items) scale(owner, item);
    for (const Entry& inner : value.entries) scale(owner, inner.value);
    const std::optional<std::string> scaled = scaled_text(value);
    if (scaled) replace(owner, value, *scaled);
  }

  void replace(const Entry& owner, const Node& value, std::string by) {
    keep(owner);
    edits_.replace(edits_.byte_of(value.spot), edits_.end_of(value), std::move(by));
  }

  // The lines of a key stay above it, once.
  void keep(const Entry& owner) {
    if (!kept_.insert(owner.start().line).second) return;
    edits_.keep_as_comment(owner.start(), edits_.byte_of(owner.start()),
                           edits_.end_of(owner.value));
  }

 private:
  [[nodiscard]] std::string number(double value_mm) const {
    return toml_number(rounded(value_mm * factor_, steps_in_a_mm));
  }

  [[nodiscard]] std::optional<std::string> scaled_text(const Node& value) const {
    if (value.kind == Node::Kind::number) return number(value.number);
    if (value.kind != Node::Kind::text) return {};
    const sheet::ReadQuantity read = sheet::read_quantity(value.text, sheet::Quantity::length);
    if (read.fault == sheet::ReadQuantity::Fault::none) return number(read.value);
    return scaled_point(value.text);
  }

  // A nose_point as "x,y,z".
  [[nodiscard]] std::optional<std::string> scaled_point(std::string_view text) const {
    std::string list = "[";
    int count = 0;
    for (; count < 3; ++count) {
      text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
      double value = 0;
      const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
      if (error != std::errc()) return {};
      text.remove_prefix(static_cast<std::size_t>(end - text.data()));
      text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
      if (text.starts_with(',')) text.remove_prefix(1);
      list += (count == 0 ? "" : ", ") + number(value);
    }
    return text.empty() ? std::optional(list + ']') : std::nullopt;
  }

  TextEdits& edits_;
  double factor_;
  std::set<int> kept_;
};

// The tables of one sheet, scaled.
class Copy {
 public:
  Copy(std::string_view text, const CopyWish& wish)
      : tree_(sheet::parse_toml(text, "the sheet")),
        edits_(text),
        length_mm_(*wish.new_length_mm),
        scaler_(edits_, *wish.new_length_mm / *wish.old_length_mm) {}

  std::string scaled() {
    for (const Scaled& table : scaled_tables) {
      const Entry* entry = find(tree_, table.table);
      if (entry == nullptr) continue;
      for (const Node* node : tables_of(tree_, table.table)) scale(*entry, *node, table.keys);
    }
    if (const Entry* body = find(tree_, "body")) set_length(*body);
    return edits_.done();
  }

  [[nodiscard]] const std::vector<std::string>& by_hand() const { return by_hand_; }

  [[nodiscard]] bool dunk_left_out() const { return dunk_left_out_; }

 private:
  void scale(const Entry& owner, const Node& table, const Keys& keys) {
    const bool in_braces = edits_.is_in_braces(table);
    for (const std::string_view key : keys) {
      if (const Entry* entry = find(table, key)) {
        scaler_.scale(in_braces ? owner : *entry, entry->value);
      }
    }
  }

  // The length that the mesh or the drawings are brought to, and nothing beside that says it.
  void set_length(const Entry& body) {
    const Node& table = body.value;
    const bool in_braces = edits_.is_in_braces(table);
    const std::string length = "length = " + toml_number(length_mm_);
    if (const Entry* old = find(table, "length")) {
      scaler_.replace(in_braces ? body : *old, old->value, toml_number(length_mm_));
    } else if (has(table, "mesh") || has(table, "side")) {
      if (in_braces) {
        scaler_.keep(body);
        edits_.insert(edits_.byte_of(table.spot) + 1, ' ' + length + ',');
      } else if (edits_.has_heading(table)) {
        edits_.insert_line_after(body.start(), length);
      } else {
        edits_.insert_line_before(table.entries.front().start(), "body." + length);
      }
    }
    leave_out(table, "units", in_braces);
    for (const std::string_view key : of_old_dunk) {
      dunk_left_out_ = leave_out(table, key, in_braces) || dunk_left_out_;
    }
  }

  bool leave_out(const Node& table, std::string_view key, bool in_braces) {
    const Entry* entry = find(table, key);
    if (entry == nullptr) return false;
    if (in_braces) {
      by_hand_.emplace_back(key);
      return false;
    }
    edits_.comment_out(*entry);
    return true;
  }

  Node tree_;
  TextEdits edits_;
  double length_mm_;
  Scaler scaler_;
  std::vector<std::string> by_hand_;
  bool dunk_left_out_ = false;
};

// The density in place of what the old blank weighed; the text as it is where nothing was weighed.
std::string with_density(std::string_view text, const CopyWish& wish,
                         std::vector<std::string>& warnings) {
  const Node tree = sheet::parse_toml(text, "the sheet");
  const Entry* wood = find(tree, "wood");
  const bool of_blank =
      wood != nullptr && std::ranges::any_of(of_old_blank, [&](std::string_view key) {
        return has(wood->value, key);
      });
  if (!of_blank) return std::string(text);
  if (wish.wood_density_g_cm3) {
    const double density_g_cm3 = rounded(*wish.wood_density_g_cm3, steps_in_a_g_cm3);
    warnings.push_back(density_for_weight(density_g_cm3));
    return sheet::with_wood(text, "", density_g_cm3);
  }
  if (const Entry* species = find(wood->value, "species")) {
    warnings.push_back(species_for_weight());
    return sheet::with_wood(text, species->value.text, 0);
  }
  warnings.push_back(weight_of_old_blank());
  return std::string(text);
}

void warn_of_what_stays(const Node& tree, std::vector<std::string>& warnings) {
  const auto any_has = [&](std::string_view table, std::string_view key) {
    return std::ranges::any_of(tables_of(tree, table),
                               [&](const Node* node) { return has(*node, key); });
  };
  if (any_has("wire", "weighed") || any_has("finish", "weighed")) {
    warnings.push_back(weighed_parts_stay());
  }
  if (any_has("target", "reserve") || any_has("target", "least_stiffness_min")) {
    warnings.push_back(target_stays());
  }
}

std::string with_origin(const std::string& text, const std::string& origin) {
  TextEdits edits(text);
  edits.insert_line_before({}, "# " + sheet::without_control_characters(origin));
  return edits.done();
}

}  // namespace

CopiedSheet copied_sheet(std::string_view text, const CopyWish& wish) {
  CopiedSheet copy;
  if (!wish.new_length_mm) {
    copy.text = with_origin(std::string(text), wish.origin);
    return copy;
  }
  if (!wish.old_length_mm || !(*wish.old_length_mm > 0)) throw length_unknown();
  if (!(*wish.new_length_mm > 0)) throw length_not_positive();
  copy.warnings.push_back(design_scaled(*wish.new_length_mm / *wish.old_length_mm));
  const std::string of_density = with_density(text, wish, copy.warnings);
  Copy scaling(of_density, wish);
  copy.text = with_origin(scaling.scaled(), wish.origin);
  if (scaling.dunk_left_out()) copy.warnings.push_back(dunk_test_left_out());
  for (const std::string& key : scaling.by_hand()) copy.warnings.push_back(take_out_by_hand(key));
  warn_of_what_stays(sheet::parse_toml(text, "the sheet"), copy.warnings);
  return copy;
}

}  // namespace trueblank::notebook
