// SPDX-License-Identifier: GPL-3.0-or-later
// Binary STL: 80 bytes of header, a 32-bit count, 50 bytes a facet (normal, three corners as
// 32-bit floats, two attribute bytes), little-endian. Text STL: solid, facet normal, outer loop,
// three times vertex, endloop, endfacet, endsolid. Normals are left aside: the winding says it.
#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>

#include "intake/decimal.h"
#include "intake/files.h"
#include "intake/messages.h"
#include "intake/parsed_mesh.h"
#include "intake/stl_layout.h"
#include "intake/text_scanner.h"
#include "intake/triples.h"
#include "intake/weld.h"

namespace trueblank::intake {
namespace {

static_assert(std::endian::native == std::endian::little, "STL is read as it lies in memory");

std::string in_facet(const std::string& name, std::uint64_t facet) {
  return shown_name(name) + ", facet " + std::to_string(facet + 1);
}

/// Facets as they come, on their way into a mesh.
class StlFacets final : public BlockReader {
 public:
  StlFacets(std::uint64_t count, const std::string& name)
      : welder_(static_cast<std::size_t>(count) / 2 + 16),
        facets_(3, static_cast<Eigen::Index>(count)),
        queue_(welder_, facets_.data()),
        name_(name) {
    ask_for_large_pages(facets_.data(), static_cast<std::size_t>(facets_.size()) * sizeof(int));
  }

  [[nodiscard]] std::size_t whole_part(std::string_view block) const override {
    return block.size() - block.size() % stl_facet_bytes;
  }

  void take(std::string_view part) override {
    const char* const end = part.data() + whole_part(part);
    for (const char* at = part.data(); at != end; at += stl_facet_bytes, ++taken_) {
      float corners[9];
      std::memcpy(corners, at + stl_normal_bytes, sizeof corners);
      float nil = 0;  // NaN as soon as one of the nine is NaN or infinite
      for (const float c : corners) nil += 0 * c;
      if (std::isnan(nil)) throw not_finite(in_facet(name_, taken_), "vertex");
      for (int k = 0; k < 9; k += 3) queue_.add(corners[k], corners[k + 1], corners[k + 2]);
    }
  }

  [[nodiscard]] FileMesh finish() override {
    queue_.flush();
    const auto count = static_cast<std::uint64_t>(facets_.cols());
    if (taken_ < count) {  // the file has become shorter meanwhile
      throw stl_count_too_high(name_, count, stl_bytes_for(count), stl_bytes_for(taken_));
    }
    FileMesh mesh;
    mesh.name = name_;
    mesh.format = Format::stl_binary;
    mesh.facets = std::move(facets_);
    mesh.positions = welder_.take();
    return mesh;
  }

 private:
  Welder<double> welder_;
  Eigen::Matrix3Xi facets_;
  WeldQueue<double, int*> queue_;
  std::uint64_t taken_ = 0;
  const std::string& name_;
};

/// Corners one after the other, three to a facet.
class ToFacets {
 public:
  explicit ToFacets(Triples<int>* facets) : facets_(facets) {}

  [[nodiscard]] int& operator*() {
    if (corner_ == 0) facet_ = facets_->add();
    return facet_[corner_];
  }

  ToFacets& operator++() {
    corner_ = corner_ == 2 ? 0 : corner_ + 1;
    return *this;
  }

 private:
  Triples<int>* facets_;
  int* facet_ = nullptr;
  int corner_ = 0;
};

/// The text of one STL file, taken word by word.
class StlText final : public BlockReader {
 public:
  StlText(std::uint64_t bytes, const std::string& name)
      : scanner_({}, name),
        welder_(static_cast<std::size_t>(bytes) / 500 + 16),
        queue_(welder_, ToFacets(&facets_)),
        name_(name) {
    facets_.reserve(static_cast<std::size_t>(bytes) / 250 + 16);
  }

  /// Up to the last line that begins with "endfacet".
  [[nodiscard]] std::size_t whole_part(std::string_view block) const override {
    std::size_t end = block.rfind('\n');
    while (end != std::string_view::npos && end > 0) {
      const std::size_t before = block.rfind('\n', end - 1);
      const std::size_t start = before == std::string_view::npos ? 0 : before + 1;
      TextScanner line(block.substr(start, end - start), name_);
      line.skip_blanks();
      if (is_stl_word(line.word(), "endfacet")) return end + 1;
      end = before;
    }
    return 0;
  }

  void take(std::string_view part) override {
    scanner_.move_to(part);
    for (take_plain_facets(); next_word(); take_plain_facets()) {
      if (is_stl_word(word_, "solid")) {
        in_solid_ = true;
        scanner_.skip_line();
      } else if (is_stl_word(word_, "endsolid")) {
        in_solid_ = false;
        scanner_.skip_line();
      } else if (is_stl_word(word_, "facet")) {
        skip_normal();
        read_facet();
      } else {
        throw stl_word_expected(scanner_.where(word_.data()), "facet", word_);
      }
    }
  }

  [[nodiscard]] FileMesh finish() override {
    if (taken_ == 0) throw no_facets(name_, 0);
    queue_.flush();
    FileMesh mesh;
    mesh.name = name_;
    mesh.format = Format::stl_ascii;
    mesh.positions = welder_.take();
    mesh.facets = facets_.take();
    if (in_solid_) mesh.warnings.push_back(endsolid_missing());
    return mesh;
  }

 private:
  /// Facets in seven lines, as nearly all programs write them, for as long as they come. Stays at
  /// the first that is otherwise.
  void take_plain_facets() {
    scanner_.skip_space();
    const char* at = scanner_.position();
    const char* const end = at + scanner_.remaining();
    double corners[9];
    while (taken_ < most_facets) {
      const char* const next = plain_facet(at, end, corners);
      if (next == nullptr) break;
      for (int k = 0; k < 9; k += 3) queue_.add(corners[k], corners[k + 1], corners[k + 2]);
      ++taken_;
      at = next;
    }
    scanner_.step(static_cast<std::size_t>(at - scanner_.position()));
  }

  /// The line after the facet that begins here; null where it is otherwise.
  static const char* plain_facet(const char* at, const char* end, double* corners) {
    at = after("facet normal ", at, end);
    if (at == nullptr) return nullptr;
    at = TextScanner::past_line_without('o', 'O', at, end);  // as skip_normal
    if (at == nullptr) return nullptr;
    at = after("outer loop\n", at, end);
    for (int k = 0; k < 9 && at != nullptr; ++k) {
      if (k % 3 == 0) at = after("vertex ", at, end);
      while (at != nullptr && at != end && *at == ' ') ++at;
      if (at != nullptr) at = read_decimal(at, end, corners[k]);
      if (at == nullptr || at == end || *at != (k % 3 < 2 ? ' ' : '\n')) return nullptr;
      ++at;
    }
    if (at != nullptr) at = after("endloop\n", at, end);
    return at == nullptr ? nullptr : after("endfacet\n", at, end);
  }

  /// Just past these bytes and the blanks before them; null where others stand there.
  template <std::size_t size>
  static const char* after(const char (&wanted)[size], const char* at, const char* end) {
    while (at != end && (*at == ' ' || *at == '\t')) ++at;
    constexpr std::size_t length = size - 1;
    if (static_cast<std::size_t>(end - at) < length || std::memcmp(at, wanted, length) != 0) {
      return nullptr;
    }
    return at + length;
  }

  bool next_word() {
    scanner_.skip_space();
    word_ = scanner_.word();
    return !word_.empty();
  }

  void expect(std::string_view wanted) {
    scanner_.skip_space();
    if (scanner_.skip_word(wanted)) return;
    if (!next_word())
      throw stl_ends_within_facet(scanner_.where(), static_cast<std::int64_t>(taken_ + 1));
    if (!is_stl_word(word_, wanted)) {
      throw stl_word_expected(scanner_.where(word_.data()), wanted, word_);
    }
  }

  /// Whatever it says: some programs write "nan" for the normal of a thin facet.
  void skip_normal() {
    scanner_.skip_blanks();
    if (scanner_.skip_word("normal") && scanner_.skip_line_without('o', 'O')) return;
    for (int words = 0; words < 4 && !scanner_.at_line_end(); ++words) {
      if ((scanner_.peek() | 0x20) == 'o') return;  // "outer" on the same line
      (void)scanner_.word();
    }
  }

  double coordinate() {
    scanner_.skip_blanks();
    return scanner_.number("vertex");
  }

  void read_facet() {
    expect("outer");
    expect("loop");
    for (int corner = 0; corner < 3; ++corner) {
      expect("vertex");
      const double x = coordinate();
      const double y = coordinate();
      const double z = coordinate();
      queue_.add(x, y, z);
    }
    expect("endloop");
    expect("endfacet");
    if (taken_ >= most_facets) throw too_many(name_, "facets");
    ++taken_;
  }

  TextScanner scanner_;
  Welder<double> welder_;
  Triples<int> facets_;
  WeldQueue<double, ToFacets> queue_;
  std::uint64_t taken_ = 0;
  std::string_view word_;
  bool in_solid_ = false;
  const std::string& name_;
};

}  // namespace

std::uint64_t stl_binary_count(std::string_view bytes) {
  std::uint32_t count = 0;
  std::memcpy(&count, bytes.data() + stl_header_bytes, sizeof count);
  return count;
}

FileMesh read_stl_binary(std::string_view bytes, const std::string& name) {
  const std::uint64_t count = stl_binary_count(bytes);
  const std::uint64_t needed = stl_bytes_for(count);
  if (needed > bytes.size()) throw stl_count_too_high(name, count, needed, bytes.size());
  if (count == 0) throw no_facets(name, 0);
  if (count > most_facets) throw too_many(name, "facets");

  StlFacets facets(count, name);
  facets.take(bytes.substr(stl_bytes_for(0), static_cast<std::size_t>(needed) - stl_bytes_for(0)));
  FileMesh mesh = facets.finish();
  if (bytes.size() > needed) mesh.warnings.push_back(trailing_bytes(bytes.size() - needed));
  return mesh;
}

FileMesh read_stl_ascii(std::string_view bytes, const std::string& name) {
  StlText text(bytes.size(), name);
  text.take(bytes);
  return text.finish();
}

std::unique_ptr<BlockReader> stl_binary_blocks(std::uint64_t count, const std::string& name) {
  return std::make_unique<StlFacets>(count, name);
}

std::unique_ptr<BlockReader> stl_ascii_blocks(std::uint64_t bytes, const std::string& name) {
  return std::make_unique<StlText>(bytes, name);
}

}  // namespace trueblank::intake
