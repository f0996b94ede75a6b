// SPDX-License-Identifier: GPL-3.0-or-later
// Binary STL: 80 bytes of header, a 32-bit count, 50 bytes a facet (normal, three corners as
// 32-bit floats, two attribute bytes), little-endian. Text STL: solid, facet normal, outer loop,
// three times vertex, endloop, endfacet, endsolid. Normals are left aside: the winding says it.
#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>

#include "intake/messages.h"
#include "intake/parsed_mesh.h"
#include "intake/stl_layout.h"
#include "intake/text_scanner.h"
#include "intake/weld.h"

namespace trueblank::intake {
namespace {

static_assert(std::endian::native == std::endian::little, "STL is read as it lies in memory");

std::string in_facet(const std::string& name, std::uint64_t facet) {
  return shown_name(name) + ", facet " + std::to_string(facet + 1);
}

template <class Scalar>
FileMesh from_welded(const Welder<Scalar>& welder, Format format, const std::string& name) {
  FileMesh mesh;
  mesh.name = name;
  mesh.format = format;
  mesh.positions = Eigen::Map<const Eigen::Matrix<Scalar, 3, Eigen::Dynamic>>(
                       welder.coordinates().data(), 3, welder.size())
                       .template cast<double>();
  return mesh;
}

/// "facet" or "endfacet", whatever its case.
bool same_word(std::string_view found, std::string_view wanted) {
  return found.size() == wanted.size() &&
         std::equal(found.begin(), found.end(), wanted.begin(), [](char a, char b) {
           return (a >= 'A' && a <= 'Z' ? static_cast<char>(a + ('a' - 'A')) : a) == b;
         });
}

/// The text of one STL file, taken word by word.
class StlText {
 public:
  StlText(std::string_view bytes, const std::string& name)
      : scanner_(bytes, name), welder_(bytes.size() / 500 + 16), name_(name) {
    corners_.reserve(3 * (bytes.size() / 250 + 16));
  }

  FileMesh read() {
    bool in_solid = false;
    while (next_word()) {
      if (same_word(word_, "solid")) {
        in_solid = true;
        scanner_.skip_line();
      } else if (same_word(word_, "endsolid")) {
        in_solid = false;
        scanner_.skip_line();
      } else if (same_word(word_, "facet")) {
        skip_normal();
        read_facet();
      } else {
        throw stl_word_expected(scanner_.where(word_.data()), "facet", word_);
      }
    }
    if (corners_.empty()) throw no_facets(name_, 0);
    FileMesh mesh = from_welded(welder_, Format::stl_ascii, name_);
    mesh.facets = Eigen::Map<const Eigen::Matrix3Xi>(corners_.data(), 3, facet_count());
    if (in_solid) mesh.warnings.push_back(endsolid_missing());
    return mesh;
  }

 private:
  [[nodiscard]] Eigen::Index facet_count() const {
    return static_cast<Eigen::Index>(corners_.size() / 3);
  }

  bool next_word() {
    scanner_.skip_space();
    word_ = scanner_.word();
    return !word_.empty();
  }

  void expect(std::string_view wanted) {
    if (!next_word()) throw stl_ends_within_facet(scanner_.where(), facet_count() + 1);
    if (!same_word(word_, wanted)) {
      throw stl_word_expected(scanner_.where(word_.data()), wanted, word_);
    }
  }

  /// Whatever it says: some programs write "nan" for the normal of a thin facet.
  void skip_normal() {
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
    int corners[3];
    for (int& corner : corners) {
      expect("vertex");
      const double x = coordinate();
      const double y = coordinate();
      const double z = coordinate();
      corner = welder_.add(x, y, z);
    }
    expect("endloop");
    expect("endfacet");
    if (corners_.size() / 3 >= most_facets) throw too_many(name_, "facets");
    corners_.insert(corners_.end(), corners, corners + 3);
  }

  TextScanner scanner_;
  Welder<double> welder_;
  std::vector<int> corners_;
  std::string_view word_;
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

  Welder<float> welder(static_cast<std::size_t>(count) / 2 + 16);
  Eigen::Matrix3Xi facets(3, static_cast<Eigen::Index>(count));
  const char* at = bytes.data() + stl_header_bytes + stl_count_bytes;
  for (std::uint64_t facet = 0; facet < count; ++facet, at += stl_facet_bytes) {
    float corners[9];
    std::memcpy(corners, at + stl_normal_bytes, sizeof corners);
    float nil = 0;  // NaN as soon as one of the nine is NaN or infinite
    for (const float c : corners) nil += 0 * c;
    if (std::isnan(nil)) throw not_finite(in_facet(name, facet), "vertex");
    for (int k = 0; k < 3; ++k) {
      facets(k, static_cast<Eigen::Index>(facet)) =
          welder.add(corners[3 * k], corners[3 * k + 1], corners[3 * k + 2]);
    }
  }
  FileMesh mesh = from_welded(welder, Format::stl_binary, name);
  mesh.facets = std::move(facets);
  if (bytes.size() > needed) mesh.warnings.push_back(trailing_bytes(bytes.size() - needed));
  return mesh;
}

FileMesh read_stl_ascii(std::string_view bytes, const std::string& name) {
  return StlText(bytes, name).read();
}

}  // namespace trueblank::intake
