// SPDX-License-Identifier: GPL-3.0-or-later
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include <csignal>
#include <fstream>
#include <random>

#include "child.h"
#include "invented_builds.h"
#include "notebook/book.h"
#include "notebook/database.h"

// Each trouble is one clear line, and loses nothing that was kept.
namespace trueblank::notebook {
namespace {

using testing::AnyOf;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::StartsWith;

std::string bytes_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return std::string(std::istreambuf_iterator<char>(in), {});
}

void write(const std::string& path, const std::string& bytes) {
  std::ofstream out(path, std::ios::binary);
  out << bytes;
}

class TroubleWithABook : public testing::Test {
 protected:
  TroubleWithABook() {
    Book book = Book::open(path, Book::Mode::change);
    add_all(book, builds);
    ::chmod(scratch.folder().c_str(), 0755);
    ::chmod(folder.c_str(), 0755);
  }

  ~TroubleWithABook() override {
    ::chmod(folder.c_str(), 0755);
    ::chmod(path.c_str(), 0644);
  }

  // All that was kept, to the last byte.
  void expect_whole() const {
    const Book book = Book::open(path, Book::Mode::look);
    ASSERT_EQ(book.list().size(), builds.size());
    for (std::size_t i = 0; i < builds.size(); ++i) {
      const auto id = static_cast<std::int64_t>(i) + 1;
      EXPECT_TRUE(same_build(book.show(id).build, builds[i].build)) << id;
    }
  }

  [[nodiscard]] std::string adding() const {
    return refusal([&] { Book::open(path, Book::Mode::change).add(builds[0].build); });
  }

  [[nodiscard]] std::string looking() const {
    return refusal([&] {
      const Book book = Book::open(path, Book::Mode::look);
      if (book.list().size() != builds.size() || !same_build(book.show(1).build, builds[0].build)) {
        throw geometry::InputError{.problem = "not the same", .where = "", .mend = ""};
      }
    });
  }

  Scratch scratch;
  std::string folder = scratch.path("books");
  std::string path = folder + "/book.db";
  std::vector<InventedBuild> builds = invented_builds(20, 40);
};

TEST_F(TroubleWithABook, ThatIsNotThere) {
  const std::string missing = scratch.path("none/book.db");
  EXPECT_EQ(refusal([&] { (void)Book::open(missing, Book::Mode::look); }),
            missing +
                ": there is no notebook yet; it is made by the first notebook add; or name "
                "another with --book");
  EXPECT_FALSE(std::filesystem::exists(scratch.path("none")));
}

TEST_F(TroubleWithABook, ThatMayOnlyBeRead) {
  ::chmod(path.c_str(), 0444);
  ::chmod(folder.c_str(), 0755);
  EXPECT_EQ(as_nobody([&] { return adding(); }),
            path +
                ": the notebook may be read but not changed; allow writing to the file and to "
                "its folder, or name another with --book, what was kept before is as it was");
  EXPECT_EQ(as_nobody([&] { return looking(); }), "");
  expect_whole();
}

TEST_F(TroubleWithABook, WhoseFolderMayOnlyBeRead) {
  ::chmod(path.c_str(), 0666);
  ::chmod(folder.c_str(), 0555);
  EXPECT_EQ(as_nobody([&] { return adding(); }),
            path +
                ": the notebook may be read but not changed; allow writing to the file and to "
                "its folder, or name another with --book, what was kept before is as it was");
  EXPECT_EQ(as_nobody([&] { return looking(); }), "");
  expect_whole();
}

TEST_F(TroubleWithABook, ThatMayNotBeRead) {
  ::chmod(path.c_str(), 0000);
  for (const bool look : {true, false}) {
    EXPECT_EQ(as_nobody([&] { return look ? looking() : adding(); }),
              path +
                  ": the notebook can't be opened (Permission denied); see that the file and "
                  "its folder may be read and written, or name another with --book");
  }
  expect_whole();
}

TEST_F(TroubleWithABook, WhoseFolderCantBeMade) {
  const std::string below = folder + "/new/deep/book.db";
  EXPECT_EQ(
      as_nobody([&] { return refusal([&] { (void)Book::open(below, Book::Mode::change); }); }),
      folder +
          "/new: the folder of the notebook can't be made (Permission denied); make "
          "it, or name another file with --book");
}

TEST_F(TroubleWithABook, ThatIsAFolderOrADevice) {
  for (const std::string& place : {folder, std::string("/dev/null")}) {
    for (const Book::Mode mode : {Book::Mode::look, Book::Mode::change}) {
      EXPECT_EQ(refusal([&] { (void)Book::open(place, mode); }),
                place +
                    ": a notebook is a file of its own, and this is a folder or a device; "
                    "name a file with --book, as my-lures.db");
    }
  }
}

TEST_F(TroubleWithABook, ThatIsNone) {
  write(path, "sheet = 1\ntitle = \"no notebook but a sheet\"\n" + std::string(5000, '#'));
  std::string before = bytes_of(path);
  const std::string line = path +
                           ": is no notebook of this program, and is left alone; name another "
                           "file with --book";
  EXPECT_EQ(adding(), line);
  EXPECT_EQ(looking(), line);
  EXPECT_EQ(bytes_of(path), before);

  std::filesystem::remove(path);
  Database(path, Database::Access::write).run("CREATE TABLE mine (a INTEGER)");
  before = bytes_of(path);
  EXPECT_EQ(adding(), line);
  EXPECT_EQ(looking(), line);
  EXPECT_EQ(bytes_of(path), before);
}

TEST_F(TroubleWithABook, WithANameThatSqliteWouldTakeForSomethingElse) {
  const std::string before = std::filesystem::current_path().string();
  std::filesystem::current_path(folder);
  for (const char* name : {":memory:", "file:a.db?mode=memory", "a%20b?c#d.db", "ä b.db"}) {
    Book::open(name, Book::Mode::change).add(builds[0].build);
    EXPECT_TRUE(std::filesystem::is_regular_file(folder + '/' + name)) << name;
    EXPECT_EQ(Book::open(name, Book::Mode::look).list().size(), 1U) << name;
  }
  std::filesystem::current_path(before);
}

TEST_F(TroubleWithABook, ThatHoldsNothingYetIsNone) {
  write(path, "");  // as one that was killed before it wrote a byte leaves it
  EXPECT_THAT(Book::open(path, Book::Mode::look).list(), IsEmpty());
  EXPECT_EQ(bytes_of(path), "");
  EXPECT_EQ(adding(), "");
  EXPECT_EQ(Book::open(path, Book::Mode::look).list().size(), 1U);
}

// A disk that is full: a file system of 300 kB in memory, in a name space of its own.
TEST_F(TroubleWithABook, OnAFullDisk) {
  const std::string kept = bytes_of(path);
  const std::string told = in_a_child([&]() -> std::string {
    const bool alone = ::unshare(CLONE_NEWNS) == 0 || ::unshare(CLONE_NEWUSER | CLONE_NEWNS) == 0;
    if (!alone || ::mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0 ||
        ::mount("tmpfs", folder.c_str(), "tmpfs", 0, "size=300k") != 0) {
      return "no disk";
    }
    write(path, kept);
    std::string line;
    std::size_t added = 0;
    while (line.empty() && added < 1000) {
      line = adding();
      if (line.empty()) ++added;
    }
    const Book book = Book::open(path, Book::Mode::look);
    const std::vector<ListedBuild> list = book.list();
    for (const ListedBuild& build : list) (void)book.show(build.facts.id);
    const bool whole = added > 0 && list.size() == builds.size() + added;
    return (whole ? "all kept\n" : "lost\n") + line;
  });
  if (told == "no disk") GTEST_SKIP() << "no file system can be mounted here";
  EXPECT_EQ(told, "all kept\n" + path +
                      ": there is no room left for the notebook on its disk; make room and do it "
                      "again, what was kept before is as it was");
}

// The same where no file may grow beyond a bound, which every user can ask for.
TEST_F(TroubleWithABook, WhoseFileMayNotGrow) {
  const std::string line = in_a_child([&]() -> std::string {
    std::signal(SIGXFSZ, SIG_IGN);
    const rlim_t bytes = std::filesystem::file_size(path) + 20'000;
    const struct rlimit most = {.rlim_cur = bytes, .rlim_max = bytes};
    if (::setrlimit(RLIMIT_FSIZE, &most) != 0) return "no bound";
    std::string told;
    for (int i = 0; i < 1000 && told.empty(); ++i) {
      told = refusal([&] {
        Build build = builds[0].build;
        build.files = {{.name = "a.stl", .bytes = std::string(5000, 'a') + std::to_string(i)}};
        Book::open(path, Book::Mode::change).add(build);
      });
    }
    return told;
  });
  EXPECT_EQ(line, path +
                      ": the notebook can't be read or written (disk I/O error); see to the disk "
                      "and do it again, what was kept before is as it was");
  const Book book = Book::open(path, Book::Mode::look);
  EXPECT_GE(book.list().size(), builds.size());
  for (std::size_t i = 0; i < builds.size(); ++i) {
    EXPECT_TRUE(same_build(book.show(static_cast<std::int64_t>(i) + 1).build, builds[i].build));
  }
}

// Whatever a disk does to a page, the book says so, or gives back what was kept: it never gives
// back something else. Pages are SQLite's, of 4096 bytes.
TEST_F(TroubleWithABook, ThatIsDamaged) {
  constexpr std::size_t page = 4096;
  const std::string whole = bytes_of(path);
  ASSERT_EQ(whole.size() % page, 0U);
  std::mt19937_64 dice(41);
  int refused = 0;
  for (std::size_t at = 0; at < whole.size(); at += page) {
    for (const bool zeros : {true, false}) {
      std::string damaged = whole;
      for (std::size_t i = at; i < at + page; ++i) {
        damaged[i] = zeros ? '\0' : static_cast<char>(dice());
      }
      write(path, damaged);
      const std::string line = refusal([&] {
        const Book book = Book::open(path, Book::Mode::look);
        const std::vector<ListedBuild> list = book.list();
        for (const ListedBuild& listed : list) {
          const auto i = static_cast<std::size_t>(listed.facts.id) - 1;
          ASSERT_LT(i, builds.size());
          EXPECT_TRUE(same_build(book.show(listed.facts.id).build, builds[i].build))
              << "page " << at / page;
        }
        EXPECT_EQ(list.size(), builds.size()) << "page " << at / page;
      });
      if (!line.empty()) ++refused;
      EXPECT_THAT(line, AnyOf("", StartsWith(path + ": "))) << "page " << at / page;
      EXPECT_THAT(line, AnyOf("", HasSubstr("is damaged"), HasSubstr("is no notebook"),
                              HasSubstr("is not as this program makes them")));
    }
  }
  EXPECT_GT(refused, 0);
  for (const std::size_t bytes : {std::size_t{50}, page, whole.size() / 2}) {
    write(path, whole.substr(0, bytes));
    EXPECT_THAT(looking(), AnyOf(HasSubstr("is damaged"), HasSubstr("is no notebook")));
  }
}

TEST_F(TroubleWithABook, WhoseFilesAreDamagedInside) {
  Build build = builds[0].build;
  build.files = {{.name = "a.stl", .bytes = "a mesh " + std::string(20'000, 'm') + " its end"}};
  build.sheet = "# a sheet " + std::string(20'000, 's') + " its end\n";
  const std::int64_t id = Book::open(path, Book::Mode::change).add(build);
  const std::string whole = bytes_of(path);
  for (const std::string text : {"mmmmmmmmmmmmmmmmmmmm", "ssssssssssssssssssss"}) {
    std::string damaged = whole;
    damaged[damaged.find(text) + 10] ^= 1;
    write(path, damaged);
    EXPECT_EQ(refusal([&] { (void)Book::open(path, Book::Mode::look).show(id); }),
              path +
                  ": the notebook is damaged; put it aside, and import the last export into a "
                  "new one");
  }
}

}  // namespace
}  // namespace trueblank::notebook
