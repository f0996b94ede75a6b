// SPDX-License-Identifier: GPL-3.0-or-later
#include "kept_build.h"

#include <chrono>
#include <filesystem>
#include <system_error>
#include <utility>

#include "body/frame_of_body.h"
#include "intake/files.h"
#include "messages.h"
#include "rig/mass_budget.h"
#include "sheet/rewritten.h"

namespace trueblank::tools {

namespace {

namespace fs = std::filesystem;

// A new folder for temporary files; its name is nobody's before it is made.
std::string new_folder() {
  std::error_code trouble;
  const fs::path base = fs::temp_directory_path(trouble);
  if (trouble) throw no_temporary_folder(trouble.message());
  constexpr int most_attempts = 10'000;
  const auto ticks = std::chrono::steady_clock::now().time_since_epoch().count();
  for (int attempt = 0; attempt < most_attempts; ++attempt) {
    const fs::path folder =
        base / ("trueblank-" + std::to_string(ticks) + '-' + std::to_string(attempt));
    if (fs::create_directory(folder, trouble)) {
      fs::permissions(folder, fs::perms::owner_all, trouble);
      return folder.string();
    }
    if (trouble) throw no_temporary_folder(trouble.message());
  }
  throw no_temporary_folder("too many are there");
}

// A name of its own for each file, whatever folders the sheet names, and the ending that it has.
std::string plain_name(std::size_t number, const std::string& name) {
  return "file-" + std::to_string(number) + fs::path(name).extension().string();
}

}  // namespace

LaidOut::LaidOut(std::string_view sheet, const std::vector<notebook::KeptFile>& files)
    : folder_(new_folder()), sheet_path_(folder_ + "/sheet.toml") {
  try {
    std::vector<std::pair<std::string, std::string>> names;
    intake::Outputs outputs;
    for (const notebook::KeptFile& file : files) {
      names.emplace_back(file.name, plain_name(names.size(), file.name));
      outputs.add(folder_ + '/' + names.back().second, file.bytes);
    }
    outputs.add(sheet_path_, sheet::with_file_names(sheet, names));
    outputs.commit();
  } catch (...) {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
    throw;
  }
}

LaidOut::~LaidOut() {
  std::error_code ignored;
  fs::remove_all(folder_, ignored);
}

ReadLure::ReadLure(const std::string& sheet_path, const geometry::ParallelFor& loop)
    : sheet_(sheet::read_sheet(sheet_path)),
      framed_(body::load_framed_body(sheet_.source(), sheet_.hints(), loop)),
      resolved_(sheet::resolve(sheet_, framed_)),
      wet_(wet_body(framed_, resolved_)) {}

std::vector<notebook::KeptFile> kept_files(std::string_view text, const std::string& sheet_path) {
  std::vector<notebook::KeptFile> files;
  const fs::path folder = sheet_path == "-" ? fs::path() : fs::path(sheet_path).parent_path();
  for (const std::string& name : sheet::file_names(text)) {
    files.push_back({.name = name, .bytes = intake::read_file((folder / name).string())});
  }
  return files;
}

notebook::Figures figures_of(const report::FloatResult& result, const body::FramedBody& framed) {
  using rig::PartKind;
  const rig::MassBudget& budget = result.budget;
  notebook::Figures figures{.wood = result.wood_name,
                            .wood_density_g_cm3 = result.wood_density_g_cm3,
                            .length_mm = result.length_mm,
                            .volume_mm3 = result.volume_mm3,
                            .water = result.water,
                            .state = result.balance.state,
                            .mass_g = result.balance.mass_g,
                            .undrilled_wood_g = result.lure.undrilled_wood_g,
                            .wood_g = budget.of(PartKind::wood),
                            .finish_g = budget.of(PartKind::finish),
                            .wire_g = budget.of(PartKind::wire),
                            .ballast_g = budget.of(PartKind::ballast),
                            .pocket_g = budget.of(PartKind::pocket),
                            .hooks_g = budget.of(PartKind::hook),
                            .outside_g = budget.of(PartKind::outside),
                            .displacement_full_g = result.balance.displacement_full_g,
                            .reserve_g = result.balance.reserve_g};
  const geometry::TriangleMesh& mesh = framed.body->mesh();
  figures.width_mm = body::extent_along(mesh, geometry::Vec3::UnitY()).length_mm();
  figures.height_mm = body::extent_along(mesh, geometry::Vec3::UnitZ()).length_mm();
  if (result.balance.poses.empty()) return figures;
  const water::RestPose& pose = result.balance.poses.front();
  figures.tail_down_deg = pose.tail_down_deg;
  figures.list_deg = pose.list_deg;
  figures.least_stiffness_g_mm_per_deg = pose.least_stiffness_g_mm_per_deg;
  figures.roll_stiffness_g_mm_per_deg = pose.roll_stiffness_g_mm_per_deg;
  return figures;
}

}  // namespace trueblank::tools
