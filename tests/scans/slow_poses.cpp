// SPDX-License-Identifier: GPL-3.0-or-later
// All the ways that a body can lie, by going downhill from many directions on an energy that a
// plain loop over the facets tells (water/plain_energy.h). A line each: up (three numbers), energy
// in g·mm, how many descents ended there, and the couple that was left, in g·mm.
//   scans_slow_poses MESH.off MASS_G GX GY GZ WATER_G_CM3 DIRECTIONS [UPX UPY UPZ]...
// Each UP is a further start.
#include <cmath>
#include <cstddef>
#include <cstdio>
#include <iostream>
#include <numbers>
#include <optional>
#include <string>
#include <vector>

#include "scans/off_file.h"
#include "support/bodies.h"
#include "water/plain_energy.h"

namespace trueblank::scans {
namespace {

using geometry::Vec3;
using water::judge::Ended;
using water::judge::PlainEnergy;

constexpr double same_pose_rad = 0.05 * std::numbers::pi / 180;

struct Found {
  Ended ended;
  int descents = 0;
};

void add(std::vector<Found>& all, const Ended& ended) {
  for (Found& one : all) {
    if ((one.ended.up - ended.up).norm() > same_pose_rad) continue;
    ++one.descents;
    if (ended.there.energy_g_mm < one.ended.there.energy_g_mm) one.ended = ended;
    return;
  }
  all.push_back({ended, 1});
}

int run(const std::vector<std::string>& words) {
  const auto number = [&](std::size_t i) { return std::stod(words[i]); };
  const auto point = [&](std::size_t i) { return Vec3(number(i), number(i + 1), number(i + 2)); };
  std::optional<geometry::ClosedMesh> mesh = geometry::closed_mesh(read_off(words[0]));
  if (!mesh) {
    std::cerr << words[0] << ": not closed\n";
    return 2;
  }
  rig::RiggedLure lure;
  lure.mass_g = number(1);
  lure.centre_of_mass_mm = point(2);
  lure.water_density_g_cm3 = number(5);
  const PlainEnergy energy(*mesh, lure);
  std::vector<Vec3> starts =
      water::judge::even_directions(std::stoi(words[6]), test_bodies::random_turn(20));
  for (std::size_t i = 7; i + 2 < words.size(); i += 3) starts.push_back(point(i).normalized());
  std::vector<Found> all;
  for (const Vec3& start : starts) add(all, water::judge::downhill(energy, start));
  for (const Found& one : all) {
    const Vec3& up = one.ended.up;
    std::printf("%.17g %.17g %.17g %.17g %d %.3g\n", up.x(), up.y(), up.z(),
                one.ended.there.energy_g_mm, one.descents, one.ended.there.couple_g_mm.norm());
  }
  return 0;
}

}  // namespace
}  // namespace trueblank::scans

int main(int count, char** words) {
  const std::vector<std::string> given(words + 1, words + count);
  if (given.size() < 7 || (given.size() - 7) % 3 != 0) {
    std::cerr << "scans_slow_poses MESH.off MASS_G GX GY GZ WATER_G_CM3 DIRECTIONS [UP]...\n";
    return 2;
  }
  return trueblank::scans::run(given);
}
