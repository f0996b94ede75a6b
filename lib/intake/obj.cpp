// SPDX-License-Identifier: GPL-3.0-or-later
// Wavefront OBJ: only `v` and `f` lines matter here. Corners are numbered from 1, or from the last
// vertex so far backward with -1, -2 …; what follows a slash (texture, normal) is left aside.
#include <algorithm>
#include <utility>

#include "intake/decimal.h"
#include "intake/messages.h"
#include "intake/parsed_mesh.h"
#include "intake/text_scanner.h"

namespace trueblank::intake {
namespace {

constexpr std::size_t sample_bytes = 1 << 16;

class ObjText final : public BlockReader {
 public:
  ObjText(std::uint64_t bytes, std::string_view head, std::string_view tail,
          const std::string& name)
      : scanner_({}, name), name_(name) {
    reserve(static_cast<std::size_t>(bytes), head.substr(0, sample_bytes),
            tail.substr(tail.size() - std::min(tail.size(), sample_bytes)));
  }

  /// Up to the last line that no backslash joins to the next.
  [[nodiscard]] std::size_t whole_part(std::string_view block) const override {
    for (std::size_t end = block.rfind('\n'); end != std::string_view::npos && end > 0;
         end = block.rfind('\n', end - 1)) {
      std::size_t last = end;
      while (last > 0 && TextScanner::is_blank(block[last - 1])) --last;
      if (last > 0 && block[last - 1] != '\\') return end + 1;
    }
    return 0;
  }

  void take(std::string_view part) override {
    scanner_.move_to(part);
    for (;;) {
      take_plain_lines();
      if (scanner_.at_end()) return;
      scanner_.skip_blanks();
      const char first = scanner_.peek();
      if (first == 'v' && statement_is_short()) {
        read_vertex();
      } else if (first == 'f' && statement_is_short()) {
        read_face();
      } else if (first == '#') {
        scanner_.skip_line();
      } else {
        scanner_.skip_joined_lines();
      }
    }
  }

  [[nodiscard]] FileMesh finish() override {
    if (highest_ >= vertex_count()) {
      throw index_out_of_range(scanner_.where(highest_at_), highest_ + 1, 1, vertex_count());
    }
    mesh_.take_colours(std::move(colours_));
    return finished(std::move(mesh_), Format::obj, name_);
  }

 private:
  /// Lines as nearly all programs write them, for as long as they come: "v" with three numbers, "f"
  /// with three corners, a blank before each. Stays at the first that is otherwise.
  void take_plain_lines() {
    const char* at = scanner_.position();
    const char* const end = at + scanner_.remaining();
    for (const char* next = at; next != nullptr; at = next) {
      next = nullptr;
      if (end - at < 2 || at[1] != ' ') break;
      if (at[0] == 'v') next = plain_vertex(at + 2, end);
      if (at[0] == 'f') next = plain_face(at + 2, end);
      if (next == nullptr) break;
    }
    scanner_.step(static_cast<std::size_t>(at - scanner_.position()));
  }

  /// The next line; null, with nothing taken, where this one is otherwise.
  const char* plain_vertex(const char* at, const char* end) {
    double numbers[3];
    for (int k = 0; k < 3; ++k) {
      at = read_decimal(at, end, numbers[k]);
      if (at == nullptr || at == end || *at != (k < 2 ? ' ' : '\n')) return nullptr;
      ++at;
    }
    if (mesh_.positions.size() >= most_vertices) return nullptr;
    mesh_.positions.add(numbers[0], numbers[1], numbers[2]);
    return at;
  }

  const char* plain_face(const char* at, const char* end) {
    constexpr int most_digits = 9;  // that fit an int whatever they are
    int corners[3];
    for (int k = 0; k < 3; ++k) {
      const char* const from = at;
      std::uint64_t index = 0;
      take_digits(at, end, index);
      if (at - from > most_digits || index == 0) return nullptr;
      if (index > mesh_.positions.size()) {
        if (index > most_vertices) return nullptr;
        note_highest(static_cast<long long>(index) - 1, from);
      }
      corners[k] = static_cast<int>(index) - 1;
      if (at != end && *at == '/') {
        while (at != end && !TextScanner::is_gap(*at)) ++at;
      }
      if (at == end || *at != (k < 2 ? ' ' : '\n')) return nullptr;
      ++at;
    }
    if (mesh_.facets.size() >= most_facets) return nullptr;
    mesh_.facets.add(corners[0], corners[1], corners[2]);
    return at;
  }

  /// Guesses from the first part of the file how many vertices and facets it has, so that the
  /// arrays need not move as they grow.
  void reserve(std::size_t bytes, std::string_view head, std::string_view tail) {
    std::size_t vertices = 0;
    std::size_t facets = 0;
    for (const std::string_view part : {head, tail}) {
      for (std::size_t at = part.find('\n'); at < part.size() && part.size() - at > 2;
           at = part.find('\n', at + 1)) {
        vertices += part[at + 1] == 'v' && part[at + 2] == ' ';
        facets += part[at + 1] == 'f' && part[at + 2] == ' ';
      }
    }
    // A file of vertices first and facets last shows both kinds in the two samples; no line takes
    // fewer than 8 bytes, whatever the samples say.
    const double each =
        static_cast<double>(bytes) / static_cast<double>(head.size() + tail.size() + 1);
    const auto guess = [&](std::size_t seen) {
      return std::min(bytes / 8, static_cast<std::size_t>(static_cast<double>(seen) * each * 1.1)) +
             16;
    };
    mesh_.positions.reserve(guess(vertices));
    mesh_.facets.reserve(guess(facets));
  }

  /// Whether the statement is a single letter; steps over it if so.
  bool statement_is_short() {
    if (scanner_.remaining() > 1) {
      const char after = scanner_.position()[1];
      if (!TextScanner::is_blank(after) && after != '\n' && after != '\\') return false;
    }
    scanner_.step();
    return true;
  }

  [[nodiscard]] long long vertex_count() const { return mesh_.vertex_count(); }

  void read_vertex() {
    double values[7];
    int count = 0;
    while (!scanner_.at_line_end() && scanner_.peek() != '#') {
      const double value = scanner_.number("vertex");
      if (count < 7) values[count++] = value;
    }
    if (count < 3) throw number_missing(scanner_.where(), "vertex");
    if (static_cast<std::uint64_t>(vertex_count()) >= most_vertices) {
      throw too_many(name_, "vertices");
    }
    mesh_.positions.add(values[0], values[1], values[2]);
    if (count >= 6) {
      colours_.resize(3 * mesh_.positions.size(), 1.0F);  // white, those before that had none
      std::transform(values + count - 3, values + count, colours_.end() - 3,
                     [](double c) { return static_cast<float>(std::clamp(c, 0.0, 255.0)); });
    }
    scanner_.skip_line();
  }

  void read_face() {
    corners_.clear();
    while (!scanner_.at_line_end() && scanner_.peek() != '#') {
      const char* from = scanner_.position();
      const long long index = scanner_.index();
      if (scanner_.peek() == '/') (void)scanner_.word();
      corners_.push_back(static_cast<int>(checked(index, from)));
    }
    if (mesh_.facets.size() + corners_.size() > most_facets) throw too_many(name_, "facets");
    mesh_.add_polygon(corners_.data(), corners_.size());
    scanner_.skip_line();
  }

  /// The vertex that an index means, from 0. One beyond the vertices so far may still come.
  long long checked(long long index, const char* from) {
    if (index < 0) {
      if (-index > vertex_count()) {
        throw index_out_of_range(scanner_.where(from), index, -vertex_count(), -1);
      }
      return vertex_count() + index;
    }
    if (index == 0 || index > static_cast<long long>(most_vertices)) {
      throw index_out_of_range(scanner_.where(from), index, 1, vertex_count());
    }
    if (index > vertex_count()) note_highest(index - 1, from);
    return index - 1;
  }

  void note_highest(long long number, const char* from) {
    if (number <= highest_) return;
    highest_ = number;
    highest_at_ = from;
  }

  TextScanner scanner_;
  ParsedMesh mesh_;
  std::vector<int> corners_;
  std::vector<float> colours_;
  long long highest_ = -1;  ///< of the vertices that were named before they came
  const char* highest_at_ = nullptr;
  const std::string& name_;
};

}  // namespace

FileMesh read_obj(std::string_view bytes, const std::string& name) {
  ObjText text(bytes.size(), bytes, bytes, name);
  text.take(bytes);
  return text.finish();
}

std::unique_ptr<BlockReader> obj_blocks(std::uint64_t bytes, std::string_view head,
                                        std::string_view tail, const std::string& name) {
  return std::make_unique<ObjText>(bytes, head, tail, name);
}

}  // namespace trueblank::intake
