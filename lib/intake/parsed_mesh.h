// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "intake/read_mesh.h"
#include "intake/triples.h"

namespace trueblank::intake {

/// What a reader took from a file, before polygons are cut and vertices welded. Every index is
/// checked by the reader: 0 ≤ index < positions.size().
struct ParsedMesh {
  Triples<double> positions;          ///< x, y, z of each vertex
  Triples<int> facets;                ///< three corners of each triangle
  std::vector<std::uint8_t> colours;  ///< r, g, b of each vertex; or empty
  std::vector<std::string> warnings;
  std::int64_t too_short = 0;  ///< facets with fewer than three corners, left out

  [[nodiscard]] std::int64_t vertex_count() const {
    return static_cast<std::int64_t>(positions.size());
  }

  /// Takes in a polygon: a triangle at once, others keep their place among the facets until
  /// cut_polygons().
  void add_polygon(const int* corners, std::size_t count);

  /// The colours of the vertices, three parts each, from 0 to 1, or to 255 where one of them is
  /// above 1, as a few programs write them. Vertices at the end that have none are white.
  void take_colours(std::vector<float> parts);

  /// Cuts the polygons, which wants all positions.
  /// throws  InputError for a polygon of too many corners
  void cut_polygons(const std::string& name);

 private:
  /// Its corners stand in the first entries of its facets until it is cut: n corners make n - 2
  /// facets, and 3 (n - 2) ≥ n from a triangle on.
  struct Polygon {
    int first_facet = 0;
    int corners = 0;
  };

  std::vector<Polygon> polygons_;
};

/// Cuts, welds equal positions (exactly, -0 as 0) in order of first appearance, drops vertices
/// that no facet uses.
/// throws  InputError: no facets, or more than an int can count
[[nodiscard]] FileMesh finished(ParsedMesh parsed, Format format, const std::string& name);

// The readers. `bytes` start after a byte order mark; text has '\n' at its line ends.
// throws  InputError
[[nodiscard]] FileMesh read_stl_binary(std::string_view bytes, const std::string& name);
[[nodiscard]] FileMesh read_stl_ascii(std::string_view bytes, const std::string& name);
[[nodiscard]] FileMesh read_obj(std::string_view bytes, const std::string& name);
[[nodiscard]] FileMesh read_ply(std::string_view bytes, const std::string& name);
[[nodiscard]] FileMesh read_off(std::string_view bytes, const std::string& name);
/// Of glTF as text; buffers that stand in files of their own are read beside `name`.
[[nodiscard]] FileMesh read_gltf(std::string_view bytes, const std::string& name);
[[nodiscard]] FileMesh read_glb(std::string_view bytes, const std::string& name);
[[nodiscard]] FileMesh read_threemf(std::string_view bytes, const std::string& name);

/// A block stays in the processor's cache; a statement that is longer is left to the reader of the
/// whole.
constexpr std::size_t usual_block_bytes = std::size_t{1} << 20;

/// Reads a large STL, OBJ, OFF or text PLY from a file part by part, so that the file never stands
/// in memory.
/// block_bytes  the format is told by the first block
/// returns      nothing where the file is no larger than a block, of another format or has a fault,
///              which a reader of the whole can tell better
[[nodiscard]] std::optional<FileMesh> read_by_blocks(const std::string& path,
                                                     std::size_t block_bytes = usual_block_bytes);

/// What a reader by blocks has to be: given part after part, each of whole statements.
class BlockReader {
 public:
  BlockReader() = default;
  virtual ~BlockReader() = default;
  BlockReader(const BlockReader&) = delete;
  BlockReader& operator=(const BlockReader&) = delete;

  /// How much of a block can be taken: up to the end of its last whole statement.
  [[nodiscard]] virtual std::size_t whole_part(std::string_view block) const = 0;
  virtual void take(std::string_view part) = 0;
  [[nodiscard]] virtual FileMesh finish() = 0;
};

/// `bytes`: of the whole file; `head`, `tail`: its first and last ones.
[[nodiscard]] std::unique_ptr<BlockReader> stl_binary_blocks(std::uint64_t count,
                                                             const std::string& name);
[[nodiscard]] std::unique_ptr<BlockReader> stl_ascii_blocks(std::uint64_t bytes,
                                                            const std::string& name);
[[nodiscard]] std::unique_ptr<BlockReader> obj_blocks(std::uint64_t bytes, std::string_view head,
                                                      std::string_view tail,
                                                      const std::string& name);

[[nodiscard]] std::unique_ptr<BlockReader> off_blocks(std::uint64_t bytes, const std::string& name);
/// throws  InputError for a header that has a fault or goes on beyond `head`
[[nodiscard]] std::unique_ptr<BlockReader> ply_ascii_blocks(std::uint64_t bytes,
                                                            std::string_view head,
                                                            const std::string& name);

/// Up to the last line's end: what a format whose statements are lines can take of a block.
[[nodiscard]] inline std::size_t whole_lines(std::string_view block) {
  return block.rfind('\n') + 1;  // 0 where there is none: npos + 1
}

/// The format of a file that can be read by blocks, by its first bytes and its size; else nothing.
[[nodiscard]] std::optional<Format> format_by_blocks(std::string_view head, std::uint64_t bytes);

/// The most facets and vertices that are taken: three corners a facet must fit an int.
constexpr std::uint64_t most_facets = 700'000'000;
constexpr std::uint64_t most_vertices = 700'000'000;

/// Where a file may tell its parts to be repeated: a mesh of more facets, or of more vertices, than
/// so many for each of its bytes is no mesh but a trick.
constexpr std::size_t most_repeated_per_byte = 8;

}  // namespace trueblank::intake
