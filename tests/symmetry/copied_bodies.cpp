// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/copied_bodies.h"

#include <algorithm>
#include <thread>
#include <utility>
#include <vector>

namespace trueblank::symmetry {

geometry::TriangleMesh plain_ellipsoid(int rings, int around) {
  return test_bodies::moved(test_bodies::ellipsoid(82.5, 11, 14, rings, around),
                            geometry::Mat3::Identity(), {82.5, 0, 0});
}

geometry::TriangleMesh cut_off(geometry::TriangleMesh mesh, double station_mm) {
  for (int v = 0; v < mesh.vertex_count(); ++v) {
    double& x = mesh.positions_mm(0, v);
    x = std::min(x, station_mm);
  }
  return mesh;
}

geometry::ParallelFor on_threads(int threads) {
  return [threads](int count, const std::function<void(int)>& each) {
    std::vector<std::thread> running;
    for (int t = 0; t < threads; ++t) {
      running.emplace_back([&, t] {
        for (int i = count - 1 - t; i >= 0; i -= threads) each(i);
      });
    }
    for (std::thread& thread : running) thread.join();
  };
}

}  // namespace trueblank::symmetry
