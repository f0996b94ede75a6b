// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/write_glb.h"

#include <algorithm>
#include <array>
#include <bit>
#include <charconv>
#include <cmath>
#include <cstring>
#include <vector>

#include "intake/gltf_layout.h"

namespace trueblank::intake {
namespace {

static_assert(std::endian::native == std::endian::little, "glTF is written little-endian");

template <class T>
void put(std::string& out, const T& value) {
  std::array<char, sizeof value> bytes;
  std::memcpy(bytes.data(), &value, sizeof value);
  out.append(bytes.data(), bytes.size());
}

std::string text_of(float value) {
  std::array<char, 32> buffer{};
  return {buffer.data(), std::to_chars(buffer.data(), buffer.data() + buffer.size(), value).ptr};
}

// glTF has the colours of vertices linear, ours are the screen's (IEC 61966-2-1).
std::uint16_t linear_part(std::uint8_t part) {
  const double share = part / 255.0;
  const double linear = share <= 0.04045 ? share / 12.92 : std::pow((share + 0.055) / 1.055, 2.4);
  return static_cast<std::uint16_t>(std::lround(65535 * linear));
}

// One stretch of the buffer and how it is read.
struct Stretch {
  std::string name = {};  // of the attribute; empty: the indices
  int component = gltf::single_float;
  const char* type = "SCALAR";
  bool normalized = false;
  std::size_t count = 0;
  std::size_t from = 0;
  std::size_t bytes = 0;
  std::string limits = {};  // min and max, which positions must have
};

class Writer {
 public:
  Writer(const geometry::TriangleMesh& mesh, const PlyExtras& extras)
      : mesh_(mesh), extras_(extras), vertices_(static_cast<std::size_t>(mesh.vertex_count())) {}

  std::string written() {
    positions();
    if (!extras_.colours.empty()) colours();
    if (!extras_.deviation_mm.empty()) deviations();
    indices();
    std::string json = json_text();
    json.resize((json.size() + 3) / 4 * 4, ' ');
    std::string out;
    put(out, gltf::glb_mark);
    put(out, gltf::glb_version);
    put(out, static_cast<std::uint32_t>(gltf::glb_header_bytes + gltf::chunk_header_bytes +
                                        json.size() + gltf::chunk_header_bytes + buffer_.size()));
    put(out, static_cast<std::uint32_t>(json.size()));
    put(out, gltf::json_chunk);
    out += json;
    put(out, static_cast<std::uint32_t>(buffer_.size()));
    put(out, gltf::binary_chunk);
    return out + buffer_;
  }

 private:
  void add(Stretch stretch) {
    stretch.bytes = buffer_.size() - stretch.from;
    stretches_.push_back(std::move(stretch));
  }

  void positions() {
    Eigen::Vector3f low = Eigen::Vector3f::Constant(1e30F);
    Eigen::Vector3f high = -low;
    for (std::size_t v = 0; v < vertices_; ++v) {
      const Eigen::Vector3f at =
          (mesh_.positions_mm.col(static_cast<Eigen::Index>(v)) / 1000).cast<float>();
      low = low.cwiseMin(at);
      high = high.cwiseMax(at);
      for (int k = 0; k < 3; ++k) put(buffer_, at[k]);
    }
    const auto list = [](const Eigen::Vector3f& p) {
      return "[" + text_of(p[0]) + "," + text_of(p[1]) + "," + text_of(p[2]) + "]";
    };
    add({.name = "POSITION",
         .type = "VEC3",
         .count = vertices_,
         .limits = ",\"min\":" + list(low) + ",\"max\":" + list(high)});
  }

  void colours() {
    const std::size_t from = buffer_.size();
    for (const Colour& colour : extras_.colours) {
      for (const std::uint8_t part : colour) put(buffer_, linear_part(part));
      put(buffer_, std::uint16_t{65535});  // so that each starts at a multiple of four
    }
    add({.name = "COLOR_0",
         .component = gltf::unsigned_short,
         .type = "VEC4",
         .normalized = true,
         .count = vertices_,
         .from = from});
  }

  void deviations() {
    const std::size_t from = buffer_.size();
    for (std::size_t v = 0; v < vertices_; ++v) {
      const bool measured = extras_.measured.empty() || extras_.measured[v] != 0;
      put(buffer_, measured ? static_cast<float>(extras_.deviation_mm[v]) : 0.0F);
    }
    add({.name = "_DEVIATION_MM", .count = vertices_, .from = from});
  }

  void indices() {
    const std::size_t from = buffer_.size();
    for (Eigen::Index i = 0; i < mesh_.facets.size(); ++i) {
      put(buffer_, static_cast<std::uint32_t>(mesh_.facets.data()[i]));
    }
    add({.component = gltf::unsigned_int,
         .count = static_cast<std::size_t>(mesh_.facets.size()),
         .from = from});
  }

  [[nodiscard]] std::string json_text() const {
    std::string attributes;
    std::string accessors;
    std::string views;
    for (std::size_t i = 0; i < stretches_.size(); ++i) {
      const Stretch& one = stretches_[i];
      const std::string number = std::to_string(i);
      const std::string comma = i == 0 ? "" : ",";
      if (!one.name.empty()) attributes += comma + "\"" + one.name + "\":" + number;
      accessors += comma + "{\"bufferView\":" + number +
                   ",\"componentType\":" + std::to_string(one.component) +
                   ",\"count\":" + std::to_string(one.count) + ",\"type\":\"" + one.type + "\"" +
                   (one.normalized ? ",\"normalized\":true" : "") + one.limits + "}";
      views += comma + "{\"buffer\":0,\"byteOffset\":" + std::to_string(one.from) +
               ",\"byteLength\":" + std::to_string(one.bytes) + ",\"target\":" +
               std::to_string(one.name.empty() ? gltf::of_indices : gltf::of_vertices) + "}";
    }
    return R"({"asset":{"version":"2.0","generator":"trueblank"},"scene":0,"scenes":[{"nodes":[0]}],)"
           R"("nodes":[{"mesh":0}],"meshes":[{"primitives":[{"attributes":{)" +
           attributes + "},\"indices\":" + std::to_string(stretches_.size() - 1) +
           R"(,"material":0}]}],"materials":[{"pbrMetallicRoughness":{"metallicFactor":0,)"
           R"("roughnessFactor":1}}],"accessors":[)" +
           accessors + "],\"bufferViews\":[" + views +
           "],\"buffers\":[{\"byteLength\":" + std::to_string(buffer_.size()) + "}]}";
  }

  const geometry::TriangleMesh& mesh_;
  const PlyExtras& extras_;
  std::size_t vertices_;
  std::string buffer_;
  std::vector<Stretch> stretches_;
};

}  // namespace

std::string glb_bytes(const geometry::TriangleMesh& mesh, const PlyExtras& extras) {
  return Writer(mesh, extras).written();
}

}  // namespace trueblank::intake
