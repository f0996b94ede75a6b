// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "intake/mesh_bytes.h"

// 3MF files, for tests of what reads them.
namespace trueblank::intake {

/// CRC-32 as zip has it (ISO 3309, the polynomial 04C11DB7 with its bits turned round), bit by bit.
inline std::uint32_t crc32(const std::string& bytes) {
  std::uint32_t sum = 0xFFFFFFFFU;
  for (const char byte : bytes) {
    sum ^= static_cast<std::uint8_t>(byte);
    for (int bit = 0; bit < 8; ++bit) sum = (sum >> 1) ^ ((sum & 1U) != 0 ? 0xEDB88320U : 0U);
  }
  return ~sum;
}

/// A zip archive of stored files.
inline std::string zip(const std::vector<std::pair<std::string, std::string>>& files) {
  std::string bytes;
  std::string listing;
  for (const auto& [name, content] : files) {
    const std::uint32_t checksum = crc32(content);
    const auto size = static_cast<std::uint32_t>(content.size());
    const auto at = static_cast<std::uint32_t>(bytes.size());
    std::string common;
    for (const int word : {20, 0, 0, 0, 0}) append_raw(common, static_cast<std::uint16_t>(word));
    append_raw(common, checksum);
    append_raw(common, size);
    append_raw(common, size);
    append_raw(common, static_cast<std::uint16_t>(name.size()));
    append_raw(common, std::uint16_t{0});
    bytes += "PK\x03\x04" + common + name + content;
    listing += std::string("PK\x01\x02") + std::string("\x14\0", 2) + common;
    listing.append(10, '\0');
    append_raw(listing, at);
    listing += name;
  }
  std::string end = "PK\x05\x06";
  end.append(4, '\0');
  append_raw(end, static_cast<std::uint16_t>(files.size()));
  append_raw(end, static_cast<std::uint16_t>(files.size()));
  append_raw(end, static_cast<std::uint32_t>(listing.size()));
  append_raw(end, static_cast<std::uint32_t>(bytes.size()));
  end.append(2, '\0');
  return bytes + listing + end;
}

/// What holds that model.
inline std::string threemf(const std::string& text) { return zip({{"3D/3dmodel.model", text}}); }

}  // namespace trueblank::intake
