// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "body/load_body.h"
#include "rig/baseline.h"
#include "rig/mass_model.h"
#include "rig/wishes.h"

namespace trueblank::sheet {

/// A build sheet as read and checked as far as it can be without its body. Places are kept as the
/// maker wrote them, with their line and column, until the body is there.
class Sheet {
 public:
  [[nodiscard]] const std::string& path() const;
  [[nodiscard]] const std::string& title() const;
  /// Relative to the sheet's folder, joined; empty where the body is drawn.
  [[nodiscard]] const std::string& mesh_path() const;
  /// The mesh, or the body as the sheet draws it.
  [[nodiscard]] body::Source source() const;
  /// What was read of it beside the sheet itself.
  [[nodiscard]] const std::vector<std::string>& files() const;
  [[nodiscard]] const body::BodyHints& hints() const;
  /// The species as the table has it, "western redcedar"; empty where none is given.
  [[nodiscard]] const std::string& wood_name() const;
  /// What the blank weighs, where the sheet says so and not of two halves.
  [[nodiscard]] std::optional<double> wood_weighed_g() const;
  /// The hook that the line is tied to; empty where the sheet names none.
  [[nodiscard]] const std::string& line_hook() const;
  /// What was read, byte for byte.
  [[nodiscard]] const std::string& text() const;
  /// Whether it says how the lure is to lie.
  [[nodiscard]] bool has_target() const;
  /// Whether it has places for weights that are still to be found.
  [[nodiscard]] bool has_places() const;

  Sheet(Sheet&&) noexcept;
  Sheet& operator=(Sheet&&) noexcept;
  ~Sheet();

  struct Contents;
  explicit Sheet(std::unique_ptr<Contents> contents);

  [[nodiscard]] const Contents& contents() const { return *contents_; }

 private:
  std::unique_ptr<Contents> contents_;
};

/// Reads a build sheet ("-": from standard input).
///
/// throws  InputError: a file that is missing, a folder, not readable, over 1 MB; with
///         file:line:column: syntax, unknown key, wrong type or unit, negative mass, contradictory
///         keys, a key that this version does not have, a missing mesh
[[nodiscard]] Sheet read_sheet(const std::string& path);

/// As read_sheet, from a text in memory; `path` is used in messages, and its folder for the mesh.
[[nodiscard]] Sheet parse_sheet(std::string_view text, const std::string& path);

/// For who would find weights.
/// throws  InputError: the sheet has no [target], or nothing that may be varied: no [[place]], and
///         no hook with a choice of sizes or places
void require_target(const Sheet& sheet);

/// The eye that the line is tied to, in the body frame.
struct LineEye {
  std::string name;  ///< "nose eye", a hook's name, or "line eye" where it was given as a point
  geometry::Vec3 at_mm = geometry::Vec3::Zero();
};

/// The rig of a sheet on its body, and what else the sheet says about it.
struct ResolvedRig {
  rig::Rig rig;
  std::vector<std::string> warnings;  ///< whole sentences; `rig` is to be used all the same
  std::optional<rig::Baseline> baseline = {};
  rig::Water tank = {};  ///< what the lure is tried in at home; its density is always set
  rig::Tolerances tolerances = {};
  std::optional<LineEye> line_eye = {};  ///< without one in the sheet: the foremost end of a wire
  std::optional<geometry::ClosedMesh> coated = {};  ///< the body that the water sees, where there
                                                    ///< is a finish
  /// How it is to lie, where weights may go, and what may be changed of its hooks. Nothing of it is
  /// in `rig`.
  rig::Wishes wishes = {};
};

/// Whether weights are about to be found for the places of a sheet; where they aren't, a warning
/// says that these are empty.
enum class Places { left_empty, to_be_filled };

/// Finds the sheet's places from the skin, the wood's density from the weighed blank or halves and
/// the body's volume, a wire's diameter from its weight where only that is given, and lays the
/// finish on.
///
/// body    in its own frame; body.body is set
/// cost    a few passes over the facets for each part
/// throws  InputError with file:line:column: a ballast or a pocket whose centre is outside the
///         body, a station beyond the ends, a wire that misses the body, halves on a body that has
///         but one side, a coat that folds in on itself; a place for a weight that is nowhere in
///         the body, a hole that is wider than the body wherever it may go, a hook's eye that may
///         go beyond the body
[[nodiscard]] ResolvedRig resolve(const Sheet& sheet, const body::FramedBody& body,
                                  Places places = Places::left_empty);

}  // namespace trueblank::sheet
