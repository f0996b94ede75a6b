// SPDX-License-Identifier: GPL-3.0-or-later
#include "mirror_files.h"

#include <algorithm>

#include "body_map.h"
#include "intake/write_mesh.h"
#include "report/deviation_colours.h"
#include "report/templates.h"
#include "symmetry/half_sections.h"
#include "symmetry/sanding.h"

namespace trueblank::tools {

namespace {

OutputFile templates_file(const MirrorRequest& request, const body::FramedBody& framed,
                          const std::string& title, const report::MirrorResult& result) {
  std::vector<double> at;
  for (const symmetry::Station& station : result.stations) at.push_back(station.section.x_mm);
  const report::Templates templates{.title = title,
                                    .paper = request.paper,
                                    .sections = symmetry::half_sections(*framed.body, at),
                                    .profiles = symmetry::profiles(*framed.body)};
  return {request.templates, ends_like(request.templates, ".svg")
                                 ? report::templates_svg(templates)
                                 : report::templates_pdf(templates)};
}

OutputFile target_file(const std::string& path, const body::FramedBody& framed,
                       const Measured& measured) {
  geometry::TriangleMesh mesh =
      symmetry::sanded(*framed.body, measured.field, measured.patches).mesh;
  for (Eigen::Index v = 0; v < mesh.positions_mm.cols(); ++v) {
    mesh.positions_mm.col(v) = framed.frame.to_file(mesh.positions_mm.col(v));
  }
  return {path, ends_like(path, ".stl")
                    ? intake::stl_bytes(mesh)
                    : intake::ply_bytes(mesh, {.comment = "the body when sanded true, mm"})};
}

}  // namespace

std::vector<OutputFile> mirror_files(const MirrorRequest& request, const body::FramedBody& framed,
                                     const Measured& measured, const std::string& title,
                                     report::MirrorResult& result) {
  std::vector<OutputFile> files;
  if (!request.body.map.empty()) {
    result.map_scale_mm = report::colour_scale_mm(result.deviation_mm->p95);
    files.push_back(
        deviation_map(request.body.map, framed.sound, measured.field, *result.map_scale_mm));
  }
  if (!request.templates.empty()) {
    files.push_back(templates_file(request, framed, title, result));
  }
  if (!request.csv.empty()) files.push_back({request.csv, stations_csv(result)});
  if (!request.target.empty()) files.push_back(target_file(request.target, framed, measured));
  return files;
}

void say_no_files(const MirrorRequest& request, std::vector<std::string>& warnings) {
  const auto none = [&](const std::string& what, const std::string& path) {
    if (!path.empty()) warnings.push_back(report::none_without_plane(what, path));
  };
  none("map", request.body.map);
  none("template", request.templates);
  none("station table", request.csv);
  none("target", request.target);
}

}  // namespace trueblank::tools
