// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace trueblank::intake {

/// A zip archive in memory (ISO/IEC 21320-1: stored or deflated files, no encryption).
class ZipArchive {
 public:
  /// bytes  must outlive this
  /// throws  InputError: no listing at its end, a listing that reaches beyond the bytes
  ZipArchive(std::string_view bytes, const std::string& name);

  /// Names as the archive has them, in its order.
  [[nodiscard]] std::vector<std::string_view> names() const;

  [[nodiscard]] bool has(std::string_view name) const { return find(name) != nullptr; }

  /// A file's bytes. What it says to unpack to is held against what deflating can do, so that a
  /// small archive can't ask for much.
  /// throws  InputError: not there, encrypted, another way of packing, broken by its checksum
  [[nodiscard]] std::string read(std::string_view name) const;

  /// As read, but gives the bytes part by part, so that they never stand in memory as a whole. A
  /// part is there only while it is taken; the checksum is held against them after the last.
  void read_by_parts(std::string_view name,
                     const std::function<void(std::string_view)>& take) const;

  /// How many bytes a file says it has. throws InputError: not there
  [[nodiscard]] std::uint64_t size_of(std::string_view name) const { return known(name).unpacked; }

 private:
  struct Entry {
    std::string_view name;
    std::uint32_t flags = 0;
    std::uint32_t method = 0;
    std::uint32_t checksum = 0;
    std::uint64_t packed = 0;
    std::uint64_t unpacked = 0;
    std::uint64_t header_at = 0;
  };

  [[nodiscard]] const Entry* find(std::string_view name) const;
  [[nodiscard]] const Entry& known(std::string_view name) const;
  [[nodiscard]] std::string_view packed_bytes(const Entry& entry) const;

  std::string_view bytes_;
  const std::string& name_;
  std::vector<Entry> entries_;
};

}  // namespace trueblank::intake
