// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/files.h"

#include <fcntl.h>
#include <sys/ioctl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <climits>
#include <cstdlib>
#include <cstring>
#include <new>
#include <utility>

#include "intake/messages.h"

namespace trueblank::intake {
namespace {

constexpr std::int64_t most_bytes = std::int64_t{8} << 30;
constexpr std::size_t most_streamed_bytes = std::size_t{2} << 30;
constexpr std::size_t streamed_step = std::size_t{1} << 20;
/// So much of nothing but zeros, from a stream, is no file any more.
constexpr std::size_t most_leading_zeros = std::size_t{64} << 20;

class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}

  ~Descriptor() {
    if (number_ > STDERR_FILENO) ::close(number_);
  }

  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;

  [[nodiscard]] int number() const { return number_; }

  [[nodiscard]] int release() { return std::exchange(number_, -1); }

 private:
  int number_;
};

/// How the system's error is told of a file that is to be read or written.
Trouble trouble(int error) {
  switch (error) {
    case EACCES:
    case EPERM:
      return {"no permission", "see to its permissions, or name a file in a folder of your own"};
    case EROFS:
      return {"the file system is read-only", "name a file elsewhere"};
    case ENOSPC:
    case EDQUOT:
      return {"no space left", "make room, or name a file elsewhere"};
    case ENAMETOOLONG:
      return {"the name is too long", "give it a shorter one"};
    case EISDIR:
      return {"it is a folder", "name a file in it"};
    case ENOTDIR:
      return {"a part of its path is no folder", "check the path"};
    case ELOOP:
      return {"its links go round in a circle", "name the file itself"};
    case EPIPE:
      return {"nobody reads it", "have what it goes to read to the end"};
    default:
      return {std::strerror(error), "try a file elsewhere"};
  }
}

int open_again(const char* path, int flags, mode_t mode = 0) {
  for (;;) {
    const int number = ::open(path, flags | O_CLOEXEC, mode);
    if (number >= 0 || errno != EINTR) return number;
  }
}

ssize_t read_some(int descriptor, char* into, std::size_t bytes) {
  for (;;) {
    const ssize_t got = ::read(descriptor, into, bytes);
    if (got >= 0 || errno != EINTR) return got;
  }
}

/// 0, or the error.
int write_all(int descriptor, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t put = ::write(descriptor, bytes.data(), std::min(bytes.size(), streamed_step));
    if (put < 0) {
      if (errno == EINTR) continue;
      return errno;
    }
    bytes.remove_prefix(static_cast<std::size_t>(put));
  }
  return 0;
}

InputError reading_failed(const std::string& path, int error) {
  if (error == EISDIR) return file_is_directory(path);
  if (error == ENOENT || error == ENOTDIR) return file_missing(path);
  return file_not_readable(path, trouble(error));
}

/// How many bytes came before the end.
std::size_t read_up_to(int descriptor, char* into, std::size_t size, const std::string& path) {
  std::size_t filled = 0;
  while (filled < size) {
    const ssize_t got = read_some(descriptor, into + filled, size - filled);
    if (got < 0) throw reading_failed(path, errno);
    if (got == 0) break;
    filled += static_cast<std::size_t>(got);
  }
  return filled;
}

std::string read_sized(int descriptor, std::size_t size, const std::string& path) {
  std::string bytes;
  bytes.reserve(size);
  ask_for_large_pages(bytes.data(), size);
  bytes.resize(size);
  bytes.resize(read_up_to(descriptor, bytes.data(), size, path));
  return bytes;
}

std::string read_stream(int descriptor, const std::string& path) {
  std::string bytes;
  std::size_t filled = 0;
  bool zeros = true;
  for (;;) {
    if (bytes.size() < filled + streamed_step) {
      bytes.resize(std::max(2 * bytes.size(), filled + streamed_step));
    }
    const ssize_t got = read_some(descriptor, bytes.data() + filled, bytes.size() - filled);
    if (got < 0) throw reading_failed(path, errno);
    if (got == 0) break;
    const std::size_t before = filled;
    filled += static_cast<std::size_t>(got);
    if (zeros) {
      const auto from = bytes.begin() + static_cast<std::ptrdiff_t>(before);
      zeros = std::all_of(from, from + got, [](char c) { return c == 0; });
      if (zeros && filled > most_leading_zeros) throw only_zeros(path);
    }
    if (filled > most_streamed_bytes) {
      throw file_too_big(path, static_cast<std::int64_t>(most_streamed_bytes));
    }
  }
  bytes.resize(filled);
  return bytes;
}

std::string folder_of(const std::string& path) {
  const std::size_t slash = path.rfind('/');
  if (slash == std::string::npos) return ".";
  return slash == 0 ? "/" : path.substr(0, slash);
}

std::string last_part(const std::string& path) {
  const std::size_t slash = path.rfind('/');
  return slash == std::string::npos ? path : path.substr(slash + 1);
}

/// Links and dots resolved; empty where there is no such file.
std::string resolved(const std::string& path) {
  char* found = ::realpath(path.c_str(), nullptr);
  if (found == nullptr) return {};
  std::string out = found;
  std::free(found);  // NOLINT(cppcoreguidelines-no-malloc): realpath's own
  return out;
}

/// A name beside the target that no file has.
std::string temporary_name(const std::string& target, int attempt) {
  constexpr std::size_t longest = 200;  // leaves room below the usual 255
  return folder_of(target) + "/." + last_part(target).substr(0, longest) + "." +
         std::to_string(::getpid()) + "-" + std::to_string(attempt) + ".part";
}

constexpr int most_attempts = 1000;

/// Where a file without a name can be found, to be given one.
std::string way_to(int descriptor) { return "/proc/self/fd/" + std::to_string(descriptor); }

/// A new file without a name, which is gone where nobody gives it one; < 0 where it can't be had,
/// or where there is no /proc (a bare root, a sandbox) through which to name it.
int open_nameless(const std::string& folder, mode_t permissions) {
  const int number = open_again(folder.c_str(), O_TMPFILE | O_WRONLY, permissions);
  struct stat status = {};
  if (number < 0 || ::lstat(way_to(number).c_str(), &status) == 0) return number;
  (void)::close(number);
  return -1;
}

/// A new file's permissions, or those of the file that it replaces.
void take_permissions(int descriptor, const std::string& target) {
  struct stat status = {};
  if (::stat(target.c_str(), &status) == 0) {
    (void)::fchmod(descriptor, status.st_mode & 07777);
  }
}

/// Writes, and makes sure that it is on the disk. 0, or the error.
int write_through(int descriptor, std::string_view bytes) {
  const int error = write_all(descriptor, bytes);
  if (error != 0) return error;
  if (::fsync(descriptor) != 0 && errno != EINVAL && errno != EROFS) return errno;
  return 0;
}

}  // namespace

std::string read_file(const std::string& path) {
  const bool standard_input = path == "-";
  const Descriptor file(standard_input ? STDIN_FILENO : open_again(path.c_str(), O_RDONLY));
  if (file.number() < 0) throw reading_failed(path, errno);
  struct stat status = {};
  if (::fstat(file.number(), &status) != 0) throw reading_failed(path, errno);
  if (S_ISDIR(status.st_mode)) throw file_is_directory(path);
  if (status.st_size > most_bytes) throw file_too_big(path, most_bytes);
  try {
    if (!standard_input && S_ISREG(status.st_mode) && status.st_size > 0) {
      return read_sized(file.number(), static_cast<std::size_t>(status.st_size), path);
    }
    return read_stream(file.number(), path);
  } catch (const std::bad_alloc&) {
    throw file_not_readable(path, {"not enough memory", "thin the mesh out before export"});
  }
}

FileBlocks::FileBlocks(const std::string& path)
    : path_(path), descriptor_(open_again(path.c_str(), O_RDONLY)) {
  if (descriptor_ < 0) throw reading_failed(path, errno);
  struct stat status = {};
  if (::fstat(descriptor_, &status) == 0 && S_ISREG(status.st_mode)) {
    size_ = static_cast<std::uint64_t>(status.st_size);
  }
}

FileBlocks::~FileBlocks() { ::close(descriptor_); }

std::size_t FileBlocks::read(char* into, std::size_t bytes) {
  return read_up_to(descriptor_, into, bytes, path_);
}

std::string FileBlocks::tail(std::size_t bytes) const {
  std::string out(static_cast<std::size_t>(std::min<std::uint64_t>(bytes, size_)), '\0');
  const ssize_t got =
      ::pread(descriptor_, out.data(), out.size(), static_cast<off_t>(size_ - out.size()));
  if (got < 0) throw reading_failed(path_, errno);
  out.resize(static_cast<std::size_t>(got));
  return out;
}

void ask_for_large_pages(void* from, std::size_t bytes) {
  constexpr std::uintptr_t large_page = std::uintptr_t{2} << 20;
  const auto begin = reinterpret_cast<std::uintptr_t>(from);
  const std::uintptr_t first = (begin + large_page - 1) / large_page * large_page;
  const std::uintptr_t last = (begin + bytes) / large_page * large_page;
  // Advice: whether it is taken changes nothing but the time.
  if (last > first) (void)::madvise(reinterpret_cast<void*>(first), last - first, MADV_HUGEPAGE);
}

Outputs::~Outputs() { drop(); }

void Outputs::drop() {
  for (const Pending& entry : pending_) {
    if (!entry.temporary.empty()) (void)::unlink(entry.temporary.c_str());
    if (entry.descriptor >= 0) (void)::close(entry.descriptor);
  }
  pending_.clear();
}

void Outputs::add(const std::string& path, std::string_view bytes) {
  Pending entry;
  entry.path = path;
  if (last_part(path).size() > NAME_MAX) throw file_not_writable(path, trouble(ENAMETOOLONG));
  struct stat status = {};
  const bool exists = path != "-" && ::stat(path.c_str(), &status) == 0;
  if (exists && S_ISDIR(status.st_mode)) throw file_not_writable(path, trouble(EISDIR));
  // What the system hands out as files (/dev/stdout, /proc/self/fd/1) must not be renamed over.
  entry.straight = path == "-" || (exists && !S_ISREG(status.st_mode)) ||
                   path.starts_with("/dev/") || path.starts_with("/proc/");
  if (entry.straight) {
    entry.target = path;
    entry.bytes = bytes;
  } else if (exists) {
    entry.target = resolved(path);
    if (::access(path.c_str(), W_OK) != 0) throw file_not_writable(path, trouble(errno));
  } else {
    const std::string folder = resolved(folder_of(path));
    if (folder.empty()) throw folder_missing(path, folder_of(path));
    if (last_part(path).empty()) throw file_not_writable(path, trouble(EISDIR));
    entry.target = (folder == "/" ? "" : folder) + "/" + last_part(path);
  }
  for (const Pending& other : pending_) {
    if (other.target == entry.target) throw written_twice(path);
  }
  if (!entry.straight) write_temporary(entry, bytes);
  pending_.push_back(std::move(entry));
}

void Outputs::write_temporary(Pending& entry, std::string_view bytes) {
  constexpr mode_t usual_permissions = 0666;
  int number = open_nameless(folder_of(entry.target), usual_permissions);
  if (number < 0) {
    for (int attempt = 0; number < 0 && attempt < most_attempts; ++attempt) {
      entry.temporary = temporary_name(entry.target, attempt);
      number = open_again(entry.temporary.c_str(), O_CREAT | O_EXCL | O_WRONLY, usual_permissions);
      if (number < 0 && errno != EEXIST) break;
    }
    if (number < 0) throw file_not_writable(entry.path, trouble(errno));
  }
  Descriptor file(number);
  take_permissions(number, entry.target);
  const int error = write_through(number, bytes);
  if (error != 0) {
    if (!entry.temporary.empty()) (void)::unlink(entry.temporary.c_str());
    throw file_not_writable(entry.path, trouble(error));
  }
  if (entry.temporary.empty()) entry.descriptor = file.release();
}

void Outputs::name(Pending& entry) {
  if (!entry.temporary.empty()) return;
  for (int attempt = 0; attempt < most_attempts; ++attempt) {
    std::string wanted = temporary_name(entry.target, attempt);
    if (::linkat(AT_FDCWD, way_to(entry.descriptor).c_str(), AT_FDCWD, wanted.c_str(),
                 AT_SYMLINK_FOLLOW) == 0) {
      entry.temporary = std::move(wanted);
      return;
    }
    if (errno != EEXIST) break;
  }
  throw file_not_writable(entry.path, trouble(errno));
}

void Outputs::commit() {
  for (Pending& entry : pending_) {
    if (!entry.straight) name(entry);
  }
  for (const Pending& entry : pending_) {
    if (!entry.straight) continue;
    const Descriptor file(entry.path == "-" ? STDOUT_FILENO
                                            : open_again(entry.path.c_str(), O_WRONLY));
    if (file.number() < 0) throw file_not_writable(entry.path, trouble(errno));
    const int error = write_all(file.number(), entry.bytes);
    if (error != 0) throw file_not_writable(entry.path, trouble(error));
  }
  for (Pending& entry : pending_) {
    if (entry.straight) continue;
    if (::rename(entry.temporary.c_str(), entry.target.c_str()) != 0) {
      throw file_not_writable(entry.path, trouble(errno));
    }
    entry.temporary.clear();
  }
  drop();
}

bool stderr_is_terminal() { return ::isatty(STDERR_FILENO) == 1; }

int terminal_width() {
  constexpr int usual_width = 80;
  for (const int descriptor : {STDERR_FILENO, STDOUT_FILENO}) {
    struct winsize size = {};
    if (::ioctl(descriptor, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) return size.ws_col;
  }
  return usual_width;
}

}  // namespace trueblank::intake
