// SPDX-License-Identifier: GPL-3.0-or-later
#include "promises.h"
#include "sheet/build_sheet.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  try {
    (void)trueblank::sheet::parse_sheet(text, "fuzz.toml");
  } catch (const trueblank::geometry::InputError& error) {
    trueblank::fuzz::one_line_refusal(error);
  }
  return 0;
}
