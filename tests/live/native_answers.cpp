// SPDX-License-Identifier: GPL-3.0-or-later
// Prints what the native library answers on a few bodies and rigs, for module_test.mjs to hold the
// WebAssembly module against: JSON, NaN as null.
#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include "geometry/mesh.h"
#include "live/rig_arrays.h"
#include "support/bodies.h"

namespace trueblank::live {
namespace {

std::string text(double number) {
  if (std::isnan(number)) return "null";
  char out[40];
  std::snprintf(out, sizeof out, "%.17g", number);
  return out;
}

template <class Numbers>
std::string list(const Numbers& numbers) {
  std::string out = "[";
  for (const auto number : numbers) {
    if (out.size() > 1) out += ',';
    out += text(static_cast<double>(number));
  }
  return out + "]";
}

struct Case {
  std::string name;
  geometry::TriangleMesh mesh;
  std::vector<std::vector<double>> rigs;
  bool air = false;
};

// A pencil with a smaller one of air in it.
Case hollow() {
  const geometry::TriangleMesh skin = test_bodies::pencil(800);
  const geometry::TriangleMesh wall = test_bodies::inside_out(
      test_bodies::moved(test_bodies::pencil(300), geometry::Mat3::Identity(), {35, 0, 0}, 0.5));
  Case made{.name = "hollow, with air", .mesh = test_bodies::joined(skin, wall), .rigs = {}};
  made.air = true;
  rig::Rig rig = every_kind();
  rig.wires.clear();
  rig.pockets.clear();
  rig.ballasts = {{.at_mm = {80, 0.3, -7}, .mass_g = 7, .density_g_cm3 = 11.34}};
  rig.wood_density_g_cm3 = 0.35;
  made.rigs.push_back(array_of(rig));
  return made;
}

std::vector<Case> cases() {
  rig::Rig rig = every_kind();
  std::vector<std::vector<double>> rigs = {array_of(rig)};
  rigs.push_back(with_baseline(array_of(rig), {0, 0, 1}, {138, 0, 2}));
  rig.ballasts[1].mass_g = 30;  // sinks
  rigs.push_back(array_of(rig));
  rig.ballasts[1].at_mm.x() = 500;  // is refused
  rigs.push_back(array_of(rig));
  rig = every_kind();
  rig.halves = rig::Halves{.left_g = 3.6, .right_g = 3.9};
  rig.finish.reset();
  rigs.push_back(array_of(rig));
  return {{.name = "pencil", .mesh = test_bodies::pencil(1200), .rigs = rigs}, hollow()};
}

void print(const Case& one) {
  const Opened lure = opened(one.mesh, one.air);
  std::printf("{\"name\":\"%s\",\"air\":%s,\"positions\":%s,\"facets\":%s,\"rigs\":[",
              one.name.c_str(), one.air ? "true" : "false",
              list(one.mesh.positions_mm.reshaped()).c_str(),
              list(one.mesh.facets.reshaped()).c_str());
  for (std::size_t i = 0; i < one.rigs.size(); ++i) {
    const std::string laying = list(laid(lure, one.rigs[i]));
    std::printf("%s{\"rig\":%s,\"laid\":%s,\"asked\":%s}", i > 0 ? "," : "",
                list(one.rigs[i]).c_str(), laying.c_str(), list(all_answers(lure)).c_str());
  }
  std::printf("]}");
}

}  // namespace
}  // namespace trueblank::live

int main() {
  std::printf("[");
  bool first = true;
  for (const trueblank::live::Case& one : trueblank::live::cases()) {
    if (!first) std::printf(",\n");
    first = false;
    trueblank::live::print(one);
  }
  std::printf("]\n");
  return 0;
}
