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

class OffText final : public BlockReader {
 public:
  OffText(std::uint64_t bytes, const std::string& name)
      : scanner_({}, name), bytes_(bytes), name_(name) {}

  [[nodiscard]] std::size_t whole_part(std::string_view block) const override {
    return whole_lines(block);
  }

  void take(std::string_view part) override {
    scanner_.move_to(part);
    if (!begun_) begin();
    for (;;) {
      skip_to_next();
      if (scanner_.at_end()) return;
      if (vertices_read() < vertices_) {
        read_vertex();
      } else if (facets_read_ < facets_) {
        read_facet();
      } else {
        return;
      }
    }
  }

  [[nodiscard]] FileMesh finish() override {
    if (vertices_read() < vertices_) {
      throw off_ends_within(name_, "vertex", vertices_read() + 1, vertices_);
    }
    if (facets_read_ < facets_) throw off_ends_within(name_, "facet", facets_read_ + 1, facets_);
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

  [[nodiscard]] std::uint64_t vertices_read() const { return mesh_.positions.size(); }

  /// The word and the counts, which stand in the first part.
  void begin() {
    read_word();
    vertices_ = count("vertices");
    facets_ = count("facets");
    scanner_.skip_line();  // the edges are counted by hardly anyone
    const std::uint64_t needed = least_vertex_bytes * vertices_ + least_facet_bytes * facets_;
    const std::uint64_t left = bytes_ - scanner_.passed();
    if (vertices_ > most_vertices) throw too_many(name_, "vertices");
    if (facets_ > most_facets) throw too_many(name_, "facets");
    // The last line may want its end.
    if (needed > left + 1) throw off_counts_lie(name_, vertices_, facets_, needed, left);
    mesh_.positions.reserve(static_cast<std::size_t>(vertices_));
    mesh_.facets.reserve(static_cast<std::size_t>(facets_));
    begun_ = true;
  }

  void read_word() {
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

  void read_vertex() {
    double values[most_numbers];
    std::size_t found = 0;
    while (in_line()) {
      const double value = scanner_.number("vertex");
      if (found < most_numbers) values[found++] = value;
    }
    if (found < 3) throw number_missing(scanner_.where(), "vertex");
    mesh_.positions.add(values[0], values[1], values[2]);
    const std::size_t at = has_normals_ ? 6 : 3;
    if (has_colours_ && found >= at + 3) {
      colours_.resize(3 * mesh_.positions.size(), 1.0F);
      std::transform(values + at, values + at + 3, colours_.end() - 3,
                     [](double c) { return static_cast<float>(std::clamp(c, 0.0, 255.0)); });
    }
    scanner_.skip_line();
  }

  void read_facet() {
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
      if (index < 0 || index >= static_cast<long long>(vertices_)) {
        throw index_out_of_range(scanner_.where(here), index, 0,
                                 static_cast<std::int64_t>(vertices_) - 1);
      }
      corners_.push_back(static_cast<int>(index));
    }
    if (mesh_.facets.size() + corners_.size() > most_facets) throw too_many(name_, "facets");
    mesh_.add_polygon(corners_.data(), corners_.size());
    scanner_.skip_line();  // what follows are the facet's own colours
    ++facets_read_;
  }

  TextScanner scanner_;
  ParsedMesh mesh_;
  std::vector<int> corners_;
  std::vector<float> colours_;
  std::uint64_t bytes_;  ///< of the whole text
  std::uint64_t vertices_ = 0;
  std::uint64_t facets_ = 0;
  std::uint64_t facets_read_ = 0;
  bool begun_ = false;
  bool has_normals_ = false;
  bool has_colours_ = false;
  const std::string& name_;
};

}  // namespace

FileMesh read_off(std::string_view bytes, const std::string& name) {
  OffText text(bytes.size(), name);
  text.take(bytes);
  return text.finish();
}

std::unique_ptr<BlockReader> off_blocks(std::uint64_t bytes, const std::string& name) {
  return std::make_unique<OffText>(bytes, name);
}

}  // namespace trueblank::intake
