// SPDX-License-Identifier: GPL-3.0-or-later
#include "intake/files.h"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <functional>
#include <thread>

#include "geometry/error.h"
#include "intake/read_mesh.h"

namespace trueblank::intake {
namespace {

namespace fs = std::filesystem;

std::string refusal(const std::function<void()>& act) {
  try {
    act();
  } catch (const geometry::InputError& error) {
    return geometry::one_line(error);
  }
  return {};
}

/// A folder of its own for each test, gone afterwards.
class Files : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = testing::TempDir() + "trueblank-files-XXXXXX";
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    folder_ = pattern;
  }

  void TearDown() override { fs::remove_all(folder_); }

  [[nodiscard]] std::string path(const std::string& name) const { return folder_ + "/" + name; }

  void put(const std::string& name, const std::string& text) const {
    std::ofstream(path(name), std::ios::binary) << text;
  }

  [[nodiscard]] std::string text_of(const std::string& name) const { return read_file(path(name)); }

  [[nodiscard]] long entries() const {
    return std::distance(fs::directory_iterator(folder_), fs::directory_iterator());
  }

  std::string folder_;
};

TEST_F(Files, AreReadWhole) {
  const std::string text("a\0b\r\n\xff", 6);
  put("a.bin", text);
  EXPECT_EQ(text_of("a.bin"), text);
  put("empty", "");
  EXPECT_EQ(text_of("empty"), "");
}

TEST_F(Files, PipesAreReadToTheirEnd) {
  ASSERT_EQ(::mkfifo(path("pipe").c_str(), 0600), 0);
  const std::string text(3'000'000, 'x');
  std::thread writer([&] { std::ofstream(path("pipe")) << text; });
  EXPECT_EQ(text_of("pipe"), text);
  writer.join();
}

TEST_F(Files, ThatAreNotThereOrFoldersAreRefused) {
  EXPECT_EQ(refusal([&] { (void)read_file(path("none.stl")); }),
            path("none.stl") + ": there is no such file; check the name and the folder");
  put("plain", "x");
  EXPECT_EQ(refusal([&] { (void)read_file(path("plain/none.stl")); }),
            path("plain/none.stl") + ": there is no such file; check the name and the folder");
  EXPECT_EQ(refusal([&] { (void)read_file(folder_); }),
            folder_ + ": this is a folder, not a file; name a file in it");
  EXPECT_EQ(refusal([&] { (void)read_mesh(folder_); }),
            folder_ + ": this is a folder, not a file; name a file in it");
}

TEST_F(Files, WithoutPermissionAreRefused) {
  if (::geteuid() == 0) GTEST_SKIP() << "root may read everything";
  put("secret", "x");
  fs::permissions(path("secret"), fs::perms::none);
  EXPECT_EQ(
      refusal([&] { (void)read_file(path("secret")); }),
      path("secret") +
          ": the file can't be read (no permission); see to its permissions, or name a file in "
          "a folder of your own");
}

TEST_F(Files, OfZerosWithHolesAreRefused) {
  put("sparse.stl", "");
  fs::resize_file(path("sparse.stl"), 100'000'000);
  EXPECT_EQ(refusal([&] { (void)read_mesh(path("sparse.stl")); }),
            path("sparse.stl") +
                ": the file holds nothing but zeros; a copy or a download was probably cut off: "
                "copy or export it again");
  put("huge.stl", "");
  fs::resize_file(path("huge.stl"), std::uintmax_t{1} << 40);
  EXPECT_EQ(refusal([&] { (void)read_file(path("huge.stl")); }),
            path("huge.stl") + ": the file is bigger than 8 GiB; thin the mesh out before export");
}

TEST_F(Files, EndlessZerosAreRefused) {
  EXPECT_EQ(refusal([&] { (void)read_file("/dev/zero"); }),
            "/dev/zero: the file holds nothing but zeros; a copy or a download was probably cut "
            "off: copy or export it again");
}

TEST_F(Files, AppearTogetherAtCommit) {
  Outputs outputs;
  outputs.add(path("a"), "one");
  outputs.add(path("b"), "two");
  EXPECT_FALSE(fs::exists(path("a")));
  outputs.commit();
  EXPECT_EQ(text_of("a"), "one");
  EXPECT_EQ(text_of("b"), "two");
  EXPECT_EQ(entries(), 2);
}

// A new root has no /proc, through which a file without a name gets one.
TEST_F(Files, AreWrittenWhereThereIsNoProc) {
  constexpr int not_root = 77;
  const pid_t child = ::fork();
  ASSERT_GE(child, 0);
  if (child == 0) {
    if (::chroot(folder_.c_str()) != 0 || ::chdir("/") != 0) ::_exit(not_root);
    try {
      Outputs outputs;
      outputs.add("/one.txt", "one");
      outputs.add("/two.txt", "two");
      outputs.commit();
    } catch (const geometry::InputError& error) {
      std::fprintf(stderr, "%s\n", geometry::one_line(error).c_str());
      ::_exit(1);
    }
    ::_exit(0);
  }
  int status = 0;
  ASSERT_EQ(::waitpid(child, &status, 0), child);
  ASSERT_TRUE(WIFEXITED(status));
  if (WEXITSTATUS(status) == not_root) GTEST_SKIP() << "only root may change the root";
  EXPECT_EQ(WEXITSTATUS(status), 0);
  EXPECT_EQ(text_of("one.txt"), "one");
  EXPECT_EQ(text_of("two.txt"), "two");
  EXPECT_EQ(entries(), 2);
}

TEST_F(Files, DroppedWithoutCommitLeaveNothing) {
  put("a", "old");
  {
    Outputs outputs;
    outputs.add(path("a"), "new");
    outputs.add(path("b"), "two");
  }
  EXPECT_EQ(text_of("a"), "old");
  EXPECT_EQ(entries(), 1);
}

TEST_F(Files, ThatAreReplacedKeepTheirPermissionsAndNewOnesTakeTheUsual) {
  put("a", "old");
  fs::permissions(path("a"), fs::perms(0640));
  Outputs outputs;
  outputs.add(path("a"), "new");
  outputs.add(path("b"), "new");
  outputs.commit();
  EXPECT_EQ(text_of("a"), "new");
  EXPECT_EQ(fs::status(path("a")).permissions(), fs::perms(0640));
  const mode_t mask = ::umask(0);
  ::umask(mask);
  EXPECT_EQ(fs::status(path("b")).permissions(), fs::perms(0666 & ~mask));
}

TEST_F(Files, LinksAreFollowed) {
  put("real", "old");
  fs::create_symlink("real", path("link"));
  Outputs outputs;
  outputs.add(path("link"), "new");
  outputs.commit();
  EXPECT_TRUE(fs::is_symlink(path("link")));
  EXPECT_EQ(text_of("real"), "new");
}

TEST_F(Files, BadPlacesAreRefused) {
  Outputs outputs;
  EXPECT_EQ(refusal([&] { outputs.add(path("none/a"), "x"); }),
            path("none/a") + ": can't be written: there is no folder \"" + path("none") +
                "\"; make the folder first");
  EXPECT_EQ(refusal([&] { outputs.add(folder_, "x"); }),
            folder_ + ": can't be written (it is a folder); name a file in it");
  const std::string long_name(300, 'n');
  EXPECT_EQ(refusal([&] { outputs.add(path(long_name), "x"); }),
            path(long_name) + ": can't be written (the name is too long); give it a shorter one");
  outputs.add(path("a"), "x");
  EXPECT_EQ(refusal([&] { outputs.add(path("./a"), "y"); }),
            path("./a") + ": two results would go to the same file; give each its own file name");
}

TEST_F(Files, DevicesAreWrittenToAndNotReplaced) {
  {
    Outputs outputs;
    outputs.add("/dev/null", "x");
    outputs.commit();
  }
  EXPECT_TRUE(fs::is_character_file("/dev/null"));
  Outputs outputs;
  outputs.add(path("a"), "x");
  outputs.add("/dev/full", "x");
  EXPECT_EQ(refusal([&] { outputs.commit(); }),
            "/dev/full: can't be written (no space left); make room, or name a file elsewhere");
  EXPECT_FALSE(fs::exists(path("a")));
}

}  // namespace
}  // namespace trueblank::intake
