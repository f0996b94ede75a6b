// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <filesystem>
#include <new>
#include <system_error>

#include "intake/files.h"
#include "intake/messages.h"
#include "intake/parsed_mesh.h"
#include "intake/stl_layout.h"

namespace trueblank::intake {
namespace {

constexpr std::size_t tail_bytes = 1 << 16;
constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

/// head   its first bytes, without a byte order mark
/// bytes  of the whole, likewise
std::unique_ptr<BlockReader> reader_for(const FileBlocks& file, std::string_view head,
                                        std::uint64_t bytes, Format format,
                                        const std::string& name) {
  switch (format) {
    case Format::stl_binary:
      if (stl_binary_count(head) > most_facets) return nullptr;
      return stl_binary_blocks(stl_binary_count(head), name);
    case Format::stl_ascii:
      return stl_ascii_blocks(bytes, name);
    case Format::obj:
      return obj_blocks(bytes, head, file.tail(tail_bytes), name);
    case Format::off:
      return off_blocks(bytes, name);
    case Format::ply_ascii:
      return ply_ascii_blocks(bytes, head, name);
    default:
      return nullptr;
  }
}

std::optional<FileMesh> read_all(FileBlocks& file, const std::string& name,
                                 std::size_t block_bytes) {
  if (file.size() <= block_bytes) return {};
  std::string block(block_bytes, '\0');
  std::size_t filled = file.read(block.data(), block.size());
  std::size_t from = block.starts_with(byte_order_mark) ? byte_order_mark.size() : 0;
  const std::string_view head(block.data() + from, filled - from);
  const std::uint64_t bytes = file.size() - from;
  const std::optional<Format> format = format_by_blocks(head, bytes);
  if (!format) return {};
  const std::unique_ptr<BlockReader> reader = reader_for(file, head, bytes, *format, name);
  if (reader == nullptr) return {};
  // What stands before the first facet of a binary STL has told the format.
  if (format == Format::stl_binary) from += stl_bytes_for(0);
  bool at_end = false;
  while (!at_end) {
    at_end = filled < block.size();
    const std::string_view part(block.data() + from, filled - from);
    const std::size_t whole = at_end ? part.size() : reader->whole_part(part);
    if (whole == 0 && !at_end) return {};
    reader->take(part.substr(0, whole));
    std::copy(part.begin() + static_cast<std::ptrdiff_t>(whole), part.end(), block.begin());
    filled = part.size() - whole;
    from = 0;
    filled += at_end ? 0 : file.read(block.data() + filled, block.size() - filled);
  }
  return reader->finish();
}

}  // namespace

std::optional<FileMesh> read_by_blocks(const std::string& path, std::size_t block_bytes) {
  // A pipe can be opened but once.
  std::error_code trouble;
  if (path == "-" || !std::filesystem::is_regular_file(path, trouble)) return {};
  try {
    FileBlocks file(path);
    return read_all(file, path, block_bytes);
  } catch (const InputError&) {
    // The whole file's reader knows the line; this one counts none.
    return {};
  } catch (const std::bad_alloc&) {
    return {};
  }
}

}  // namespace trueblank::intake
