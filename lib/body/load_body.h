// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "body/body_record.h"
#include "body/hints.h"
#include "geometry/frame.h"
#include "geometry/moments.h"
#include "geometry/parallel.h"
#include "intake/mend.h"
#include "intake/read_mesh.h"
#include "symmetry/mirror_plane.h"

namespace trueblank::body {

/// A body that is drawn, not scanned.
struct DrawnBody {
  geometry::TriangleMesh mesh_mm;  ///< closed, outward
  std::string format;              ///< what it was drawn as: "sections", "outlines"
  std::vector<std::string> warnings = {};
};

/// Where a body comes from: a mesh file, or a drawing.
struct Source {
  std::string path;  ///< of the mesh ("-": standard input), or of what it was drawn from
  std::optional<DrawnBody> drawn = {};
};

enum class ScaleFrom { units, length, format, assumed, guessed, displaced, push };
[[nodiscard]] std::string_view scale_from_name(ScaleFrom from);

/// What was read, for telling.
struct InputFacts {
  std::string file;
  std::string format;
  int facets = 0;
  int vertices = 0;
  double scale_mm_per_unit = 1;
  ScaleFrom scale_from = ScaleFrom::assumed;
  double length_in_file = 0;  ///< along its longest principal axis, in the file's unit
};

/// A body from a file, mended and at its scale, in file axes (mm).
struct SoundBody {
  InputFacts input;
  intake::Soundness as_read;
  intake::MendedMesh mended;                         ///< mm
  std::optional<geometry::ClosedMesh> closed;        ///< nothing where it stayed open
  std::array<double, 3> size_mm{};                   ///< extents along the principal axes, falling
  BodyRecord record;                                 ///< what was done, how well it is known
  std::vector<std::array<std::uint8_t, 3>> colours;  ///< of the mended mesh's vertices, or empty
  std::vector<std::string> warnings;
};

/// Reads, mends, scales, moves the skin. The order: units or a length, else the dunk test, else the
/// format, else a guess sets the scale; then what was asked for smooths and thins the skin; then
/// the coat comes off, and with a scale from elsewhere the dunk test moves the skin. A length sets
/// the extent of the scan's skin along the body frame's x, so with it the frame is sought too; it
/// is sought again where the skin was moved.
/// soundness is costly where only a volume is wanted: `look_for_self_intersections`.
/// throws  InputError
[[nodiscard]] SoundBody load_body(const Source& source, const BodyHints& hints,
                                  bool look_for_self_intersections,
                                  const geometry::ParallelFor& loop);
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
  /// A facet of the body each: 1 where it is outer skin that was scanned, 0 where it was made up or
  /// is a cavity's wall, which nobody sees or sands.
  std::vector<std::uint8_t> outside_measured;
  /// All within the outer skin, body frame, over the same vertices, where that displaces more than
  /// the body: of a hollow one whose cavity holds air.
  std::optional<geometry::ClosedMesh> outer;

  /// What the water sees.
  [[nodiscard]] const geometry::ClosedMesh& wet() const { return outer ? *outer : *body; }
};

/// Width and height by calliper are held against the extents along y and z.
/// throws  InputError where the file can't be used or the body stays open
[[nodiscard]] FramedBody load_framed_body(const Source& source, const BodyHints& hints,
                                          const geometry::ParallelFor& loop,
                                          bool look_for_self_intersections = false);
[[nodiscard]] FramedBody load_framed_body(const std::string& path, const BodyHints& hints,
                                          const geometry::ParallelFor& loop);

/// As load_framed_body; of a body that stays open, which has no frame, as load_body.
[[nodiscard]] std::variant<FramedBody, SoundBody> load_framed_if_closed(
    const Source& source, const BodyHints& hints, const geometry::ParallelFor& loop,
    bool look_for_self_intersections);

}  // namespace trueblank::body
