// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/mend.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "intake/edges.h"
#include "intake/enclosure.h"
#include "intake/fill_hole.h"
#include "intake/messages.h"
#include "intake/pairing.h"
#include "intake/repeated.h"

namespace trueblank::intake {
namespace {

using geometry::Vec3;

/// A surface encloses nothing where its volume is below this share of its area to the power 3/2 (a
/// ball: 0.094; a sheet of 100 by 30 mm and a thousandth of a mm thick: 6e-6).
constexpr double least_volume_per_area = 1e-6;

/// Nor does it below this share of the mesh's diagonal to the power 3, which rounding may leave.
constexpr double least_volume_per_diagonal = 1e-14;

/// Of pieces below this share of the kept one's volume it is not asked where they lie.
constexpr double least_share_looked_at = 1e-9;

/// A piece of which more than this share of facets had to be turned tells nothing by its winding.
constexpr double most_turned = 0.1;

/// From this share of the skin on, made-up skin deserves a word of its own.
constexpr double much_percent = 10;

/// Facets that hang together, with what is open of them.
struct Piece {
  std::vector<std::vector<int>> rims;  ///< wound as a filling is; each of 3 vertices or more
  double volume = 0;                   ///< signed, rims closed by fans
  double area = 0;
  int facets = 0;
  int turned = 0;
  double rounding = 0;  ///< what a volume may be off by
  bool one_sided = false;

  [[nodiscard]] bool tells_its_side() const { return turned <= most_turned * facets; }

  [[nodiscard]] bool encloses_nothing() const {
    return !(std::abs(volume) > rounding + least_volume_per_area * std::pow(area, 1.5));
  }
};

class Mender {
 public:
  Mender(const geometry::TriangleMesh& mesh, Mend how, const std::string& name)
      : positions_(mesh.positions_mm), how_(how), name_(name) {
    facets_ = without_degenerate(mesh);
    note("degenerate facets dropped", mesh.facet_count() - static_cast<int>(facets_.size() / 3));
    note("repeated facets dropped", drop_repeated(facets_, mesh.vertex_count()));
    if (facets_.empty()) throw no_facets(name, 0);
  }

  MendedMesh run() {
    sew();
    measure();
    choose();
    turn_outward();
    sort_pieces();
    fill();
    assemble();
    return std::move(out_);
  }

 private:
  void note(const char* what, int count) {
    if (count > 0) out_.mended.push_back({what, count});
  }

  [[nodiscard]] int facet_count() const { return static_cast<int>(facets_.size() / 3); }

  [[nodiscard]] Vec3 corner(int facet, int which) const {
    return positions_.col(
        facets_[3 * static_cast<std::size_t>(facet) + static_cast<std::size_t>(which)]);
  }

  [[nodiscard]] int piece_of(int facet) const { return piece_[static_cast<std::size_t>(facet)]; }

  [[nodiscard]] double six_volumes(const Vec3& a, const Vec3& b, const Vec3& c) const {
    return (a - apex_).dot((b - apex_).cross(c - apex_));
  }

  void turn(int facet) {
    const std::size_t at = 3 * static_cast<std::size_t>(facet);
    std::swap(facets_[at + 1], facets_[at + 2]);
  }

  /// Finds the pieces, winds each one alike, and finds the rims.
  void sew() {
    Sewn sewn_facets = sewn(facets_, positions_);
    piece_ = std::move(sewn_facets.piece);
    pieces_.resize(static_cast<std::size_t>(sewn_facets.pieces));
    std::vector<std::vector<std::pair<int, int>>> open(pieces_.size());
    for (int f = 0; f < facet_count(); ++f) {
      const auto p = static_cast<std::size_t>(piece_of(f));
      const bool turned = sewn_facets.turned[static_cast<std::size_t>(f)] != 0;
      ++pieces_[p].facets;
      pieces_[p].turned += turned ? 1 : 0;
      for (int h = 3 * f; h < 3 * f + 3; ++h) {
        if (sewn_facets.partner[static_cast<std::size_t>(h)] >= 0) continue;
        const int from = from_vertex(facets_, h);
        const int to = to_vertex(facets_, h);
        // A filling runs against its facet.
        open[p].push_back(turned ? std::pair(from, to) : std::pair(to, from));
      }
    }
    for (int f = 0; f < facet_count(); ++f) {
      if (sewn_facets.turned[static_cast<std::size_t>(f)] != 0) turn(f);
    }
    for (std::size_t p = 0; p < pieces_.size(); ++p) {
      pieces_[p].one_sided = sewn_facets.one_sided[p] != 0;
      if (open[p].empty() || pieces_[p].one_sided) continue;
      pieces_[p].rims = loops(open[p], true);
      // Two facets that lie on each other with nothing between them need no filling.
      std::erase_if(pieces_[p].rims, [](const std::vector<int>& rim) { return rim.size() < 3; });
    }
  }

  [[nodiscard]] Vec3 middle(const std::vector<int>& rim) const {
    Vec3 sum = Vec3::Zero();
    for (const int v : rim) sum += positions_.col(v);
    return sum / static_cast<double>(rim.size());
  }

  void measure() {
    const Vec3 low = positions_.rowwise().minCoeff();
    const Vec3 high = positions_.rowwise().maxCoeff();
    apex_ = (low + high) / 2;
    const double rounding = least_volume_per_diagonal * std::pow((high - low).norm(), 3);
    for (int f = 0; f < facet_count(); ++f) {
      Piece& piece = pieces_[static_cast<std::size_t>(piece_of(f))];
      const Vec3 a = corner(f, 0);
      const Vec3 b = corner(f, 1);
      const Vec3 c = corner(f, 2);
      piece.volume += six_volumes(a, b, c) / 6;
      piece.area += (b - a).cross(c - a).norm() / 2;
    }
    for (Piece& piece : pieces_) {
      for (const std::vector<int>& rim : piece.rims) {
        const Vec3 centre = middle(rim);
        for (std::size_t i = 0; i < rim.size(); ++i) {
          piece.volume += six_volumes(positions_.col(rim[i]),
                                      positions_.col(rim[(i + 1) % rim.size()]), centre) /
                          6;
        }
      }
      piece.rounding = rounding;
      if (piece.one_sided) piece.volume = 0;
    }
  }

  /// The piece of greatest volume; of pieces that all enclose nothing, the one of greatest area.
  void choose() {
    std::size_t by_volume = 0;
    std::size_t by_area = 0;
    for (std::size_t p = 1; p < pieces_.size(); ++p) {
      if (std::abs(pieces_[p].volume) > std::abs(pieces_[by_volume].volume)) by_volume = p;
      if (pieces_[p].area > pieces_[by_area].area) by_area = p;
    }
    kept_ = static_cast<int>(by_volume);
    if (!pieces_[by_volume].encloses_nothing()) return;
    kept_ = static_cast<int>(by_area);
    if (how_ == Mend::none) return;
    if (pieces_[by_area].one_sided) throw one_sided(name_);
    throw encloses_nothing(name_);
  }

  [[nodiscard]] Piece& kept() { return pieces_[static_cast<std::size_t>(kept_)]; }

  void turn_outward() {
    if (kept().volume >= 0) return;
    for (int f = 0; f < facet_count(); ++f) turn(f);
    for (Piece& piece : pieces_) {
      piece.volume = -piece.volume;
      for (std::vector<int>& rim : piece.rims) std::ranges::reverse(rim);
    }
    turned_outward_ = true;
  }

  /// Which pieces belong to the body: the kept one and its cavities.
  void sort_pieces() {
    belongs_.assign(pieces_.size(), 0);
    belongs_[static_cast<std::size_t>(kept_)] = 1;
    std::vector<ShellPoint> points = sample_points();
    if (!points.empty()) wind_around(closed_by_fans(), kept_, points);
    int inner_pieces = 0;
    for (std::size_t from = 0; from < points.size();) {
      std::size_t to = from;
      bool inside = true;
      bool only_kept_around = true;
      for (; to < points.size() && points[to].shell == points[from].shell; ++to) {
        inside = inside && points[to].in_shell == 1;
        only_kept_around = only_kept_around && points[to].in_others == 1;
      }
      const auto p = static_cast<std::size_t>(points[from].shell);
      if (inside) {
        if (only_kept_around && is_cavity(pieces_[p])) {
          belongs_[p] = 1;
        } else {
          ++inner_pieces;
        }
      }
      from = to;
    }
    tell_pieces(inner_pieces);
  }

  [[nodiscard]] bool is_cavity(const Piece& piece) {
    return piece.volume < 0 && piece.tells_its_side() && kept().tells_its_side() &&
           (how_ != Mend::none || piece.rims.empty());
  }

  /// Some facets' middles of each other piece that has a volume, piece by piece.
  [[nodiscard]] std::vector<ShellPoint> sample_points() {
    constexpr int most_samples = 5;
    std::vector<ShellPoint> points;
    if (pieces_.size() == 1) return points;
    const double least = least_share_looked_at * kept().volume;
    std::vector<int> seen(pieces_.size(), 0);
    for (int f = 0; f < facet_count(); ++f) {
      const auto p = static_cast<std::size_t>(piece_of(f));
      const Piece& piece = pieces_[p];
      if (piece_of(f) == kept_ || !(std::abs(piece.volume) > least)) continue;
      const int step = std::max(1, piece.facets / most_samples);
      if (seen[p]++ % step != 0) continue;
      points.push_back({(corner(f, 0) + corner(f, 1) + corner(f, 2)) / 3, piece_of(f)});
    }
    std::ranges::stable_sort(points, {}, &ShellPoint::shell);
    return points;
  }

  [[nodiscard]] std::vector<ShellFacet> closed_by_fans() const {
    std::vector<ShellFacet> out;
    out.reserve(facets_.size() / 3);
    for (int f = 0; f < facet_count(); ++f) {
      out.push_back({{corner(f, 0), corner(f, 1), corner(f, 2)}, piece_of(f)});
    }
    for (std::size_t p = 0; p < pieces_.size(); ++p) {
      for (const std::vector<int>& rim : pieces_[p].rims) {
        const Vec3 centre = middle(rim);
        for (std::size_t i = 0; i < rim.size(); ++i) {
          out.push_back(
              {{positions_.col(rim[i]), positions_.col(rim[(i + 1) % rim.size()]), centre},
               static_cast<int>(p)});
        }
      }
    }
    return out;
  }

  void tell_pieces(int inner_pieces) {
    std::vector<double> percent;
    for (std::size_t p = 0; p < pieces_.size(); ++p) {
      if (belongs_[p] != 0) continue;
      const double volume = std::abs(pieces_[p].volume);
      out_.left_out_mm3.push_back(volume);
      if (kept().volume > 0) percent.push_back(100 * volume / kept().volume);
    }
    std::ranges::sort(out_.left_out_mm3, std::greater());
    std::ranges::sort(percent, std::greater());
    int turned = 0;
    for (std::size_t p = 0; p < pieces_.size(); ++p) {
      if (belongs_[p] != 0) turned += pieces_[p].turned;
    }
    note("facets turned", turned);
    note("turned inside out", turned_outward_ ? 1 : 0);
    if (turned > 0) out_.warnings.push_back(windings_agreed(turned));
    if (turned_outward_) out_.warnings.push_back(turned_outward());
    pieces_left_out_ = static_cast<int>(out_.left_out_mm3.size());
    if (percent.empty()) return;
    out_.warnings.push_back(pieces_left_out(percent));
    if (inner_pieces > 0) out_.warnings.push_back(inner_piece_left_out(inner_pieces));
  }

  /// The facets at each vertex, of the pieces that belong, flat.
  void find_facets_at_vertices() {
    const auto vertices = static_cast<std::size_t>(positions_.cols());
    first_at_.assign(vertices + 1, 0);
    for (const int v : facets_) ++first_at_[static_cast<std::size_t>(v) + 1];
    for (std::size_t v = 0; v < vertices; ++v) first_at_[v + 1] += first_at_[v];
    facets_at_.resize(facets_.size());
    std::vector<int> at(first_at_.begin(), first_at_.end() - 1);
    for (std::size_t h = 0; h < facets_.size(); ++h) {
      facets_at_[static_cast<std::size_t>(at[static_cast<std::size_t>(facets_[h])]++)] =
          static_cast<int>(h / 3);
    }
    local_number_.assign(vertices, -1);
    facet_taken_.assign(facets_.size() / 3, 0);
  }

  /// A rim with some rings of the skin around it.
  [[nodiscard]] Hole hole_of(const std::vector<int>& rim, int piece) {
    constexpr std::size_t edges_a_ring = 48;
    constexpr std::size_t least_rings = 3;
    constexpr std::size_t most_rings = 24;
    const std::size_t rings = std::clamp(rim.size() / edges_a_ring, least_rings, most_rings);
    Hole hole;
    std::vector<int> vertices;
    const auto take = [&](int v) {
      int& number = local_number_[static_cast<std::size_t>(v)];
      if (number >= 0) return number;
      number = static_cast<int>(vertices.size());
      vertices.push_back(v);
      return number;
    };
    for (const int v : rim) {
      (void)take(v);
      hole.rim.emplace_back(positions_.col(v));
    }
    std::vector<int> taken_facets;
    std::size_t ring_begin = 0;
    for (std::size_t ring = 0; ring < rings; ++ring) {
      const std::size_t ring_end = vertices.size();
      for (std::size_t i = ring_begin; i < ring_end; ++i) {
        const auto v = static_cast<std::size_t>(vertices[i]);
        for (int k = first_at_[v]; k < first_at_[v + 1]; ++k) {
          const int f = facets_at_[static_cast<std::size_t>(k)];
          if (piece_of(f) != piece || facet_taken_[static_cast<std::size_t>(f)] != 0) continue;
          facet_taken_[static_cast<std::size_t>(f)] = 1;
          taken_facets.push_back(f);
          const std::size_t at = 3 * static_cast<std::size_t>(f);
          hole.skin.push_back({take(facets_[at]), take(facets_[at + 1]), take(facets_[at + 2])});
        }
      }
      ring_begin = ring_end;
    }
    for (std::size_t i = rim.size(); i < vertices.size(); ++i) {
      hole.around.emplace_back(positions_.col(vertices[i]));
    }
    for (const int v : vertices) local_number_[static_cast<std::size_t>(v)] = -1;
    for (const int f : taken_facets) facet_taken_[static_cast<std::size_t>(f)] = 0;
    return hole;
  }

  [[nodiscard]] int rims_of_body() const {
    std::size_t rims = 0;
    for (std::size_t p = 0; p < pieces_.size(); ++p) {
      if (belongs_[p] != 0) rims += pieces_[p].rims.size();
    }
    return static_cast<int>(rims);
  }

  void fill() {
    const int rims = rims_of_body();
    out_.closed =
        (rims == 0 || how_ != Mend::none) && !kept().one_sided && !kept().encloses_nothing();
    if (rims > 0 && how_ != Mend::none) {
      find_facets_at_vertices();
      for (std::size_t p = 0; p < pieces_.size(); ++p) {
        if (belongs_[p] == 0) continue;
        for (const std::vector<int>& rim : pieces_[p].rims) fill(rim, static_cast<int>(p));
      }
      // The fans that stood in for the fillings may have enclosed something that these do not.
      if (!(kept().volume > 0) || kept().encloses_nothing()) throw encloses_nothing(name_);
      note("holes filled", rims);
      tell_made_up(rims);
    } else if (rims > 0) {
      out_.warnings.push_back(holes_left(rims));
    }
    note("pieces left out", pieces_left_out_);
    for (std::size_t p = 0; p < pieces_.size(); ++p) {
      if (belongs_[p] != 0 && static_cast<int>(p) != kept_) out_.cavity_mm3 -= pieces_[p].volume;
    }
  }

  void fill(const std::vector<int>& rim, int piece) {
    const Filling filling = fill_hole(hole_of(rim, piece));
    const int file_vertices = static_cast<int>(positions_.cols());
    const int made_before = static_cast<int>(made_vertices_.size());
    const int n = static_cast<int>(rim.size());
    made_vertices_.insert(made_vertices_.end(), filling.vertices.begin(), filling.vertices.end());
    Piece& whole = pieces_[static_cast<std::size_t>(piece)];
    const Vec3 centre = middle(rim);
    for (const auto& facet : filling.facets) {
      std::array<Vec3, 3> corners;
      for (std::size_t k = 0; k < 3; ++k) {
        const int local = facet[k];
        made_facets_.push_back(local < n ? rim[static_cast<std::size_t>(local)]
                                         : file_vertices + made_before + local - n);
        corners[k] = local < n ? Vec3(positions_.col(rim[static_cast<std::size_t>(local)]))
                               : filling.vertices[static_cast<std::size_t>(local - n)];
      }
      whole.volume += six_volumes(corners[0], corners[1], corners[2]) / 6;
      made_area_ += (corners[1] - corners[0]).cross(corners[2] - corners[0]).norm() / 2;
    }
    for (std::size_t i = 0; i < rim.size(); ++i) {  // the fan goes that stood in for it
      whole.volume -=
          six_volumes(positions_.col(rim[i]), positions_.col(rim[(i + 1) % rim.size()]), centre) /
          6;
    }
  }

  void tell_made_up(int rims) {
    double area = made_area_;
    for (std::size_t p = 0; p < pieces_.size(); ++p) {
      if (belongs_[p] != 0) area += pieces_[p].area;
    }
    const double percent = 100 * made_area_ / area;
    out_.warnings.push_back(holes_filled(rims, percent));
    if (percent >= much_percent) out_.warnings.push_back(much_made_up(percent));
  }

  /// The facets that belong, then those made up, over the vertices that they use.
  void assemble() {
    Corners facets;
    facets.reserve(facets_.size() + made_facets_.size());
    for (int f = 0; f < facet_count(); ++f) {
      if (belongs_[static_cast<std::size_t>(piece_of(f))] == 0) continue;
      const auto at = facets_.begin() + 3 * static_cast<std::ptrdiff_t>(f);
      facets.insert(facets.end(), at, at + 3);
    }
    const std::size_t measured_facets = facets.size() / 3;
    facets.insert(facets.end(), made_facets_.begin(), made_facets_.end());

    const auto file_vertices = static_cast<std::size_t>(positions_.cols());
    std::vector<int> number(file_vertices + made_vertices_.size(), -1);
    for (const int v : facets) number[static_cast<std::size_t>(v)] = 0;
    int used = 0;
    for (int& n : number) {
      if (n == 0) n = used++;
    }
    out_.mesh.positions_mm.resize(3, used);
    out_.vertex_measured.resize(static_cast<std::size_t>(used));
    for (std::size_t v = 0; v < number.size(); ++v) {
      if (number[v] < 0) continue;
      out_.mesh.positions_mm.col(number[v]) =
          v < file_vertices ? Vec3(positions_.col(static_cast<Eigen::Index>(v)))
                            : made_vertices_[v - file_vertices];
      out_.vertex_measured[static_cast<std::size_t>(number[v])] = v < file_vertices ? 1 : 0;
    }
    out_.mesh.facets.resize(3, static_cast<Eigen::Index>(facets.size() / 3));
    std::ranges::transform(facets, out_.mesh.facets.data(),
                           [&number](int v) { return number[static_cast<std::size_t>(v)]; });
    out_.facet_measured.assign(facets.size() / 3, 0);
    std::fill_n(out_.facet_measured.begin(), measured_facets, std::uint8_t{1});
  }

  const Eigen::Matrix3Xd& positions_;
  Mend how_;
  const std::string& name_;
  Corners facets_;
  std::vector<int> piece_;  ///< of each facet
  std::vector<Piece> pieces_;
  std::vector<std::uint8_t> belongs_;  ///< for each piece: 1 the body's
  int kept_ = 0;
  int pieces_left_out_ = 0;
  bool turned_outward_ = false;
  Vec3 apex_ = Vec3::Zero();

  std::vector<int> first_at_;  ///< for each vertex, into facets_at_
  std::vector<int> facets_at_;
  std::vector<int> local_number_;          ///< of a vertex in the hole at hand, or -1
  std::vector<std::uint8_t> facet_taken_;  ///< into the hole at hand

  std::vector<Vec3> made_vertices_;
  Corners made_facets_;
  double made_area_ = 0;
  MendedMesh out_;
};

}  // namespace

MendedMesh mend(const geometry::TriangleMesh& mesh, const MendOptions& options,
                const std::string& name) {
  return Mender(mesh, options.how, name).run();
}

MendedMesh mend(const geometry::TriangleMesh& mesh, Mend how, const std::string& name) {
  return mend(mesh, MendOptions{.how = how}, name);
}

void scale(MendedMesh& mended, double mm_per_unit) {
  const double squared = mm_per_unit * mm_per_unit;
  const double cubed = squared * mm_per_unit;
  mended.mesh.positions_mm *= mm_per_unit;
  mended.cavity_mm3 *= cubed;
  for (double& volume : mended.left_out_mm3) volume *= cubed;
  for (Mended& step : mended.mended) step.bound_mm3 *= cubed;
  for (FilledHole& hole : mended.holes) {
    hole.centre_mm *= mm_per_unit;
    hole.area_mm2 *= squared;
    hole.bound_mm3 *= cubed;
  }
  mended.made_up_bound_mm3 *= cubed;
}

}  // namespace trueblank::intake
