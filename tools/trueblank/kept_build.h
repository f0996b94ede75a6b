// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "body/load_body.h"
#include "float_result.h"
#include "notebook/build.h"
#include "sheet/build_sheet.h"

namespace trueblank::tools {

/// A sheet and the files that it names, laid out in a folder of their own for as long as this
/// lives, so that they can be read as any sheet is.
class LaidOut {
 public:
  /// sheet  a text that parse_sheet takes
  /// throws InputError: no such folder can be made, a full disk
  LaidOut(std::string_view sheet, const std::vector<notebook::KeptFile>& files);
  ~LaidOut();
  LaidOut(const LaidOut&) = delete;
  LaidOut& operator=(const LaidOut&) = delete;

  [[nodiscard]] const std::string& sheet_path() const { return sheet_path_; }

 private:
  std::string folder_;
  std::string sheet_path_;
};

/// A lure that was read, with all that its figures are reckoned from; each member refers to those
/// before it.
class ReadLure {
 public:
  /// throws  InputError where the sheet can't be used
  ReadLure(const std::string& sheet_path, const geometry::ParallelFor& loop);
  ReadLure(const ReadLure&) = delete;
  ReadLure& operator=(const ReadLure&) = delete;

  [[nodiscard]] const sheet::Sheet& sheet() const { return sheet_; }

  [[nodiscard]] const body::FramedBody& framed() const { return framed_; }

  [[nodiscard]] const sheet::ResolvedRig& resolved() const { return resolved_; }

  [[nodiscard]] const WetBody& wet() const { return wet_; }

  [[nodiscard]] SheetLure lure() const { return {sheet_, framed_, resolved_, wet_}; }

 private:
  sheet::Sheet sheet_;
  body::FramedBody framed_;
  sheet::ResolvedRig resolved_;
  WetBody wet_;
};

/// The files that a sheet names, as they are to be kept.
///
/// text        of the sheet
/// sheet_path  that it was read from: names are relative to its folder
/// throws      InputError where one can't be read
[[nodiscard]] std::vector<notebook::KeptFile> kept_files(std::string_view text,
                                                         const std::string& sheet_path);

/// The columns of a build, of what float found.
[[nodiscard]] notebook::Figures figures_of(const report::FloatResult& result,
                                           const body::FramedBody& framed);

}  // namespace trueblank::tools
