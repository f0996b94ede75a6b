// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/read_mesh.h"
#include "promises.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return trueblank::fuzz::read(
      data, size, [](std::string_view bytes) { return trueblank::intake::parse_mesh(bytes, "-"); });
}
