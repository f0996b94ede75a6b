// SPDX-License-Identifier: GPL-3.0-or-later
#include "body_map.h"

#include "intake/write_mesh.h"
#include "report/deviation_colours.h"

namespace trueblank::tools {

OutputFile mended_map(const std::string& path, const body::SoundBody& body) {
  const std::span<const std::uint8_t> measured = body.mended.vertex_measured;
  const std::vector<report::Rgb> colours = report::mended_colours(measured);
  return {path, intake::ply_bytes(body.mended.mesh,
                                  {.measured = measured,
                                   .colours = colours,
                                   .comment = "mended by trueblank, mm; grey: made up"})};
}

OutputFile deviation_map(const std::string& path, const body::SoundBody& body,
                         const symmetry::DeviationField& field, double scale_mm) {
  const std::vector<report::Rgb> colours =
      report::deviation_colours(field.deviation_mm, field.counted, scale_mm);
  return {path,
          intake::ply_bytes(body.closed->mesh(), {.deviation_mm = field.deviation_mm,
                                                  .measured = body.mended.vertex_measured,
                                                  .colours = colours,
                                                  .comment = report::colour_legend(scale_mm)})};
}

}  // namespace trueblank::tools
