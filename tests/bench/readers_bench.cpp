// SPDX-License-Identifier: GPL-3.0-or-later
// What reading a mesh file costs beside general libraries, each side from the same file in the
// page cache. What was read is checked before anything is timed.
#include <CGAL/Simple_cartesian.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/boost/graph/IO/polygon_mesh_io.h>
#include <benchmark/benchmark.h>
#include <malloc.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <charconv>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include "intake/read_mesh.h"
#include "intake/write_mesh.h"
#include "support/bodies.h"

#ifdef TRUEBLANK_BENCH_TINYOBJ
#include <tiny_obj_loader.h>
#endif
#ifdef TRUEBLANK_BENCH_FAST_FLOAT
#include <fast_float/fast_float.h>
#endif

namespace trueblank::intake {
namespace {

using geometry::TriangleMesh;
using geometry::Vec3;

/// A number as most writers of text print it: seven digits.
void append(std::string& text, double value) {
  std::array<char, 32> digits;
  const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value,
                                 std::chars_format::scientific, 6);
  text.append(digits.data(), end.ptr);
}

void append(std::string& text, std::string_view word, const Vec3& numbers) {
  text += word;
  for (int k = 0; k < 3; ++k) {
    text += ' ';
    append(text, numbers[k]);
  }
  text += '\n';
}

std::string ascii_stl_bytes(const TriangleMesh& mesh) {
  std::string text = "solid body\n";
  for (int f = 0; f < mesh.facet_count(); ++f) {
    const Vec3 a = mesh.corner(f, 0);
    const Vec3 across = (mesh.corner(f, 1) - a).cross(mesh.corner(f, 2) - a);
    append(text, "  facet normal", across.stableNormalized());
    text += "    outer loop\n";
    for (int k = 0; k < 3; ++k) append(text, "      vertex", mesh.corner(f, k));
    text += "    endloop\n  endfacet\n";
  }
  return text += "endsolid body\n";
}

/// The same vertices' numbers and nothing else, a blank after each.
std::string vertex_numbers(const TriangleMesh& mesh) {
  std::string text;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    for (int k = 0; k < 9; ++k) {
      append(text, mesh.corner(f, k / 3)[k % 3]);
      text += ' ';
    }
  }
  return text;
}

/// A folder of files that goes when the program ends.
class Files {
 public:
  Files() {
    std::string name = (std::filesystem::temp_directory_path() / "bench-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) std::abort();
    folder_ = name;
  }

  ~Files() {
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
  }

  Files(const Files&) = delete;
  Files& operator=(const Files&) = delete;

  template <class Bytes>
  const std::string& of(std::int64_t facets, const std::string& ending, const Bytes& bytes) {
    std::string& path = paths_[std::to_string(facets) + ending];
    if (path.empty()) {
      path = (folder_ / (std::to_string(facets) + ending)).string();
      std::ofstream(path, std::ios::binary) << bytes(test_bodies::pencil(static_cast<int>(facets)));
    }
    return path;
  }

 private:
  std::filesystem::path folder_;
  std::map<std::string, std::string> paths_;
};

Files& files() {
  static Files all;
  return all;
}

const std::string& stl_of(std::int64_t facets) { return files().of(facets, ".stl", stl_bytes); }

const std::string& obj_of(std::int64_t facets) { return files().of(facets, ".obj", obj_bytes); }

const std::string& ascii_stl_of(std::int64_t facets) {
  return files().of(facets, "-ascii.stl", ascii_stl_bytes);
}

/// A closed body of one piece without a handle: V − E + F = 2, and E = 3F/2.
bool welded(std::size_t vertices, std::size_t facets) {
  return facets > 0 && 2 * vertices == facets + 4;
}

bool welded(const FileMesh& mesh) {
  return welded(static_cast<std::size_t>(mesh.positions.cols()),
                static_cast<std::size_t>(mesh.facets.cols()));
}

template <class Read>
void time_reading(benchmark::State& state, bool right, const Read& read) {
  if (!right) {
    state.SkipWithError("read wrongly");
    return;
  }
  for ([[maybe_unused]] const auto& turn : state) benchmark::DoNotOptimize(read());
}

void time_ours(benchmark::State& state, const std::string& path, bool exact = true) {
  const FileMesh mesh = read_mesh(path);
  // Seven digits may lay two vertices on each other.
  const bool right = exact ? welded(mesh) : 100 * mesh.facets.cols() > 99 * state.range(0);
  time_reading(state, right, [&] { return read_mesh(path).facets.cols(); });
}

void stl_ours(benchmark::State& state) { time_ours(state, stl_of(state.range(0))); }

void obj_ours(benchmark::State& state) { time_ours(state, obj_of(state.range(0))); }

void ascii_stl_ours(benchmark::State& state) {
  time_ours(state, ascii_stl_of(state.range(0)), false);
}

using CgalMesh = CGAL::Surface_mesh<CGAL::Simple_cartesian<double>::Point_3>;

CgalMesh read_by_cgal(const std::string& path) {
  CgalMesh mesh;
  if (!CGAL::IO::read_polygon_mesh(path, mesh)) mesh.clear();
  return mesh;
}

void stl_cgal(benchmark::State& state) {
  const std::string& path = stl_of(state.range(0));
  const CgalMesh mesh = read_by_cgal(path);
  time_reading(state, welded(mesh.number_of_vertices(), mesh.number_of_faces()),
               [&] { return read_by_cgal(path).number_of_faces(); });
}

#ifdef TRUEBLANK_BENCH_TINYOBJ
std::size_t facets_by_tinyobj(const std::string& path) {
  tinyobj::attrib_t numbers;
  std::vector<tinyobj::shape_t> shapes;
  std::vector<tinyobj::material_t> materials;
  std::string warning;
  std::string error;
  if (!tinyobj::LoadObj(&numbers, &shapes, &materials, &warning, &error, path.c_str())) return 0;
  return shapes.empty() ? 0 : shapes.front().mesh.num_face_vertices.size();
}

void obj_tinyobj(benchmark::State& state) {
  const std::string& path = obj_of(state.range(0));
  const auto facets = static_cast<std::size_t>(read_mesh(path).facets.cols());
  time_reading(state, facets_by_tinyobj(path) == facets, [&] { return facets_by_tinyobj(path); });
}
#else
void obj_tinyobj(benchmark::State& state) {
  state.SkipWithError("left out: not found at build time (Debian: libtinyobjloader-dev)");
}
#endif

#ifdef TRUEBLANK_BENCH_FAST_FLOAT
std::array<double, 2> count_and_sum(const std::string& text) {
  std::array<double, 2> result = {0, 0};
  const char* at = text.data();
  const char* end = at + text.size();
  while (at < end) {
    double value = 0;
    const auto read = fast_float::from_chars(at, end, value);
    if (read.ec != std::errc()) break;
    result[0] += 1;
    result[1] += value;
    at = read.ptr + 1;
  }
  return result;
}

void ascii_numbers_fast_float(benchmark::State& state) {
  const TriangleMesh mesh = test_bodies::pencil(static_cast<int>(state.range(0)));
  const std::string text = vertex_numbers(mesh);
  time_reading(state, count_and_sum(text)[0] == 9.0 * mesh.facet_count(),
               [&] { return count_and_sum(text); });
}
#else
void ascii_numbers_fast_float(benchmark::State& state) {
  state.SkipWithError("left out: not found at build time (Debian: libfast-float-dev)");
}
#endif

/// A line of /proc/self/status, in bytes.
double own_bytes(std::string_view name) {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);) {
    if (!line.starts_with(name)) continue;
    std::istringstream number(line.substr(name.size() + 1));
    double kib = 0;
    number >> kib;
    return 1024 * kib;
  }
  return 0;
}

/// How far the memory in use rises while a file is read, in times of the mesh that is handed back.
void stl_memory(benchmark::State& state) {
  const std::string& path = stl_of(state.range(0));
  double highest = 0;
  for ([[maybe_unused]] const auto& turn : state) {
    malloc_trim(0);
    std::ofstream("/proc/self/clear_refs") << 5;  // the peak begins anew
    const double before = own_bytes("VmRSS:");
    const FileMesh mesh = read_mesh(path);
    const double rise = own_bytes("VmHWM:") - before;
    const double own = static_cast<double>(mesh.positions.size()) * sizeof(double) +
                       static_cast<double>(mesh.facets.size()) * sizeof(int);
    if (!welded(mesh) || !(rise > 0.9 * own)) {
      state.SkipWithError("no true measure of memory");
      return;
    }
    highest = std::max(highest, rise / own);
  }
  state.counters["x_mesh"] = highest;
}

void sizes(benchmark::internal::Benchmark* bench) {
  for (const std::int64_t facets : {20000, 100000, 1000000, 4000000}) bench->Arg(facets);
  bench->Unit(benchmark::kMillisecond);
}

BENCHMARK(stl_memory)->Arg(4000000)->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(stl_ours)->Apply(sizes);
BENCHMARK(stl_cgal)->Apply(sizes)->Iterations(1);
BENCHMARK(obj_ours)->Apply(sizes);
BENCHMARK(obj_tinyobj)->Apply(sizes)->Iterations(1);
BENCHMARK(ascii_stl_ours)->Apply(sizes);
BENCHMARK(ascii_numbers_fast_float)->Apply(sizes);

}  // namespace
}  // namespace trueblank::intake
