// SPDX-License-Identifier: GPL-3.0-or-later
#include "symmetry/alignment_pairs.h"

#include <Eigen/Geometry>
#include <cmath>
#include <cstdio>
#include <map>
#include <numbers>
#include <set>
#include <utility>

#include "symmetry/marred_skins.h"

namespace trueblank::symmetry {

using geometry::Mat3;
using geometry::TriangleMesh;
using geometry::Vec3;

PartScan part_of(const TriangleMesh& mesh, const std::function<bool(const Vec3&)>& keep) {
  std::map<int, int> number;
  std::vector<std::array<int, 3>> facets;
  std::set<std::pair<int, int>> edges;
  for (int f = 0; f < mesh.facet_count(); ++f) {
    if (!keep((mesh.corner(f, 0) + mesh.corner(f, 1) + mesh.corner(f, 2)) / 3)) continue;
    std::array<int, 3> facet{};
    for (int k = 0; k < 3; ++k) {
      const int next = static_cast<int>(number.size());
      facet[static_cast<std::size_t>(k)] = number.emplace(mesh.facets(k, f), next).first->second;
    }
    facets.push_back(facet);
    for (std::size_t k = 0; k < 3; ++k) edges.emplace(facet[k], facet[(k + 1) % 3]);
  }
  PartScan part;
  part.measured.assign(facets.size(), 1);
  part.mesh.positions_mm.resize(3, static_cast<Eigen::Index>(number.size()) + 1);
  for (const auto& [old, now] : number)
    part.mesh.positions_mm.col(now) = mesh.positions_mm.col(old);
  const int middle = static_cast<int>(number.size());
  Vec3 sum = Vec3::Zero();
  int rim = 0;
  for (const auto& [from, to] : edges) {
    if (edges.count({to, from}) != 0) continue;
    facets.push_back({to, from, middle});
    sum += part.mesh.positions_mm.col(from);
    ++rim;
  }
  part.mesh.positions_mm.col(middle) = sum / rim;
  part.measured.resize(facets.size(), 0);
  part.mesh.facets.resize(3, static_cast<Eigen::Index>(facets.size()));
  for (std::size_t f = 0; f < facets.size(); ++f) {
    part.mesh.facets.col(static_cast<Eigen::Index>(f)) << facets[f][0], facets[f][1], facets[f][2];
  }
  return part;
}

TriangleMesh Put::operator()(const TriangleMesh& mesh) const {
  return test_bodies::moved(mirrored ? test_bodies::mirrored_y(mesh) : mesh, turn, shift_mm, scale);
}

Put put_anywhere(unsigned seed) {
  const double far = 50.0 * (seed % 7);
  return {test_bodies::random_turn(seed), Vec3(far, -120 + far, 30 - 2 * far)};
}

Miss miss(const AlignmentFit& fit, const Put& put) {
  Mat3 turn = fit.motion.turn;
  if (fit.mirrored) turn.col(1) = -turn.col(1);
  turn = turn * put.turn;
  if (put.mirrored) turn.col(1) = -turn.col(1);
  const Eigen::AngleAxisd by(turn);
  Miss result;
  result.turn_deg = by.angle() * 180 / std::numbers::pi * by.axis();
  Vec3 at = fit.doubt.at_mm;
  if (put.mirrored) at.y() = -at.y();
  result.shift_mm = fit(put.scale * (put.turn * at) + put.shift_mm) - fit.doubt.at_mm;
  return result;
}

std::string Miss::text() const {
  char line[160];
  std::snprintf(line, sizeof line, "turn %8.4f %8.4f %8.4f deg, shift %8.4f %8.4f %8.4f mm",
                turn_deg.x(), turn_deg.y(), turn_deg.z(), shift_mm.x(), shift_mm.y(), shift_mm.z());
  return line;
}

DoubtCount doubts_held(int facets, unsigned first, int count, bool fit_scale) {
  DoubtCount result;
  constexpr double kShrunk = 0.985;
  for (unsigned seed = first; seed < first + static_cast<unsigned>(count); ++seed) {
    // Scans of one lure: every third seed draws the same body.
    const test_bodies::SimulatedScan body = test_bodies::simulated_scan(facets, seed);
    const test_bodies::SimulatedScan other =
        test_bodies::simulated_scan(facets * 5 / 4, seed + 300);
    Put put = put_anywhere(seed);
    if (fit_scale) put.scale = kShrunk;
    const AlignmentFit fit =
        fit_alignment(test_bodies::closed(body.mesh), {}, test_bodies::closed(put(other.mesh)), {},
                      {.fit_scale = fit_scale});
    const Miss off = miss(fit, put);
    ++result.pairs;
    bool all = true;
    for (int k = 0; k < 3; ++k) {
      const bool turn = std::abs(off.turn_deg[k]) <= 2 * fit.doubt.turn_deg[k];
      const bool shift = std::abs(off.shift_mm[k]) <= 2 * fit.doubt.shift_mm[k];
      result.held[static_cast<std::size_t>(k)] += turn ? 1 : 0;
      result.held[static_cast<std::size_t>(k + 3)] += shift ? 1 : 0;
      all = all && turn && shift;
    }
    char line[400];
    std::snprintf(line, sizeof line,
                  "%3u %-6s %.3f mm over %4.1f, %.3f over %4.1f: %s\n      of %8.4f %8.4f %8.4f "
                  "deg        %8.4f %8.4f %8.4f mm%s%s",
                  seed, body.body.c_str(), body.sigma_mm, body.correlation_mm, other.sigma_mm,
                  other.correlation_mm, off.text().c_str(), fit.doubt.turn_deg.x(),
                  fit.doubt.turn_deg.y(), fit.doubt.turn_deg.z(), fit.doubt.shift_mm.x(),
                  fit.doubt.shift_mm.y(), fit.doubt.shift_mm.z(), all ? "" : "  MISSED",
                  fit.mirrored ? "  MIRRORED" : "");
    result.table += line;
    if (fit_scale && fit.size && fit.stretch) {
      const double off_size = fit.size->factor - 1 / kShrunk;
      result.size_held += std::abs(off_size) <= 2 * fit.size->sd ? 1 : 0;
      std::snprintf(line, sizeof line, "\n      size %8.5f of %8.5f; along", off_size,
                    fit.size->sd);
      result.table += line;
      for (std::size_t k = 0; k < 3; ++k) {
        const Factor& along = (*fit.stretch)[k];
        const double off_along = along.factor - 1 / kShrunk;
        result.stretch_held[k] += std::abs(off_along) <= 2 * along.sd ? 1 : 0;
        std::snprintf(line, sizeof line, " %8.5f of %8.5f", off_along, along.sd);
        result.table += line;
      }
    }
    result.table += "\n";
  }
  return result;
}

}  // namespace trueblank::symmetry
