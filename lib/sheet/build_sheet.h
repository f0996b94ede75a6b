// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "body/load_body.h"
#include "rig/mass_model.h"

namespace trueblank::sheet {

/// A build sheet as read and checked as far as it can be without its body. Places are kept as the
/// maker wrote them, with their line and column, until the body is there.
class Sheet {
 public:
  [[nodiscard]] const std::string& path() const;
  [[nodiscard]] const std::string& title() const;
  [[nodiscard]] const std::string& mesh_path() const;  ///< relative to the sheet's folder, joined
  [[nodiscard]] const body::BodyHints& hints() const;
  /// The species as the table has it, "western redcedar"; empty where none is given.
  [[nodiscard]] const std::string& wood_name() const;

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

/// The rig of a sheet on its body.
struct ResolvedRig {
  rig::Rig rig;
  std::vector<std::string> warnings;  ///< whole sentences; `rig` is to be used all the same
};

/// Finds the sheet's places from the skin, and the wood's density from the weighed blank and the
/// body's volume.
///
/// body    in its own frame; body.body is set
/// cost    a few passes over the facets for each part
/// throws  InputError with file:line:column: a ballast whose centre is outside the body, a station
///         beyond the ends, a wire that misses the body
[[nodiscard]] ResolvedRig resolve(const Sheet& sheet, const body::FramedBody& body);

}  // namespace trueblank::sheet
