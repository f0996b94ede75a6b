// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "geometry/error.h"
#include "intake/read_mesh.h"

// What must hold whatever the bytes; where it does not, the fuzzer is stopped.
namespace trueblank::fuzz {

inline void must(bool holds) {
  if (!holds) std::abort();
}

/// A refusal says what is wrong, in one line.
inline void one_line_refusal(const geometry::InputError& error) {
  must(!error.problem.empty());
  must(geometry::one_line(error).find('\n') == std::string::npos);
}

/// A mesh that was let in has facets, corners that exist and finite positions.
inline void usable(const intake::FileMesh& mesh) {
  must(mesh.facets.cols() > 0);
  must(mesh.facets.minCoeff() >= 0 && mesh.facets.maxCoeff() < mesh.positions.cols());
  must(mesh.positions.allFinite());
  must(mesh.colours.empty() ||
       static_cast<Eigen::Index>(mesh.colours.size()) == mesh.positions.cols());
}

/// Runs a reader on bytes and holds it to the promises.
template <class Reader>
int read(const std::uint8_t* data, std::size_t size, const Reader& reader) {
  try {
    usable(reader(std::string_view(reinterpret_cast<const char*>(data), size)));
  } catch (const geometry::InputError& error) {
    one_line_refusal(error);
  }
  return 0;
}

}  // namespace trueblank::fuzz
