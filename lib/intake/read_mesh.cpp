// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/read_mesh.h"

#include <algorithm>
#include <array>

#include "intake/files.h"
#include "intake/messages.h"
#include "intake/parsed_mesh.h"
#include "intake/stl_layout.h"

namespace trueblank::intake {
namespace {

using std::string_view_literals::operator""sv;

struct Magic {
  std::string_view bytes;
  std::string_view name;
};

/// Meshes and shapes in formats that are not read.
constexpr std::array other_formats = {
    Magic{"PXR-USDC"sv, "USD"},    Magic{"#usda"sv, "USD"},  Magic{"ISO-10303-21"sv, "STEP"},
    Magic{"Kaydara FBX"sv, "FBX"}, Magic{"#VRML"sv, "VRML"}, Magic{"#X3D"sv, "X3D"},
};

/// What people hand over by mistake.
constexpr std::array not_meshes = {
    Magic{"\x89PNG"sv, "a PNG picture"},
    Magic{"\xFF\xD8\xFF"sv, "a JPEG picture"},
    Magic{"GIF8"sv, "a GIF picture"},
    Magic{"%PDF"sv, "a PDF document"},
    Magic{"\x1F\x8B"sv, "a gzip archive"},
    Magic{"7z\xBC\xAF"sv, "a 7z archive"},
    Magic{"Rar!"sv, "a RAR archive"},
    Magic{"\x7F"
          "ELF"sv,
          "a program"},
    Magic{"SQLite format 3"sv, "a database"},
};

constexpr std::size_t looked_at = 1 << 16;

bool contains(std::string_view text, std::string_view part) {
  return text.find(part) != std::string_view::npos;
}

/// A zip archive with a 3MF model in it.
bool is_threemf(std::string_view bytes) {
  if (!bytes.starts_with("PK\x03\x04")) return false;
  const std::string_view head = bytes.substr(0, looked_at);
  const std::string_view tail = bytes.substr(bytes.size() - head.size());  // the zip's listing
  return contains(head, ".model") || contains(tail, ".model");
}

/// Throws for everything that says by its first bytes that it is something else.
void refuse_other_formats(std::string_view bytes, const std::string& name) {
  for (const Magic& magic : other_formats) {
    if (bytes.starts_with(magic.bytes)) throw other_format(name, magic.name);
  }
  for (const Magic& magic : not_meshes) {
    if (bytes.starts_with(magic.bytes)) throw not_a_mesh(name, magic.name);
  }
  const std::string_view head = bytes.substr(0, looked_at);
  if (bytes.starts_with("PK\x03\x04")) {
    const std::string_view tail = bytes.substr(bytes.size() - head.size());  // the zip's listing
    if (contains(head, ".usd") || contains(tail, ".usd")) throw other_format(name, "USDZ");
    throw not_a_mesh(name, "a zip archive");
  }
  if (bytes.starts_with("\xFF\xFE") || bytes.starts_with("\xFE\xFF")) throw wide_text(name);
}

/// Likewise for text, after its blanks.
void refuse_other_text(std::string_view text, const std::string& name) {
  const std::string_view head = text.substr(0, looked_at);
  if (!head.starts_with("<")) return;
  if (contains(head, "<COLLADA")) throw other_format(name, "COLLADA");
  if (contains(head, "<amf")) throw other_format(name, "AMF");
  if (contains(head, "<X3D")) throw other_format(name, "X3D");
  if (contains(head, "<svg")) throw not_a_mesh(name, "an SVG drawing");
  if (contains(head, "<html") || contains(head, "<HTML") || contains(head, "<!DOCTYPE")) {
    throw not_a_mesh(name, "a web page");
  }
}

/// Bytes that no text has, in its first part.
bool is_binary(std::string_view bytes) {
  return std::ranges::any_of(bytes.substr(0, 4096), [](char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte < 9 || (byte > 13 && byte < 32);
  });
}

bool all_zero(std::string_view bytes) {
  return std::ranges::all_of(bytes, [](char c) { return c == 0; });
}

/// Binary, and not a PLY: taken for an STL, by its length.
FileMesh read_binary(std::string_view bytes, const std::string& name) {
  if (bytes.size() < stl_bytes_for(0)) throw unknown_format(name);
  const std::uint64_t count = stl_binary_count(bytes);
  const std::uint64_t needed = stl_bytes_for(count);
  if (needed > bytes.size()) throw stl_count_too_high(name, count, needed, bytes.size());
  const std::string_view rest = bytes.substr(static_cast<std::size_t>(needed));
  if (!rest.empty() && rest.size() % stl_facet_bytes == 0 && !all_zero(rest)) {
    throw stl_count_too_low(name, count, bytes.size(), count + rest.size() / stl_facet_bytes);
  }
  return read_stl_binary(bytes, name);
}

std::string_view first_word(std::string_view text) {
  return text.substr(0, std::min(text.find_first_of(" \t\r\n\v\f"), text.size()));
}

/// "OFF", with what its vertices have beside their place in front: ST texture, C colour, N normal,
/// 4 a fourth coordinate, n any number of them.
bool is_off_word(std::string_view word) {
  if (!word.ends_with("OFF")) return false;
  word.remove_suffix(3);
  return word.find_first_not_of("STCN4n") == std::string_view::npos;
}

/// Whether a text's first statement is one that OBJ has.
bool is_obj(std::string_view text) {
  constexpr std::array words = {"v", "vt", "vn",     "vp",     "f",      "g",      "o",      "s",
                                "l", "p",  "mtllib", "usemtl", "usemap", "maplib", "cstype", "mg"};
  for (;;) {
    const std::size_t start = text.find_first_not_of(" \t\r\n\v\f");
    if (start == std::string_view::npos) return false;
    text.remove_prefix(start);
    if (text.front() != '#') break;
    const std::size_t line_end = text.find('\n');
    if (line_end == std::string_view::npos) return false;
    text.remove_prefix(line_end);
  }
  return std::ranges::find(words, first_word(text)) != words.end();
}

FileMesh read_text(std::string_view text, const std::string& name) {
  const std::size_t start = text.find_first_not_of(" \t\r\n\v\f");
  if (start == std::string_view::npos) throw unknown_format(name);
  const std::string_view trimmed = text.substr(start);
  refuse_other_text(trimmed, name);
  if (trimmed.starts_with('{')) return read_gltf(trimmed, name);
  const std::string_view word = first_word(trimmed);
  if (is_off_word(word)) return read_off(text, name);
  if (is_stl_word(word, "solid") || is_stl_word(word, "facet")) {
    return read_stl_ascii(text, name);
  }
  if (is_obj(trimmed)) return read_obj(text, name);
  throw unknown_format(name);
}

}  // namespace

std::string_view format_name(Format format) {
  switch (format) {
    case Format::stl_binary:
      return "STL binary";
    case Format::stl_ascii:
      return "STL ASCII";
    case Format::obj:
      return "OBJ";
    case Format::ply_ascii:
      return "PLY ASCII";
    case Format::ply_binary:
      return "PLY binary";
    case Format::off:
      return "OFF";
    case Format::gltf:
      return "glTF";
    case Format::glb:
      return "GLB";
    case Format::threemf:
      return "3MF";
  }
  return "";
}

std::optional<Format> format_by_blocks(std::string_view head, std::uint64_t bytes) {
  const auto begins = [head](const Magic& magic) { return head.starts_with(magic.bytes); };
  if (first_word(head.substr(0, 16)) == "ply") {
    if (contains(head.substr(0, looked_at), "\nformat ascii ")) return Format::ply_ascii;
    return {};
  }
  if (head.size() < stl_bytes_for(1) || head.starts_with("PK") || head.starts_with("glTF") ||
      head.starts_with("\xFF\xFE") || head.starts_with("\xFE\xFF") ||
      std::ranges::any_of(other_formats, begins) || std::ranges::any_of(not_meshes, begins)) {
    return {};
  }
  if (bytes == stl_bytes_for(stl_binary_count(head))) return Format::stl_binary;
  const std::size_t start = head.find_first_not_of(" \t\r\n\v\f");
  if (is_binary(head) || start == std::string_view::npos || !contains(head, "\n")) return {};
  const std::string_view word = first_word(head.substr(start));
  if (is_stl_word(word, "solid") || is_stl_word(word, "facet")) return Format::stl_ascii;
  if (is_off_word(word)) return Format::off;
  if (is_obj(head.substr(start))) return Format::obj;
  return {};
}

FileMesh parse_mesh(std::string_view bytes, const std::string& name) {
  if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
  if (bytes.empty()) throw file_empty(name);
  const std::string_view word = first_word(bytes.substr(0, 16));
  if (word == "ply") return read_ply(bytes, name);
  if (bytes.starts_with("glTF")) return read_glb(bytes, name);
  if (is_threemf(bytes)) return read_threemf(bytes, name);
  refuse_other_formats(bytes, name);
  // A binary STL is told by its length, whatever its header says: many begin with "solid".
  if (bytes.size() > stl_bytes_for(0) && bytes.size() == stl_bytes_for(stl_binary_count(bytes))) {
    return read_stl_binary(bytes, name);
  }
  if (bytes.front() == 0 && all_zero(bytes)) throw only_zeros(name);
  if (is_binary(bytes)) return read_binary(bytes, name);
  // Line ends of a lone carriage return, as old programs write them.
  if (contains(bytes.substr(0, looked_at), "\r") && !contains(bytes, "\n")) {
    std::string text(bytes);
    std::ranges::replace(text, '\r', '\n');
    return read_text(text, name);
  }
  return read_text(bytes, name);
}

FileMesh read_mesh(const std::string& path) {
  if (std::optional<FileMesh> mesh = read_by_blocks(path)) return *std::move(mesh);
  const std::string bytes = read_file(path);
  return parse_mesh(bytes, path);
}

}  // namespace trueblank::intake
