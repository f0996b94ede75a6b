// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "body/load_body.h"
#include "report/compare_report.h"
#include "sheet/build_sheet.h"

namespace trueblank::tools {

/// A master rigged as its sheet says, which copies are held against in the water.
class MasterInWater {
 public:
  /// framed, sheet  must outlive it
  /// throws         InputError where the sheet's rig can't be laid into the master
  MasterInWater(const sheet::Sheet& sheet, const body::FramedBody& framed,
                const geometry::ParallelFor& loop);
  ~MasterInWater();
  MasterInWater(const MasterInWater&) = delete;
  MasterInWater& operator=(const MasterInWater&) = delete;

  [[nodiscard]] const std::vector<std::string>& warnings() const;
  [[nodiscard]] double wood_density_g_cm3() const;

  /// What a copy, rigged alike, does otherwise, and what restores it. Nothing where it can't be
  /// told; a warning says why.
  [[nodiscard]] std::optional<report::CopyInWater> of(const body::FramedBody& copy,
                                                      std::vector<std::string>& warnings,
                                                      const geometry::ParallelFor& loop) const;

 private:
  struct Rigged;
  std::unique_ptr<Rigged> master_;
};

}  // namespace trueblank::tools
