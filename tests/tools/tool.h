// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/mesh.h"

// The built program, run as a user runs it.
namespace trueblank::test_tool {

using Json = nlohmann::json;

struct Ran {
  int exit = -1;  ///< -1: it did not end by itself
  std::string out;
  std::string err;
};

/// Each test has a folder of its own, in which the program runs.
class Tool : public ::testing::Test {
 protected:
  Tool();
  ~Tool() override;
  Tool(const Tool&) = delete;
  Tool& operator=(const Tool&) = delete;

  /// `input`: what stands on its standard input.
  [[nodiscard]] Ran run(const std::vector<std::string>& arguments, const std::string& input = "");
  /// As run, its standard output to `out`, a path or "&-" for closed.
  [[nodiscard]] Ran run_to(const std::string& out, const std::vector<std::string>& arguments);
  /// Runs it, expects exit 0 and no word on stderr, and gives the JSON, which is what its schema
  /// says.
  [[nodiscard]] Json json_of(const std::vector<std::string>& arguments);
  /// Runs it and expects: exit 2, one line on stderr, nothing on stdout, no file come or gone.
  /// Gives the line.
  [[nodiscard]] std::string refusal(const std::vector<std::string>& arguments,
                                    const std::string& input = "");

  void write(const std::string& name, std::string_view bytes);
  [[nodiscard]] std::string read(const std::string& name) const;
  [[nodiscard]] bool exists(const std::string& name) const;

  [[nodiscard]] std::string path(const std::string& name) const { return folder_ + "/" + name; }

  [[nodiscard]] std::set<std::string> files() const;

  void write_stl(const std::string& name, const geometry::TriangleMesh& mesh);
  void write_ply(const std::string& name, const geometry::TriangleMesh& mesh);  ///< doubles

 private:
  std::string folder_;
};

/// Fails the running test where `json` is not as tests/schema/<verb>.schema.json says.
void expect_valid(const std::string& verb, const Json& json);
/// What the validator has against it; empty where it is valid.
[[nodiscard]] std::string schema_faults(const std::string& verb, const Json& json);

}  // namespace trueblank::test_tool
