// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/parsed_mesh.h"
#include "intake/stl_layout.h"
#include "promises.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  // What is too short for a head and a count is never taken for a binary STL.
  if (size < trueblank::intake::stl_header_bytes + trueblank::intake::stl_count_bytes) return 0;
  return trueblank::fuzz::read(data, size, [](std::string_view bytes) {
    return trueblank::intake::read_stl_binary(bytes, "fuzz");
  });
}
