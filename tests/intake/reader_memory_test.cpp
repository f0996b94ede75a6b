// SPDX-License-Identifier: GPL-3.0-or-later
// What reading a file takes of memory at its height, in times of the mesh that is handed back:
// 24 bytes a vertex and 12 a facet. All that is asked of the allocator counts, touched or not.
#include <gmock/gmock.h>
#include <malloc.h>
#include <unistd.h>
#include <zlib.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <charconv>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>

#include "intake/mesh_bytes.h"
#include "intake/read_mesh.h"
#include "intake/write_glb.h"
#include "intake/write_mesh.h"
#include "support/bodies.h"

namespace {

std::atomic<long long> in_use{0};
std::atomic<long long> highest{0};

void* counted(void* block) {
  const long long now = in_use += static_cast<long long>(malloc_usable_size(block));
  if (now > highest) highest = now;
  return block;
}

void uncounted(void* block) { in_use -= static_cast<long long>(malloc_usable_size(block)); }

}  // namespace

#if defined(__SANITIZE_ADDRESS__) || !defined(__GLIBC__)
#define WITHOUT_COUNT GTEST_SKIP() << "memory is not counted here"
#else
#define WITHOUT_COUNT static_assert(true)

// The program's allocator, as glibc lets one stand before its own.
extern "C" {
void* __libc_malloc(std::size_t bytes);                // NOLINT(bugprone-reserved-identifier)
void* __libc_calloc(std::size_t n, std::size_t each);  // NOLINT(bugprone-reserved-identifier)
void* __libc_realloc(void* block, std::size_t bytes);  // NOLINT(bugprone-reserved-identifier)
void* __libc_memalign(std::size_t to, std::size_t n);  // NOLINT(bugprone-reserved-identifier)
void __libc_free(void* block);                         // NOLINT(bugprone-reserved-identifier)

void* malloc(std::size_t bytes) { return counted(__libc_malloc(bytes)); }

void* calloc(std::size_t n, std::size_t each) { return counted(__libc_calloc(n, each)); }

void* realloc(void* block, std::size_t bytes) {
  uncounted(block);
  void* const moved = __libc_realloc(block, bytes);
  return counted(moved == nullptr && bytes > 0 ? block : moved);
}

void* aligned_alloc(std::size_t to, std::size_t bytes) {
  return counted(__libc_memalign(to, bytes));
}

int posix_memalign(void** block, std::size_t to, std::size_t bytes) {
  *block = counted(__libc_memalign(to, bytes));
  return *block == nullptr ? ENOMEM : 0;
}

void free(void* block) {
  uncounted(block);
  __libc_free(block);
}
}
#endif

namespace trueblank::intake {
namespace {

using geometry::TriangleMesh;

/// As most programs print a number: the shortest digits that give the same double.
void append(std::string& text, double value) {
  char digits[32];
  text.append(digits, std::to_chars(digits, digits + sizeof digits, value).ptr);
}

/// A line for each column, its numbers between `before`, `between` and `after`.
template <class Matrix>
void append_lines(std::string& text, const Matrix& columns, const char* before,
                  const std::array<const char*, 2>& between, const char* after) {
  for (Eigen::Index i = 0; i < columns.cols(); ++i) {
    text += before;
    for (int k = 0; k < 3; ++k) {
      if (k > 0) text += between[static_cast<std::size_t>(k - 1)];
      append(text, static_cast<double>(columns(k, i)));
    }
    text += after;
  }
}

std::string ascii_stl(const TriangleMesh& body) {
  std::string text = "solid body\n";
  for (int f = 0; f < body.facet_count(); ++f) {
    text += "facet normal 0 0 0\nouter loop\n";
    Eigen::Matrix3d corners;
    for (int k = 0; k < 3; ++k) corners.col(k) = body.corner(f, k);
    append_lines(text, corners, "vertex ", {" ", " "}, "\n");
    text += "endloop\nendfacet\n";
  }
  return text + "endsolid body\n";
}

std::string off(const TriangleMesh& body) {
  std::string text = "OFF\n" + std::to_string(body.vertex_count()) + " " +
                     std::to_string(body.facet_count()) + " 0\n";
  append_lines(text, body.positions_mm, "", {" ", " "}, "\n");
  append_lines(text, body.facets, "3 ", {" ", " "}, "\n");
  return text;
}

std::string ascii_ply(const TriangleMesh& body) {
  std::string text =
      "ply\nformat ascii 1.0\nelement vertex " + std::to_string(body.vertex_count()) +
      "\nproperty double x\nproperty double y\nproperty double z\nelement face " +
      std::to_string(body.facet_count()) + "\nproperty list uchar int vertex_indices\nend_header\n";
  append_lines(text, body.positions_mm, "", {" ", " "}, "\n");
  append_lines(text, body.facets, "3 ", {" ", " "}, "\n");
  return text;
}

std::string base64(std::string_view bytes) {
  const char* const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  for (std::size_t i = 0; i + 2 < bytes.size(); i += 3) {
    unsigned three = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      three = three << 8 | static_cast<unsigned char>(bytes[i + k]);
    }
    for (int shift = 18; shift >= 0; shift -= 6) out += letters[three >> shift & 63];
  }
  return out;
}

/// One text that holds all, its buffer as base64: positions as floats, then corners.
std::string gltf(const TriangleMesh& body) {
  std::string bytes;
  for (const double x : body.positions_mm.reshaped()) append_raw(bytes, static_cast<float>(x));
  const std::string place = std::to_string(bytes.size());
  for (const int corner : body.facets.reshaped()) append_raw(bytes, corner);
  const std::string length = std::to_string(bytes.size() - std::stoul(place));
  const std::string all = std::to_string(bytes.size());
  bytes.append((3 - bytes.size() % 3) % 3, '\0');
  return R"({"asset":{"version":"2.0"},"scenes":[{"nodes":[0]}],"nodes":[{"mesh":0}],"meshes":[)"
         R"({"primitives":[{"attributes":{"POSITION":0},"indices":1}]}],"accessors":[)"
         R"({"bufferView":0,"componentType":5126,"type":"VEC3","count":)" +
         std::to_string(body.vertex_count()) +
         R"(},{"bufferView":1,"componentType":5125,"type":"SCALAR","count":)" +
         std::to_string(3 * body.facet_count()) + R"(}],"bufferViews":[{"buffer":0,"byteLength":)" +
         place + R"(},{"buffer":0,"byteOffset":)" + place + R"(,"byteLength":)" + length +
         R"(}],"buffers":[{"byteLength":)" + all +
         R"(,"uri":"data:application/octet-stream;base64,)" + base64(bytes) + R"("}]})";
}

/// Raw deflate (RFC 1951), as zip has it.
std::string deflated(const std::string& bytes) {
  z_stream stream{};
  EXPECT_EQ(deflateInit2(&stream, 6, Z_DEFLATED, -MAX_WBITS, 8, Z_DEFAULT_STRATEGY), Z_OK);
  std::string out(deflateBound(&stream, bytes.size()), '\0');
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  stream.avail_in = static_cast<uInt>(bytes.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  EXPECT_EQ(deflate(&stream, Z_FINISH), Z_STREAM_END);
  out.resize(stream.total_out);
  deflateEnd(&stream);
  return out;
}

/// A zip archive of one deflated file.
std::string zip(const std::string& name, const std::string& content) {
  const std::string packed = deflated(content);
  std::string common;
  for (const int word : {20, 0, 8, 0, 0}) append_raw(common, static_cast<std::uint16_t>(word));
  append_raw(common, static_cast<std::uint32_t>(::crc32_z(
                         0, reinterpret_cast<const Bytef*>(content.data()), content.size())));
  append_raw(common, static_cast<std::uint32_t>(packed.size()));
  append_raw(common, static_cast<std::uint32_t>(content.size()));
  append_raw(common, static_cast<std::uint16_t>(name.size()));
  append_raw(common, std::uint16_t{0});
  const std::string file = "PK\x03\x04" + common + name + packed;
  std::string listing = std::string("PK\x01\x02") + std::string("\x14\0", 2) + common;
  listing.append(14, '\0');  // and the file is the first
  listing += name;
  std::string end = std::string("PK\x05\x06") + std::string("\0\0\0\0\1\0\1\0", 8);
  append_raw(end, static_cast<std::uint32_t>(listing.size()));
  append_raw(end, static_cast<std::uint32_t>(file.size()));
  end.append(2, '\0');
  return file + listing + end;
}

std::string threemf(const TriangleMesh& body) {
  std::string text = "<model unit=\"millimeter\"><resources><object id=\"1\"><mesh><vertices>\n";
  append_lines(text, body.positions_mm, "<vertex x=\"", {"\" y=\"", "\" z=\""}, "\"/>\n");
  text += "</vertices><triangles>\n";
  append_lines(text, body.facets, "<triangle v1=\"", {"\" v2=\"", "\" v3=\""}, "\"/>\n");
  return zip("3D/3dmodel.model", text +
                                     "</triangles></mesh></object></resources><build>"
                                     "<item objectid=\"1\"/></build></model>");
}

const TriangleMesh& body() {
  static const TriangleMesh mesh = test_bodies::pencil(200'000);
  return mesh;
}

/// Reads these bytes from a file and holds what it took against the mesh.
FileMesh expect_little_memory(Format format, const std::string& bytes) {
  std::string path = testing::TempDir() + "trueblank-memory-XXXXXX";
  const int descriptor = ::mkstemp(path.data());
  EXPECT_GE(descriptor, 0);
  ::close(descriptor);
  std::ofstream(path, std::ios::binary) << bytes;
  const long long before = in_use;
  highest = before;
  const FileMesh mesh = read_mesh(path);
  const auto taken = static_cast<double>(highest - before);
  std::filesystem::remove(path);
  EXPECT_EQ(format_name(mesh.format), format_name(format));
  EXPECT_EQ(mesh.facets.cols(), body().facet_count());
  EXPECT_EQ(mesh.positions.cols(), body().vertex_count());
  const auto own = static_cast<double>(mesh.positions.size()) * sizeof(double) +
                   static_cast<double>(mesh.facets.size()) * sizeof(int);
  EXPECT_GE(taken, own) << "nothing was counted";
  EXPECT_LE(taken, 3 * own);
  std::cout << format_name(format) << ": " << taken / own << " times the mesh\n";
  return mesh;
}

TEST(ReadingTakesAtMostThreeTimesTheMesh, ForBinaryStl) {
  WITHOUT_COUNT;
  (void)expect_little_memory(Format::stl_binary, stl_bytes(body()));
}

TEST(ReadingTakesAtMostThreeTimesTheMesh, ForTextStl) {
  WITHOUT_COUNT;
  (void)expect_little_memory(Format::stl_ascii, ascii_stl(body()));
}

TEST(ReadingTakesAtMostThreeTimesTheMesh, ForObj) {
  WITHOUT_COUNT;
  (void)expect_little_memory(Format::obj, obj_bytes(body()));
}

TEST(ReadingTakesAtMostThreeTimesTheMesh, ForOff) {
  WITHOUT_COUNT;
  (void)expect_little_memory(Format::off, off(body()));
}

TEST(ReadingTakesAtMostThreeTimesTheMesh, ForTextPly) {
  WITHOUT_COUNT;
  (void)expect_little_memory(Format::ply_ascii, ascii_ply(body()));
}

TEST(ReadingTakesAtMostThreeTimesTheMesh, ForBinaryPly) {
  WITHOUT_COUNT;
  (void)expect_little_memory(Format::ply_binary, ply_bytes(body()));
}

TEST(ReadingTakesAtMostThreeTimesTheMesh, ForGltf) {
  WITHOUT_COUNT;
  const FileMesh mesh = expect_little_memory(Format::gltf, gltf(body()));
  EXPECT_EQ(mesh.facets, body().facets);
  EXPECT_EQ(mesh.positions, body().positions_mm.cast<float>().cast<double>());
}

TEST(ReadingTakesAtMostThreeTimesTheMesh, ForGlb) {
  WITHOUT_COUNT;
  (void)expect_little_memory(Format::glb, glb_bytes(body()));
}

TEST(ReadingTakesAtMostThreeTimesTheMesh, ForThreemf) {
  WITHOUT_COUNT;
  (void)expect_little_memory(Format::threemf, threemf(body()));
}

}  // namespace
}  // namespace trueblank::intake
