// SPDX-License-Identifier: GPL-3.0-or-later
// Where results go: whole or not at all, and the same whatever the number of threads.
#include <gmock/gmock.h>

#include <algorithm>
#include <filesystem>

#include "intake/read_mesh.h"
#include "support/bodies.h"
#include "tool.h"

namespace trueblank::test_tool {
namespace {

using ::testing::HasSubstr;

class Outputs : public Tool {
 protected:
  Outputs() {
    write_stl("glider.stl", test_bodies::glider(1200));
    write("lure.toml",
          "[body]\nmesh = \"glider.stl\"\nnose = \"-x\"\nback = \"+z\"\n[wood]\ndensity = 0.5\n"
          "[[hook]]\nname = \"belly treble\"\neye = { station = 60, below_belly = 1 }\nmass = \"6 "
          "g\"\nmetal = \"steel\"\nhang = 15\n");
  }

  const std::vector<std::vector<std::string>> commands = {
      {"check", "glider.stl", "--map", "map.ply"},
      {"weigh", "glider.stl", "--density", "0.5", "--map", "map.ply"},
      {"mirror", "glider.stl", "--nose", "-x", "--map", "map.ply"},
      {"float", "lure.toml"}};
};

TEST_F(Outputs, JsonOnStdoutStandsThereAlone) {
  for (std::vector<std::string> command : commands) {
    command.insert(command.end(), {"--json", "-", "--verbose", "--imperial"});
    const Ran result = run(command);
    EXPECT_EQ(result.exit, 0) << result.err;
    EXPECT_EQ(result.err, "");
    EXPECT_TRUE(Json::accept(result.out)) << result.out;
    EXPECT_TRUE(result.out.starts_with("{\n"));
    EXPECT_TRUE(result.out.ends_with("\n}\n"));
  }
}

TEST_F(Outputs, JsonInAFileIsTheSameAsOnStdout) {
  for (std::vector<std::string> command : commands) {
    std::vector<std::string> to_file = command;
    to_file.insert(to_file.end(), {"--json", "out.json"});
    command.insert(command.end(), {"--json", "-"});
    const Ran result = run(to_file);
    EXPECT_EQ(result.exit, 0) << result.err;
    EXPECT_THAT(result.out, HasSubstr("Written: out.json\n"));
    EXPECT_EQ(read("out.json"), run(command).out);
  }
}

TEST_F(Outputs, AreTheSameBytesForAnyNumberOfThreads) {
  for (const std::vector<std::string>& command : commands) {
    std::set<std::string> results;
    for (const std::string threads : {"1", "2", "7"}) {
      std::vector<std::string> with = command;
      with.insert(with.end(), {"--threads", threads, "--json", "out.json", "--verbose"});
      const Ran result = run(with);
      EXPECT_EQ(result.exit, 0) << result.err;
      results.insert(result.out + read("out.json") + (exists("map.ply") ? read("map.ply") : ""));
    }
    EXPECT_EQ(results.size(), 1U) << command[0];
  }
}

TEST_F(Outputs, QuietGivesOneLine) {
  for (std::vector<std::string> command : commands) {
    command.emplace_back("--quiet");
    const Ran result = run(command);
    EXPECT_EQ(result.exit, 0) << result.err;
    EXPECT_EQ(std::ranges::count(result.out, '\n'), 1) << result.out;
    EXPECT_GT(result.out.size(), 20U);
  }
}

TEST_F(Outputs, TextNeverHasTerminalControls) {
  for (const std::vector<std::string>& command : commands) {
    const Ran result = run(command);
    EXPECT_EQ(result.err, "");
    EXPECT_EQ(result.out.find('\x1b'), std::string::npos);
    EXPECT_EQ(result.out.find('\r'), std::string::npos);
  }
}

TEST_F(Outputs, AFullOrClosedStdoutIsAnErrorAndNothingIsWritten) {
  for (std::vector<std::string> command : commands) {
    command.insert(command.end(), {"--json", "out.json"});
    for (const char* out : {"/dev/full", "&-"}) {
      const std::set<std::string> before = files();
      const Ran result = run_to(out, command);
      EXPECT_EQ(result.exit, 2) << out;
      EXPECT_EQ(std::ranges::count(result.err, '\n'), 1) << result.err;
      EXPECT_THAT(result.err, HasSubstr("standard output"));
      EXPECT_EQ(files(), before);
    }
  }
  EXPECT_EQ(run_to("/dev/full", {"--help"}).exit, 2);
}

TEST_F(Outputs, AFileThatCantBeWrittenIsRefusedAndNothingElseIsWritten) {
  std::filesystem::create_directory(path("folder.ply"));
  for (const std::string bad : {"no/such/folder/x", "/dev/full", "folder.ply"}) {
    EXPECT_NE(refusal({"check", "glider.stl", "--map", "map.ply", "--json", bad}), "") << bad;
  }
  EXPECT_NE(refusal({"check", "glider.stl", "--map", "folder.ply", "--json", "out.json"}), "");
  EXPECT_NE(refusal({"check", "glider.stl", "--map", "out.ply", "--json", "out.ply"}), "");
}

TEST_F(Outputs, AFileThatIsReadIsNotWrittenOver) {
  const std::string before = read("glider.stl");
  EXPECT_THAT(refusal({"check", "glider.stl", "--json", "./glider.stl"}),
              HasSubstr("would overwrite"));
  EXPECT_THAT(refusal({"float", "lure.toml", "--json", "lure.toml"}), HasSubstr("would overwrite"));
  EXPECT_THAT(refusal({"float", "lure.toml", "--json", "glider.stl"}),
              HasSubstr("would overwrite"));
  EXPECT_EQ(read("glider.stl"), before);
}

TEST_F(Outputs, AnOldFileStaysWholeWhenTheNewOneFails) {
  write("out.json", "old");
  EXPECT_NE(refusal({"check", "missing.stl", "--json", "out.json"}), "");
  EXPECT_EQ(read("out.json"), "old");
  EXPECT_EQ(run({"check", "glider.stl", "--json", "out.json"}).exit, 0);
  EXPECT_TRUE(Json::accept(read("out.json")));
}

TEST_F(Outputs, TheBodyMayComeFromStandardInput) {
  const std::string bytes = read("glider.stl");
  for (const std::string verb : {"check", "weigh", "mirror"}) {
    Json from_file = json_of({verb, "glider.stl"});
    const Ran result = run({verb, "-", "--json", "-"}, bytes);
    ASSERT_EQ(result.exit, 0) << result.err;
    Json from_input = Json::parse(result.out);
    expect_valid(verb, from_input);
    EXPECT_EQ(from_input["input"]["file"], "-");
    for (Json* json : {&from_file, &from_input}) {
      json->at("input").erase("file");
      json->erase("warnings");  // they may name the file
    }
    EXPECT_EQ(from_file, from_input);
  }
}

TEST_F(Outputs, AMapReadsBackWithTheSameBody) {
  ASSERT_EQ(run({"mirror", "glider.stl", "--nose", "-x", "--map", "map.ply"}).exit, 0);
  const intake::FileMesh map = intake::read_mesh(path("map.ply"));
  const intake::FileMesh body = intake::read_mesh(path("glider.stl"));
  EXPECT_EQ(map.positions.cols(), body.positions.cols());
  EXPECT_EQ(map.facets.cols(), body.facets.cols());
  EXPECT_EQ(map.colours.size(), static_cast<std::size_t>(map.positions.cols()));
  EXPECT_THAT(read("map.ply").substr(0, 2000), HasSubstr("ColorBrewer PuOr, Cynthia A. Brewer"));
  EXPECT_THAT(read("map.ply").substr(0, 2000), HasSubstr("deviation"));
  const Json from_map = json_of({"weigh", "map.ply"});
  const Json from_body = json_of({"weigh", "glider.stl"});
  EXPECT_DOUBLE_EQ(from_map["volume_mm3"].get<double>(), from_body["volume_mm3"].get<double>());
}

TEST_F(Outputs, TheSchemasRefuseWhatIsNotAgreedUpon) {
  for (const std::string verb : {"check", "weigh", "mirror"}) {
    const Json good = json_of({verb, "glider.stl"});
    Json extra = good;
    extra["surprise"] = 1;
    EXPECT_NE(schema_faults(verb, extra), "") << verb;
    for (const auto& [key, value] : good.items()) {
      Json without = good;
      without.erase(key);
      EXPECT_NE(schema_faults(verb, without), "") << verb << " without " << key;
    }
    Json other = good;
    other["schema"] = "trueblank." + verb + "/2";
    EXPECT_NE(schema_faults(verb, other), "");
    other = good;
    other["input"]["facets"] = "many";
    EXPECT_NE(schema_faults(verb, other), "");
  }
}

}  // namespace
}  // namespace trueblank::test_tool
