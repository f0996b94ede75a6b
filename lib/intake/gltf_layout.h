// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>

// Numbers of the glTF 2.0 specification (ISO/IEC 12113:2022), for the reader and the writer.
namespace trueblank::intake::gltf {

/// What an accessor's components are.
inline constexpr int signed_byte = 5120;
inline constexpr int unsigned_byte = 5121;
inline constexpr int signed_short = 5122;
inline constexpr int unsigned_short = 5123;
inline constexpr int unsigned_int = 5125;
inline constexpr int single_float = 5126;

/// What a view's bytes are for.
inline constexpr int of_vertices = 34962;
inline constexpr int of_indices = 34963;

/// GLB: a header of three words (mark, version, bytes), then chunks, each with a header of two
/// (bytes, mark).
inline constexpr std::uint32_t glb_mark = 0x46546c67;
inline constexpr std::uint32_t glb_version = 2;
inline constexpr std::size_t glb_header_bytes = 12;
inline constexpr std::size_t chunk_header_bytes = 8;
inline constexpr std::uint32_t json_chunk = 0x4e4f534a;
inline constexpr std::uint32_t binary_chunk = 0x004e4942;

}  // namespace trueblank::intake::gltf
