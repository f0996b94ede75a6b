// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <signal.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <string>

// Other processes: those that may not do everything, and those that are killed.
namespace trueblank::notebook {

/// A process that runs `what(write_end_of_a_pipe)` and ends without tidying up.
class Child {
 public:
  template <typename What>
  explicit Child(const What& what) {
    int ends[2] = {-1, -1};
    if (::pipe(ends) != 0) std::abort();
    id_ = ::fork();
    if (id_ < 0) std::abort();
    if (id_ == 0) {
      ::close(ends[0]);
      what(ends[1]);
      ::_exit(0);
    }
    ::close(ends[1]);
    from_ = ends[0];
  }

  ~Child() {
    if (from_ >= 0) ::close(from_);
  }

  Child(const Child&) = delete;
  Child& operator=(const Child&) = delete;

  /// Waits for a byte; false where no more come.
  [[nodiscard]] bool read_byte(char& into) const { return ::read(from_, &into, 1) == 1; }

  /// All that is still to come.
  [[nodiscard]] std::string read_all() const {
    std::string all;
    char c = 0;
    while (read_byte(c)) all += c;
    return all;
  }

  void kill() const { (void)::kill(id_, SIGKILL); }

  /// How it ended: its exit code, or minus the signal.
  [[nodiscard]] int wait() const {
    int status = 0;
    if (::waitpid(id_, &status, 0) != id_) return -1000;
    return WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status);
  }

 private:
  pid_t id_ = -1;
  int from_ = -1;
};

/// What `what()` returns, a text, in a process of its own.
template <typename What>
[[nodiscard]] std::string in_a_child(const What& what) {
  const Child child([&](int to) {
    const std::string text = what();
    (void)!::write(to, text.data(), text.size());
  });
  std::string text = child.read_all();
  if (child.wait() != 0) return "the child did not end well";
  return text;
}

/// The same as somebody to whom permissions apply, which they don't to root.
template <typename What>
[[nodiscard]] std::string as_nobody(const What& what) {
  constexpr uid_t nobody = 65534;
  return in_a_child([&]() -> std::string {
    if (::getuid() == 0 && (::setgid(nobody) != 0 || ::setuid(nobody) != 0)) return "still root";
    return what();
  });
}

}  // namespace trueblank::notebook
