// SPDX-License-Identifier: GPL-3.0-or-later
#include "sheet/rewritten.h"

#include <array>
#include <charconv>
#include <filesystem>
#include <system_error>
#include <utility>

#include "sheet/text_edits.h"
#include "sheet/toml_string.h"
#include "sheet/toml_tree.h"

namespace trueblank::sheet {

namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 3> file_keys = {"mesh", "side", "top"};

const Entry* find(const Node& table, std::string_view key) {
  for (const Entry& entry : table.entries) {
    if (entry.key == key) return &entry;
  }
  return nullptr;
}

std::string shortest(double value) {
  std::array<char, 40> room{};
  return {room.data(), std::to_chars(room.data(), room.data() + room.size(), value).ptr};
}

fs::path folder_of(const std::string& path) {
  const fs::path folder = path == "-" ? fs::path() : fs::path(path).parent_path();
  std::error_code ignored;
  const fs::path whole = fs::weakly_canonical(fs::absolute(folder / ".", ignored), ignored);
  return whole.has_filename() ? whole : whole.parent_path();
}

// From another folder to the same file.
std::string name_from(const fs::path& folder, const fs::path& file) {
  std::error_code trouble;
  const fs::path whole = fs::weakly_canonical(file, trouble);
  const fs::path relative = whole.lexically_relative(folder);
  return relative.empty() ? whole.generic_string() : relative.generic_string();
}

// Calls `visit` for each key of [body] that names a file.
template <class Visit>
void for_each_file(const Node& tree, const Visit& visit) {
  const Entry* body = find(tree, "body");
  if (body == nullptr) return;
  for (const std::string_view key : file_keys) {
    const Entry* entry = find(body->value, key);
    if (entry != nullptr && entry->value.kind == Node::Kind::text) visit(entry->value);
  }
}

}  // namespace

std::string with_wood(std::string_view text, const std::string& name, double density_g_cm3) {
  const Node tree = parse_toml(text, "the sheet");
  TextEdits edits(text);
  const std::string said =
      name.empty() ? "density = " + shortest(density_g_cm3) : "species = " + toml_string(name);
  const Entry* wood = find(tree, "wood");
  if (wood == nullptr) {
    edits.append("\n[wood]\n" + said + '\n');
  } else if (edits.has_heading(wood->value)) {
    edits.insert_line_after(wood->start(), said);
    for (const Entry& inside : wood->value.entries) edits.comment_out(inside);
  } else {
    edits.insert_line_after(wood->start(), "wood = { " + said + " }");
    edits.comment_out(*wood);
  }
  return edits.done();
}

std::string for_file(std::string_view text, const std::string& sheet_path,
                     const std::string& file_path) {
  const fs::path from = folder_of(sheet_path);
  const fs::path to = folder_of(file_path);
  if (from == to) return std::string(text);
  const Node tree = parse_toml(text, "the sheet");
  const Entry* body = find(tree, "body");
  if (body == nullptr) return std::string(text);
  TextEdits edits(text);
  const bool in_braces = edits.is_in_braces(body->value);
  bool kept = false;
  for (const std::string_view key : file_keys) {
    const Entry* entry = find(body->value, key);
    if (entry == nullptr || entry->value.kind != Node::Kind::text) continue;
    const fs::path file(entry->value.text);
    if (file.is_absolute()) continue;
    const std::size_t begin = edits.byte_of(entry->value.spot);
    const std::size_t end = edits.end_of(entry->value);
    // Two may stand on one line, in braces: the whole of it is kept once.
    if (!in_braces) {
      edits.keep_as_comment(entry->start(), begin, end);
    } else if (!std::exchange(kept, true)) {
      edits.keep_as_comment(body->start(), edits.byte_of(body->value.spot),
                            edits.end_of(body->value));
    }
    edits.replace(begin, end, toml_string(name_from(to, from / file)));
  }
  return edits.done();
}

std::vector<std::string> file_names(std::string_view text) {
  std::vector<std::string> names;
  for_each_file(parse_toml(text, "the sheet"),
                [&](const Node& value) { names.push_back(value.text); });
  return names;
}

std::string with_file_names(std::string_view text,
                            std::span<const std::pair<std::string, std::string>> names) {
  const Node tree = parse_toml(text, "the sheet");
  TextEdits edits(text);
  for_each_file(tree, [&](const Node& value) {
    for (const auto& [was, is] : names) {
      if (value.text != was) continue;
      edits.replace(edits.byte_of(value.spot), edits.end_of(value), toml_string(is));
      return;
    }
  });
  return edits.done();
}

}  // namespace trueblank::sheet
