// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "body/load_body.h"
#include "options.h"
#include "sheet/build_sheet.h"
#include "verbs.h"

namespace trueblank::tools {

/// The body that a verb was given: a mesh, or a build sheet's own.
struct GivenBody {
  body::Source source;
  body::BodyHints hints;
  std::vector<std::string> read;  ///< paths of what was read
  std::optional<sheet::Sheet> sheet = {};
};

/// throws  InputError where the sheet can't be used
[[nodiscard]] GivenBody given_body(const BodyOptions& options);

/// What is known of a body that a sheet is given beside: the command line over the sheet.
[[nodiscard]] body::BodyHints hints_over_sheet(const body::BodyHints& told,
                                               const body::BodyHints& in_sheet);

/// A body that is read without its frame, or with it where an option wants it.
struct ReadBody {
  body::SoundBody sound;                      ///< file axes
  std::optional<geometry::Frame> frame = {};  ///< where it was sought
  bool guessed = false;
  std::optional<geometry::ClosedMesh> aligned = {};  ///< in the body frame, likewise
};

/// For check and weigh, which want a frame only to write the body in it.
[[nodiscard]] ReadBody read_body(const GivenBody& given, const BodyOptions& options,
                                 bool look_for_self_intersections,
                                 const geometry::ParallelFor& loop);

/// A mesh by the ending of its name: .stl, .ply or .obj.
[[nodiscard]] OutputFile mesh_file(const std::string& path, const geometry::TriangleMesh& mesh);

}  // namespace trueblank::tools
