// SPDX-License-Identifier: GPL-3.0-or-later
#include "scans/off_file.h"

#include <cstdlib>
#include <fstream>
#include <iostream>

namespace trueblank::scans {

geometry::TriangleMesh read_off(const std::string& path) {
  std::ifstream in(path);
  std::string word;
  int vertices = 0;
  int facets = 0;
  int edges = 0;
  in >> word >> vertices >> facets >> edges;
  geometry::TriangleMesh mesh;
  if (in && word == "OFF") {
    mesh.positions_mm.resize(3, vertices);
    mesh.facets.resize(3, facets);
    // operator>> rounds a decimal to the nearest double.
    for (int v = 0; v < vertices; ++v) {
      for (int k = 0; k < 3; ++k) in >> mesh.positions_mm(k, v);
    }
    for (int f = 0; f < facets; ++f) {
      int corners = 0;
      in >> corners;
      for (int k = 0; k < 3; ++k) in >> mesh.facets(k, f);
      if (corners != 3) in.setstate(std::ios::failbit);
    }
  }
  if (!in || word != "OFF") {
    std::cerr << path << ": not an OFF file of triangles\n";
    std::exit(2);
  }
  return mesh;
}

}  // namespace trueblank::scans
