// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/zip_archive.h"

#include <zlib.h>

#include <algorithm>
#include <cstring>
#include <exception>
#include <limits>

#include "intake/messages.h"

namespace trueblank::intake {
namespace {

constexpr std::uint32_t listing_mark = 0x02014b50;
constexpr std::uint32_t file_mark = 0x04034b50;
constexpr std::uint32_t end_mark = 0x06054b50;
constexpr std::size_t end_bytes = 22;
constexpr std::size_t listing_bytes = 46;
constexpr std::size_t file_bytes = 30;
constexpr std::size_t longest_comment = 65535;
constexpr std::uint32_t stored = 0;
constexpr std::uint32_t deflated = 8;
/// Deflate makes 1032 bytes of one at most (RFC 1951: 258 bytes of two bits).
constexpr std::uint64_t most_of_one = 1032;
#ifdef FUZZING_BUILD_MODE_UNSAFE_FOR_PRODUCTION
constexpr bool checksums_count = false;  // no fuzzer guesses one
#else
constexpr bool checksums_count = true;
#endif
constexpr std::uint64_t most_unpacked = std::uint64_t{1} << 32;
constexpr std::size_t part_bytes = std::size_t{1} << 18;  // stays in the processor's cache

template <class T>
T at(std::string_view bytes, std::size_t place) {
  T value;
  std::memcpy(&value, bytes.data() + place, sizeof value);
  return value;
}

/// Where the record at the archive's end begins; npos where there is none.
std::size_t end_of_listing(std::string_view bytes) {
  if (bytes.size() < end_bytes) return std::string_view::npos;
  const std::size_t last = bytes.size() - end_bytes;
  const std::size_t first = last > longest_comment ? last - longest_comment : 0;
  for (std::size_t place = last + 1; place-- > first;) {
    if (at<std::uint32_t>(bytes, place) == end_mark) return place;
  }
  return std::string_view::npos;
}

/// Unpacks raw deflate, which has no header of zlib's own, part by part.
class Inflater {
 public:
  Inflater(std::string_view packed, const std::string& name) : packed_(packed), name_(name) {
    if (inflateInit2(&stream_, -MAX_WBITS) != Z_OK) {
      throw broken_file(name, "it can't be unpacked");
    }
  }

  ~Inflater() { inflateEnd(&stream_); }

  Inflater(const Inflater&) = delete;
  Inflater& operator=(const Inflater&) = delete;

  /// The next bytes into `room`; how many there were: fewer only at the end.
  std::size_t next(char* room, std::size_t size) {
    std::size_t given = 0;
    while (given < size && !at_end_) {
      const std::size_t in = std::min(packed_.size(), most_at_once);
      const std::size_t out = std::min(size - given, most_at_once);
      // zlib doesn't write to what it reads.
      stream_.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(packed_.data()));
      stream_.avail_in = static_cast<uInt>(in);
      stream_.next_out = reinterpret_cast<Bytef*>(room + given);
      stream_.avail_out = static_cast<uInt>(out);
      const int state = inflate(&stream_, Z_NO_FLUSH);
      at_end_ = state == Z_STREAM_END;
      const bool stuck = in == stream_.avail_in && out == stream_.avail_out;
      if (!at_end_ && (state != Z_OK || stuck)) throw broken();
      packed_.remove_prefix(in - stream_.avail_in);
      given += out - stream_.avail_out;
    }
    return given;
  }

  [[nodiscard]] InputError broken() const {
    return broken_file(name_, "one of its packed files is broken");
  }

 private:
  static constexpr std::size_t most_at_once = std::numeric_limits<uInt>::max() / 2;
  z_stream stream_{};
  std::string_view packed_;
  const std::string& name_;
  bool at_end_ = false;
};

std::uint32_t checksum_of(std::string_view bytes, std::uint32_t before) {
  return static_cast<std::uint32_t>(
      crc32_z(before, reinterpret_cast<const Bytef*>(bytes.data()), bytes.size()));
}

}  // namespace

ZipArchive::ZipArchive(std::string_view bytes, const std::string& name)
    : bytes_(bytes), name_(name) {
  const std::size_t end = end_of_listing(bytes);
  if (end == std::string_view::npos) {
    throw broken_file(name, "the archive is cut short: its listing is missing");
  }
  const std::size_t count = at<std::uint16_t>(bytes, end + 10);
  std::size_t place = at<std::uint32_t>(bytes, end + 16);
  for (std::size_t i = 0; i < count; ++i) {
    if (place > end || end - place < listing_bytes ||
        at<std::uint32_t>(bytes, place) != listing_mark) {
      throw broken_file(name, "the archive's listing is broken");
    }
    const std::size_t name_bytes = at<std::uint16_t>(bytes, place + 28);
    const std::size_t more =
        std::size_t{at<std::uint16_t>(bytes, place + 30)} + at<std::uint16_t>(bytes, place + 32);
    if (end - place - listing_bytes < name_bytes + more) {
      throw broken_file(name, "the archive's listing is broken");
    }
    entries_.push_back({.name = bytes.substr(place + listing_bytes, name_bytes),
                        .flags = at<std::uint16_t>(bytes, place + 8),
                        .method = at<std::uint16_t>(bytes, place + 10),
                        .checksum = at<std::uint32_t>(bytes, place + 16),
                        .packed = at<std::uint32_t>(bytes, place + 20),
                        .unpacked = at<std::uint32_t>(bytes, place + 24),
                        .header_at = at<std::uint32_t>(bytes, place + 42)});
    place += listing_bytes + name_bytes + more;
  }
}

std::vector<std::string_view> ZipArchive::names() const {
  std::vector<std::string_view> out;
  for (const Entry& entry : entries_) out.push_back(entry.name);
  return out;
}

const ZipArchive::Entry* ZipArchive::find(std::string_view name) const {
  const auto found = std::ranges::find(entries_, name, &Entry::name);
  return found == entries_.end() ? nullptr : &*found;
}

std::string_view ZipArchive::packed_bytes(const Entry& entry) const {
  const std::uint64_t size = bytes_.size();
  if (entry.header_at > size || size - entry.header_at < file_bytes) {
    throw broken_file(name_, "one of its packed files lies beyond its end");
  }
  const std::size_t head = static_cast<std::size_t>(entry.header_at);
  if (at<std::uint32_t>(bytes_, head) != file_mark) {
    throw broken_file(name_, "one of its packed files is not where the listing says");
  }
  const std::uint64_t from = entry.header_at + file_bytes + at<std::uint16_t>(bytes_, head + 26) +
                             at<std::uint16_t>(bytes_, head + 28);
  if (from > size || entry.packed > size - from) {
    throw broken_file(name_, "one of its packed files reaches beyond its end");
  }
  return bytes_.substr(static_cast<std::size_t>(from), static_cast<std::size_t>(entry.packed));
}

const ZipArchive::Entry& ZipArchive::known(std::string_view name) const {
  const Entry* entry = find(name);
  if (entry == nullptr) throw broken_file(name_, "a file of the archive is missing");
  return *entry;
}

std::string ZipArchive::read(std::string_view name) const {
  std::string bytes;
  read_by_parts(name, [&bytes](std::string_view part) { bytes += part; });
  return bytes;
}

void ZipArchive::read_by_parts(std::string_view name,
                               const std::function<void(std::string_view)>& take) const {
  const Entry& entry = known(name);
  if ((entry.flags & 1) != 0) throw broken_file(name_, "the archive is locked with a password");
  const std::string_view packed = packed_bytes(entry);
  if (entry.method != stored && entry.method != deflated) {
    throw broken_file(name_, "the archive is packed in a way that is not read");
  }
  if (entry.unpacked > most_of_one * packed.size() + 64 || entry.unpacked > most_unpacked) {
    throw broken_file(name_, "the archive says that it unpacks to more than it can");
  }
  std::uint32_t checksum = 0;
  std::uint64_t given = 0;
  std::exception_ptr refused;  // told only if the bytes are those that were packed
  const auto hand_over = [&](std::string_view part) {
    checksum = checksum_of(part, checksum);
    given += part.size();
    try {
      if (!refused) take(part);
    } catch (const InputError&) {
      refused = std::current_exception();
    }
  };
  if (entry.method == stored) {
    for (std::size_t at_byte = 0; at_byte < packed.size(); at_byte += part_bytes) {
      hand_over(packed.substr(at_byte, part_bytes));
    }
  } else {
    Inflater inflater(packed, name_);
    std::string room(part_bytes, '\0');
    std::size_t part = room.size();
    while (part == room.size()) {
      part = inflater.next(room.data(), room.size());
      if (part > entry.unpacked - given) throw inflater.broken();
      hand_over(std::string_view(room).substr(0, part));
    }
    if (given != entry.unpacked) throw inflater.broken();
  }
  if (checksums_count && checksum != entry.checksum) {
    throw broken_file(name_, "one of its packed files is not what was packed");
  }
  if (refused) std::rethrow_exception(refused);
}

}  // namespace trueblank::intake
