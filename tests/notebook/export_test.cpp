// SPDX-License-Identifier: GPL-3.0-or-later
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "invented_builds.h"
#include "notebook/book.h"
#include "round_trip.h"

namespace trueblank::notebook {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::StartsWith;

void write(const std::string& path, const std::string& text) {
  std::ofstream out(path, std::ios::binary);
  out << text;
}

std::string read(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return std::string(std::istreambuf_iterator<char>(in), {});
}

class AnExport : public testing::Test {
 protected:
  Scratch scratch;
  Book book = Book::open(scratch.path("book.db"), Book::Mode::change);
  Book other = Book::open(scratch.path("other.db"), Book::Mode::change);
  std::string folder = scratch.path("out");

  void fill(std::size_t count, std::uint64_t seed) {
    builds = invented_builds(count, seed);
    add_all(book, builds);
    for (std::int64_t id = 3; id <= static_cast<std::int64_t>(count); id += 10) {
      book.forget(id, "2026-04-01");
    }
  }

  std::vector<InventedBuild> builds;
};

TEST_F(AnExport, OfInventedBuildsLosesNoByte) { round_trip(100, 4); }

TEST_F(AnExport, BroughtInTwiceAddsNothing) {
  fill(30, 5);
  book.export_to(folder);
  (void)other.import_from(folder);
  const Imported again = other.import_from(folder);
  EXPECT_THAT(again.added, IsEmpty());
  EXPECT_EQ(again.already_here.size(), 27U);
  EXPECT_EQ(again.tank_records, 0U);
  EXPECT_EQ(again.tombstones, 0U);
  other.export_to(scratch.path("again"));
  EXPECT_TRUE(all_files(folder) == all_files(scratch.path("again")));
}

TEST_F(AnExport, BroughtIntoItsOwnBookAddsNothing) {
  fill(10, 6);
  book.export_to(folder);
  const Imported imported = book.import_from(folder);
  EXPECT_THAT(imported.added, IsEmpty());
  EXPECT_EQ(imported.tombstones, 0U);
}

TEST_F(AnExport, OfABookWithoutBuildsIsAnEmptyBook) {
  book.export_to(folder);
  EXPECT_EQ(all_files(folder).size(), 1U);
  EXPECT_THAT(other.import_from(folder).added, IsEmpty());
}

TEST_F(AnExport, IsRenumberedWhereItsNumbersAreTaken) {
  fill(4, 7);  // 1, 2 and 4; 3 is a tombstone
  book.export_to(folder);
  const auto here = invented_builds(2, 8);
  add_all(other, here);  // 1 and 2
  const Imported imported = other.import_from(folder);
  EXPECT_THAT(imported.added, ElementsAre(5, 6, 4));
  ASSERT_EQ(imported.renumbered.size(), 2U);
  EXPECT_EQ(imported.renumbered[0].from, 1);
  EXPECT_EQ(imported.renumbered[0].to, 5);
  EXPECT_EQ(imported.renumbered[1].to, 6);
  EXPECT_EQ(imported.tombstones, 1U);
  EXPECT_TRUE(same_build(other.show(1).build, here[0].build));
  EXPECT_TRUE(same_build(other.show(5).build, builds[0].build));
  EXPECT_TRUE(same_build(other.show(6).build, builds[1].build));
  EXPECT_TRUE(same_build(other.show(4).build, builds[3].build));
  const Imported again = other.import_from(folder);
  EXPECT_THAT(again.added, IsEmpty());
  EXPECT_THAT(again.already_here, ElementsAre(5, 6, 4));
}

TEST_F(AnExport, BringsBackWhatWasForgottenUnderANewNumber) {
  fill(2, 9);
  book.export_to(folder);
  book.forget(2, "2026-05-01");
  const Imported imported = book.import_from(folder);
  EXPECT_THAT(imported.added, ElementsAre(3));
  EXPECT_TRUE(same_build(book.show(3).build, builds[1].build));
  EXPECT_EQ(book.tombstones().size(), 1U);
}

TEST_F(AnExport, ForgetsNothingThatIsKeptHere) {
  fill(2, 10);
  book.export_to(folder);
  (void)other.import_from(folder);
  other.forget(1, "2026-05-01");
  other.export_to(scratch.path("later"));
  const Imported imported = book.import_from(scratch.path("later"));
  EXPECT_EQ(imported.tombstones, 0U);
  EXPECT_TRUE(same_build(book.show(1).build, builds[0].build));
}

TEST_F(AnExport, KeepsTwoBuildsThatAreAlikeTwo) {
  const auto one = invented_builds(1, 11);
  add_all(book, one);
  add_all(book, one);
  book.export_to(folder);
  EXPECT_THAT(other.import_from(folder).added, ElementsAre(1, 2));
  EXPECT_THAT(other.import_from(folder).added, IsEmpty());
  EXPECT_EQ(other.list().size(), 2U);
}

TEST_F(AnExport, BringsTankRecordsOfABuildThatIsHere) {
  fill(2, 12);
  book.export_to(folder);
  (void)other.import_from(folder);
  const TankRecord later{.date = "2026-06-01", .tail_down_deg = 11.5, .notes = "later"};
  book.add_tank(1, later);
  other.add_tank(1, {.date = "2026-06-02", .notes = "here alone"});
  book.export_to(scratch.path("later"));
  EXPECT_EQ(other.import_from(scratch.path("later")).tank_records, 1U);
  const ShownBuild shown = other.show(1);
  ASSERT_EQ(shown.tank.size(), builds[0].tank.size() + 2);
  EXPECT_EQ(shown.tank[builds[0].tank.size()].notes, "here alone");
  EXPECT_TRUE(same_record(shown.tank.back(), later));
}

TEST_F(AnExport, NeedsAFolderOfItsOwn) {
  std::filesystem::create_directory(folder);
  book.export_to(folder + "/");  // empty: taken
  EXPECT_EQ(refusal([&] { book.export_to(folder); }),
            folder +
                ": an export needs a folder of its own, and there is something in this one; "
                "name a folder that is empty or not there yet");
  write(scratch.path("file"), "kept");
  EXPECT_THAT(refusal([&] { book.export_to(scratch.path("file")); }), HasSubstr("of its own"));
  EXPECT_EQ(read(scratch.path("file")), "kept");
  EXPECT_THAT(refusal([&] { book.export_to(scratch.path("no/such/folder")); }),
              HasSubstr("the export can't be written"));
}

TEST_F(AnExport, LeavesNothingBesideItself) {
  fill(3, 13);
  book.export_to(folder);
  EXPECT_THAT(refusal([&] { book.export_to(folder); }), HasSubstr("of its own"));
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(scratch.folder())) {
    names.push_back(entry.path().filename().string());
  }
  EXPECT_THAT(names, testing::Not(testing::Contains(HasSubstr("part"))));
}

// What a hand, or somebody else's, did to an export is refused with its place, and nothing of it is
// brought in.
class ASpoiltExport : public AnExport {
 protected:
  ASpoiltExport() {
    Build build;
    build.facts.added = "2026-03-01T18:30:00Z";
    build.facts.title = "Needle";
    build.files = {{.name = "a.stl", .bytes = "solid a"}};
    book.add(build);
    book.add(build);
    book.add_tank(2, {.date = "2026-03-02"});
    book.forget(1, "2026-04-01");
    book.export_to(folder);
  }

  [[nodiscard]] std::string refused(const std::string& file, const std::string& from,
                                    const std::string& to) {
    const std::string path = folder + '/' + file;
    const std::string text = read(path);
    const std::size_t at = text.find(from);
    EXPECT_NE(at, std::string::npos) << text;
    std::string changed = text;
    changed.replace(at, from.size(), to);
    write(path, changed);
    std::string line = refusal([&] { (void)other.import_from(folder); });
    write(path, text);
    EXPECT_THAT(other.list(), IsEmpty());
    EXPECT_THAT(line, StartsWith(folder + '/'));
    return line.substr(std::min(line.size(), folder.size() + 1));
  }
};

TEST_F(ASpoiltExport, IsFineUnspoilt) {
  EXPECT_THAT(other.import_from(folder).added, ElementsAre(2));
}

TEST_F(ASpoiltExport, SaysWhatIsWrongAndWhere) {
  EXPECT_EQ(refused("notebook.toml", "export = 1", "export = 2"),
            "notebook.toml:2:10: is an export of version 2, and this program knows versions up to "
            "1; import it with the newer program");
  EXPECT_EQ(refused("notebook.toml", "builds = [2]", "builds = [2, 2]"),
            "notebook.toml: build 2 is there twice; take one of them out");
  EXPECT_EQ(refused("notebook.toml", "builds = [2]", "builds = [0]"),
            "notebook.toml:3:11: builds is not a number from 1; put it right, or export the "
            "notebook anew");
  EXPECT_EQ(refused("builds/2/build.toml", "id = 2", "id = 3"),
            "builds/2/build.toml: id is not the number of its folder; put it right, or export the "
            "notebook anew");
  EXPECT_EQ(refused("builds/2/build.toml", "title = \"Needle\"", "title = 5"),
            "builds/2/build.toml:3:9: title is not a text; put it right, or export the notebook "
            "anew");
  EXPECT_EQ(refused("builds/2/build.toml", "title", "tilte"),
            "builds/2/build.toml:3:1: unknown key \"tilte\"; take it out, or import with the "
            "program that wrote it");
  EXPECT_EQ(refused("builds/2/build.toml", "2026-03-01T18", "2026-03-32T18"),
            "builds/2/build.toml: \"2026-03-32T18:30:00Z\" is no date; write 2026-03-01, or with "
            "the time in UTC 2026-03-01T18:30:00Z");
  EXPECT_EQ(refused("builds/2/tank-1.toml", "date", "state = \"hovers\"\ndate"),
            "builds/2/tank-1.toml:1:9: state is not floats, suspends or sinks; put it right, or "
            "export the notebook anew");
  EXPECT_EQ(refused("builds/1/forgotten.toml", "title = ", "# title = "),
            "builds/1/forgotten.toml:1:1: title is missing; export the notebook anew");
}

TEST_F(ASpoiltExport, ReadsNoFileOutsideOfItself) {
  for (const char* path : {"/etc/hostname", "../secret", "files/../../secret", "files/", "files/..",
                           "builds/2/build.toml", "files/a/b"}) {
    EXPECT_THAT(refused("builds/2/build.toml", "files/1-a.stl", path),
                HasSubstr("leads out of the export's folder"));
  }
}

TEST_F(ASpoiltExport, MissesAFile) {
  for (const char* name : {"files/1-a.stl", "builds/2/sheet.toml", "builds/2/tank-1.toml",
                           "builds/2/build.toml", "builds/1/forgotten.toml"}) {
    std::filesystem::rename(folder + '/' + name, folder + "/elsewhere");
    EXPECT_THAT(refusal([&] { (void)other.import_from(folder); }),
                StartsWith(folder + '/' + name + ": there is no such file"));
    std::filesystem::rename(folder + "/elsewhere", folder + '/' + name);
    EXPECT_THAT(other.list(), IsEmpty());
  }
  EXPECT_EQ(refusal([&] { (void)other.import_from(scratch.path("nowhere")); }),
            scratch.path("nowhere") +
                ": is no folder that a notebook was exported to: it has no notebook.toml; name the "
                "folder that was given to notebook export");
}

}  // namespace
}  // namespace trueblank::notebook
