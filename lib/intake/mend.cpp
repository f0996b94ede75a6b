// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/mend.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <optional>

#include "intake/belonging.h"
#include "intake/edges.h"
#include "intake/fillings.h"
#include "intake/messages.h"
#include "intake/overlaps.h"
#include "intake/pieces.h"
#include "intake/repeated.h"
#include "intake/seams.h"
#include "intake/sheets.h"
#include "intake/table.h"
#include "intake/wrap.h"

namespace trueblank::intake {
namespace {

using geometry::Vec3;

/// From this share of the skin on, made-up skin deserves a word of its own.
constexpr double much_percent = 10;

/// What a mender can do, in the order in which it is told.
enum Step : std::size_t {
  degenerate_dropped,
  seams_sewn,
  repeated_dropped,
  edges_parted,
  vertices_parted,
  table_cut,
  facets_turned,
  inside_out,
  shells_united,
  crossings_resolved,
  holes_closed,
  left_out,
  skin_wrapped,
  step_count,
};

constexpr auto step_names = std::to_array<const char*>({
    "degenerate facets dropped",
    "seams sewn",
    "repeated facets dropped",
    "edges of many facets parted",
    "vertices parted",
    "table facets cut off",
    "facets turned",
    "turned inside out",
    "overlapping shells united",
    "self-intersections resolved",
    "holes filled",
    "pieces left out",
    "wrapped",
});
static_assert(step_names.size() == step_count);

/// Whether facets meet in some vertex that don't all hang together around it.
bool meets_itself(const Pieces& pieces) {
  if (pieces.parted_edges > 0) return true;
  std::vector<std::uint8_t> seen(pieces.facets.size(), 0);  // corners
  std::vector<std::uint8_t> ringed(static_cast<std::size_t>(pieces.positions.cols()), 0);
  for (std::size_t corner = 0; corner < seen.size(); ++corner) {
    if (seen[corner] != 0) continue;
    const auto v = static_cast<std::size_t>(pieces.facets[corner]);
    if (ringed[v] != 0) return true;
    ringed[v] = 1;
    // Round the vertex one way, and, where an edge is open, the other.
    const int start = static_cast<int>(corner);
    int h = start;
    while (h >= 0 && seen[static_cast<std::size_t>(h)] == 0) {
      seen[static_cast<std::size_t>(h)] = 1;
      const int before = next_half_edge(next_half_edge(h));
      h = pieces.partner[static_cast<std::size_t>(before)];
    }
    if (h == start) continue;
    for (h = pieces.partner[corner]; h >= 0;) {
      h = next_half_edge(h);
      if (seen[static_cast<std::size_t>(h)] != 0) break;
      seen[static_cast<std::size_t>(h)] = 1;
      h = pieces.partner[static_cast<std::size_t>(h)];
    }
  }
  return false;
}

/// The share of the skin's area that was not in the file.
double made_up_part(const MendedMesh& body) {
  double made_up = 0;
  double all = 0;
  for (int f = 0; f < body.mesh.facet_count(); ++f) {
    const Vec3 a = body.mesh.corner(f, 0);
    const double area = (body.mesh.corner(f, 1) - a).cross(body.mesh.corner(f, 2) - a).norm() / 2;
    all += area;
    if (body.facet_measured[static_cast<std::size_t>(f)] == 0) made_up += area;
  }
  return all > 0 ? made_up / all : 0;
}

class Mender {
 public:
  Mender(const geometry::TriangleMesh& mesh, const MendOptions& options, const std::string& name)
      : positions_(mesh.positions_mm),
        options_(options),
        name_(name),
        pieces_(in_pieces(cleaned(mesh), mesh.positions_mm)) {}

  MendedMesh run() {
    sew_rims();
    cut_table();
    if (options_.how != Mend::none && pieces_->body().encloses_nothing()) refuse();
    sort_pieces();
    fill();
    assemble();
    take_outer_skin();
    part_vertices();
    wrap_anew();
    for (std::size_t step = 0; step < step_count; ++step) {
      if (done_[step].count == 0) continue;
      done_[step].what = step_names[step];
      out_.mended.push_back(done_[step]);
    }
    return std::move(out_);
  }

 private:
  void note(Step step, int count, double bound = 0) {
    done_[step].count += count;
    done_[step].bound_mm3 += bound;
  }

  void warn(std::string words) { out_.warnings.push_back(std::move(words)); }

  /// The facets that are worth looking at.
  Corners cleaned(const geometry::TriangleMesh& mesh) {
    Corners facets = without_degenerate(mesh);
    note(degenerate_dropped, mesh.facet_count() - static_cast<int>(facets.size() / 3));
    note(repeated_dropped, drop_repeated(facets, mesh.vertex_count()));
    if (facets.empty()) throw no_facets(name_, 0);
    return facets;
  }

  [[noreturn]] void refuse() const {
    if (pieces_->body().one_sided) throw one_sided(name_);
    throw encloses_nothing(name_);
  }

  /// Sews open rims that lie on each other.
  void sew_rims() {
    if (options_.how == Mend::none) return;
    Seams seams = sew_seams(*pieces_);
    if (seams.edges_sewn == 0) return;
    note(seams_sewn, seams.edges_sewn, seams.bound);
    note(repeated_dropped, drop_repeated(seams.facets, static_cast<int>(positions_.cols())));
    if (!seams.facets.empty()) rebuild(std::move(seams.facets));
  }

  /// The pieces anew, after facets have gone or changed; what was turned is still told.
  void rebuild(Corners facets) {
    turned_before_ += pieces_->body().turned;
    const bool inside_out_before = pieces_->turned_outward;
    pieces_.emplace(in_pieces(std::move(facets), positions_));
    pieces_->turned_outward = pieces_->turned_outward || inside_out_before;
  }

  /// Cuts the body off the table that it stands on.
  void cut_table() {
    if (options_.how == Mend::none) return;
    const TableFound found = find_table(*pieces_, options_.table);
    if (found.own_share > 0) warn(flat_side_kept(100 * found.own_share));
    if (!found.cut || found.cut->left.empty()) return;
    if (in_pieces(found.cut->left, positions_).body().encloses_nothing()) return;
    rebuild(found.cut->left);
    floor_ = found.cut->floor;
    note(table_cut, found.cut->facets_off);
    warn(table_cut_off(100 * found.cut->share));
  }

  [[nodiscard]] bool belongs(std::size_t piece) const { return belonging_.belongs[piece] != 0; }

  /// Which pieces belong to the body: the kept one, its cavities, those that cross it.
  void sort_pieces() {
    if (options_.how != Mend::none) united_ = pieces_that_cross(*pieces_);
    belonging_ = belonging(*pieces_, united_, options_.how != Mend::none);
    int turned = turned_before_;
    double left_out_volume = 0;
    std::vector<double> percent;
    for (std::size_t p = 0; p < pieces_->all.size(); ++p) {
      if (belongs(p)) {
        turned += pieces_->all[p].turned;
        continue;
      }
      const double volume = std::abs(pieces_->all[p].volume);
      out_.left_out_mm3.push_back(volume);
      left_out_volume += volume;
      if (pieces_->body().volume > 0) percent.push_back(100 * volume / pieces_->body().volume);
    }
    std::ranges::sort(out_.left_out_mm3, std::greater());
    std::ranges::sort(percent, std::greater());
    note(edges_parted, pieces_->parted_edges);
    note(facets_turned, turned);
    note(inside_out, pieces_->turned_outward ? 1 : 0);
    note(left_out, static_cast<int>(out_.left_out_mm3.size()), left_out_volume);
    if (turned > 0) warn(windings_agreed(turned));
    if (pieces_->turned_outward) warn(turned_outward());
    if (percent.empty()) return;
    warn(pieces_left_out(percent));
    if (belonging_.inside > 0) warn(inner_piece_left_out(belonging_.inside));
  }

  void fill() {
    int rims = 0;
    for (std::size_t p = 0; p < pieces_->all.size(); ++p) {
      if (belongs(p)) rims += static_cast<int>(pieces_->all[p].rims.size());
    }
    const bool filled = options_.how != Mend::none;
    Piece& body = pieces_->body();
    out_.closed = (rims == 0 || filled) && !body.one_sided && !body.encloses_nothing();
    if (rims > 0 && filled) {
      fillings_ = fill_rims(*pieces_, belonging_.belongs, floor_);
      // The fans that stood in for the fillings may have enclosed something that these do not.
      if (!(body.volume > 0) || body.encloses_nothing()) throw encloses_nothing(name_);
      tell_made_up(rims);
    } else if (rims > 0) {
      warn(holes_left(rims));
    }
    for (std::size_t p = 0; p < pieces_->all.size(); ++p) {
      const double volume = pieces_->all[p].volume;
      if (belongs(p) && static_cast<int>(p) != pieces_->kept && volume < 0) {
        out_.cavity_mm3 -= volume;
      }
    }
  }

  void tell_made_up(int rims) {
    double area = fillings_.area;
    for (std::size_t p = 0; p < pieces_->all.size(); ++p) {
      if (belongs(p)) area += pieces_->all[p].area;
    }
    for (const FilledHole& hole : fillings_.holes) out_.made_up_bound_mm3 += hole.bound_mm3;
    out_.holes = fillings_.holes;
    out_.made_up_share = fillings_.area / area;
    note(holes_closed, rims, out_.made_up_bound_mm3);
    const double percent = 100 * out_.made_up_share;
    warn(holes_filled(rims, percent));
    if (percent >= much_percent) warn(much_made_up(percent));
  }

  /// The facets that belong, then those made up, over the vertices that they use.
  void assemble() {
    Corners facets;
    facets.reserve(pieces_->facets.size() + fillings_.facets.size());
    for (std::size_t f = 0; f < pieces_->facets.size() / 3; ++f) {
      if (!belongs(static_cast<std::size_t>(pieces_->piece_of[f]))) continue;
      const auto at = pieces_->facets.begin() + 3 * static_cast<std::ptrdiff_t>(f);
      facets.insert(facets.end(), at, at + 3);
    }
    const std::size_t measured_facets = facets.size() / 3;
    facets.insert(facets.end(), fillings_.facets.begin(), fillings_.facets.end());

    const auto file_vertices = static_cast<std::size_t>(positions_.cols());
    std::vector<int> number(file_vertices + fillings_.vertices.size(), -1);
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
                            : fillings_.vertices[v - file_vertices];
      out_.vertex_measured[static_cast<std::size_t>(number[v])] = v < file_vertices ? 1 : 0;
    }
    out_.mesh.facets.resize(3, static_cast<Eigen::Index>(facets.size() / 3));
    std::ranges::transform(facets, out_.mesh.facets.data(),
                           [&number](int v) { return number[static_cast<std::size_t>(v)]; });
    out_.facet_measured.assign(facets.size() / 3, 0);
    std::fill_n(out_.facet_measured.begin(), measured_facets, std::uint8_t{1});
  }

  /// One skin of shells that overlap, and of one that is turned over on itself.
  void take_outer_skin() {
    if (!out_.closed || options_.how == Mend::none) return;
    if (united_.empty() && !overlaps_itself(out_.mesh)) return;
    const Resolved resolved = resolve_crossings(out_);
    if (!resolved.done) {
      warn(crosses_too_often());
      if (!united_.empty()) leave_out_united();
      return;
    }
    const double change = std::abs(resolved.change_mm3);
    if (!united_.empty()) {
      note(shells_united, static_cast<int>(united_.size()), change);
      warn(shells_were_united(static_cast<int>(united_.size())));
    } else if (resolved.pairs > 0) {
      note(crossings_resolved, resolved.pairs, change);
    }
  }

  /// A vertex of its own for each sheet of the skin that goes through one.
  void part_vertices() {
    if (!out_.closed || !meets_itself(*pieces_)) return;
    std::optional<geometry::TriangleMesh> sheets = in_sheets(out_.mesh);
    if (!sheets || sheets->facet_count() != out_.mesh.facet_count()) return;
    note(vertices_parted, sheets->vertex_count() - out_.mesh.vertex_count());
    std::vector<std::uint8_t> measured(static_cast<std::size_t>(sheets->vertex_count()), 0);
    for (Eigen::Index i = 0; i < sheets->facets.size(); ++i) {
      measured[static_cast<std::size_t>(sheets->facets(i))] =
          out_.vertex_measured[static_cast<std::size_t>(out_.mesh.facets(i))];
    }
    out_.mesh = *std::move(sheets);
    out_.vertex_measured = std::move(measured);
  }

  void wrap_anew() {
    if (!out_.closed || options_.how != Mend::wrap) return;
    std::optional<Wrapped> wrapped = wrap(out_.mesh, out_.facet_measured);
    const double change = wrapped ? wrapped->wrapped_mm3 - wrapped->before_mm3 : 0;
    if (!wrapped || wrapped->refused) {
      const bool differs = wrapped && std::abs(change) > most_wrap_change * wrapped->before_mm3;
      warn(differs ? wrap_refused(100 * change / wrapped->before_mm3) : wrap_failed());
      return;
    }
    out_.wrapped = {wrapped->finest_mm, wrapped->thickness_mm, wrapped->left_on_mm, change};
    note(skin_wrapped, 1, wrapped->bound_mm3);
    warn(skin_was_wrapped(100 * change / wrapped->before_mm3));
    out_.mesh = std::move(wrapped->mesh);
    out_.vertex_measured = std::move(wrapped->vertex_measured);
    out_.facet_measured = std::move(wrapped->facet_measured);
    out_.made_up_share = made_up_part(out_);
  }

  void leave_out_united() {
    for (const int p : united_) {
      const double volume = std::abs(pieces_->all[static_cast<std::size_t>(p)].volume);
      belonging_.belongs[static_cast<std::size_t>(p)] = 0;
      out_.left_out_mm3.push_back(volume);
      note(left_out, 1, volume);
    }
    std::ranges::sort(out_.left_out_mm3, std::greater());
    assemble();
  }

  const Eigen::Matrix3Xd& positions_;
  const MendOptions& options_;
  const std::string& name_;
  std::array<Mended, step_count> done_;
  MendedMesh out_;
  std::optional<Pieces> pieces_;  // made by what is above
  int turned_before_ = 0;         ///< before the table was cut off
  std::vector<int> united_;       ///< pieces that cross the kept one
  Belonging belonging_;
  std::optional<Floor> floor_;
  Fillings fillings_;
};

}  // namespace

MendedMesh mend(const geometry::TriangleMesh& mesh, const MendOptions& options,
                const std::string& name) {
  return Mender(mesh, options, name).run();
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
  if (!mended.wrapped) return;
  mended.wrapped->finest_mm *= mm_per_unit;
  mended.wrapped->thickness_mm *= mm_per_unit;
  mended.wrapped->left_on_mm *= mm_per_unit;
  mended.wrapped->change_mm3 *= cubed;
}

}  // namespace trueblank::intake
