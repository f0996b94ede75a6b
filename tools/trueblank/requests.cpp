// SPDX-License-Identifier: GPL-3.0-or-later
#include "requests.h"

#include <algorithm>
#include <sstream>
#include <utility>

#include "messages.h"
#include "notebook_request.h"
#include "report/page.h"
#include "rig/waters.h"
#include "sweep_axes.h"
#include "values.h"

namespace trueblank::tools {

namespace {

// A page that this build can't write, or whose name would not open in a browser.
std::string page_path(const std::string& path) {
  if (path.empty()) return path;
  if (!report::pages_can_be_written()) throw no_pages();
  if (!ends_like(path, ".html") && !ends_like(path, ".htm")) {
    throw wrong_ending("--page", path, ".html");
  }
  return path;
}

CommonOptions common_options(const Raw& raw) {
  CommonOptions common;
  common.json = raw.json == "/dev/stdout" ? "-" : raw.json;
  common.page = page_path(raw.page);
  if (!raw.threads.empty()) common.threads = threads_value("--threads", raw.threads);
  common.quiet = raw.quiet;
  common.style = {.imperial = raw.imperial, .verbose = raw.verbose};
  return common;
}

intake::Mend mend_value(const std::string& text) {
  if (text == "none") return intake::Mend::none;
  if (text == "holes") return intake::Mend::holes;
  if (text == "wrap") return intake::Mend::wrap;
  throw bad_value("--mend", text, "a way to mend", "none, holes or wrap");
}

void check_ending(const std::string& option, const std::string& path, const std::string& one,
                  const std::string& other) {
  if (!ends_like(path, one) && !ends_like(path, other)) {
    throw wrong_ending(option, path, one + " or " + other);
  }
}

intake::Table table_value(const std::string& text) {
  if (text == "cut") return intake::Table::cut;
  if (text == "keep") return intake::Table::keep;
  throw bad_value("--table", text, "what to do with a table", "cut or keep");
}

// A mesh by the ending of its name.
void check_aligned(const std::string& path) {
  if (!ends_like(path, ".stl") && !ends_like(path, ".ply") && !ends_like(path, ".obj")) {
    throw wrong_ending("--aligned", path, ".stl, .ply or .obj");
  }
}

void refuse_for_sheet(const std::string& verb, const std::string& option,
                      const std::string& value) {
  if (value.empty()) return;
  const auto known = std::ranges::find(body_options(), option, &SheetKey::option);
  throw sheet_has_it_inside(verb, option, std::string(known->key));
}

// What a sheet says of its body is in the sheet.
void refuse_beside_sheet(const std::string& verb, const Raw& raw) {
  refuse_for_sheet(verb, "--units", raw.units);
  refuse_for_sheet(verb, "--length", raw.length);
  refuse_for_sheet(verb, "--width", raw.width);
  refuse_for_sheet(verb, "--height", raw.height);
  refuse_for_sheet(verb, "--displaced", raw.displaced);
  refuse_for_sheet(verb, "--push", raw.push);
  refuse_for_sheet(verb, "--nose", raw.nose);
  refuse_for_sheet(verb, "--nose-point", raw.nose_point);
  refuse_for_sheet(verb, "--back", raw.back);
  refuse_for_sheet(verb, "--mend", raw.mend);
  refuse_for_sheet(verb, "--table", raw.table);
}

// The bucket of a dunk test on the command line: fresh water, 20 °C.
body::Dunk dunk(double displaced_g, bool from_push) {
  constexpr double bucket_temperature_c = 20;
  return {.displaced_g = displaced_g,
          .water_density_g_cm3 = rig::water_at(0, bucket_temperature_c).density_g_cm3,
          .from_push = from_push};
}

void take_measures(const std::string& verb, const Raw& raw, body::BodyHints& hints) {
  if (!raw.units.empty()) hints.units = unit_value("--units", raw.units);
  if (!raw.length.empty()) hints.length_mm = length_value("--length", raw.length);
  if (!raw.width.empty()) hints.width_mm = length_value("--width", raw.width);
  if (!raw.height.empty()) hints.height_mm = length_value("--height", raw.height);
  if (!raw.displaced.empty() && !raw.push.empty()) {
    throw not_both(verb, "--displaced", "--push", "the first is the push and the mass together");
  }
  if (!raw.displaced.empty()) hints.dunk = dunk(mass_value("--displaced", raw.displaced), false);
  if (raw.push.empty()) return;
  if (raw.mass.empty()) throw push_without_mass();
  hints.dunk = dunk(mass_value("--push", raw.push) + mass_value("--mass", raw.mass), true);
}

BodyOptions body_options_of(const std::string& verb, const Raw& raw) {
  BodyOptions options;
  options.path = raw.input;
  body::BodyHints& hints = options.hints;
  if (is_sheet(raw.input)) refuse_beside_sheet(verb, raw);
  take_measures(verb, raw, hints);
  if (!raw.nose.empty() && !raw.nose_point.empty()) {
    throw not_both(verb, "--nose", "--nose-point", "each tells where the nose is; leave one out");
  }
  if (!raw.nose.empty()) hints.nose = direction_value("--nose", raw.nose);
  if (!raw.nose_point.empty()) hints.nose_point = point_value("--nose-point", raw.nose_point);
  if (!raw.back.empty()) hints.back = direction_value("--back", raw.back);
  if (!raw.mend.empty()) hints.mend = mend_value(raw.mend);
  if (!raw.table.empty()) hints.table = table_value(raw.table);
  if (!raw.smooth.empty()) hints.smooth_mm = length_value("--smooth", raw.smooth);
  if (!raw.thin.empty()) hints.thin_facets = facets_value("--thin", raw.thin);
  if (!raw.map.empty()) check_ending("--map", raw.map, ".ply", ".glb");
  if (!raw.aligned.empty()) check_aligned(raw.aligned);
  options.map = raw.map;
  options.aligned = raw.aligned;
  return options;
}

WeighRequest weigh_request(const Raw& raw) {
  WeighRequest request{.common = common_options(raw), .body = body_options_of("weigh", raw)};
  if (!raw.density.empty() && !raw.mass.empty()) {
    throw not_both("weigh", "--density", "--mass", "each tells the other; leave one out");
  }
  if (!raw.density.empty()) request.density_g_cm3 = density_value("--density", raw.density);
  if (!raw.mass.empty()) request.mass_g = mass_value("--mass", raw.mass);
  return request;
}

Words points_of(const std::string& option, const std::string& text) {
  std::istringstream words(text);
  Words points(static_cast<std::size_t>(points_wanted(option)));
  for (std::string& point : points) words >> point;
  std::string more;
  if (points.back().empty() || words >> more) {
    throw value_missing("mirror", option, points_wanted(option));
  }
  return points;
}

symmetry::Kernel kernel_value(const std::string& text) {
  if (text == "robust") return symmetry::Kernel::robust;
  if (text == "least-squares") return symmetry::Kernel::least_squares;
  throw bad_value("--fit", text, "a way to fit", "robust or least-squares");
}

report::Paper paper_value(const std::string& text) {
  if (text == "a4") return report::Paper::a4;
  if (text == "letter") return report::Paper::letter;
  throw bad_value("--paper", text, "a paper", "a4 or letter");
}

void refuse_two_planes(const Raw& raw) {
  std::string first;
  const auto given = [&](const std::string& option, bool here) {
    if (!here) return;
    if (!first.empty()) {
      throw not_both("mirror", first, option, "each gives the plane; leave one out");
    }
    first = option;
  };
  given("--plane", !raw.plane.empty());
  given("--split-line", !raw.split_line.empty());
  given("--eyes", !raw.eyes.empty());
  given("--best-sand", raw.best_sand);
}

void add_files(MirrorRequest& request, const Raw& raw) {
  if (!raw.templates.empty()) check_ending("--templates", raw.templates, ".svg", ".pdf");
  if (!raw.target.empty()) check_ending("--target", raw.target, ".ply", ".stl");
  if (!raw.paper.empty()) {
    request.paper = paper_value(raw.paper);
    if (raw.templates.empty()) throw paper_without("mirror", "--templates");
  }
  request.templates = raw.templates;
  request.csv = raw.csv;
  request.target = raw.target;
}

MirrorRequest mirror_request(const Raw& raw) {
  MirrorRequest request{.common = common_options(raw), .body = body_options_of("mirror", raw)};
  refuse_two_planes(raw);
  request.again = raw.again;
  request.sheet = raw.sheet;
  if ((raw.input == "-") + (raw.again == "-") + (raw.sheet == "-") > 1) {
    throw one_standard_input("mirror");
  }
  add_files(request, raw);
  request.body.hints.best_sand = raw.best_sand;
  if (!raw.eyes.empty()) {
    request.body.hints.eyes = eyes_value("--eyes", points_of("--eyes", raw.eyes));
  }
  if (!raw.fit.empty()) request.body.hints.kernel = kernel_value(raw.fit);
  if (!raw.plane.empty()) request.body.hints.plane = plane_value("--plane", raw.plane);
  if (!raw.split_line.empty()) {
    request.body.hints.split_line =
        split_line_value("--split-line", points_of("--split-line", raw.split_line));
  }
  if (!raw.stations.empty()) request.stations = stations_value("--stations", raw.stations);
  if (!raw.limit.empty()) request.limit_mm = limit_value("--limit", raw.limit);
  return request;
}

CompareRequest compare_request(const Raw& raw) {
  CompareRequest request{.common = common_options(raw),
                         .body = body_options_of("compare", raw),
                         .others = raw.others,
                         .fit_scale = raw.fit_scale,
                         .sheet = raw.sheet,
                         .csv = raw.csv};
  const auto from_input =
      std::ranges::count(raw.others, "-") + (raw.input == "-" ? 1 : 0) + (raw.sheet == "-" ? 1 : 0);
  if (from_input > 1) throw one_standard_input("compare");
  if (!raw.aligned.empty() && raw.others.size() > 1) throw aligned_with_many();
  if (!raw.other_units.empty()) request.other_units = unit_value("--other-units", raw.other_units);
  if (!raw.stations.empty()) request.stations = stations_value("--stations", raw.stations);
  if (!raw.limit.empty()) {
    request.limit_mm = limit_value("--limit", raw.limit);
    // No two scans are alike to the last digit.
    if (*request.limit_mm == 0) {
      throw bad_value("--limit", raw.limit, "a limit above nil", "millimetres, such as 0.3");
    }
  }
  return request;
}

std::optional<Draws> draws_of(const std::string& verb, const Raw& raw) {
  if (raw.tolerances.empty()) {
    if (!raw.seed.empty()) throw seed_without_draws(verb);
    return {};
  }
  Draws draws{.builds = builds_value("--tolerances", raw.tolerances)};
  if (!raw.seed.empty()) draws.seed = seed_value("--seed", raw.seed);
  return draws;
}

FloatRequest float_request(const Raw& raw) {
  FloatRequest request{.common = common_options(raw),
                       .sheet = raw.input,
                       .draws = draws_of("float", raw),
                       .csv = raw.csv};
  for (const std::string& text : raw.sweeps) {
    request.sweeps.push_back(sweep_value("--sweep", text));
  }
  check_sweeps(request.sweeps);
  if (!raw.csv.empty() && raw.sweeps.empty()) throw csv_without_sweep();
  return request;
}

BallastRequest ballast_request(const Raw& raw) {
  BallastRequest request{.common = common_options(raw),
                         .sheet = raw.input,
                         .woods = raw.woods,
                         .hooks = raw.hooks,
                         .write = raw.write,
                         .plan = raw.plan,
                         .draws = draws_of("ballast", raw)};
  if (!raw.wood.empty()) request.wood = wood_value("--wood", raw.wood);
  if (!raw.seen.empty()) request.seen = seen_value("--seen", raw.seen);
  if (!raw.write.empty() && !ends_like(raw.write, ".toml")) {
    throw wrong_ending("--write", raw.write, ".toml");
  }
  if (!raw.plan.empty()) check_ending("--plan", raw.plan, ".svg", ".pdf");
  if (!raw.paper.empty()) {
    request.paper = paper_value(raw.paper);
    if (raw.plan.empty()) throw paper_without("ballast", "--plan");
  }
  check_seen(request);
  return request;
}

CheckRequest check_request(const Raw& raw) {
  CheckRequest request{.common = common_options(raw), .body = body_options_of("check", raw)};
  if (!raw.print) {
    for (const auto& [option, value] :
         {std::pair("--nozzle", raw.nozzle), std::pair("--voxel", raw.voxel),
          std::pair("--min-wall", raw.min_wall), std::pair("--bed", raw.bed)}) {
      if (!value.empty()) throw needs_print(option);
    }
    return request;
  }
  if (!raw.nozzle.empty() && !raw.voxel.empty()) {
    throw not_both("check", "--nozzle", "--voxel", "each gives the least feature; leave one out");
  }
  body::PrintOptions& print = request.print.emplace();
  if (!raw.nozzle.empty()) {
    print.feature_mm = length_value("--nozzle", raw.nozzle);
    print.from = body::FeatureFrom::nozzle;
  }
  if (!raw.voxel.empty()) {
    print.feature_mm = length_value("--voxel", raw.voxel);
    print.from = body::FeatureFrom::voxel;
  }
  if (!raw.min_wall.empty()) print.wall_min_mm = length_value("--min-wall", raw.min_wall);
  if (!raw.bed.empty()) print.bed_mm = bed_value("--bed", raw.bed);
  return request;
}

}  // namespace

Request request_of(const std::string& verb, const Raw& raw) {
  constexpr std::string_view notebook = "notebook ";
  if (verb.starts_with(notebook)) {
    NotebookRequest request = notebook_request(verb.substr(notebook.size()), raw);
    request.common = common_options(raw);
    return request;
  }
  if (verb == "weigh") return weigh_request(raw);
  if (verb == "mirror") return mirror_request(raw);
  if (verb == "float") return float_request(raw);
  if (verb == "ballast") return ballast_request(raw);
  if (verb == "compare") return compare_request(raw);
  return check_request(raw);
}

}  // namespace trueblank::tools
