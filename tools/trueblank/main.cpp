// SPDX-License-Identifier: GPL-3.0-or-later
#include <csignal>
#include <cstdio>
#include <exception>
#include <filesystem>
#include <new>
#include <string>
#include <variant>
#include <vector>

#include "command_line.h"
#include "intake/files.h"
#include "messages.h"
#include "report/layout.h"
#include "threads.h"
#include "verbs.h"

namespace trueblank::tools {

namespace {

// Exit codes: 0 done, 1 a limit is not met, 2 the input can't be used.
constexpr int unusable = 2;

// A scan that took an evening must not be lost to a slip of the pen.
void refuse_overwriting(const std::vector<std::string>& inputs, const std::string& output) {
  for (const std::string& input : inputs) {
    std::error_code ignored;  // where one of them is missing they are not the same
    if (input != "-" && std::filesystem::equivalent(input, output, ignored)) {
      throw would_overwrite(output, input);
    }
  }
}

std::string screen_text(const CommonOptions& common, const Outcome& outcome) {
  if (common.json == "-") return outcome.json;
  if (common.quiet) return outcome.answer + '\n';
  std::string text = outcome.text;
  for (const OutputFile& file : outcome.files)
    text += "Written: " + report::shown(file.path) + '\n';
  if (!common.json.empty()) text += "Written: " + report::shown(common.json) + '\n';
  return text;
}

// All is written to where it can't be seen yet; then comes the screen, and only then the files get
// their names: whatever fails, nothing is left behind.
int hand_over(const CommonOptions& common, const Outcome& outcome) {
  intake::Outputs outputs;
  for (const OutputFile& file : outcome.files) {
    refuse_overwriting(outcome.read, file.path);
    outputs.add(file.path, file.bytes);
  }
  if (!common.json.empty() && common.json != "-") {
    refuse_overwriting(outcome.read, common.json);
    outputs.add(common.json, outcome.json);
  }
  outputs.add("-", screen_text(common, outcome));
  outputs.commit();
  return outcome.exit_code;
}

template <class VerbRequest>
int serve(const VerbRequest& request) {
  Threads threads(request.common.threads);
  const geometry::ParallelFor loop = threads.loop();
  Outcome outcome;
  {
    Progress progress(!request.common.quiet);
    const geometry::ParallelFor watched = progress.watched(loop);
    outcome = run(request, {.loop = watched, .progress = progress});
  }
  return hand_over(request.common, outcome);
}

int serve(const ShowText& request) {
  intake::Outputs outputs;
  outputs.add("-", request.text);
  outputs.commit();
  return 0;
}

int refused(const std::string& line) {
  std::fputs(line.c_str(), stderr);
  return unusable;
}

int guarded(const std::vector<std::string>& arguments) {
  try {
    return std::visit([](const auto& request) { return serve(request); },
                      parse_command_line(arguments));
  } catch (const InputError& error) {
    return refused(error_line(error));
  } catch (const std::bad_alloc&) {
    return refused(out_of_memory_line());
  } catch (const std::exception& error) {
    return refused(our_fault_line(error.what()));
  }
}

}  // namespace

}  // namespace trueblank::tools

int main(int argc, char** argv) {
#ifdef SIGPIPE
  // A reader that goes away is told as any other stdout that can't be written.
  std::signal(SIGPIPE, SIG_IGN);
#endif
  return trueblank::tools::guarded(std::vector<std::string>(argv + 1, argv + argc));
}
