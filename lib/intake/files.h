// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

// The one place that talks to the file system; its .cpp holds all POSIX calls of the project.
namespace trueblank::intake {

/// The whole of a file, or of standard input where the path is "-". Pipes are read to their end.
/// throws  InputError: missing, a directory, not readable, too big for the memory that is sensible;
///         an empty file is given back as it is
[[nodiscard]] std::string read_file(const std::string& path);

/// A file that is read a block at a time, so that it need not stand in memory as a whole.
class FileBlocks {
 public:
  /// throws  InputError: missing, a directory, not readable
  explicit FileBlocks(const std::string& path);
  ~FileBlocks();
  FileBlocks(const FileBlocks&) = delete;
  FileBlocks& operator=(const FileBlocks&) = delete;

  /// Bytes; 0 for whatever has no size of its own, as a pipe.
  [[nodiscard]] std::uint64_t size() const { return size_; }

  /// The next bytes; how many there were: fewer than asked for only at the end.
  /// throws  InputError
  [[nodiscard]] std::size_t read(char* into, std::size_t bytes);
  /// The last bytes of the file, at most so many, wherever reading stands.
  /// throws  InputError
  [[nodiscard]] std::string tail(std::size_t bytes) const;

 private:
  std::string path_;
  int descriptor_;
  std::uint64_t size_ = 0;
};

/// Tells the system that an array will be filled soon, and is to have large pages: those cost less
/// to hand out and to look up. Before the first touch; does nothing for small arrays.
void ask_for_large_pages(void* from, std::size_t bytes);

/// Files to be written whole or not at all, together: add() writes everything to a file without a
/// name in the target's folder (or one with a temporary name, where the file system has no such),
/// commit() gives all of them their names. Dropped without commit, nothing is left behind.
/// A link is followed; a file that is replaced keeps its permissions. A path that names no regular
/// file ("-" for standard output, /dev/stdout, a pipe) is written to at commit, before the others.
class Outputs {
 public:
  Outputs() = default;
  ~Outputs();
  Outputs(const Outputs&) = delete;
  Outputs& operator=(const Outputs&) = delete;

  /// throws InputError: a folder that is missing or can't be written, a full disk, a path that is a
  ///        folder or was added before
  void add(const std::string& path, std::string_view bytes);
  /// throws InputError
  void commit();

 private:
  struct Pending {
    std::string path;       ///< as given, for messages
    std::string target;     ///< links resolved
    std::string temporary;  ///< empty while the file has no name
    int descriptor = -1;    ///< of the file without a name; -1 where there is none
    std::string bytes;      ///< what goes straight to a device
    bool straight = false;
  };

  static void write_temporary(Pending& entry, std::string_view bytes);
  static void name(Pending& entry);
  void drop();

  std::vector<Pending> pending_;
};

[[nodiscard]] bool stderr_is_terminal();
/// Columns of the terminal behind standard error or output; 80 where there is none.
[[nodiscard]] int terminal_width();

}  // namespace trueblank::intake
