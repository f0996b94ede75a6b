// SPDX-License-Identifier: GPL-3.0-or-later
#include <sys/mman.h>
#include <unistd.h>

#include <optional>
#include <string>

#include "intake/parsed_mesh.h"
#include "intake/stl_layout.h"
#include "promises.h"

namespace trueblank::fuzz {
namespace {

/// A file that stands in memory, filled anew for each run.
class MemoryFile {
 public:
  MemoryFile() : descriptor_(::memfd_create("mesh", MFD_CLOEXEC)) { must(descriptor_ >= 0); }

  ~MemoryFile() { ::close(descriptor_); }

  MemoryFile(const MemoryFile&) = delete;
  MemoryFile& operator=(const MemoryFile&) = delete;

  void fill(std::string_view bytes) const {
    must(::ftruncate(descriptor_, 0) == 0);
    must(::pwrite(descriptor_, bytes.data(), bytes.size(), 0) ==
         static_cast<ssize_t>(bytes.size()));
  }

  [[nodiscard]] std::string path() const { return "/proc/self/fd/" + std::to_string(descriptor_); }

 private:
  int descriptor_;
};

void same(const intake::FileMesh& found, const intake::FileMesh& wanted) {
  must(found.name == wanted.name && found.format == wanted.format);
  must(found.positions.cols() == wanted.positions.cols() && found.positions == wanted.positions);
  must(found.facets.cols() == wanted.facets.cols() && found.facets == wanted.facets);
  must(found.colours == wanted.colours && found.mm_per_unit == wanted.mm_per_unit);
  must(found.warnings == wanted.warnings);
}

/// What is read by blocks is what the reader of the whole reads, who is never more lenient.
void read_both_ways(std::string_view bytes, std::size_t block_bytes) {
  static const MemoryFile file;
  file.fill(bytes);
  const std::string path = file.path();
  const auto by_blocks = intake::read_by_blocks(path, block_bytes);
  if (!by_blocks) return;
  usable(*by_blocks);
  try {
    same(*by_blocks, intake::parse_mesh(bytes, path));
  } catch (const geometry::InputError&) {
    must(false);
  }
}

/// The format as the first part of a file tells it.
std::optional<intake::Format> told_by(std::string_view part, std::size_t file_bytes) {
  constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
  const std::size_t from = part.starts_with(byte_order_mark) ? byte_order_mark.size() : 0;
  return intake::format_by_blocks(part.substr(from), file_bytes - from);
}

}  // namespace
}  // namespace trueblank::fuzz

// The first byte says how long a block is: from the least that can hold a binary STL's first facet.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace trueblank;
  if (size < 1) return 0;
  const std::string_view bytes(reinterpret_cast<const char*>(data + 1), size - 1);
  const auto block_bytes = static_cast<std::size_t>(intake::stl_bytes_for(1)) + data[0];
  // So short a first block may not tell what the format is; the usual one always does.
  if (fuzz::told_by(bytes.substr(0, block_bytes), bytes.size()) !=
      fuzz::told_by(bytes, bytes.size())) {
    return 0;
  }
  fuzz::read_both_ways(bytes, block_bytes);
  return 0;
}
