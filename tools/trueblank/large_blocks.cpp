// SPDX-License-Identifier: GPL-3.0-or-later
// Memory for the program's big arrays comes in large pages where the system has them: to be handed
// page after page of 4 KiB takes a tree of a million facets longer than to be filled. What is asked
// for beyond a page or two is rounded up to whole large pages.
#include <algorithm>
#include <cstddef>
#include <cstdlib>
#include <limits>
#include <new>

#include "intake/files.h"

namespace {

constexpr std::size_t large_page = std::size_t{2} << 20;
constexpr std::size_t large_block = 2 * large_page;

void* block_or_null(std::size_t bytes, std::size_t alignment) {
  if (bytes > std::numeric_limits<std::ptrdiff_t>::max()) return nullptr;
  const bool large = bytes >= large_block;
  if (large) alignment = std::max(alignment, large_page);
  if (alignment <= alignof(std::max_align_t)) return std::malloc(std::max<std::size_t>(bytes, 1));
  const std::size_t whole =
      (std::max<std::size_t>(bytes, 1) + alignment - 1) / alignment * alignment;
  void* const made = std::aligned_alloc(alignment, whole);
  if (large && made != nullptr) trueblank::intake::ask_for_large_pages(made, whole);
  return made;
}

void* block(std::size_t bytes, std::size_t alignment) {
  while (true) {
    if (void* const made = block_or_null(bytes, alignment)) return made;
    const std::new_handler handler = std::get_new_handler();
    if (handler == nullptr) throw std::bad_alloc();
    handler();
  }
}

}  // namespace

// The other forms of the language come down to these.
void* operator new(std::size_t bytes) { return block(bytes, 1); }

void* operator new(std::size_t bytes, std::align_val_t alignment) {
  return block(bytes, static_cast<std::size_t>(alignment));
}

void operator delete(void* memory) noexcept { std::free(memory); }

void operator delete(void* memory, std::size_t /*bytes*/) noexcept { std::free(memory); }

void operator delete(void* memory, std::align_val_t /*alignment*/) noexcept { std::free(memory); }

void operator delete(void* memory, std::size_t /*bytes*/, std::align_val_t /*alignment*/) noexcept {
  std::free(memory);
}
