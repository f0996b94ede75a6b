// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/seams.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>
#include <utility>

namespace trueblank::intake {
namespace {

using geometry::Vec3;

constexpr double most_of_diagonal = 1e-5;
constexpr double most_of_edge = 0.1;

class Seamster {
 public:
  explicit Seamster(const Pieces& pieces) : positions_(pieces.positions) {
    out_.facets = pieces.facets;
    for (std::size_t h = 0; h < pieces.partner.size(); ++h) {
      if (pieces.partner[h] < 0) open_.push_back(static_cast<int>(h));
    }
    const Vec3 size = positions_.rowwise().maxCoeff() - positions_.rowwise().minCoeff();
    most_ = most_of_diagonal * size.norm();
  }

  Seams run() {
    if (open_.empty() || !(most_ > 0)) return std::move(out_);
    find_tolerances();
    join_vertices();
    drop_sewn();
    cut_along_chains();
    return std::move(out_);
  }

 private:
  [[nodiscard]] int from(int h) const { return from_vertex(out_.facets, h); }

  [[nodiscard]] int to(int h) const { return to_vertex(out_.facets, h); }

  [[nodiscard]] Vec3 at(int v) const { return positions_.col(v); }

  [[nodiscard]] double area_of(int facet) const {
    const Vec3 a = at(from(3 * facet));
    return (at(from(3 * facet + 1)) - a).cross(at(from(3 * facet + 2)) - a).norm() / 2;
  }

  [[nodiscard]] double tolerance(int vertex) const { return tolerance_.at(vertex); }

  void find_tolerances() {
    for (const int h : open_) {
      const double own = std::min(most_, most_of_edge * (at(to(h)) - at(from(h))).norm());
      for (const int v : {from(h), to(h)}) {
        const auto [it, fresh] = tolerance_.emplace(v, own);
        if (!fresh) it->second = std::min(it->second, own);
      }
    }
  }

  /// Vertices by rising x: those near one are its neighbours in the list.
  void join_vertices() {
    std::vector<int> order;
    for (const auto& entry : tolerance_) order.push_back(entry.first);
    std::ranges::stable_sort(order, {}, [this](int v) { return positions_(0, v); });
    std::map<int, int> leader;
    for (const int v : order) leader[v] = v;
    for (std::size_t i = 0; i < order.size(); ++i) {
      for (std::size_t j = i + 1; j < order.size(); ++j) {
        if (positions_(0, order[j]) - positions_(0, order[i]) > most_) break;
        join(order[i], order[j], leader);
      }
    }
    move_to_leaders(leader);
  }

  void join(int a, int b, std::map<int, int>& leader) const {
    const int low = std::min(leader[a], leader[b]);
    const int high = std::max(leader[a], leader[b]);
    const double reach = std::min({tolerance(a), tolerance(b), tolerance(low), tolerance(high)});
    if (low == high || (at(low) - at(high)).norm() > reach || (at(a) - at(b)).norm() > reach) {
      return;
    }
    // What followed the higher one follows the lower only where that is near it too.
    leader[high] = low;
    for (const int v : {a, b}) {
      if ((at(v) - at(low)).norm() <= tolerance(v)) leader[v] = low;
    }
  }

  void move_to_leaders(const std::map<int, int>& leader) {
    const auto moved = [&leader](int v) {
      const auto found = leader.find(v);
      return found == leader.end() ? v : found->second;
    };
    for (std::size_t f = 0; f < out_.facets.size() / 3; ++f) {
      double farthest = 0;
      bool same = true;
      std::array<int, 3> corners = {};
      for (std::size_t k = 0; k < 3; ++k) {
        corners[k] = moved(out_.facets[3 * f + k]);
        same = same && corners[k] == out_.facets[3 * f + k];
        farthest = std::max(farthest, (at(corners[k]) - at(out_.facets[3 * f + k])).norm());
      }
      if (same) continue;
      if (corners[0] == corners[1] || corners[1] == corners[2] || corners[2] == corners[0])
        continue;
      note_move(farthest, area_of(static_cast<int>(f)));
      std::ranges::copy(corners, out_.facets.begin() + static_cast<std::ptrdiff_t>(3 * f));
    }
  }

  /// A facet of which some points move by so much sweeps no more than its area times that.
  void note_move(double move, double area) {
    out_.greatest_move = std::max(out_.greatest_move, move);
    out_.bound += move * area;
  }

  /// Of open edges over the same two vertices two are one edge now.
  void drop_sewn() {
    std::map<std::pair<int, int>, std::vector<int>> by_ends;
    for (const int h : open_) by_ends[std::minmax(from(h), to(h))].push_back(h);
    std::vector<int> left;
    for (const auto& [ends, half_edges] : by_ends) {
      if (half_edges.size() % 2 == 1) left.push_back(half_edges.front());
      out_.edges_sewn += static_cast<int>(half_edges.size() / 2);
    }
    open_ = std::move(left);
  }

  /// An open edge and the corners of the chain that lies along it.
  struct Cut {
    int half_edge = 0;
    std::vector<int> corners;
  };

  /// Cuts facets whose open edge lies along a chain of others; one edge of a facet at a time.
  void cut_along_chains() {
    constexpr int rounds = 3;
    for (int round = 0; round < rounds; ++round) {
      std::map<int, std::vector<int>> at_vertex;
      for (const int h : open_) {
        at_vertex[from(h)].push_back(h);
        at_vertex[to(h)].push_back(h);
      }
      std::set<int> used;
      std::set<int> used_facets;
      std::vector<Cut> cuts;
      for (const int h : open_) {
        if (used_facets.contains(h / 3)) continue;
        const std::vector<int> chain = chain_along(h, at_vertex, used_facets);
        if (chain.size() < 2) continue;
        Cut& cut = cuts.emplace_back(Cut{h, {from(h)}});
        for (const int link : chain) {
          cut.corners.push_back(other_end(link, cut.corners.back()));
          used.insert(link);
          used_facets.insert(link / 3);
        }
        used.insert(h);
        used_facets.insert(h / 3);
      }
      if (cuts.empty()) return;
      std::erase_if(open_, [&used](int h) { return used.contains(h); });
      std::map<int, int> renamed;
      for (const Cut& cut : cuts) make(cut, renamed);
      for (int& h : open_) {
        const auto found = renamed.find(h);
        if (found != renamed.end()) h = found->second;
      }
    }
  }

  [[nodiscard]] int other_end(int h, int v) const { return from(h) == v ? to(h) : from(h); }

  /// The open edges that lead from the start of one to its end, close along it; else nothing.
  [[nodiscard]] std::vector<int> chain_along(int h,
                                             const std::map<int, std::vector<int>>& at_vertex,
                                             const std::set<int>& used_facets) const {
    constexpr std::size_t longest = 1000;
    const Vec3 start = at(from(h));
    const Vec3 along = at(to(h)) - start;
    const double length = along.norm();
    std::vector<int> chain;
    int v = from(h);
    double way = 0;
    while (v != to(h) && chain.size() < longest) {
      int next = -1;
      for (const int candidate : at_vertex.at(v)) {
        const int w = other_end(candidate, v);
        const Vec3 d = at(w) - start;
        const double on = w == to(h) ? length : d.dot(along) / length;
        const double off = (d - on / length * along).norm();
        if (candidate / 3 == h / 3 || used_facets.contains(candidate / 3)) continue;
        if (on <= way || off > tolerance(w) || (on >= length && w != to(h))) continue;
        next = candidate;
        way = on;
        break;
      }
      if (next < 0) return {};
      chain.push_back(next);
      v = other_end(next, v);
    }
    return v == to(h) ? chain : std::vector<int>{};
  }

  void make(const Cut& cut, std::map<int, int>& renamed) {
    const int h = cut.half_edge;
    const int after = next_half_edge(h);
    const int apex = to(after);
    const Vec3 start = at(cut.corners.front());
    const Vec3 along = (at(cut.corners.back()) - start).normalized();
    const double area = area_of(h / 3);
    for (const int v : cut.corners) {
      const Vec3 d = at(v) - start;
      note_move((d - d.dot(along) * along).norm(), area);
    }
    out_.facets[static_cast<std::size_t>(after)] = cut.corners[1];
    for (std::size_t i = 1; i + 1 < cut.corners.size(); ++i) {
      out_.facets.insert(out_.facets.end(), {cut.corners[i], cut.corners[i + 1], apex});
    }
    ++out_.edges_sewn;
    // The edge from the last corner to the apex is another facet's now.
    renamed[after] = static_cast<int>(out_.facets.size()) - 2;
  }

  const Eigen::Matrix3Xd& positions_;
  Seams out_;
  double most_ = 0;
  std::vector<int> open_;  ///< half-edges
  std::map<int, double> tolerance_;
};

}  // namespace

Seams sew_seams(const Pieces& pieces) { return Seamster(pieces).run(); }

}  // namespace trueblank::intake
