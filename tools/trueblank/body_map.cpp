// SPDX-License-Identifier: GPL-3.0-or-later
#include "body_map.h"

#include "intake/write_glb.h"
#include "report/deviation_colours.h"

namespace trueblank::tools {

namespace {

OutputFile map_file(const std::string& path, const geometry::TriangleMesh& mesh,
                    const intake::PlyExtras& extras) {
  const bool glb = ends_like(path, ".glb");
  return {path, glb ? intake::glb_bytes(mesh, extras) : intake::ply_bytes(mesh, extras)};
}

}  // namespace

OutputFile mended_map(const std::string& path, const body::SoundBody& body) {
  const std::span<const std::uint8_t> measured = body.mended.vertex_measured;
  const std::vector<report::Rgb> colours = report::mended_colours(measured);
  return map_file(path, body.mended.mesh,
                  {.measured = measured,
                   .colours = colours,
                   .comment = "mended by trueblank, mm; grey: made up"});
}

OutputFile skin_map(const std::string& path, const geometry::TriangleMesh& mesh,
                    std::span<const double> deviation_mm, std::span<const std::uint8_t> counted,
                    double scale_mm) {
  const std::vector<report::Rgb> colours =
      report::deviation_colours(deviation_mm, counted, scale_mm);
  return map_file(path, mesh,
                  {.deviation_mm = deviation_mm,
                   .measured = counted,
                   .colours = colours,
                   .comment = report::colour_legend(scale_mm)});
}

OutputFile deviation_map(const std::string& path, const body::SoundBody& body,
                         const symmetry::DeviationField& field, double scale_mm) {
  const std::vector<report::Rgb> colours =
      report::deviation_colours(field.deviation_mm, field.counted, scale_mm);
  return map_file(path, body.closed->mesh(),
                  {.deviation_mm = field.deviation_mm,
                   .measured = body.mended.vertex_measured,
                   .colours = colours,
                   .comment = report::colour_legend(scale_mm)});
}

}  // namespace trueblank::tools
