// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "geometry/frame.h"
#include "geometry/moments.h"
#include "geometry/parallel.h"
#include "intake/mend.h"
#include "intake/read_mesh.h"
#include "symmetry/mirror_plane.h"

namespace trueblank::body {

using geometry::Vec3;

enum class Unit { mm, cm, m, in };
[[nodiscard]] double mm_per(Unit unit);
[[nodiscard]] std::optional<Unit> unit_named(std::string_view name);

/// A direction in file axes: "+x" … "-z" (a bare "x" is "+x") or a vector "0.3,-0.9,0.1"; of unit
/// length in return. Nothing where the text is neither.
[[nodiscard]] std::optional<Vec3> direction_named(std::string_view text);

/// What is known of a body beside its file. Command line over sheet over file over guess.
struct BodyHints {
  std::optional<Unit> units = {};
  std::optional<double> length_mm = {};
  std::optional<Vec3> nose = {};        ///< direction, file axes
  std::optional<Vec3> nose_point = {};  ///< file axes, mm after scaling
  std::optional<Vec3> back = {};
  intake::Mend mend = intake::Mend::holes;
  symmetry::Kernel kernel = symmetry::Kernel::robust;
  std::optional<geometry::Plane> plane = {};           ///< file axes, mm
  std::optional<std::array<Vec3, 3>> split_line = {};  ///< file axes, mm
  /// Where the wire comes out at nose and tail, file axes, mm: the plane holds both, and the back,
  /// which must be known.
  std::optional<std::pair<Vec3, Vec3>> eyes = {};
  bool best_sand = false;  ///< on from the plane that was found to that of the least wood lost
};

enum class ScaleFrom { units, length, format, assumed, guessed };
[[nodiscard]] std::string_view scale_from_name(ScaleFrom from);

/// What was read, for telling.
struct InputFacts {
  std::string file;
  std::string format;
  int facets = 0;
  int vertices = 0;
  double scale_mm_per_unit = 1;
  ScaleFrom scale_from = ScaleFrom::assumed;
};

/// A body from a file, mended and at its scale, in file axes (mm).
struct SoundBody {
  InputFacts input;
  intake::Soundness as_read;
  intake::MendedMesh mended;                         ///< mm
  std::optional<geometry::ClosedMesh> closed;        ///< nothing where it stayed open
  std::array<double, 3> size_mm{};                   ///< extents along the principal axes, falling
  std::vector<std::array<std::uint8_t, 3>> colours;  ///< as read, not carried through mending
  std::vector<std::string> warnings;
};

/// Reads, mends, scales. `--length` sets the extent along the body frame's x, so with it the frame
/// is sought too.
/// soundness is costly where only a volume is wanted: `look_for_self_intersections`.
/// throws  InputError
[[nodiscard]] SoundBody load_body(const std::string& path, const BodyHints& hints,
                                  bool look_for_self_intersections,
                                  const geometry::ParallelFor& loop);

/// A body in its own frame.
struct FramedBody {
  SoundBody sound;
  symmetry::MirrorFit fit;
  geometry::Frame frame;  ///< in file axes; of a body whose turn is open and unhinted, one of many
  bool guessed = false;   ///< an end, a side or the turn is a guess
  double length_mm = 0;
  geometry::Plane plane;  ///< y = 0 in file axes, the normal to the lure's right (= frame.y)
  std::optional<geometry::ClosedMesh> body;  ///< body frame; always set on return
  geometry::Moments whole;                   ///< body frame
};

/// throws  InputError where the file can't be used or the body stays open
[[nodiscard]] FramedBody load_framed_body(const std::string& path, const BodyHints& hints,
                                          const geometry::ParallelFor& loop);

}  // namespace trueblank::body
