// SPDX-License-Identifier: GPL-3.0-or-later
#include "tool.h"

#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "intake/write_mesh.h"

namespace trueblank::test_tool {

namespace {

namespace fs = std::filesystem;

std::string quoted(const std::string& word) {
  std::string out = "'";
  for (const char c : word) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return out + "'";
}

std::string bytes_of(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  return bytes.str();
}

std::string command(const std::vector<std::string>& arguments) {
  std::string line = quoted(TRUEBLANK_BINARY);
  for (const std::string& word : arguments) line += ' ' + quoted(word);
  return line;
}

// What the program said and did stands beside the folder that it ran in.
Ran ran(const std::string& folder, const std::string& redirected) {
  const std::string line = "cd " + quoted(folder) + " && " + redirected;
  const int status = std::system(line.c_str());
  Ran result;
  if (WIFEXITED(status)) result.exit = WEXITSTATUS(status);
  result.out = bytes_of(folder + ".out");
  result.err = bytes_of(folder + ".err");
  return result;
}

}  // namespace

Tool::Tool() {
  std::string name = (fs::temp_directory_path() / "trueblank-test-XXXXXX").string();
  if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary folder");
  folder_ = name;
}

Tool::~Tool() {
  std::error_code ignored;
  fs::remove_all(folder_, ignored);
  for (const char* ending : {".in", ".out", ".err"}) fs::remove(folder_ + ending, ignored);
}

Ran Tool::run(const std::vector<std::string>& arguments, const std::string& input) {
  std::ofstream(folder_ + ".in", std::ios::binary) << input;
  return ran(folder_, command(arguments) + " <" + quoted(folder_ + ".in") + " >" +
                          quoted(folder_ + ".out") + " 2>" + quoted(folder_ + ".err"));
}

Ran Tool::run_to(const std::string& out, const std::vector<std::string>& arguments) {
  std::ofstream(folder_ + ".out", std::ios::trunc);
  return ran(folder_,
             command(arguments) + " </dev/null >" + out + " 2>" + quoted(folder_ + ".err"));
}

Json Tool::json_of(const std::vector<std::string>& arguments) {
  std::vector<std::string> all = arguments;
  all.insert(all.end(), {"--json", "-"});
  const Ran result = run(all);
  EXPECT_EQ(result.exit, 0) << result.err;
  EXPECT_EQ(result.err, "");
  Json json = Json::parse(result.out, nullptr, false);
  EXPECT_FALSE(json.is_discarded()) << result.out;
  expect_valid(arguments.front(), json);
  return json;
}

std::string Tool::refusal(const std::vector<std::string>& arguments, const std::string& input) {
  const std::set<std::string> before = files();
  const Ran result = run(arguments, input);
  EXPECT_EQ(result.exit, 2);
  EXPECT_EQ(result.out, "");
  EXPECT_EQ(std::ranges::count(result.err, '\n'), 1) << result.err;
  EXPECT_TRUE(result.err.ends_with('\n'));
  EXPECT_TRUE(result.err.starts_with("trueblank: ")) << result.err;
  EXPECT_EQ(result.err.find("fault of this program"), std::string::npos) << result.err;
  EXPECT_EQ(files(), before);
  return result.err.substr(0, result.err.find('\n'));
}

void Tool::write(const std::string& name, std::string_view bytes) {
  std::ofstream file(path(name), std::ios::binary);
  file << bytes;
  ASSERT_TRUE(file.good());
}

std::string Tool::read(const std::string& name) const { return bytes_of(path(name)); }

bool Tool::exists(const std::string& name) const { return fs::exists(path(name)); }

std::set<std::string> Tool::files() const {
  std::set<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder_)) {
    names.insert(entry.path().filename().string());
  }
  return names;
}

void Tool::write_stl(const std::string& name, const geometry::TriangleMesh& mesh) {
  write(name, intake::stl_bytes(mesh));
}

void Tool::write_ply(const std::string& name, const geometry::TriangleMesh& mesh) {
  write(name, intake::ply_bytes(mesh));
}

void expect_valid(const std::string& verb, const Json& json) {
  EXPECT_EQ(schema_faults(verb, json), "");
}

}  // namespace trueblank::test_tool
