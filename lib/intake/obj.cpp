// SPDX-License-Identifier: GPL-3.0-or-later
// Wavefront OBJ: only `v` and `f` lines matter here. Corners are numbered from 1, or from the last
// vertex so far backward with -1, -2 …; what follows a slash (texture, normal) is left aside.
#include <algorithm>
#include <array>
#include <cstring>
#include <optional>
#include <utility>

#include "intake/decimal.h"
#include "intake/decimal_lines.h"
#include "intake/messages.h"
#include "intake/obj_face_layout.h"
#include "intake/parsed_mesh.h"
#include "intake/text_scanner.h"
#include "intake/weld.h"

namespace trueblank::intake {
namespace {

constexpr std::size_t sample_bytes = 1 << 16;

/// Vertices or facets that are read before they are taken in.
constexpr std::size_t most_at_once = 64;

/// Bytes that are looked at from a plain line's start on, whatever they are.
constexpr std::ptrdiff_t bytes_of_plain_line = std::max(bytes_of_line + 4, FaceLayout::most_bytes);

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
    if (nothing_to_weld()) return as_it_stands();
    // Of no more use, and the weld takes memory of its own.
    duplicates_.reset();
    used_ = std::vector<std::uint8_t>();
    mesh_.take_colours(std::move(colours_));
    return finished(std::move(mesh_), Format::obj, name_);
  }

 private:
  /// Lines as nearly all programs write them, for as long as they come: "v" with three numbers, "f"
  /// with three corners, a blank before each. Stays at the first that is otherwise.
  void take_plain_lines() {
    const char* at = scanner_.position();
    const char* const end = at + scanner_.remaining();
    const char* const begin = at - scanner_.passed();
    for (const char* next = at; next != nullptr; at = next) {
      if (at - begin >= bytes_before_line) at = take_plainest_lines(at, end);
      next = nullptr;
      if (end - at < 2 || at[1] != ' ') break;
      if (at[0] == 'v') next = plain_vertex(at + 2, end);
      if (at[0] == 'f') next = plain_face(at + 2, end);
      if (next == nullptr) break;
    }
    scanner_.step(static_cast<std::size_t>(at - scanner_.position()));
  }

  /// Of these the plainest, for as long as they come, neither at the very start nor the end of the
  /// text; the line after them.
  const char* take_plainest_lines(const char* at, const char* end) {
    for (const char* next = at; end - at > bytes_of_plain_line; at = next) {
      if (at[0] == 'f' && at[1] == ' ') {
        next = take_faces(at, end);
      } else if (at[0] == 'v' && at[1] == ' ') {
        next = take_vertices(at, end);
      } else if (at[0] == 'v' && (at[1] == 'n' || at[1] == 't') && at[2] == ' ') {
        next = past_short_line(at);
      }
      if (next == at) break;
    }
    return at;
  }

  const char* take_vertices(const char* at, const char* end) {
    std::array<double, 3 * most_at_once> numbers;
    if (mesh_.positions.size() + most_at_once > most_vertices) return at;
    std::size_t count = 0;
    while (count < most_at_once && end - at > bytes_of_plain_line && at[0] == 'v' && at[1] == ' ') {
      const char* const next = read_three_decimals(at + 2, &numbers[3 * count]);
      if (next == nullptr) break;
      at = next;
      ++count;
    }
    add_vertices(numbers.data(), count);
    return at;
  }

  /// A face that is laid out otherwise than those before may be the only one; how a second is laid
  /// out is worth a look, and if it doesn't help, many are left alone.
  const char* take_faces(const char* at, const char* end) {
    const char* next = take_faces_alike(at, end);
    if (next == at && ++strange_faces_ >= 2) {
      constexpr int most_left_alone = 32;
      strange_faces_ = -most_left_alone;
      if (layout_.learn(at)) next = take_faces_alike(at, end);
    }
    if (next == at) return take_face(at);
    strange_faces_ = 0;
    return next;
  }

  const char* take_faces_alike(const char* at, const char* end) {
    const auto fits = [this, end](const char* line) {
      return end - line > bytes_of_plain_line && layout_.fits(line);
    };
    if (!fits(at)) return at;
    std::array<int, 3 * most_at_once + 1> corners;
    const char* next = at;
    std::size_t count = 0;
    do {
      layout_.read(next, &corners[3 * count]);
      next += layout_.length();
      ++count;
    } while (count < most_at_once && fits(next));
    const std::size_t taken = add_facets(corners.data(), count);
    next = at + static_cast<std::ptrdiff_t>(taken) * layout_.length();
    // Where faces come before their vertices, they are not to be read here time and again.
    if (taken == 0) layout_ = {};
    return next;
  }

  const char* take_face(const char* at) {
    unsigned counts[3];
    const char* const next = read_three_counts(at + 2, counts);
    if (next == nullptr) return at;
    const int corners[3] = {static_cast<int>(counts[0]) - 1, static_cast<int>(counts[1]) - 1,
                            static_cast<int>(counts[2]) - 1};
    return add_facets(corners, 1) == 1 ? next : at;
  }

  /// Past a line that is of no use here and that no backslash joins to the next, if it ends within
  /// a plain one's bytes.
  static const char* past_short_line(const char* at) {
    const void* const found = std::memchr(at, '\n', static_cast<std::size_t>(bytes_of_plain_line));
    if (found == nullptr) return at;
    const char* const line_end = static_cast<const char*>(found);
    const char last = line_end[-1] == '\r' ? line_end[-2] : line_end[-1];
    return TextScanner::is_blank(last) || last == '\\' ? at : line_end + 1;
  }

  void add_vertices(const double* numbers, std::size_t count) {
    double* const into = mesh_.positions.add(count);
    for (std::size_t i = 0; i < 3 * count; ++i) into[i] = numbers[i] + 0.0;  // -0 becomes 0
    duplicates_->add(into, count);
  }

  /// Facets of vertices that have come, numbered from 0, up to the first that has another corner;
  /// how many those are.
  std::size_t add_facets(const int* corners, std::size_t count) {
    const std::size_t vertices = mesh_.positions.size();
    if (mesh_.facets.size() + count > most_facets) return 0;
    if (used_.size() < vertices) used_.resize(vertices, 0);
    std::uint8_t* const used = used_.data();
    for (std::size_t i = 0; i < count; ++i) {
      const auto corner = [&](std::size_t k) {
        return static_cast<std::size_t>(static_cast<unsigned>(corners[3 * i + k]));
      };
      // -1 becomes more than any number.
      if (corner(0) >= vertices || corner(1) >= vertices || corner(2) >= vertices) {
        count = i;
        break;
      }
      used[corner(0)] = used[corner(1)] = used[corner(2)] = 1;
    }
    std::copy(corners, corners + 3 * count, mesh_.facets.add(count));
    return count;
  }

  /// Whether the mesh is triangles of vertices that are all used and all different.
  [[nodiscard]] bool nothing_to_weld() {
    const std::size_t vertices = mesh_.positions.size();
    return only_triangles_ && colours_.empty() && !mesh_.facets.empty() &&
           used_.size() == vertices && std::ranges::count(used_, 0) == 0 &&
           duplicates_->none_equal(mesh_.positions.data(), vertices);
  }

  FileMesh as_it_stands() {
    FileMesh mesh;
    mesh.name = name_;
    mesh.format = Format::obj;
    mesh.positions = mesh_.positions.take();
    mesh.facets = mesh_.facets.take();
    return mesh;
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
    add_vertices(numbers, 1);
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
        if (at[-1] == '\\') return nullptr;  // the line may go on
      }
      if (at == end || *at != (k < 2 ? ' ' : '\n')) return nullptr;
      ++at;
    }
    if (mesh_.facets.size() >= most_facets) return nullptr;
    if (add_facets(corners, 1) == 0) add_polygon(corners, 3);
    return at;
  }

  /// What the lines of a sample are.
  struct Sample {
    double vertices = 0;
    double facets = 0;
    double vertex_bytes = 0;
    double face_bytes = 0;

    void add(std::string_view line) {
      if (line.starts_with("v ")) {
        vertices += 1;
        vertex_bytes += static_cast<double>(line.size());
      } else if (line.starts_with("f ")) {
        facets += std::max(1.0, static_cast<double>(std::ranges::count(line, ' ')) - 2);
        face_bytes += static_cast<double>(line.size());
      }
    }
  };

  static Sample sample_of(std::string_view part) {
    Sample sample;
    std::size_t from = part.find('\n') + 1;  // the first line may have been cut
    for (std::size_t to = 0; from > 0 && from < part.size(); from = to + 1) {
      to = part.find('\n', from);
      if (to == std::string_view::npos) break;
      sample.add(part.substr(from, to + 1 - from));
    }
    return sample;
  }

  /// Guesses from both ends of the file how many vertices and facets it has, so that the arrays
  /// need not move as they grow.
  void reserve(std::size_t bytes, std::string_view head, std::string_view tail) {
    const Sample first = sample_of(head);
    const Sample last = sample_of(tail);
    double vertices = first.vertices + last.vertices;
    double facets = first.facets + last.facets;
    if (first.facets == 0 && last.vertices == 0 && vertices > 0 && facets > 0) {
      // Vertices first and facets last: a closed body has two facets a vertex.
      vertices = static_cast<double>(bytes) /
                 (first.vertex_bytes / vertices + 2 * last.face_bytes / facets);
      facets = 2 * vertices;
    } else {
      const double each =
          static_cast<double>(bytes) / static_cast<double>(head.size() + tail.size() + 1);
      vertices *= each;
      facets *= each;
    }
    // No line takes fewer than 8 bytes, whatever the samples say.
    const auto room = [bytes](double guess, std::uint64_t most) {
      const auto wanted = static_cast<std::uint64_t>(1.1 * guess);
      return static_cast<std::size_t>(std::min({std::uint64_t{bytes} / 8, wanted, most})) + 16;
    };
    mesh_.positions.reserve(room(vertices, most_vertices));
    duplicates_.emplace(room(vertices, most_vertices));
    mesh_.facets.reserve(room(facets, most_facets));
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
    add_vertices(values, 1);
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
      if (scanner_.peek() == '/') scanner_.skip_rest_of_word();
      corners_.push_back(static_cast<int>(checked(index, from)));
    }
    if (mesh_.facets.size() + corners_.size() > most_facets) throw too_many(name_, "facets");
    if (corners_.size() != 3 || add_facets(corners_.data(), 1) == 0) {
      add_polygon(corners_.data(), corners_.size());
    }
    scanner_.skip_line();
  }

  /// Of other than three corners, or some that have not come.
  void add_polygon(const int* corners, std::size_t count) {
    only_triangles_ = false;
    mesh_.add_polygon(corners, count);
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
  FaceLayout layout_;
  int strange_faces_ = 0;           ///< in a row; negative while they are left alone
  std::vector<std::uint8_t> used_;  ///< 1 for each vertex that a triangle uses
  std::optional<DuplicateFilter> duplicates_;
  bool only_triangles_ = true;  ///< of vertices that had come
  long long highest_ = -1;      ///< of the vertices that were named before they came
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
