// SPDX-License-Identifier: GPL-3.0-or-later
// Object File Format as text: a word, the counts of vertices, facets and edges, a vertex a line, a
// facet a line. Comments run from '#' to the line's end.
#include <algorithm>
#include <utility>

#include "intake/messages.h"
#include "intake/parsed_mesh.h"
#include "intake/text_scanner.h"

namespace trueblank::intake {
namespace {

// "0 0 0" and its line's end; "0" and its.
constexpr std::uint64_t least_vertex_bytes = 6;
constexpr std::uint64_t least_facet_bytes = 2;
constexpr std::size_t most_numbers = 12;

class OffText {
 public:
  OffText(std::string_view bytes, const std::string& name) : scanner_(bytes, name), name_(name) {}

  FileMesh read() {
    read_header();
    const std::uint64_t vertices = count("vertices");
    const std::uint64_t facets = count("facets");
    scanner_.skip_line();  // the edges are counted by hardly anyone
    const std::uint64_t needed = least_vertex_bytes * vertices + least_facet_bytes * facets;
    if (vertices > most_vertices) throw too_many(name_, "vertices");
    if (facets > most_facets) throw too_many(name_, "facets");
    // The last line may want its end.
    if (needed > scanner_.remaining() + 1) {
      throw off_counts_lie(name_, vertices, facets, needed, scanner_.remaining());
    }
    mesh_.positions.reserve(3 * static_cast<std::size_t>(vertices));
    mesh_.facets.reserve(3 * static_cast<std::size_t>(facets));
    for (std::uint64_t v = 0; v < vertices; ++v) read_vertex(v, vertices);
    for (std::uint64_t f = 0; f < facets; ++f) read_facet(f, facets, vertices);
    mesh_.take_colours(std::move(colours_));
    return finished(std::move(mesh_), Format::off, name_);
  }

 private:
  /// To the next thing that is neither blank nor a comment.
  void skip_to_next() {
    for (;;) {
      scanner_.skip_space();
      if (scanner_.at_end() || scanner_.peek() != '#') return;
      scanner_.skip_line();
    }
  }

  void read_header() {
    skip_to_next();
    const std::string where = scanner_.where();
    std::string_view word = scanner_.word();
    if (word.ends_with("OFF")) word.remove_suffix(3);
    if (word.find_first_of("4n") != std::string_view::npos) throw off_dimensions(where);
    has_normals_ = word.find('N') != std::string_view::npos;
    has_colours_ = word.find('C') != std::string_view::npos;
    skip_to_next();
    if (scanner_.peek() == 'B') throw off_binary(scanner_.where());
  }

  std::uint64_t count(std::string_view of_what) {
    skip_to_next();
    const std::string where = scanner_.where();
    if (scanner_.at_end()) throw number_missing(where, of_what);
    const long long value = scanner_.index();
    if (value < 0) throw bad_index(where, std::to_string(value));
    return static_cast<std::uint64_t>(value);
  }

  [[nodiscard]] bool in_line() { return !scanner_.at_line_end() && scanner_.peek() != '#'; }

  void read_vertex(std::uint64_t number, std::uint64_t count) {
    skip_to_next();
    if (scanner_.at_end()) throw off_ends_within(name_, "vertex", number + 1, count);
    double values[most_numbers];
    std::size_t found = 0;
    while (in_line()) {
      const double value = scanner_.number("vertex");
      if (found < most_numbers) values[found++] = value;
    }
    if (found < 3) throw number_missing(scanner_.where(), "vertex");
    mesh_.positions.insert(mesh_.positions.end(), values, values + 3);
    const std::size_t at = has_normals_ ? 6 : 3;
    if (has_colours_ && found >= at + 3) {
      colours_.resize(mesh_.positions.size(), 1.0F);
      std::transform(values + at, values + at + 3, colours_.end() - 3,
                     [](double c) { return static_cast<float>(std::clamp(c, 0.0, 255.0)); });
    }
    scanner_.skip_line();
  }

  void read_facet(std::uint64_t number, std::uint64_t count, std::uint64_t vertices) {
    skip_to_next();
    if (scanner_.at_end()) throw off_ends_within(name_, "facet", number + 1, count);
    const char* from = scanner_.position();
    const long long corners = scanner_.index();
    // Each corner takes two bytes at least.
    if (corners < 0 || corners > static_cast<long long>(scanner_.remaining() / 2 + 1)) {
      throw bad_index(scanner_.where(from), std::to_string(corners));
    }
    corners_.clear();
    for (long long k = 0; k < corners; ++k) {
      if (!in_line()) throw off_corners_missing(scanner_.where(from), corners, k);
      const char* here = scanner_.position();
      const long long index = scanner_.index();
      if (index < 0 || index >= static_cast<long long>(vertices)) {
        throw index_out_of_range(scanner_.where(here), index, 0,
                                 static_cast<std::int64_t>(vertices) - 1);
      }
      corners_.push_back(static_cast<int>(index));
    }
    if (mesh_.facets.size() / 3 + corners_.size() > most_facets) throw too_many(name_, "facets");
    mesh_.add_polygon(corners_.data(), corners_.size());
    scanner_.skip_line();  // what follows are the facet's own colours
  }

  TextScanner scanner_;
  ParsedMesh mesh_;
  std::vector<int> corners_;
  std::vector<float> colours_;
  bool has_normals_ = false;
  bool has_colours_ = false;
  const std::string& name_;
};

}  // namespace

FileMesh read_off(std::string_view bytes, const std::string& name) {
  return OffText(bytes, name).read();
}

}  // namespace trueblank::intake
