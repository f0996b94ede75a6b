// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/write_mesh.h"

#include <Eigen/Geometry>
#include <bit>
#include <cassert>
#include <charconv>
#include <cstring>

#include "intake/stl_layout.h"

namespace trueblank::intake {
namespace {

static_assert(std::endian::native == std::endian::little, "PLY and STL are written little-endian");

/// A string of known size, filled from the front.
class Bytes {
 public:
  explicit Bytes(std::size_t size) : bytes_(size, '\0') {}

  template <class T>
  void put(const T& value) {
    std::memcpy(bytes_.data() + at_, &value, sizeof value);
    at_ += sizeof value;
  }

  void put_text(std::string_view text) {
    std::memcpy(bytes_.data() + at_, text.data(), text.size());
    at_ += text.size();
  }

  void skip(std::size_t bytes) { at_ += bytes; }

  [[nodiscard]] std::string take() {
    assert(at_ == bytes_.size());
    return std::move(bytes_);
  }

 private:
  std::string bytes_;
  std::size_t at_ = 0;
};

/// The comment as header lines: each of its lines one of its own.
std::string comment_lines(const std::string& comment) {
  std::string out;
  std::size_t from = 0;
  while (from < comment.size()) {
    const std::size_t to = std::min(comment.find('\n', from), comment.size());
    out += "comment " + comment.substr(from, to - from) + "\n";
    from = to + 1;
  }
  return out;
}

std::string ply_header(const geometry::TriangleMesh& mesh, const PlyExtras& extras) {
  std::string out = "ply\nformat binary_little_endian 1.0\n" + comment_lines(extras.comment);
  out += "element vertex " + std::to_string(mesh.vertex_count()) + "\n";
  out += "property double x\nproperty double y\nproperty double z\n";
  if (!extras.deviation_mm.empty()) out += "property double deviation\n";
  if (!extras.measured.empty()) out += "property uchar measured\n";
  if (!extras.colours.empty()) {
    out += "property uchar red\nproperty uchar green\nproperty uchar blue\n";
  }
  out += "element face " + std::to_string(mesh.facet_count()) + "\n";
  out += "property list uchar int vertex_indices\nend_header\n";
  return out;
}

void append(std::string& out, double value) {
  char buffer[32];
  out.append(buffer, std::to_chars(buffer, buffer + sizeof buffer, value).ptr);
}

void append(std::string& out, int value) {
  char buffer[16];
  out.append(buffer, std::to_chars(buffer, buffer + sizeof buffer, value).ptr);
}

}  // namespace

std::string ply_bytes(const geometry::TriangleMesh& mesh, const PlyExtras& extras) {
  const auto vertices = static_cast<std::size_t>(mesh.vertex_count());
  const auto facets = static_cast<std::size_t>(mesh.facet_count());
  assert(extras.deviation_mm.empty() || extras.deviation_mm.size() == vertices);
  assert(extras.measured.empty() || extras.measured.size() == vertices);
  assert(extras.colours.empty() || extras.colours.size() == vertices);
  const std::string header = ply_header(mesh, extras);
  const std::size_t per_vertex =
      3 * sizeof(double) + (extras.deviation_mm.empty() ? 0 : sizeof(double)) +
      (extras.measured.empty() ? 0 : 1) + (extras.colours.empty() ? 0 : sizeof(Colour));
  constexpr std::size_t per_facet = 1 + 3 * sizeof(std::int32_t);
  Bytes out(header.size() + vertices * per_vertex + facets * per_facet);
  out.put_text(header);
  for (std::size_t v = 0; v < vertices; ++v) {
    const auto column = static_cast<Eigen::Index>(v);
    for (int k = 0; k < 3; ++k) out.put(mesh.positions_mm(k, column));
    const bool measured = extras.measured.empty() || extras.measured[v] != 0;
    if (!extras.deviation_mm.empty()) out.put(measured ? extras.deviation_mm[v] : 0.0);
    if (!extras.measured.empty()) out.put(std::uint8_t{measured});
    if (!extras.colours.empty()) out.put(extras.colours[v]);
  }
  for (Eigen::Index f = 0; f < mesh.facets.cols(); ++f) {
    out.put(std::uint8_t{3});
    for (int k = 0; k < 3; ++k) out.put(std::int32_t{mesh.facets(k, f)});
  }
  return out.take();
}

std::string stl_bytes(const geometry::TriangleMesh& mesh) {
  constexpr std::string_view title = "trueblank, millimetres";  // never begins with "solid"
  const auto facets = static_cast<std::uint32_t>(mesh.facet_count());
  Bytes out(static_cast<std::size_t>(stl_bytes_for(facets)));
  out.put_text(title);
  out.skip(stl_header_bytes - title.size());
  out.put(facets);
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const geometry::Vec3 a = mesh.corner(f, 0);
    const geometry::Vec3 normal = (mesh.corner(f, 1) - a).cross(mesh.corner(f, 2) - a).normalized();
    out.put(Eigen::Vector3f(normal.cast<float>()));
    for (int k = 0; k < 3; ++k) out.put(Eigen::Vector3f(mesh.corner(f, k).cast<float>()));
    out.put(std::uint16_t{0});
  }
  return out.take();
}

std::string obj_bytes(const geometry::TriangleMesh& mesh) {
  std::string out;
  constexpr std::size_t usual_vertex_bytes = 56;
  constexpr std::size_t usual_facet_bytes = 26;
  out.reserve(static_cast<std::size_t>(mesh.vertex_count()) * usual_vertex_bytes +
              static_cast<std::size_t>(mesh.facet_count()) * usual_facet_bytes + 64);
  out += "# trueblank, millimetres\n";
  for (Eigen::Index v = 0; v < mesh.positions_mm.cols(); ++v) {
    out += 'v';
    for (int k = 0; k < 3; ++k) {
      out += ' ';
      append(out, mesh.positions_mm(k, v));
    }
    out += '\n';
  }
  for (Eigen::Index f = 0; f < mesh.facets.cols(); ++f) {
    out += 'f';
    for (int k = 0; k < 3; ++k) {
      out += ' ';
      append(out, mesh.facets(k, f) + 1);
    }
    out += '\n';
  }
  return out;
}

}  // namespace trueblank::intake
