// SPDX-License-Identifier: GPL-3.0-or-later
// Stands in for the reader of 3MF where it was left out of the build.
#include "intake/messages.h"
#include "intake/parsed_mesh.h"

namespace trueblank::intake {

FileMesh read_threemf(std::string_view /*bytes*/, const std::string& name) {
  throw no_threemf(name);
}

}  // namespace trueblank::intake
